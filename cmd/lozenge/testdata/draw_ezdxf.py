# SPDX-License-Identifier: Apache-2.0
"""Print as JSON the box in inches, or in the drawing's own unit where it states
none, of what ezdxf's drawing frontend draws of DXF files: least x and y,
greatest x and y, or null where it draws nothing; "refused" of one that it can't read."""
import json
import sys

import ezdxf
from ezdxf import units
from ezdxf.addons.drawing import Frontend, RenderContext
from ezdxf.addons.drawing.backend import Backend


class Box(Backend):
    def __init__(self):
        super().__init__()
        self.points = []

    def draw_line(self, start, end, properties):
        self.points += [start, end]

    def draw_path(self, path, properties):
        self.points += list(path.flattening(1e-4))

    def draw_point(self, pos, properties):
        pass

    def draw_filled_polygon(self, points, properties):
        self.points += list(points)

    def draw_filled_paths(self, paths, holes, properties):
        for p in paths:
            self.points += list(p.flattening(1e-4))

    def draw_text(self, *args, **more):
        pass

    def get_font_measurements(self, cap_height, font=None):
        from ezdxf.tools.fonts import FontMeasurements
        return FontMeasurements(0, cap_height, cap_height / 2, cap_height / 4)

    def get_text_line_width(self, text, cap_height, font=None):
        return len(text) * cap_height / 2

    def set_background(self, color):
        pass

    def clear(self):
        pass


def box(name):
    try:
        doc = ezdxf.readfile(name)
        out = Box()
        Frontend(RenderContext(doc), out).draw_layout(doc.modelspace())
    except Exception:
        return "refused"
    if not out.points:
        return None
    n = doc.header.get("$INSUNITS", 0)
    k = units.conversion_factor(n, units.IN) if 0 < n <= 20 else 1
    xs, ys = [k * p.x for p in out.points], [k * p.y for p in out.points]
    return [min(xs), min(ys), max(xs), max(ys)]


print(json.dumps([box(name) for name in sys.argv[1:]]))
