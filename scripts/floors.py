#!/usr/bin/env python3
"""Errors below which no program can come, from the reference flights alone.

    scripts/floors.py            prints the table that docs/method.md holds
    scripts/floors.py --detail   the fit of the receivers' wander, and each recording's ground
    scripts/floors.py --program target/release/stillprop
                                 what the program has beside the floors (a minute of processor time)

Python 3.11, standard library only. The floors use nothing of the debrief: what is compared is the truth in
tests/reference-flights and what the recorders wrote.

1. Wander of receivers. e = recorded satellite altitude - true height, over all recordings without
   pressure altitude. Its structure function E[(e(t+lag) - e(t))^2] is fitted by that of white noise
   and an Ornstein-Uhlenbeck process: 2 w^2 + 2 s^2 (1 - exp(-lag / T)), lags 2 to 240 s.
2. A height, g seconds from the nearest stretch on the ground of known elevation, cannot be known
   better than s sqrt(1 - exp(-2 g / T)): the error of a wander of which one value is known.
3. A descent rate over a glide of L seconds that loses H metres cannot be known better than
   s sqrt(2 (1 - exp(-L / T))) / H.
4. Sink through the air: what the mean vertical motion of the air over the glide is worth, which no
   recorder of positions sees, as a share of the sink.

5. Mean airspeed of the glide where no airspeed was recorded: the best linear estimate from the ground velocity of
   the glide by one who knows exactly how much and how fast this pilot's airspeed wandered in it (an
   Ornstein-Uhlenbeck process with the spread and the correlation of the truth), how the wind changes with height, and
   the surface wind within 1.5 m/s. What the flight around the glide adds is left out.
6. Where a glide ends, from its state at 500 ft: distance through the air from there, foretold by the best straight
   line in excess of airspeed, glide ratio over the last 15 s and sink there, all taken exactly from the truth; the
   line is fitted to the other landings of the folder. What is left is what the pilot did below 500 ft. No bound: a
   better rule may exist.

The glide is taken from when best glide was held until 30 s before the end of the attempt.
"""

import bisect
import csv
import gzip
import io
import json
import math
import pathlib
import re
import subprocess
import sys
import tomllib
from datetime import datetime, timedelta

FOLDER = pathlib.Path(__file__).resolve().parent.parent / "tests" / "reference-flights"
M_PER_FT = 0.3048
MPS_PER_KT = 1852 / 3600
G0_MPS2 = 9.80665
ROLLING_MPS = 11.0
NEAR_AIM_M = 2500.0
M_PER_DEG = 111_195.0
LEAST_GLIDE_S = 40.0
BEFORE_END_S = 30.0


def main():
    detail = "--detail" in sys.argv[1:]
    flights = [Flight(path) for path in sorted(FOLDER.glob("flight-??.toml"))]
    recordings = [r for flight in flights for r in flight.recordings]
    plain = [r for r in recordings if not r.has_pressure]
    white, wander, correlation_s, curve = fitted(plain)
    if detail:
        print("lag s, measured and fitted root of half the structure function, m:")
        for lag, value, count in curve:
            fit = math.sqrt(white**2 + wander**2 * (1 - math.exp(-lag / correlation_s)))
            print(f"  {lag:5.0f} {math.sqrt(value / 2):6.2f} {fit:6.2f}   n {count}")
        for r in recordings:
            print(f"  {r.name}: {len(r.ground_s)} fixes on the ground of the aim, pressure {r.has_pressure}")
    print(f"{len(flights)} flights, {len(recordings)} recordings, {len(plain)} without pressure altitude")
    print(
        f"wander of their satellite altitudes: {wander:.1f} m over {correlation_s:.0f} s, white noise {white:.1f} m"
    )

    def unknown_m(r, t_s):
        gap_s = r.gap_s(t_s)
        return wander * math.sqrt(1 - math.exp(-2 * gap_s / correlation_s))

    heights = {"power reduction": [], "abeam": [], "go-around": []}
    rates, sinks = [], []
    for flight in flights:
        for attempt in flight.attempts:
            glide = flight.glide(attempt)
            if glide:
                sinks.append(100 * glide.vertical_air_mps / glide.sink_in_air_mps)
            for r in flight.recordings:
                if r.has_pressure or not r.holds(attempt):
                    continue
                heights["power reduction"].append(unknown_m(r, attempt["power_reduction_s"]))
                if "abeam" in attempt:
                    heights["abeam"].append(unknown_m(r, attempt["abeam"]["time_s"]))
                if "go_around" in attempt:
                    heights["go-around"].append(unknown_m(r, attempt["go_around"]["time_s"]))
                if glide:
                    change_m = wander * math.sqrt(2 * (1 - math.exp(-glide.length_s / correlation_s)))
                    rates.append(100 * change_m / glide.lost_m)
    print()
    print("| figure | floor, rms | n |")
    print("|---|---|---|")
    for name, values in heights.items():
        print(f"| height at {name}, no pressure altitude | {rms(values) / M_PER_FT:.1f} ft | {len(values)} |")
    print(f"| descent rate, no pressure altitude | {rms(rates):.1f} % | {len(rates)} |")
    print(f"| sink through the air, any recorder | {rms(sinks):.1f} % | {len(sinks)} |")
    speeds = [s for s in (airspeed_floor_kt(within) for within in glides(flights)) if s is not None]
    print(f"| mean airspeed of the glide, no airspeed recorded | {rms(speeds):.1f} kt | {len(speeds)} |")
    left = sorted(abs(m) for m in foretold_from_500_ft(flights))
    print(f"| landing foretold from 500 ft, any recorder | median {left[len(left) // 2]:.0f} ft | {len(left)} |")
    if "--program" in sys.argv[1:]:
        program(sys.argv[sys.argv.index("--program") + 1], flights)


def glides(flights):
    """The true motion of each glide, from ten seconds after the power came off to twenty before the end."""
    for flight in flights:
        for attempt in flight.attempts:
            from_s, to_s = attempt["power_reduction_s"] + 10.0, attempt["end_s"] - 20.0
            within = [m for m in flight.motion if from_s <= m[0] <= to_s]
            if len(within) > 2 and to_s - from_s > 15.0:
                yield within


def airspeed_floor_kt(within):
    """Standard deviation of the mean airspeed over a glide, kt, as the docstring has it under 5."""
    step_s, lag = 2.0, 5
    every, last_s = [], -math.inf
    for m in within:
        if m[0] - last_s >= step_s - 0.01:
            every.append(m)
            last_s = m[0]
    n = len(every)
    if n < lag + 3:
        return None
    speeds = [m[4] for m in every]
    mean = sum(speeds) / n
    off = [v - mean for v in speeds]
    variance = sum(o * o for o in off) / n
    apart = sum((b - a) ** 2 for a, b in zip(off, off[lag:])) / (2 * (n - lag) * variance)
    correlation_s = -step_s * lag / math.log(max(1 - min(apart, 0.95), 0.05))
    covariance = [
        [
            variance * math.exp(-abs(a[0] - b[0]) / correlation_s) + (0.15**2 if i == j else 0.0)
            for j, b in enumerate(every)
        ]
        for i, a in enumerate(every)
    ]
    # mean airspeed, east and north wind: the residual is tas - mean + unit . wind error
    columns = [[1.0] * n, [-m[5] for m in every], [-m[6] for m in every]]
    lower = cholesky(covariance)
    white = [forward(lower, c) for c in columns]
    prior = (1 / 2.5**2, 1 / (1.4 * 1.5) ** 2, 1 / (1.4 * 1.5) ** 2)
    information = [
        [sum(a * b for a, b in zip(white[i], white[j])) + (prior[i] if i == j else 0.0) for j in range(3)]
        for i in range(3)
    ]
    # the mean through the air moves by the wind's error along the mean heading
    along = [0.0, sum(m[5] for m in every) / n, sum(m[6] for m in every) / n]
    whitened = forward(cholesky(information), along)
    return math.sqrt(sum(v * v for v in whitened)) / MPS_PER_KT


def cholesky(a):
    lower = [[0.0] * len(a) for _ in a]
    for i in range(len(a)):
        for j in range(i + 1):
            left = a[i][j] - sum(lower[i][k] * lower[j][k] for k in range(j))
            lower[i][j] = math.sqrt(left) if i == j else left / lower[j][j]
    return lower


def forward(lower, b):
    out = []
    for row, value in zip(lower, b):
        out.append((value - sum(r * o for r, o in zip(row, out))) / row[len(out)])
    return out


def foretold_from_500_ft(flights):
    """What the best straight line misses, ft, each landing foretold by the others."""
    rows = []
    for flight in flights:
        for attempt in flight.attempts:
            if "touchdown" not in attempt:
                continue
            glide = [m for m in flight.motion if attempt["power_reduction_s"] <= m[0] <= attempt["end_s"]]
            above = [i for i, m in enumerate(glide) if m[1] > 500 * M_PER_FT]
            if not above or glide[0][1] < 600 * M_PER_FT:
                continue
            i = above[-1]
            before = [m for m in glide[: i + 1] if m[0] >= glide[i][0] - 15.0]
            energy_m = before[0][1] - before[-1][1] + (before[0][4] ** 2 - before[-1][4] ** 2) / (2 * G0_MPS2)
            ratio = min(travelled_m(before) / max(energy_m, 1.0), 20.0)
            rows.append(([1.0, glide[i][3], ratio, glide[i][2]], travelled_m(glide[i:])))
    for k, (known, distance_m) in enumerate(rows):
        others = rows[:k] + rows[k + 1 :]
        normal = [[sum(x[i] * x[j] for x, _ in others) for j in range(4)] for i in range(4)]
        lower = cholesky(normal)
        half = forward(lower, [sum(x[i] * y for x, y in others) for i in range(4)])
        line = []
        for i in reversed(range(4)):
            line.insert(0, (half[i] - sum(lower[j][i] * line[j - i - 1] for j in range(i + 1, 4))) / lower[i][i])
        yield (distance_m - sum(a * b for a, b in zip(line, known))) / M_PER_FT


def travelled_m(motion):
    """Distance through the air, m."""
    return sum(0.5 * (a[4] + b[4]) * (b[0] - a[0]) for a, b in zip(motion, motion[1:]))


def program(path, flights):
    """Errors of the program: heights also against the truth at the instant it names itself."""
    errors, worst = {}, {}

    def put(name, error, r, number):
        errors.setdefault(name, []).append(error)
        worst.setdefault(name, []).append((abs(error), error, f"{r.name} attempt {number}"))

    for r in (r for flight in flights for r in flight.recordings):
        flight = r.flight
        run = subprocess.run(
            [path, "debrief", r.path, "--format", "json", "--out", "-"], capture_output=True, text=True
        )
        document = json.loads(run.stdout) if run.stdout else {"attempts": []}
        zero_s = r.late_s
        for b in document["attempts"]:
            points = {k["kind"]: k for k in b["key_points"]}
            start_s = seconds(points["power_reduction"]["utc"], flight) - zero_s
            near = [a for a in flight.attempts if abs(a["power_reduction_s"] - start_s) < 60]
            if not near:
                worst.setdefault("false attempt", []).append((0, start_s, f"{r.name} at {start_s:.0f} s"))
                continue
            true = near[0]
            measures = {k: v.get("value") for k, v in b["measures"].items()}
            reduction = measures.get("power_reduction_height_ft")
            put("power reduction time, s", start_s - true["power_reduction_s"], r, b["number"])
            if reduction is not None and not r.has_pressure:
                own_m = flight.at(start_s)
                put("power reduction height, ft", reduction - true["power_reduction_height_ft"], r, b["number"])
                if own_m is not None:
                    put("the same at its own instant, ft", reduction - own_m / M_PER_FT, r, b["number"])
            for key in ("abeam", "go_around"):
                value = measures.get(f"{key}_height_ft")
                if value is not None and key in true and not r.has_pressure:
                    put(f"{key} height, ft", value - true[key]["height_ft"], r, b["number"])
            steady = b.get("steady_glide")
            cas = measures.get("glide_cas_mean_kt")
            if steady and cas is not None:
                from_s, to_s = (seconds({"value": steady[k]}, flight) - zero_s for k in ("from_utc", "to_utc"))
                within = [m for m in flight.motion if from_s <= m[0] <= to_s]
                if len(within) > 2:
                    glide = Glide(within)
                    put("mean airspeed of the glide, kt", cas - glide.cas_mps / MPS_PER_KT, r, b["number"])
                    sink, descent = measures.get("air_sink_rate_fpm"), measures.get("descent_rate_fpm")
                    rate_mps = glide.lost_m / glide.length_s
                    if descent is not None and not r.has_pressure:
                        put("descent rate, %", 100 * (descent * M_PER_FT / 60 / rate_mps - 1), r, b["number"])
                    if sink is not None:
                        share = sink * M_PER_FT / 60 / glide.sink_in_air_mps - 1
                        put("sink through the air, all recorders, %", 100 * share, r, b["number"])
    print()
    print("| the program, without pressure altitude where not said | rms | median | greatest | n |")
    print("|---|---|---|---|---|")
    for name, values in errors.items():
        sizes = sorted(abs(v) for v in values)
        print(f"| {name} | {rms(values):.1f} | {sizes[len(sizes) // 2]:.1f} | {sizes[-1]:.1f} | {len(values)} |")
    if "--detail" in sys.argv[1:]:
        for name, values in worst.items():
            print(name, *(f"  {e:8.1f} {where}" for _, e, where in sorted(values)[-6:]), sep="\n")


def seconds(known, flight):
    return (datetime.fromisoformat(known["value"]) - flight.start).total_seconds()


class Flight:
    """What was flown, and what was recorded of it."""

    def __init__(self, path):
        truth = tomllib.loads(path.read_text())
        self.start = datetime.fromisoformat(truth["start_utc"])
        self.attempts = truth["attempt"]
        self.motion = motion(path.with_suffix(".motion.csv.gz"))
        self.times_s = [m[0] for m in self.motion]
        self.recordings = [Recording(FOLDER / r["file"], r, self) for r in truth["recording"]]

    def at(self, t_s):
        """Height above the aim, m; none where the truth is not kept."""
        i = bisect.bisect_left(self.times_s, t_s)
        if i == 0 or i == len(self.times_s):
            return None
        (t0, h0, *_), (t1, h1, *_) = self.motion[i - 1], self.motion[i]
        return h0 + (h1 - h0) * (t_s - t0) / (t1 - t0) if t1 - t0 < 1.0 else None

    def glide(self, attempt):
        """The glide of an attempt; none where it is too short."""
        if "settling_time_s" not in attempt:
            return None
        start_s = attempt["power_reduction_s"] + attempt["settling_time_s"]
        end_s = attempt["end_s"] - BEFORE_END_S
        within = [m for m in self.motion if start_s <= m[0] <= end_s]
        return Glide(within) if end_s - start_s >= LEAST_GLIDE_S and len(within) > 2 else None


class Glide:
    """Means over a stretch of the true motion."""

    def __init__(self, within):
        (t0, h0, *_), (t1, h1, *_) = within[0], within[-1]
        self.length_s = t1 - t0
        self.cas_mps = sum(m[3] for m in within) / len(within)
        self.lost_m = h0 - h1
        sink_mps = sum(m[2] for m in within) / len(within)
        self.vertical_air_mps = sink_mps - self.lost_m / self.length_s
        # what the aeroplane costs in height, height traded for speed taken out
        squares = [m[4] ** 2 for m in within]
        self.sink_in_air_mps = sink_mps - (squares[-1] - squares[0]) / (2 * G0_MPS2 * self.length_s)


class Recording:
    """Satellite altitudes of one recorder, and when it was on the ground near the aim."""

    def __init__(self, path, about, flight):
        self.name, self.path = path.name, path
        self.flight = flight
        self.late_s = about["stamps_late_s"]
        self.span_s = (about["first_fix_s"], about["last_fix_s"])
        kind = path.name.split(".")[1]
        text = gzip.decompress(path.read_bytes()).decode("utf-8", "replace")
        self.has_pressure, fixes = READERS[kind](text, flight.start)
        briefing = tomllib.loads((FOLDER / f"{path.name.split('.')[0]}.briefing.toml").read_text())
        self.errors = []
        for t_s, _, _, altitude_m in fixes:
            height_m = flight.at(t_s - self.late_s)
            if height_m is not None:
                self.errors.append((t_s - self.late_s, altitude_m - height_m))
        self.ground_s = list(self.on_ground(fixes, briefing.get("aim", {})))

    def on_ground(self, fixes, aim):
        if "latitude_deg" not in aim or "elevation_ft" not in aim:
            return
        scale = math.cos(math.radians(aim["latitude_deg"]))
        placed = [
            (t, (lat - aim["latitude_deg"]) * M_PER_DEG, (lon - aim["longitude_deg"]) * scale * M_PER_DEG)
            for t, lat, lon, _ in fixes
        ]
        before = 0
        for i, (t, north, east) in enumerate(placed):
            while before < i and placed[before][0] < t - 5.0:
                before += 1
            t0, n0, e0 = placed[before]
            if t - t0 < 1.0 or math.hypot(north, east) > NEAR_AIM_M:
                continue
            if math.hypot(north - n0, east - e0) / (t - t0) < ROLLING_MPS:
                yield t - self.late_s

    def gap_s(self, t_s):
        """Time to the nearest fix on the ground, s."""
        i = bisect.bisect_left(self.ground_s, t_s)
        near = self.ground_s[max(i - 1, 0) : i + 1]
        return min((abs(g - t_s) for g in near), default=math.inf)

    def holds(self, attempt):
        return self.span_s[0] <= attempt["power_reduction_s"] <= attempt["end_s"] <= self.span_s[1]


def motion(path):
    """Seconds; height above the aim, m; sink through the air, calibrated and true airspeed, m/s; heading, east and north."""
    lines = gzip.decompress(path.read_bytes()).decode().splitlines()[1:]
    values, out = [0] * 8, []
    for line in lines:
        # a file of differences
        values = [a + int(b) for a, b in zip(values, line.split(","))]
        time, height, north, east, wind_north, wind_east, sink, cas = (v / 1e3 for v in values)
        through = (east - wind_east, north - wind_north)
        tas = math.hypot(*through, sink)
        out.append((time, height, sink, cas, tas, through[0] / max(tas, 1.0), through[1] / max(tas, 1.0)))
    return out


def fitted(recordings):
    """White noise and wander of satellite altitudes, m, its correlation time, s, and the curve."""
    lags = [2, 4, 7, 12, 20, 30, 45, 60, 80, 100, 125, 150, 180, 210, 240]
    curve = []
    for lag in lags:
        squares = []
        for r in recordings:
            times = [t for t, _ in r.errors]
            for t, e in r.errors:
                i = bisect.bisect_left(times, t + lag - 0.6)
                if i < len(times) and times[i] <= t + lag + 0.6:
                    squares.append((r.errors[i][1] - e) ** 2)
        # a spike of the recorder is no wander
        squares.sort()
        squares = squares[: int(len(squares) * 0.998)]
        curve.append((lag, sum(squares) / len(squares), len(squares)))
    best = None
    for correlation_s in range(30, 601, 5):
        # least squares in relative error for 2 w^2 and 2 s^2
        rows = [(1 / d, (1 - math.exp(-lag / correlation_s)) / d, 1.0) for lag, d, _ in curve]
        aa, ab, bb = (sum(x[i] * x[j] for x in rows) for i, j in ((0, 0), (0, 1), (1, 1)))
        ay, by = sum(x[0] for x in rows), sum(x[1] for x in rows)
        det = aa * bb - ab * ab
        white, wander = (ay * bb - by * ab) / det, (aa * by - ab * ay) / det
        miss = sum((white * x[0] + wander * x[1] - 1) ** 2 for x in rows)
        if white >= 0 and wander > 0 and (best is None or miss < best[0]):
            best = (miss, math.sqrt(white / 2), math.sqrt(wander / 2), correlation_s)
    return best[1], best[2], best[3], curve


def read_csv(text, start):
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    separator = ";" if ";" in lines[0] else ","
    rows = csv.DictReader(io.StringIO("\n".join(lines)), delimiter=separator)
    names = {n: n.lower() for n in rows.fieldnames}
    by = lambda *starts: next((n for n, low in names.items() if low.startswith(starts)), None)
    lat, lon = by("lat"), by("lon")
    altitude = by("gnss alt", "height_m", "alt_msl", "alt_gps")
    unit = M_PER_FT if "ft" in names[altitude] else 1.0
    has_pressure = by("pressure alt", "alt_press") is not None
    fixes = []
    for row in rows:
        try:
            fixes.append((stamp(row, start), float(row[lat]), float(row[lon]), float(row[altitude]) * unit))
        except (ValueError, TypeError):
            continue
    return has_pressure, sorted(fixes)


def stamp(row, start):
    """Seconds from the start of the flight."""
    for name, value in row.items():
        low = name.lower()
        if low == "epoch_s":
            return float(value) - start.timestamp()
        if low == "timestamp (ms)":
            return float(value) / 1e3 - start.timestamp()
        if low == "utc":
            return (datetime.fromisoformat(value) - start).total_seconds()
    return (datetime.fromisoformat(f"{row['date']}T{row['time_utc']}Z") - start).total_seconds()


POINT = re.compile(r'<trkpt lat="([^"]+)" lon="([^"]+)">(.*?)</trkpt>', re.S)


def read_gpx(text, start):
    fixes = []
    for lat, lon, inside in POINT.findall(text):
        ele = re.search(r"<ele>([^<]+)", inside)
        time = re.search(r"<time>([^<]+)", inside)
        if ele and time:
            t_s = (datetime.fromisoformat(time[1]) - start).total_seconds()
            fixes.append((t_s, float(lat), float(lon), float(ele[1])))
    return False, sorted(fixes)


def read_igc(text, start):
    fixes, pressures, day = [], set(), start.replace(hour=0, minute=0, second=0, microsecond=0)
    for line in text.splitlines():
        if not re.match(r"B\d{6}\d{7}[NS]\d{8}[EW][AV]", line):
            continue
        t = day + timedelta(hours=int(line[1:3]), minutes=int(line[3:5]), seconds=int(line[5:7]))
        if t < start - timedelta(hours=1):
            t += timedelta(days=1)
        lat = (int(line[7:9]) + int(line[9:14]) / 60e3) * (-1 if line[14] == "S" else 1)
        lon = (int(line[15:18]) + int(line[18:23]) / 60e3) * (-1 if line[23] == "W" else 1)
        pressures.add(line[25:30])
        fixes.append(((t - start).total_seconds(), lat, lon, float(line[30:35])))
    return len(pressures) > 1, sorted(fixes)


READERS = {"csv": read_csv, "gpx": read_gpx, "igc": read_igc}


def rms(values):
    return math.sqrt(sum(v * v for v in values) / len(values))


if __name__ == "__main__":
    main()
