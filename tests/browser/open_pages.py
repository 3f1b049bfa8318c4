"""Opens pages in chromium, from a local server that counts what they ask for.

usage: open_pages.py BROWSER PICTURES PAGE...

A page passes when the server was asked for the page and nothing else, and when the browser's log has no
console message and it names no other file.
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
    return found + problems_of_probe(browser, page)


# Moves every cursor as the arrow keys do, and leaves what came of it in the document.
PROBE = """<script>addEventListener('load', () => {
  const root = document.documentElement;
  for (const cursor of document.querySelectorAll('.cursor')) {
    const range = cursor.querySelector('input'), output = cursor.querySelector('output');
    const before = output.textContent;
    range.value = Math.round(Number(range.max) * 0.6);
    range.dispatchEvent(new Event('input'));
    cursor.dataset.moved = !cursor.hidden && output.textContent !== before;
  }
  root.dataset.wider = root.scrollWidth - root.clientWidth;
  root.dataset.width = root.clientWidth;
  root.dataset.cut = [...document.querySelectorAll('.attempt .scroll')]
    .filter((table) => table.scrollWidth > table.clientWidth + 1).length;
  const row = document.querySelector('tr[data-stretch]');
  if (row) row.dispatchEvent(new Event('focusin'));
  root.dataset.stretch = !row || [...document.querySelectorAll('.stretch')].some((r) => Number(r.getAttribute('width')) > 0);
  const play = document.querySelector('.play');
  if (play) play.click();
  root.dataset.plays = !play || play.textContent === 'Pause';
});</script>"""


def problems_of_probe(browser, page):
    """Whether the cursors move and the page fits a phone, on a copy of the page with a probe in it."""
    text = open(page, encoding="utf-8").read()
    with tempfile.TemporaryDirectory() as folder:
        # In a frame of its own: a browser window cannot be as narrow as a phone.
        copy, frame = os.path.join(folder, "copy.html"), os.path.join(folder, "frame.html")
        with open(copy, "w", encoding="utf-8") as file:
            file.write(text.replace("</body>", PROBE + "</body>"))
        with open(frame, "w", encoding="utf-8") as file:
            file.write('<!doctype html><title>phone</title><iframe src="copy.html" width="360" height="2000" '
                       'style="border:0"></iframe>'
                       "<script>addEventListener('load', () => { const d = document.querySelector('iframe').contentDocument;"
                       "document.body.dataset.inside = JSON.stringify([...d.querySelectorAll('.cursor')].map(c => c.dataset.moved));"
                       "document.body.dataset.wider = d.documentElement.dataset.wider;"
                       "for (const name of ['width', 'cut', 'stretch', 'plays']) document.body.dataset[name] = d.documentElement.dataset[name]; })</script>")
        dom, _ = opened(browser, f"file://{frame}", "--allow-file-access-from-files", "--dump-dom")
    found = []
    moved = re.search(r'data-inside="\[([^\]]*)\]"', dom)
    cursors = moved.group(1).count("true") if moved else 0
    attempts = text.count('class="cursor"')
    if cursors != attempts:
        found.append(f"{cursors} of {attempts} cursors move")
    wider = re.search(r'data-wider="(-?\d+)"', dom)
    width = re.search(r'data-width="(\d+)"', dom)
    if not wider or not width or int(width.group(1)) > 360:
        found.append("the page could not be looked at in 360 px")
    elif int(wider.group(1)) > 0:
        found.append(f"{wider.group(1)} px wider than a phone of 360 px")
    for name, wanted, problem in [
        ("cut", "0", "tables are cut at the right on a phone"),
        ("stretch", "true", "a row of the measures does not show its stretch"),
        ("plays", "true", "the page does not play"),
    ]:
        if f'data-{name}="{wanted}"' not in dom:
            found.append(problem)
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
