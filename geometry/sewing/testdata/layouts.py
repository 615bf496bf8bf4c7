# SPDX-License-Identifier: Apache-2.0
"""Judges quilts from what is drawn of them, by GEOS (shapely): one a line, as JSON.

Measured in sides of a diamond, to the upper right (u) and to the upper left (v), each
diamond is a unit square and each strip a band of it along u or v. In steps of half the
unit in which the strips' widths are whole numbers all corners are whole numbers, so that
GEOS unites and compares them exactly: nothing is widened or narrowed.

For each line it writes a list of what is wrong.
"""
import json
import math
import sys
from collections import Counter

from shapely.geometry import LinearRing, Point, Polygon, box
from shapely.ops import unary_union
from shapely.prepared import prep
from shapely.strtree import STRtree

UP_RIGHT, UP_LEFT = 0, 1  # the way that a side runs


class Quilt:
    def __init__(self, q):
        self.q, self.wrong = q, []
        widths = q["widths"]
        theta, height = math.radians(q["angle"]), sum(widths) * q["unit"]
        side = height / math.sin(theta)
        self.across, self.up = side * math.sin(theta / 2), side * math.cos(theta / 2)
        self.n = 2 * sum(widths)
        self.kinds = [{k: self.whole(v) for k, v in kind.items() if k == "finished"}
                      | {"patches": [self.whole(p) for p in kind["patches"]], "raw": kind["raw"], "drawn": kind["finished"]}
                      for kind in q["kinds"]]
        # Row 0 of the repeat is its last line.
        self.repeat = q["layout"][::-1]
        self.at = [self.whole([p[1:3]])[0] for p in q["pieces"]]

    def say(self, *what):
        self.wrong.append(" ".join(map(str, what)))

    def whole(self, points):
        """The points in whole steps along u and v."""
        out = []
        for x, y in points:
            u, v = (y / self.up + x / self.across) * self.n / 2, (y / self.up - x / self.across) * self.n / 2
            if max(abs(u - round(u)), abs(v - round(v))) > 1e-6:
                self.say("a corner lies off the lattice:", x, y)
            out.append((round(u), round(v)))
        return out

    def cell(self, column, row):
        return self.repeat[row % len(self.repeat)][column % len(self.repeat[0])]

    def expected(self, row, letter):
        """What is drawn of a piece about the middle of its diamond: all, and of each strip."""
        m = self.n // 2
        whole = box(-m, -m, m, m)
        if row == -1:
            whole = Polygon([(m, -m), (m, m), (-m, m)])  # the half that points up
        elif row == self.q["rows"]:
            whole = Polygon([(m, -m), (-m, m), (-m, -m)])
        patches, low = [], -m
        for w in self.q["widths"]:
            # Upright the first strip lies lower right (R) or lower left (L).
            a, b = (low, low + 2 * w) if letter in "RL" else (-low - 2 * w, -low)
            band = box(-m, a, m, b) if letter in "Rr" else box(a, -m, b, m)
            patches.append(band.intersection(whole))
            low += 2 * w
        return whole, patches

    def pieces(self):
        """Each piece lies in its place and shows its strips as its letter says; need is the letters'."""
        known, need = set(), Counter()
        for (kind, _, _, column, row), at in zip(self.q["pieces"], self.at):
            letter = self.cell(column, row)
            u = (row + 1 + 2 * column + row % 2) * self.n // 2
            v = (row + 1 - 2 * column - row % 2) * self.n // 2
            if at != (u, v):
                self.say("piece", column, row, "lies at", at, "not", (u, v))
            end = "bottom" if row == -1 else "top" if row == self.q["rows"] else ""
            shape = "diamond"
            if end:
                shape = ("upper" if (end == "bottom") == (letter in "RL") else "lower") + " edge triangle"
            need["right" if letter in "Rr" else "left", shape] += 1
            if (kind, letter, end) in known:
                continue
            known.add((kind, letter, end))
            whole, patches = self.expected(row, letter)
            k = self.kinds[kind]
            if not Polygon(k["finished"]).equals(whole):
                self.say("piece", column, row, "is drawn as", k["finished"])
            for patch, want in zip(k["patches"], patches):
                if not (Polygon(patch).equals(want) if patch else want.area == 0):
                    self.say("piece", column, row, letter, "shows a strip as", patch, "not", want.wkt)
        if need != Counter({(l, s): n for l, s, n in self.q["need"] if n}):
            self.say("need", self.q["need"], "cells", dict(need))

    def tiling(self):
        pieces = [Polygon([(u + a, v + b) for u, v in self.kinds[p[0]]["finished"]]) for p, (a, b) in zip(self.q["pieces"], self.at)]
        union = unary_union(pieces)
        if sum(p.area for p in pieces) != union.area:
            self.say("pieces overlap:", sum(p.area for p in pieces) - union.area)
        w, h = self.q["frame"]
        if not union.covers(Polygon(self.whole([(0, 0), (w, 0), (w, h), (0, h)]))):
            self.say("the squared-up quilt is not covered")

    def edges(self):
        """The pieces on either side of each side of a diamond, by its middle."""
        out = {}
        for i, (p, (a, b)) in enumerate(zip(self.q["pieces"], self.at)):
            shape = self.kinds[p[0]]["finished"]
            for (u, v), (x, y) in zip(shape, shape[1:] + shape[:1]):
                if u == x or v == y:  # else the base of an edge triangle
                    out.setdefault((u + x + 2 * a, v + y + 2 * b, UP_LEFT if u == x else UP_RIGHT), []).append(i)
        return out

    def sewing(self):
        """Each piece and each seam is sewn once; grain and what lies underneath are those of the pieces' own edges."""
        q = self.q
        if sorted(q["order"]) != list(range(len(q["pieces"]))):
            self.say("not each piece is in one row once")
        shared = {tuple(sorted(v)): k[2] for k, v in self.edges().items() if len(v) == 2}
        if any(len(v) > 2 for v in self.edges().values()):
            self.say("three pieces share a side")
        sewn, known, raws = Counter(), set(), set()
        for a, b, kind in q["seams"]:
            sewn[tuple(sorted((a, b)))] += 1
            way = shared.get(tuple(sorted((a, b))))
            letters = [self.cell(*q["pieces"][i][3:5]) for i in (a, b)]
            if way is None or (kind, way, *letters) in known:
                continue
            known.add((kind, way, *letters))
            # Strips of R and r run to the upper right: sides that run so are on the grain.
            grain = [0 if (l in "Rr") == (way == UP_RIGHT) else q["angle"] for l in letters]
            give = [0 if min(g % 90, 90 - g % 90) < 1e-9 else 45 - abs(g - 45) for g in grain]
            under = -1 if abs(give[0] - give[1]) < 1e-6 else int(give[1] > give[0])
            said = q["seam_kinds"][kind]
            if max(abs(x - y) for x, y in zip(said["grain"], grain)) > 1e-9 or said["under"] != under:
                self.say("seam of", letters, "way", way, said, "not", grain, under)
        if set(sewn) != set(shared) or max(sewn.values(), default=1) > 1:
            self.say("seams", len(q["seams"]), "shared sides", len(shared))
        for (a, b), way in shared.items():
            pa, pb = q["pieces"][a], q["pieces"][b]
            by = tuple(x - y for x, y in zip(self.at[b], self.at[a]))
            if (pa[0], pb[0], by) not in raws:
                raws.add((pa[0], pb[0], by))
                self.raw_ends(pa, pb, way)

    def raw_ends(self, a, b, way):
        """The raw edges on both sides of a seam begin and end together."""
        run = (self.across, self.up) if way == UP_RIGHT else (-self.across, self.up)
        length = math.hypot(*run)
        d = (run[0] / length, run[1] / length)
        on = ((a[1] + b[1]) / 2, (a[2] + b[2]) / 2)  # the seam runs through the middle of the diamonds' middles
        spans = []
        for p, other in ((a, b), (b, a)):
            ends = []
            off = math.copysign(self.q["seam"], d[0] * (other[2] - p[2]) - d[1] * (other[1] - p[1]))
            for x, y in self.kinds[p[0]]["raw"]:
                x, y = x + p[1] - on[0], y + p[2] - on[1]
                if abs(d[0] * y - d[1] * x - off) < 1e-9:
                    ends.append(d[0] * x + d[1] * y)
            spans.append((min(ends), max(ends)) if len(ends) > 1 else (0, math.inf))
        if max(abs(x - y) for x, y in zip(*spans)) > 1e-9:
            self.say("raw ends of", a[3:], b[3:], spans)

    def course(self):
        """Bands, rings and islands, of all strips, and from which rows no band runs on."""
        bands = rings = islands = 0
        crossed = set()
        for strip in range(len(self.q["widths"])):
            patches, row = [], []
            for p, (a, b) in zip(self.q["pieces"], self.at):
                patch = self.kinds[p[0]]["patches"][strip]
                if patch:
                    patches.append(Polygon([(u + a, v + b) for u, v in patch]))
                    row.append(p[4])
            whole = unary_union(patches)
            # What meets in a point only is not joined: GEOS parts it.
            parts = list(whole.geoms) if hasattr(whole, "geoms") else [whole]
            holds = Counter()
            rows, known = {}, {}

            def prepared(g):
                if id(g) not in known:
                    known[id(g)] = prep(g)
                return known[id(g)]

            tree, number = STRtree(parts), {id(part): i for i, part in enumerate(parts)}
            for patch, at in zip(patches, row):
                inside = Point(*[sum(c) / 3 for c in zip(*patch.exterior.coords[:3])])
                near = tree.query(inside)  # by their boxes
                part = number[id(near[0] if len(near) == 1 else next(g for g in near if prepared(g).contains(inside)))]
                holds[part] += 1
                low, high = rows.get(part, (at, at))
                rows[part] = (min(low, at), max(high, at))
            for i, part in enumerate(parts):
                bands += holds[i] > 1
                rings += holds[i] > 1 and closed(part)
                islands += holds[i] == 1 and 0 <= rows[i][0] < self.q["rows"]
                crossed.update(range(rows[i][0] + 1, rows[i][1] + 1))
        breaks = [row for row in range(1, self.q["rows"]) if row not in crossed] if bands else []
        if self.q["course"] != [bands, rings, islands] or self.q["breaks"] != breaks:
            self.say("bands, rings, islands", self.q["course"], self.q["breaks"], "GEOS", [bands, rings, islands], breaks)


def closed(part):
    """Whether an area has another one inside, to which no way leads from outside through points in
    which the area only meets itself."""
    outside, inside = [LinearRing(part.exterior.coords)], [LinearRing(r.coords) for r in part.interiors]
    while outside and inside:
        at = outside.pop()
        outside += [r for r in inside if r.intersects(at)]
        inside = [r for r in inside if not r.intersects(at)]
    return bool(inside)


for line in sys.stdin:
    quilt = Quilt(json.loads(line))
    quilt.pieces()
    quilt.tiling()
    quilt.sewing()
    quilt.course()
    print(json.dumps(quilt.wrong), flush=True)
