#!/usr/bin/env python3
"""Fills the tables of docs/method.md and docs/for-pilots.md from where their figures stand.

    scripts/fill_tables.py           writes them anew
    scripts/fill_tables.py --check   fails where one is not as it would be written

A table stands between `<!-- table: SOURCE -->` and `<!-- end -->`. SOURCE is one of

    priors FILE NAME...     constants of a source file with the comment above each; all of them without names
    accuracy CLASS FIGURE...  rows of docs/accuracy.md, of a class of recorders (`all`)
    accuracy-classes FIGURE...  one figure a row, the root mean square error of each class a column
    usual CLASS...          half of the errors are smaller: a few figures in plain words, each class of recorders a row
    floors                  what scripts/floors.py prints

Python 3.11, standard library only.
"""

import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
DOCUMENTS = ["docs/method.md", "docs/for-pilots.md"]
BLOCK = re.compile(r"(<!-- table: ([^>]*?) -->\n)(.*?)(<!-- end -->)", re.S)
CONSTANT = re.compile(r"^\s*(?:pub(?:\([a-z]+\))? )?const ([A-Z][A-Z0-9_]*): [^=]*?=\s+(.*?);", re.S)
COLUMNS = ["n", "not measured", "bias", "median", "p95", "rms", "cover", "sharp", "goal", "met"]


def main():
    old = []
    for name in DOCUMENTS:
        text = (ROOT / name).read_text()
        filled = BLOCK.sub(lambda m: m[1] + "\n" + table(m[2].split()) + "\n" + m[4], text)
        if filled == text:
            continue
        old.append(name)
        if "--check" not in sys.argv[1:]:
            (ROOT / name).write_text(filled)
    if old and "--check" in sys.argv[1:]:
        sys.exit(f"{', '.join(old)}: tables are not those of the sources: run scripts/fill_tables.py")


def table(source):
    kind, *rest = source
    if kind == "priors":
        return priors(rest[0], rest[1:])
    if kind == "accuracy":
        return accuracy(rest[0].replace("_", " "), rest[1:])
    if kind == "accuracy-classes":
        return classes(rest)
    if kind == "usual":
        return usual([c.replace("_", " ") for c in rest])
    if kind == "floors":
        run = subprocess.run([ROOT / "scripts" / "floors.py"], capture_output=True, text=True, check=True)
        return run.stdout
    sys.exit(f"`{kind}` is no source of a table")


def priors(file, names):
    found = constants(ROOT / file)
    for name in names:
        if name not in found:
            sys.exit(f"{file} has no constant {name}: name in the document what stands in its place")
    rows = [f"| `{n}` | {found[n][0]} | {found[n][1]} |" for n in names or found]
    return f"In [`{file}`](../{file}):\n\n| prior | value | what it is, and why |\n|---|---|---|\n" + "\n".join(rows) + "\n"


def constants(path):
    """Value and comment of each constant of a source file, by name."""
    lines = path.read_text().splitlines()
    found, comment, before, follows = {}, [], "", False
    for i, line in enumerate(lines):
        if line.strip().startswith("#[cfg(test)]"):
            break
        if line.strip().startswith("///"):
            comment.append(line.strip()[3:].strip())
            continue
        constant = CONSTANT.match("\n".join(lines[i : i + 20]))
        if constant:
            said = re.sub(r"\[(`[^`]*`)\](\([^)]*\))?", r"\1", " ".join(comment)).replace("|", "\\|")
            if said:
                before = said
            elif follows:
                said = f"goes with the one above: {before}"
            found[constant[1]] = (value(constant[2]), said)
        follows = bool(constant) and bool(line.strip())
        if line.strip():
            comment = []
    return found


def value(rust):
    rust = re.sub(r"(?<=\d)_(?=\d)", "", rust)
    return re.sub(r",? ([\])])", r"\1", re.sub(r"([\[(]) ", r"\1", re.sub(r"\s+", " ", rust)))


def accuracy_rows():
    """{class: {figure: cells}} of docs/accuracy.md."""
    out, current = {}, None
    for line in (ROOT / "docs" / "accuracy.md").read_text().splitlines():
        if line.startswith("## "):
            current = line[3:].removeprefix("Recorders: ") if line.startswith("## Recorders: ") else None
        elif current and line.startswith("| ") and not line.startswith("| figure"):
            figure, unit, *cells = [c.strip() for c in line.strip("|").split("|")]
            out.setdefault(current, {})[figure] = (unit, cells)
    return out


def accuracy(of, figures):
    rows = accuracy_rows().get(of) or sys.exit(f"docs/accuracy.md has no recorders `{of}`")
    head = "| figure | unit | " + " | ".join(COLUMNS) + " |\n" + "|---" * (len(COLUMNS) + 2) + "|\n"
    return head + "\n".join(
        f"| {f} | {unit} | {' | '.join(cells)} |" for f, (unit, cells) in rows.items() if not figures or f in figures
    ) + "\n"


def classes(figures):
    rows = accuracy_rows()
    head = "| figure, rms | " + " | ".join(rows) + " |\n" + "|---" * (len(rows) + 1) + "|\n"
    at = COLUMNS.index("rms")
    return head + "\n".join(
        f"| {f}, {rows['all'][f][0]} | " + " | ".join(rows[c].get(f, ("", ["–"] * 10))[1][at] for c in rows) + " |"
        for f in figures
    ) + "\n"


USUAL = {
    "power_reduction_time_s": ("power off", "s"),
    "abeam_height_ft": ("height abeam", "ft"),
    "glide_cas_mean_kt": ("mean speed of the glide", "kt"),
    "descent_rate_fpm": ("descent rate", "%"),
    "touchdown_along_ft": ("touchdown", "ft"),
}


def usual(of):
    rows = accuracy_rows()
    at = COLUMNS.index("median")
    count = dict(
        re.findall(r"^\| ([^|]+?) \| (\d+) \|", (ROOT / "docs" / "accuracy.md").read_text().split("## In short")[0], re.M)
    )
    head = "| recorder | recordings | " + " | ".join(f"{name}, {unit}" for name, unit in USUAL.values()) + " |\n"
    head += "|---" * (len(USUAL) + 2) + "|\n"
    return head + "\n".join(
        f"| {c} | {count[c]} | " + " | ".join(shown(rows[c][f][1], at) for f in USUAL) + " |" for c in of
    ) + "\n"


def shown(cells, at):
    if int(cells[COLUMNS.index("n")]) < 10:
        return "too few"
    value = float(cells[at])
    return f"{value:.0f}" if value >= 4 else f"{value:.1f}"


if __name__ == "__main__":
    main()
