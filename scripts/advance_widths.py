"""Writes src/report/svg/widths.rs: how wide each character is, in thousandths of the font size.

    pip install fonttools
    python3 scripts/advance_widths.py REGULAR.ttf ... -- BOLD.ttf ... > src/report/svg/widths.rs

Each entry is the greatest advance over the faces given, so that text laid out with the table fits
in any of them. The table in use was made from DejaVu Sans and Liberation Sans (both free), in the
regular and the bold face.
"""

import sys

from fontTools.ttLib import TTFont

FIRST, LAST = 0x20, 0x17F
EXTRA = "\u2009\u202f\u2013\u2014\u2018\u2019\u201c\u201d\u2022\u2026\u2190\u2191\u2192\u2193\u2212\u221a\u2248\u2260\u2264\u2265\u25b2\u25bc\u2713\u2717"


def advances(paths, characters):
    fonts = [TTFont(path) for path in paths]
    result = []
    for character in characters:
        widest = 0
        for font in fonts:
            name = font.getBestCmap().get(ord(character))
            if name is not None:
                em = font["head"].unitsPerEm
                widest = max(widest, -(-1000 * font["hmtx"][name][0] // em))
        result.append(widest)
    return result


def block(name, doc, numbers):
    lines = [f"/// {doc}", "#[rustfmt::skip]", f"pub(super) const {name}: [u16; {len(numbers)}] = ["]
    for start in range(0, len(numbers), 16):
        lines.append("    " + ", ".join(str(n) for n in numbers[start : start + 16]) + ",")
    return "\n".join(lines + ["];", ""])


def main():
    split = sys.argv.index("--")
    regular, bold = sys.argv[1:split], sys.argv[split + 1 :]
    run = [chr(code) for code in range(FIRST, LAST + 1)]
    print("//! Advance widths in thousandths of the font size; made by `scripts/advance_widths.py`.\n")
    print("/// The first character of the two runs.")
    print(f"pub(super) const FIRST: u32 = {FIRST:#x};\n")
    print(block("REGULAR", "From [`FIRST`] on, regular face.", advances(regular, run)))
    print(block("BOLD", "From [`FIRST`] on, bold face.", advances(bold, run)))
    print("/// Characters outside the runs: the character, its regular and its bold width.")
    print("#[rustfmt::skip]")
    print(f"pub(super) const EXTRA: [(char, u16, u16); {len(EXTRA)}] = [")
    for character, r, b in zip(EXTRA, advances(regular, EXTRA), advances(bold, EXTRA)):
        print(f"    ('\\u{{{ord(character):x}}}', {r}, {b}),")
    print("];")


main()
