# SPDX-License-Identifier: Apache-2.0
"""Print as JSON how long ezdxf finds the lines of DXF files, and in which box
they lie, curves followed to 1e-6."""
import json
import sys

import ezdxf
from ezdxf import path
from ezdxf.disassemble import recursive_decompose


def look(name):
    doc = ezdxf.readfile(name)
    out = []
    for e in recursive_decompose(doc.modelspace()):
        p = path.make_path(e)
        points = list(p.flattening(1e-6))
        out.append({
            "Length": sum(a.distance(b) for a, b in zip(points, points[1:])),
            "Box": [f(v) for f in (min, max) for v in ([q.x for q in points], [q.y for q in points])],
        })
    return out


print(json.dumps([look(p) for p in sys.argv[1:]]))
