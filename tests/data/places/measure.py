#!/usr/bin/env python3
"""Asks for the county of every place in lists.py: how many are right, and how many of the wrong ones are marked.

    measure.py FOLDER DISCALCTL [--pack FILE.geojson] [--wrong]

FOLDER as lists.py says; with --wrong each wrong one is printed.
"""
import csv
import subprocess
import sys
import tempfile
from pathlib import Path

import lists

packages, discalctl = Path(sys.argv[1]), sys.argv[2]
pack = sys.argv[3:5] if sys.argv[3:4] == ["--pack"] else []
for name, places in (("ZIP areas", lists.zip_areas(packages)), ("towns", lists.towns(packages))):
    with tempfile.NamedTemporaryFile("w", suffix=".csv") as table:
        table.write("id,lat,lon\n")
        table.writelines(f"{i},{p[1]},{p[2]}\n" for i, p in enumerate(places))
        table.flush()
        said = subprocess.run([discalctl, "place", "--table", table.name, *pack],
                              capture_output=True, text=True, check=True).stdout
    answers = list(csv.DictReader(said.splitlines()))
    wrong = [(p, a) for p, a in zip(places, answers) if a["county_code"] != p[4]]
    marked = sum(a["county_certain"] != "yes" for _, a in wrong)
    all_marked = sum(a["county_certain"] != "yes" for a in answers)
    states = sum(a["state_code"] == "US-" + p[3] for p, a in zip(places, answers))
    print(f"{len(places)} {name}: county {100 - 100 * len(wrong) / len(places):.2f} %,"
          f" state {100 * states / len(places):.2f} %; {marked} of {len(wrong)} wrong ones are marked; {100 * all_marked / len(places):.1f} % of all are")
    if "--wrong" in sys.argv:
        for p, a in wrong:
            mark = "marked" if a["county_certain"] != "yes" else "NOT MARKED"
            print(" ", *p, "is not", a["county"], a["state_code"], mark)
