# SPDX-License-Identifier: Apache-2.0
"""Print as JSON what ezdxf makes of DXF files, inserts carried out."""
import json
import sys

import ezdxf
from ezdxf.disassemble import recursive_decompose


def points(e):
    kind = e.dxftype()
    if kind == "LWPOLYLINE":
        return [list(p) for p in e.get_points("xy")]
    if kind == "POLYLINE":
        return [[v.dxf.location.x, v.dxf.location.y] for v in e.vertices]
    if kind == "LINE":
        return [[p.x, p.y] for p in (e.dxf.start, e.dxf.end)]
    p = e.dxf.location if kind == "POINT" else e.dxf.insert
    return [[p.x, p.y]]


def look(path):
    doc = ezdxf.readfile(path)
    audit = doc.audit()
    # Of inserts the audit judges the blocks too; what it mends is judged by
    # the test.
    return {
        "Version": doc.dxfversion,
        "Errors": [e.message for e in audit.errors],
        "Fixes": [e.message for e in audit.fixes],
        "Units": doc.header.get("$INSUNITS", -1),
        "Measurement": doc.header.get("$MEASUREMENT", -1),
        "Layers": [layer.dxf.name for layer in doc.layers],
        "Blocks": [b.name for b in doc.blocks if not b.name.startswith("*")],
        "Entities": [{
            "Layer": e.dxf.layer,
            "Closed": bool(getattr(e, "is_closed", False) or getattr(e, "closed", False)),
            "Points": points(e),
            "Text": ezdxf.decode_dxf_unicode(e.dxf.text) if e.dxftype() == "TEXT" else "",
        } for e in recursive_decompose(doc.modelspace())],
    }


print(json.dumps([look(p) for p in sys.argv[1:]]))
