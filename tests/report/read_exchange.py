#!/usr/bin/env python3
"""Reads the files for other programs with readers that are not ours, and holds them against the document.

usage: read_exchange.py PROGRAM RECORDING

PROGRAM is a built stillprop. Needs gpxpy, geojson and fastkml (PyPI). Every place of the document must be in the GPX, the KML and the
CSV at its time, and the GeoJSON must be valid by RFC 7946.
"""
import csv
import json
import os
import subprocess
import sys
import tempfile

import geojson
import gpxpy
from fastkml import KML
from fastkml.gx import Track
from fastkml.utils import find_all

# The document has seven decimals of a degree, a centimetre.
SAME_DEG = 2e-7


def main():
    program, recording = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run([program, "debrief", recording, "--format", "json,geojson,kml,gpx,csv", "--out", folder,
                               "--no-logbook", "--quiet"])
        assert done.returncode == 0, done.returncode
        name = {file.split(".", 1)[1]: os.path.join(folder, file) for file in os.listdir(folder)}
        document = json.load(open(name["json"], encoding="utf-8"))
        wanted = {}
        for attempt in document["attempts"]:
            series = attempt["series"]
            for utc, north, east in zip(series["utc"], series["latitude_deg"], series["longitude_deg"]):
                wanted[(attempt["number"], utc[:19])] = (north, east)

        tracks = gpxpy.parse(open(name["path.gpx"], encoding="utf-8")).tracks
        points = [(i + 1, p) for i, track in enumerate(tracks) for part in track.segments for p in part.points]
        found = {"gpx": {(i, p.time.strftime("%Y-%m-%dT%H:%M:%S")): (p.latitude, p.longitude) for i, p in points}}
        rows = list(csv.DictReader(open(name["path.csv"], encoding="utf-8")))
        found["csv"] = {(int(r["attempt"]), r["utc"][:19]): (float(r["latitude_deg"]), float(r["longitude_deg"])) for r in rows}
        found["kml"] = {}
        for i, track in enumerate(find_all(KML.parse(name["kml"]), of_type=Track)):
            for item in track.track_items:
                when = item.when.dt.strftime("%Y-%m-%dT%H:%M:%S")
                found["kml"][(i + 1, when)] = (item.coord.y, item.coord.x)
        for kind, places in found.items():
            assert places.keys() == wanted.keys(), f"{kind}: {len(places)} places, {len(wanted)} in the document"
            for key, (north, east) in places.items():
                off = max(abs(north - wanted[key][0]), abs(east - wanted[key][1]))
                assert off < SAME_DEG, f"{kind} {key}: {off} degrees off"
        features = geojson.load(open(name["geojson"], encoding="utf-8"))
        assert features.is_valid, features.errors()
        print(f"{len(wanted)} places the same in GPX, KML and CSV; {len(features.features)} GeoJSON features valid")


if __name__ == "__main__":
    main()
