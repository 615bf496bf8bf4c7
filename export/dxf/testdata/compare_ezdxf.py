# SPDX-License-Identifier: Apache-2.0
"""Write the closed outlines of a JSON file as DXF with ezdxf.

    compare_ezdxf.py OUTLINES.json OUT.dxf

Prints the seconds taken from the outlines in memory to the file on disk;
starting Python, loading ezdxf and reading the JSON do not count.
"""
import json
import sys
import time

import ezdxf

with open(sys.argv[1], encoding="utf-8") as f:
    outlines = json.load(f)

start = time.perf_counter()
doc = ezdxf.new("R2000")
doc.header["$INSUNITS"] = 1
doc.header["$MEASUREMENT"] = 0
doc.layers.add("CUT")
drawing = doc.modelspace()
for outline in outlines:
    drawing.add_lwpolyline(outline, format="xy", close=True, dxfattribs={"layer": "CUT"})
doc.saveas(sys.argv[2])
print(time.perf_counter() - start)
