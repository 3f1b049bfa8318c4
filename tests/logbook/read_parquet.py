#!/usr/bin/env python3
"""Reads an export in Parquet with an independent reader (duckdb from PyPI), and holds it against the same in CSV.

    tests/logbook/read_parquet.py PROGRAM

PROGRAM is a stillprop built with the feature `parquet`. Debriefs the samples into a logbook of their own, exports it twice,
and compares each value; then asks the query of the README. Ends with status 1 where anything differs.
"""

import csv
import pathlib
import re
import subprocess
import sys
import tempfile

import duckdb

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


def main():
    program = pathlib.Path(sys.argv[1]).resolve()
    with tempfile.TemporaryDirectory() as folder:
        run = lambda *args: subprocess.run([program, *args], cwd=folder, check=True, stdout=subprocess.DEVNULL)
        run("debrief", ROOT / "sample-tracks", "--logbook", "school.logbook", "--format", "json", "--quiet")
        for shape in ("csv", "parquet"):
            run("logbook", "export", "--logbook", "school.logbook", "--format", shape, "--out", f"attempts.{shape}")
        compare(pathlib.Path(folder))
        ask(pathlib.Path(folder))
    print(f"duckdb {duckdb.__version__} reads what was written")


def compare(folder):
    """Every value of the Parquet file is that of the CSV file."""
    with open(folder / "attempts.csv", newline="", encoding="utf-8") as file:
        expected = list(csv.DictReader(file))
    relation = duckdb.sql(f"SELECT * FROM '{folder / 'attempts.parquet'}'")
    names = list(relation.columns)
    types = dict(zip(names, map(str, relation.types)))
    found = relation.fetchall()
    assert names == list(expected[0]), "other columns"
    assert len(found) == len(expected) > 5, f"{len(found)} rows, expected {len(expected)}"
    assert types["power_reduction_utc"] == "TIMESTAMP WITH TIME ZONE", types
    assert types["abeam_height_ft"] == "DOUBLE" and types["attempt"] == "BIGINT", types
    texts = duckdb.sql(
        f"SELECT strftime(power_reduction_utc AT TIME ZONE 'UTC', '%Y-%m-%dT%H:%M:%S.%gZ') FROM '{folder / 'attempts.parquet'}'"
    ).fetchall()
    compared = 0
    for row, instant, wanted in zip(found, texts, expected):
        for name, value in zip(names, row):
            text = wanted[name]
            if name == "power_reduction_utc":
                assert instant[0] == text, f"{name}: {instant[0]}, expected {text}"
            elif text == "":
                assert value is None, f"{name}: {value}, expected nothing"
            elif isinstance(value, float):
                assert value == float(text), f"{name}: {value}, expected {text}"
            else:
                assert str(value) == text, f"{name}: {value}, expected {text}"
            compared += text != ""
    assert compared > 20 * len(found), f"only {compared} values"
    print(f"{compared} values of {len(found)} attempts are the same in both shapes")


def ask(folder):
    """The query that the README shows gives a row."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    queries = [q for q in re.findall(r"```sql\n(.*?)```", readme, re.S) if "attempts.parquet" in q]
    assert len(queries) == 1, f"{len(queries)} queries of `attempts.parquet` in README.md"
    query = queries[0].replace("attempts.parquet", str(folder / "attempts.parquet"))
    rows = duckdb.sql(query).fetchall()
    assert rows, "the query of the README gives nothing"
    for row in rows:
        print(*row)


if __name__ == "__main__":
    main()
