"""Looks at pages as they come out of the printer.

On a copy of the page every heading, every row and every other block of text gets a token that takes no room. The
printed text says where each token came to stand, and so which column of which sheet of paper each block is on.
"""
import os
import re
import subprocess
import tempfile

PAPERS = ["A4", "Letter"]
# width of the paper less the margins of the page, mm
ROOM_MM = {"A4": 188, "Letter": 193.9}
# the least size of letters on paper, pt
SMALLEST_PT = 6.5
LONGEST_S = 120

# `h` announces what follows: a heading, a caption, the head of a table, the name of a group of rows. `r` is a row,
# `b` another block.
TOKENS = """<style>
  .token { position: absolute; font: 1px/1 monospace; color: #fff; }
  @page { size: PAPER }
</style><script>addEventListener('load', () => {
  let count = 0;
  const token = (kind, element) => {
    const mark = document.createElement('span');
    mark.className = 'token';
    mark.textContent = `zq${kind}${String(count += 1).padStart(5, '0')}qz`;
    element.prepend(mark);
  };
  for (const e of document.querySelectorAll('h1, h2, h3, caption, thead th:first-child, tr.group th, tbody tr:not(.group) > :first-child, p, li, dd, .panel')) {
    if (!e.getClientRects().length && !e.closest('td, th')) continue;
    if (e.closest('details:not([open])')) continue;
    const announces = e.matches('h1, h2, h3, caption, thead th, tr.group th');
    token(announces ? 'h' : e.matches('td, tbody th') ? 'r' : 'b', e);
  }
});</script>"""

# The print style on a screen as wide as the paper, for the sizes of letters.
SIZES = """<script>addEventListener('load', () => {
  let least = Infinity, where = '';
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const holder = walker.currentNode.parentElement, text = walker.currentNode.textContent.trim();
    if (!text || holder.closest('script, style, title, desc, .token') || !holder.getClientRects().length) continue;
    const svg = holder.closest('svg');
    const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
    const size = parseFloat(getComputedStyle(holder).fontSize) * scale * 0.75;
    if (size < least) [least, where] = [size, text.slice(0, 40)];
  }
  document.documentElement.dataset.least = `${least.toFixed(2)} ${where}`;
  document.documentElement.dataset.wider = document.documentElement.scrollWidth - document.documentElement.clientWidth;
});</script>"""


FORM = '<details class="stage-check"'


def on_paper(opened, page, pictures):
    """What is wrong with the page on every paper; its pictures are left in the folder."""
    found = []
    for paper in PAPERS:
        found += [f"{paper}: {problem}" for problem in problems_of(opened, page, pictures, paper)]
    return found


def problems_of(opened, page, pictures, paper):
    stem = os.path.basename(page).rsplit(".", 1)[0]
    text = open(page, encoding="utf-8").read()
    with tempfile.TemporaryDirectory() as folder:
        copy = os.path.join(folder, "copy.html")
        # as it is, for the pictures and for what must be read
        printed = os.path.abspath(os.path.join(pictures, f"{stem}-{paper}.pdf"))
        write(copy, text.replace("</head>", f"<style>@page {{ size: {paper} }}</style></head>"))
        opened(f"file://{copy}", f"--print-to-pdf={printed}", "--no-pdf-header-footer")
        if not os.path.exists(printed):
            return ["does not print"]
        subprocess.run(["pdftoppm", "-r", "70", "-png", printed, printed[:-4]], timeout=LONGEST_S)
        if FORM in text and not form_prints(opened, text, folder):
            return ["the stage-check form, opened in the page, does not print"]
        marked = os.path.join(folder, "marked.pdf")
        write(copy, allowing_scripts(text).replace("</body>", TOKENS.replace("PAPER", paper) + "</body>"))
        opened(f"file://{copy}", f"--print-to-pdf={marked}", "--no-pdf-header-footer")
        places = tokens_of(marked)
        frame = os.path.join(folder, "frame.html")
        opened_form = text.replace(FORM, FORM + " open")
        write(copy, allowing_scripts(opened_form).replace("@media print", "@media screen").replace("</body>", SIZES + "</body>"))
        write(frame, f'<!doctype html><title>paper</title><iframe src="copy.html" style="border:0;width:{ROOM_MM[paper]}mm;'
              'height:2000px"></iframe><script>addEventListener("load", () => setTimeout(() => { const d = '
              'document.querySelector("iframe").contentDocument.documentElement.dataset;'
              "document.body.dataset.least = d.least; document.body.dataset.wider = d.wider; }, 500))</script>")
        sizes, _ = opened(f"file://{frame}", "--allow-file-access-from-files", "--dump-dom")
    found = problems_of_places(places)
    # what flows on from sheet to sheet may end anywhere; an attempt may not
    if 'class="attempt"' in text and ends_in_a_few_lines(places):
        found.append("a few lines alone on the last sheet of paper")
    said = re.search(r'data-least="([\d.]+) ([^"]*)"', sizes)
    if not said:
        found.append("the sizes of its letters are not known")
    elif float(said.group(1)) < SMALLEST_PT:
        found.append(f"letters of {said.group(1)} pt: {said.group(2)}")
    wider = re.search(r'data-wider="(-?\d+)"', sizes)
    if wider and int(wider.group(1)) > 1:
        found.append(f"{wider.group(1)} px wider than the paper")
    return found


def form_prints(opened, text, folder):
    """Whether the form is on paper where it is open, and only there."""
    words = []
    for name, form in (("closed", FORM), ("open", FORM + " open")):
        copy, printed = os.path.join(folder, f"{name}.html"), os.path.join(folder, f"{name}.pdf")
        write(copy, text.replace(FORM, form))
        opened(f"file://{copy}", f"--print-to-pdf={printed}", "--no-pdf-header-footer")
        done = subprocess.run(["pdftotext", printed, "-"], capture_output=True, timeout=LONGEST_S)
        words.append(done.stdout.decode(errors="replace").lower())
    return "stage check" in words[1] and "stage check" not in words[0]


def allowing_scripts(text):
    return text.replace("style-src 'unsafe-inline'; img-src", "style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src")


def write(path, text):
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)


def tokens_of(printed):
    """The tokens in the order of the page: kind, sheet of paper, column (0 or 1), share of its height from the top."""
    done = subprocess.run(["pdftotext", "-bbox", printed, "-"], capture_output=True, timeout=LONGEST_S)
    places, sheet = {}, 0
    for line in done.stdout.decode(errors="replace").splitlines():
        size = re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line)
        if size:
            sheet, width, height = sheet + 1, float(size.group(1)), float(size.group(2))
        word = re.search(r'xMin="([\d.]+)" yMin="([\d.]+)"', line)
        for kind, number in re.findall(r"zq(\w)(\d{5})qz", line):
            left, top = float(word.group(1)) / width, float(word.group(2)) / height
            # the first is where it stands: the head of a table comes again in the next column
            places.setdefault(int(number), (kind, sheet, int(left > 0.48), top))
    return [places[number] for number in sorted(places)]


def problems_of_places(places):
    if not places:
        return ["not one block was found on the paper"]
    found = []
    for i, (kind, sheet, column, top) in enumerate(places):
        if kind != "h":
            continue
        after = [place for place in places[i + 1:i + 8] if place[0] != "h"]
        # a table has two rows with its head, anything else its first block
        upto = 2 if after and after[0][0] == "r" and len(after) > 1 and after[1][0] == "r" else 1
        for _, other, beside, below in after[:upto]:
            if (other, beside) != (sheet, column) or below < top - 0.01:
                found.append(f"sheet {sheet}, column {column + 1}, at {100 * top:.0f} %: a heading without what follows")
                break
    return found


def ends_in_a_few_lines(places):
    sheets = max((place[1] for place in places), default=0)
    last = [place for place in places if place[1] == sheets]
    return sheets > 1 and not any(place[0] == "h" for place in last) and max(place[3] for place in last) < 0.25
