# SPDX-License-Identifier: Apache-2.0
"""Offset outlines, or unite cut lines, with GEOS through shapely.

    compare_geos.py offset|union OUTLINES.json

OUTLINES.json: [{"Points": [[x, y], ...], "By": distance, "Width": of the strip
set}, ...]. offset moves every outline out by its distance, with mitred
corners, and cuts off what lies outside 0 <= y <= width. union dissolves the
outlines as lines. Prints as JSON the seconds for all of it, less what Python
takes to call GEOS, and what came out.
"""
import json
import sys
import time

import shapely
from shapely.geometry import LinearRing, MultiLineString, Polygon, box
from shapely.ops import unary_union

with open(sys.argv[2], encoding="utf-8") as f:
    given = json.load(f)
out = {}
if sys.argv[1] == "offset":
    work = [(Polygon(g["Points"]), g["By"], box(-1e6, 0, 1e6, g["Width"])) for g in given]
    start = time.perf_counter()
    done = [p.buffer(by, join_style=2, mitre_limit=1e6).intersection(band) for p, by, band in work]
    seconds = time.perf_counter() - start
    start = time.perf_counter()
    for p, _, band in work:  # two calls that each make a geometry
        p.envelope, band.envelope
    out["Seconds"] = seconds - (time.perf_counter() - start)
    out["Outlines"] = [list(g.exterior.coords)[:-1] for g in done]
else:
    lines = MultiLineString([LinearRing(g["Points"]) for g in given])
    start = time.perf_counter()
    united = unary_union(lines)
    out["Seconds"] = time.perf_counter() - start
    out["Length"] = united.length
print(json.dumps(out))
