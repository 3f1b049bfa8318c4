"""Opens pages in chromium, from a local server that counts what they ask for.

usage: open_pages.py BROWSER PICTURES PAGE...

A page passes when the server was asked for the page and nothing else, and when the browser's log has no
console message and no attempt to reach another host.
"""
import functools
import http.server
import os
import re
import subprocess
import sys
import tempfile
import threading

# A browser that does nothing of its own.
FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--disable-default-apps", "--disable-extensions", "--hide-scrollbars",
    "--enable-logging=stderr", "--v=0", "--virtual-time-budget=4000",
]
WIDTHS = [(1280, 1600), (360, 2400)]
LONGEST_S = 120


class Counting(http.server.SimpleHTTPRequestHandler):
    """Serves a folder and remembers what was asked for."""

    asked = []

    def log_message(self, *_):
        pass

    def do_GET(self):
        Counting.asked.append(self.path)
        super().do_GET()


def opened(browser, address, *more):
    """What the browser prints and logs when it opens the page."""
    with tempfile.TemporaryDirectory() as profile:
        command = [browser, *FLAGS, f"--user-data-dir={profile}", *more, address]
        done = subprocess.run(command, capture_output=True, timeout=LONGEST_S)
    return done.stdout.decode(errors="replace"), done.stderr.decode(errors="replace")


def problems_of(browser, port, page, pictures):
    name = os.path.basename(page)
    stem = name.rsplit(".", 1)[0]
    found = []
    for width, height in WIDTHS:
        Counting.asked.clear()
        picture = os.path.join(pictures, f"{stem}-{width}.png")
        _, log = opened(browser, f"http://127.0.0.1:{port}/{name}", f"--window-size={width},{height}",
                        f"--screenshot={os.path.abspath(picture)}")
        found += [f"console: {line}" for line in log.splitlines() if "CONSOLE" in line]
        found += [f"asked for {path}" for path in Counting.asked if path not in (f"/{name}", "/favicon.ico")]
        if f"/{name}" not in Counting.asked:
            found.append("never asked for the page")
        if not os.path.exists(picture):
            found.append(f"no picture at {width} px")
    text = open(page, encoding="utf-8").read()
    addresses = set(re.findall(r"(?:src|href)\s*=\s*[\"']?([^\"'\s>]+)", text))
    found += [f"names {address}" for address in addresses if not address.startswith(("#", "data:"))]
    dom, _ = opened(browser, f"http://127.0.0.1:{port}/{name}", "--dump-dom", "--window-size=360,2400")
    if "</html>" not in dom:
        found.append("the browser shows no document")
    return found


def main():
    browser, pictures, *pages = sys.argv[1:]
    os.makedirs(pictures, exist_ok=True)
    folder = os.path.dirname(os.path.abspath(pages[0]))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Counting, directory=folder))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    failed = 0
    for page in pages:
        found = problems_of(browser, server.server_port, page, pictures)
        print(f"{'FAILED' if found else 'ok':6} {os.path.basename(page)}")
        for problem in found:
            print(f"       {problem}")
        failed += bool(found)
    server.shutdown()
    print(f"{len(pages)} pages opened, {failed} failed; pictures in {pictures}")
    return 1 if failed or not pages else 0


if __name__ == "__main__":
    sys.exit(main())
