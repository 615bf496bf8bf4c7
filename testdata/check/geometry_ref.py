#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Independent reference for the geometry, in 50-digit arithmetic (mpmath). Strip frame: x along the strip,
y across it, y = 0 on the lower RAW edge of the strip set; a right-leaning diamond has its acute corner lower left.
Prints geometry.json. Needs mpmath (Debian: python3-mpmath)."""
from mpmath import mp, mpf, tan, sin, cos, floor, sqrt, pi
import json, sys
mp.dps = 50

def _off(p, q, a):
    dx, dy = q[0]-p[0], q[1]-p[1]; L = sqrt(dx*dx+dy*dy); nx, ny = dy/L, -dx/L
    return (p[0]+a*nx, p[1]+a*ny), (q[0]+a*nx, q[1]+a*ny), (dx/L, dy/L)

def _meet(l, m):
    (x1, y1), (x2, y2) = l[:2]; (x3, y3), (x4, y4) = m[:2]
    d = (x1-x2)*(y3-y4)-(y1-y2)*(x3-x4); a = x1*y2-y1*x2; b = x3*y4-y3*x4
    return ((a*(x3-x4)-(x1-x2)*b)/d, (a*(y3-y4)-(y1-y2)*b)/d)

def outline(fin, a, ext):
    """cut outline of the finished polygon fin (counter-clockwise): every side moved out by a; with ext given, each
    corner whose raw edges run more than ext past the finished corner is cut so that both end ext past it"""
    n = len(fin); offs = [_off(fin[i], fin[(i+1) % n], a) for i in range(n)]; out = []
    for i in range(n):
        prev, cur = offs[i-1], offs[i]; c = _meet(prev, cur)
        over = (c[0]-prev[1][0])*prev[2][0]+(c[1]-prev[1][1])*prev[2][1]
        if ext is not None and over > ext+(abs(a)+1)*mpf(10)**-25:
            out.append((prev[1][0]+ext*prev[2][0], prev[1][1]+ext*prev[2][1]))
            out.append((cur[0][0]-ext*cur[2][0], cur[0][1]-ext*cur[2][1]))
        else:
            out.append(c)
    return out

def clip(poly, y0, y1):
    """a piece is cut from the strip set: keep only y0 <= y <= y1"""
    for sign, lim in ((1, y0), (-1, -y1)):
        out = []; n = len(poly); tol = mpf(10)**-25
        for i in range(n):
            (ax, ay), (bx, by) = poly[i], poly[(i+1) % n]
            da, db = sign*ay-lim, sign*by-lim
            if da >= -tol: out.append((ax, ay))
            if (da > tol and db < -tol) or (da < -tol and db > tol):
                t = da/(da-db); out.append((ax+t*(bx-ax), ay+t*(by-ay)))
        poly = out
    keep = []
    for q in poly:
        if not keep or abs(q[0]-keep[-1][0])+abs(q[1]-keep[-1][1]) > mpf(10)**-20: keep.append(q)
    if len(keep) > 1 and abs(keep[0][0]-keep[-1][0])+abs(keep[0][1]-keep[-1][1]) < mpf(10)**-20: keep.pop()
    return keep

class Set:
    def __init__(self, cuts, seam, deg):
        self.cuts = [mpf(str(c)) for c in cuts]; self.a = mpf(str(seam)); self.th = mpf(str(deg))*pi/180
        a, th = self.a, self.th
        self.W = sum(self.cuts)-2*a*(len(cuts)-1); self.h = self.W-2*a
        self.s, self.S = self.h/sin(th), self.W/sin(th); self.ext = a*tan(th/2)
        y, self.seams = mpf(0), []
        for i, c in enumerate(self.cuts[:-1]):
            y += c-a if i == 0 else c-2*a
            self.seams.append(y)
        s, h = self.s, self.h
        d = [(mpf(0), mpf(0)), (s, mpf(0)), (s+s*cos(th), h), (s*cos(th), h)]
        up = lambda p: [(x, y+a) for x, y in p]           # raw lower edge at y = 0
        self.fin = up(d)
        self.diamond = {t: outline(self.fin, a, self.ext if t == 'matched' else None) for t in ('matched', 'sharp')}
        # the two halves across the short diagonal; lower: wide side on the lower strip edge
        self.half = {k: {t: clip(outline(up(v), a, self.ext if t == 'matched' else None), mpf(0), self.W) for t in ('matched', 'sharp')}
                     for k, v in (('lower', [d[0], d[1], d[3]]), ('upper', [d[1], d[2], d[3]]))}

    def length(self, word, tips):
        """strip length used by pieces in order: U upper half, D diamond, L lower half (right-leaning). U and D end, D and L begin
        on a crosscut, shared with the neighbour; L ends and U begins on a base line, shared with the neighbour too"""
        xs, off = [], mpf(0)
        for i, t in enumerate(word):
            if i:
                off += self.S if t in 'DL' else 2*self.a/cos(self.th/2)
                assert (word[i-1] in 'UD') == (t in 'DL')
            xs += [x+off for x, _ in (self.diamond[tips] if t == 'D' else self.half['upper' if t == 'U' else 'lower'][tips])]
        return max(xs)-min(xs) if xs else mpf(0)

    def most(self, L, make, tips, first=1):
        """largest n >= first with length(make(n)) <= L; None where even the smallest does not fit"""
        n = first-1
        while self.length(make(n+1), tips) <= L: n += 1
        return n if n >= first else None

    def yields(self, L, tips):
        alt = lambda n: ('UL'*n)[:n]
        zero = lambda v: 0 if v is None else v
        return dict(plain=zero(self.most(L, lambda k: 'D'*k, tips)), one_triangle=self.most(L, lambda k: 'U'+'D'*k, tips, 0),
                    two_triangles=self.most(L, lambda k: 'U'+'D'*k+'L', tips, 0), triangles=max(zero(self.most(L, alt, tips)), zero(self.most(L, lambda n: ('LU'*n)[:n], tips))),
                    staggered=None if len(self.cuts) == 1 else max(0, int(floor((L-max(self.cuts)/tan(self.th))/self.S+mpf(10)**-12))))

    def triangles(self, setting, c, r):
        """edge triangles by the lean of the diamond they are half of and the strip edge with their wide side"""
        n = {'right': {'lower': 0, 'upper': 0}, 'left': {'lower': 0, 'upper': 0}}
        for end, row in (('bottom', -1), ('top', r)):
            lean = 'right' if setting == 'one-way' or row % 2 == 0 else 'left'
            turned = setting == 'chevron' and lean == 'left'
            half = 'upper' if (end == 'bottom') != turned else 'lower'
            n[lean][half] += c
        return n

    def quilt(self, setting, c, r):
        col, row = 2*self.s*sin(self.th/2), self.s*cos(self.th/2)
        right = c*r if setting == 'one-way' else c*((r+1)//2)
        return dict(column_step=col, row_step=row, finished_width=(c-mpf(1)/2)*col, finished_height=(r+1)*row,
                    diamonds=dict(right=right, left=c*r-right), edge_triangles=self.triangles(setting, c, r))

def f(v):
    if isinstance(v, (list, tuple)): return [f(x) for x in v]
    if isinstance(v, dict): return {k: f(x) for k, x in v.items()}
    return float(mp.nstr(v, 17)) if isinstance(v, mpf) else v

def case(cuts, seam, deg, L, c, r, setting='zigzag', unit='in'):
    S = Set(cuts, seam, deg); L = mpf(str(L)); tips = ('matched', 'sharp')
    return f(dict(unit=unit, cuts=cuts, seam=seam, angle=deg, usable_width=float(L), setting=setting, columns=c, rows=r,
      set_width=S.W, seam_lines=S.seams, finished_width=S.h, finished_side=S.s, cut_side=S.S, past_seam=S.ext,
      short_diagonal=2*S.s*sin(S.th/2), long_diagonal=2*S.s*cos(S.th/2),
      diamond=S.diamond, edge_triangle=S.half,
      strip_length={t: {w: S.length(w, t) for w in ('DDDDDDD', 'UDDDDDDD', 'UDDDL', 'ULULUL', 'UDDLUDL')} for t in tips},
      yields={t: S.yields(L, t) for t in tips}, quilt=S.quilt(setting, c, r)))

if __name__ == '__main__':
    cs = [([2.5, 2.5], .25, 60, 42, 7, 8), ([3, 3], .25, 60, 40, 8, 9, 'chevron'), ([2, 2], .25, 60, 40, 10, 13), ([2.5], .25, 60, 42, 9, 11),
          ([2, 2, 2], .25, 60, 42, 7, 7, 'one-way'), ([1.5, 2.5], .25, 60, 21, 6, 10, 'chevron'), ([2.5, 2.5], .25, 60, 18, 1, 1), ([2.5, 2.5], .25, 45, 40, 9, 8), ([1.75, 1.75], .25, 45, 42, 14, 15),
          ([2.5, 2.5], .25, 30, 42, 11, 6), ([2.5, 2.5], .25, 72, 42, 8, 9), ([2.5, 2.5], .25, 60, 6, 2, 2), ([2.5, 2.5], .25, 80, 40, 3, 4), ([2, 3], .25, 90, 42, 6, 6, 'one-way'), ([2, 3], .25, 90, 40.5, 5, 5), ([2.5, 2.5], .25, 15, 42, 5, 4)]
    m = [([7, 7], .75, 60, 107, 6, 7)]
    out = [case(*c) for c in cs]+[case(*c, unit='cm') for c in m]
    json.dump(out, sys.stdout, indent=0)
