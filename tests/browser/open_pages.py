"""Opens pages in chromium, from a local server that counts what they ask for.

usage: open_pages.py BROWSER PICTURES AXE PAGE...

AXE is the file of axe-core, which looks for what keeps people out of a page; `-` leaves that out.

A page passes when the server was asked for the page and nothing else, and when the browser's log has no
console message and it names no other file.
"""
import functools
import html
import http.server
import os
import re
import subprocess
import sys
import tempfile
import threading

import on_paper

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


# Moves every cursor as the arrow keys do, makes the plan larger, and leaves what came of it in the document.
PROBE = """<script>addEventListener('load', () => {
  const root = document.documentElement;
  const problems = [], waiting = [];
  const claim = (holds, problem) => holds || problems.includes(problem) || problems.push(problem);
  const key = (element, name) => element.dispatchEvent(new KeyboardEvent('keydown', { key: name, bubbles: true, cancelable: true }));
  for (const section of document.querySelectorAll('section.attempt')) {
    const cursor = section.querySelector('.cursor');
    if (!cursor) continue;
    const range = cursor.querySelector('input'), output = cursor.querySelector('output');
    const places = () => [...section.querySelectorAll('[data-linked] svg')].map((svg) => {
      const mark = svg.querySelector('.hair') || svg.querySelector('.dot');
      if (mark.dataset.step) return mark.dataset.step;
      return mark.getAttribute('x1') || `${mark.getAttribute('cx')},${mark.getAttribute('cy')}`;
    });
    const before = output.textContent, from = places();
    range.value = Math.round(Number(range.max) * 0.6);
    range.dispatchEvent(new Event('input'));
    const to = places();
    cursor.dataset.moved = !cursor.hidden && output.textContent !== before;
    claim(from.length >= 4, 'fewer than four panels are linked');
    claim(!section.querySelector('[data-panel="last-mile"]') || section.querySelector('[data-panel="last-mile"] .dot') || section.querySelector('[data-panel="last-mile"]').textContent.includes('not drawn'), 'the last mile has no cursor');
    claim(from.every((place, i) => place !== to[i]), 'the cursor does not move in every panel');
    range.focus();
    claim(document.activeElement === range, 'the cursor cannot be focused');
    const plan = section.querySelector('[data-panel="plan"] svg');
    const width = plan.viewBox.baseVal.width;
    plan.focus();
    claim(document.activeElement === plan, 'the plan cannot be focused');
    key(plan, '+');
    claim(plan.viewBox.baseVal.width < width, 'the plan does not grow by the key +');
    const x = plan.viewBox.baseVal.x;
    key(plan, 'ArrowRight');
    claim(plan.viewBox.baseVal.x > x, 'the plan does not pan by the arrow keys');
    key(plan, '0');
    claim(plan.viewBox.baseVal.width === width, 'the plan does not come back whole');
    section.querySelector('[data-zoom="in"]').click();
    claim(plan.viewBox.baseVal.width < width, 'the plan does not grow by its button');
    section.querySelector('[data-zoom="whole"]').click();
    // larger than life, some of the path is in view, with the scale there is then; on paper the plan is whole
    const view = plan.viewBox.baseVal, dot = plan.querySelector('.dot');
    const inView = (x, y) => x >= view.x && x <= view.x + view.width && y >= view.y && y <= view.y + view.height;
    for (let i = 0; i < 9; i += 1) section.querySelector('[data-zoom="in"]').click();
    claim(inView(Number(dot.getAttribute('cx')), Number(dot.getAttribute('cy'))), 'the plan grows away from the cursor');
    claim(/\d\u00a0(ft|m)$/.test(section.querySelector('.zoom output').textContent.trim()), 'a larger plan has no scale');
    const disc = plan.querySelector('circle:not(.dot)');
    claim(disc.r.baseVal.value < 2, 'discs grow with the plan');
    const data = JSON.parse(document.getElementById('data').textContent).find((one) => one.id === section.id);
    const { from: firstS, step, count } = data.t;
    if (count) data.t = Array.from({ length: count }, (_, i) => firstS + step * i);
    const spots = data.t.map((t, i) => [data.plan.x + data.east[i] * data.plan.perFt, data.plan.y - data.north[i] * data.plan.perFt]);
    for (const arrow of ['ArrowLeft', 'ArrowUp', 'ArrowRight', 'ArrowDown']) {
      for (let i = 0; i < 60; i += 1) key(plan, arrow);
      claim(spots.some(([x, y]) => inView(x, y)), 'the plan pans away from all of the path');
    }
    const middle = plan.getBoundingClientRect(), finger = { bubbles: true, pointerId: 7, pointerType: 'touch', clientX: middle.x + middle.width / 2, clientY: middle.y + middle.height / 2 };
    plan.setPointerCapture = () => {};
    range.value = 0;
    range.dispatchEvent(new Event('input'));
    for (let i = 0; i < 3; i += 1) key(plan, 'ArrowDown');
    const atStart = range.value;
    for (const name of ['pointerdown', 'pointerup']) plan.dispatchEvent(new PointerEvent(name, finger));
    claim(range.value !== atStart, 'a tap on a larger plan does not move the cursor');
    const asLeft = view.width;
    dispatchEvent(new Event('beforeprint'));
    claim(view.width === width, 'a larger plan is not whole on paper');
    dispatchEvent(new Event('afterprint'));
    claim(view.width === asLeft, 'a larger plan does not come back after printing');
    key(plan, '0');
    // the read-out is steady, and says at every key point what its table says
    const heights = new Set();
    for (let i = 0; i <= Number(range.max); i += 1) {
      range.value = i;
      range.dispatchEvent(new Event('input'));
      heights.add(cursor.offsetHeight);
    }
    claim(heights.size === 1, `the read-out changes its height: ${[...heights]} px`);
    claim(section.querySelectorAll('.jump').length > 0, 'no time can be gone to');
    for (const jump of section.querySelectorAll('.jump')) {
      jump.click();
      const said = output.textContent, asked = jump.textContent.replace('\u2212', '');
      claim(said.includes(asked), `the cursor is not at ${asked} but at ${output.firstElementChild.textContent}`);
      const cells = jump.closest('td') && [...jump.closest('tr').cells].map((cell) => cell.textContent.trim());
      if (!cells || !jump.closest('table').caption.textContent.startsWith('Key points')) continue;
      const number = cells[0], value = jump.closest('td').nextElementSibling;
      claim(output.textContent.includes(`${number} `), `the cursor does not name key point ${number}`);
      const first = data.marks.filter((mark) => mark.clock === jump.textContent).length === 1;
      claim(!first || !value.matches('.value') || [...output.children].some((one) => one.textContent.startsWith(`height ${value.textContent.trim()}`)), `height at key point ${number}: not as in its table`);
    }
    for (const mark of data.marks) {
      const away = data.t.map((t) => Math.abs(t - mark.t)), least = Math.min(...away) + 1e-6;
      const named = away.some((far, i) => {
        if (far > least) return false;
        range.value = i;
        range.dispatchEvent(new Event('input'));
        return output.textContent.includes(mark.kind);
      });
      claim(named, `the cursor does not name ${mark.kind}`);
    }
    // what gets the focus stands below the cursor
    const last = [...section.querySelectorAll('tr[data-stretch] summary')].pop();
    scrollTo(0, 0);
    last.scrollIntoView({ block: 'start', behavior: 'instant' });
    claim(last.getBoundingClientRect().top >= cursor.getBoundingClientRect().bottom - 1, 'what is scrolled to is below the cursor');
    scrollTo(0, 0);
    const row = section.querySelector('tr[data-stretch]');
    row.dispatchEvent(new Event('focusin'));
    claim([...section.querySelectorAll('.stretch')].some((r) => Number(r.getAttribute('width')) > 0), 'a row of the measures does not show its stretch');
    claim(section.querySelector('.way').getAttribute('points') !== '', 'a row of the measures does not show its stretch in the plan');
    row.dispatchEvent(new Event('focusout'));
    const summary = row.querySelector('summary');
    summary.click();
    claim(summary.parentElement.open, 'a definition does not open');
    waiting.push(new Promise((done) => setTimeout(() => {
      const said = summary.parentElement.textContent;
      const told = summary.nextElementSibling;
      claim(told.getBoundingClientRect().width === 0 && told.lastElementChild.getBoundingClientRect().width > 0.85 * summary.closest('.scroll').clientWidth, 'a definition is not as wide as its table');
      claim(told.querySelector('.reveal'), 'a row does not lead to the drawings');
      claim(['Definition', 'Formula, for one possible path', 'The interval includes', 'It leaves out', 'Source'].every((part) => said.includes(part)), 'a row does not show all there is to know of its measure');
      done();
    }, 200)));
    const play = section.querySelector('.play');
    play.click();
    claim(play.textContent === 'Pause', 'the page does not play');
    play.click();
  }
  const box = document.querySelector('[data-lay]');
  if (box) {
    box.click();
    claim([...document.querySelectorAll(`.over-${box.dataset.lay}`)].every((g) => g.style.display === 'none'), 'an attempt cannot be left out of those over one another');
    box.click();
  }
  for (const e of document.querySelectorAll('button, select, input, nav a, summary')) {
    const { width, height } = (e.type === 'checkbox' ? e.closest('label') : e).getBoundingClientRect();
    if (width) claim(width >= 23.9 && height >= 23.9, `too small for a finger: ${e.tagName} ${e.textContent.trim().slice(0, 20)}, ${height.toFixed(1)} px`);
  }
  for (const svg of document.querySelectorAll('.attempt .panel [role="img"]')) {
    // what a drawing is, and figures of what is to be seen in it
    claim(svg.querySelector('desc').textContent.match(/: |not /), 'a drawing that does not tell what is to be seen in it');
  }
  for (const table of document.querySelectorAll('.attempt .scroll table')) claim(table.querySelector('.copy'), 'a table without a button to copy it');
  // no word or figure is broken within, but at its hyphens and signs
  const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), at = document.createRange();
  for (let node; (node = words.nextNode());) {
    if (!node.parentElement.closest('td, th')) continue;
    for (const { 0: word, index } of node.data.matchAll(/[\p{L}\d.,]+/gu)) {
      at.setStart(node, index);
      at.setEnd(node, index + word.length);
      const tops = [...at.getClientRects()].filter((r) => r.width > 0).map((r) => Math.round(r.top));
      claim(tops.every((top) => top === tops[0]), `broken within a cell: ${word}`);
    }
  }
  root.dataset.wider = root.scrollWidth - root.clientWidth;
  root.dataset.width = root.clientWidth;
  root.dataset.cut = [...document.querySelectorAll('.attempt .scroll:not(.broad)')]
    .filter((table) => table.scrollWidth > table.clientWidth + 1).length;
  Promise.all(waiting).then(() => { root.dataset.problems = problems.join('; ') || 'none'; });
});</script>"""

# Leaves what axe-core calls serious or critical in the document.
AXE_PROBE = """<script>addEventListener('load', () => axe.run(document, { resultTypes: ['violations'], rules: { 'target-size': { enabled: true } } }).then(
  (found) => { document.documentElement.dataset.axe = found.violations
    .filter((v) => ['serious', 'critical'].includes(v.impact))
    .map((v) => `${v.id} (${v.nodes.length}): ${v.nodes[0].target}`).join('; ') || 'none'; },
  (error) => { document.documentElement.dataset.axe = `failed: ${error}`; }));</script>"""


def problems_of_axe(browser, page, axe):
    """What axe-core finds, in the light and in the dark."""
    text, script = on_paper.allowing_scripts(open(page, encoding="utf-8").read()), open(axe, encoding="utf-8").read()
    found = []
    for look, copy in [("light", text), ("dark", text.replace("screen and (prefers-color-scheme: dark)", "screen"))]:
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "copy.html")
            with open(path, "w", encoding="utf-8") as file:
                file.write(copy.replace("</body>", f"<script>{script}</script>{AXE_PROBE}</body>"))
            dom, _ = opened(browser, f"file://{path}", "--virtual-time-budget=60000", "--dump-dom")
        said = re.search(r'data-axe="([^"]*)"', dom)
        if not said:
            found.append(f"axe-core said nothing, {look}")
        elif said.group(1) != "none":
            found.append(f"axe-core, {look}: {html.unescape(said.group(1))}")
    return found


def problems_of_print(browser, page, pictures):
    """Whether the page prints as it should, on every paper: what must be read, its size, and nothing torn apart."""
    found = on_paper.on_paper(lambda *more: opened(browser, *more), page, pictures)
    stem, attempts = os.path.basename(page).rsplit(".", 1)[0], open(page, encoding="utf-8").read().count('class="attempt"')
    for paper in on_paper.PAPERS:
        printed = os.path.join(pictures, f"{stem}-{paper}.pdf")
        done = subprocess.run(["pdftotext", printed, "-"], capture_output=True, timeout=LONGEST_S)
        text = done.stdout.decode(errors="replace")
        wanted = ["not for navigation"] + ["Measures, with 95"] * (attempts > 0)
        found += [f"{paper}: prints without \u201c{words}\u201d" for words in wanted if words not in text]
        # the drawings of an attempt, its tables, and one page for all
        sheets = text.count("\f")
        if attempts and sheets > 2 * attempts + 1:
            found.append(f"{paper}: prints on {sheets} pages, for {attempts} attempts")
        if "Copy" in text.split():
            found.append(f"{paper}: prints its buttons")
    return found


def problems_of_probe(browser, page):
    """Whether the cursors move and the page fits a phone, on a copy of the page with a probe in it."""
    text = open(page, encoding="utf-8").read()
    with tempfile.TemporaryDirectory() as folder:
        # In a frame of its own: a browser window cannot be as narrow as a phone.
        copy, frame = os.path.join(folder, "copy.html"), os.path.join(folder, "frame.html")
        with open(copy, "w", encoding="utf-8") as file:
            file.write(on_paper.allowing_scripts(text).replace("</body>", PROBE + "</body>"))
        with open(frame, "w", encoding="utf-8") as file:
            file.write('<!doctype html><title>phone</title><iframe src="copy.html" width="360" height="2000" '
                       'style="border:0"></iframe>'
                       "<script>addEventListener('load', () => setTimeout(() => { const d = document.querySelector('iframe').contentDocument;"
                       "document.body.dataset.inside = JSON.stringify([...d.querySelectorAll('.cursor')].map(c => c.dataset.moved));"
                       "document.body.dataset.wider = d.documentElement.dataset.wider;"
                       "for (const name of ['width', 'cut', 'problems']) document.body.dataset[name] = d.documentElement.dataset[name]; }, 1000))</script>")
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
    if 'data-cut="0"' not in dom:
        found.append("tables are cut at the right on a phone")
    said = re.search(r'<body[^>]*data-problems="([^"]*)"', dom)
    if not said or said.group(1) != "none":
        found.append(html.unescape(said.group(1)) if said else "the probe did not end")
    return found


def main():
    browser, pictures, axe, *pages = sys.argv[1:]
    os.makedirs(pictures, exist_ok=True)
    failed = 0
    for page in pages:
        folder = os.path.dirname(os.path.abspath(page))
        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Counting, directory=folder))
        threading.Thread(target=server.serve_forever, daemon=True).start()
        found = problems_of(browser, server.server_port, page, pictures)
        server.shutdown()
        found += problems_of_print(browser, page, pictures)
        found += problems_of_axe(browser, page, axe) if axe != "-" else []
        print(f"{'FAILED' if found else 'ok':6} {os.path.basename(page)}")
        for problem in found:
            print(f"       {problem}")
        failed += bool(found)
    print(f"{len(pages)} pages opened, {failed} failed; pictures in {pictures}")
    return 1 if failed or not pages else 0


if __name__ == "__main__":
    sys.exit(main())
