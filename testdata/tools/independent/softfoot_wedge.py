"""The gap under one foot and what fills it.

Definitions: testdata/README.md, "Soft foot". along is toward +x, across toward +z.
A gap is a plane through the points read, by least squares; a flat shim of
thickness s leaves s short of the gap at the open edge and lifts the foot where the
gap is less than s. A leaf whose upper face is at height h may lie as far as the
gap is h or more.
"""

import itertools
import math

import common as c
from common import Fault, INT, LENGTH, listof, opt, record

SLACK = 1e-9
TINY = 1e-12  # m, differences that are rounding

CORNERS = record({"firstLeft": LENGTH, "firstRight": LENGTH, "lastLeft": LENGTH, "lastRight": LENGTH})
GAP_POINT = record({"along": LENGTH, "across": LENGTH, "gap": LENGTH})
FACE = record({"length": LENGTH, "width": LENGTH, "corners": opt(CORNERS), "points": opt(listof(GAP_POINT))})
STOCK = record({"leaves": listof(LENGTH), "maxLeaves": INT, "within": LENGTH})


class Wedge:
    """The plane of the gap under a foot."""

    def __init__(self, f):
        c.positive(f.length, "length")
        c.positive(f.width, "width")
        if f.corners is not None and f.points is not None:
            raise Fault("mismatch", "corners and points")
        self.twist = None
        if f.corners is not None:
            k, a, b = f.corners, f.length / 2, f.width / 2
            points = [(-a, -b, k.firstLeft), (-a, b, k.firstRight), (a, -b, k.lastLeft), (a, b, k.lastRight)]
            # Zero for a plane: one diagonal less the other.
            self.twist = k.firstLeft - k.firstRight - k.lastLeft + k.lastRight
        else:
            points = [(p.along, p.across, p.gap) for p in f.points or []]
        if len(points) < 3:
            raise Fault("too-few-points")
        for x, z, g in points:
            c.not_negative(g, "gap")
            if abs(x) > f.length / 2 * (1 + SLACK) or abs(z) > f.width / 2 * (1 + SLACK):
                raise Fault("out-of-range", "a point beyond the foot")
        sol, res, _ = c.lstsq([[1.0, x, z] for x, z, _ in points], [g for _, _, g in points], tiny=1e-9)
        self.mean, self.kx, self.kz = sol
        self.length, self.width = f.length, f.width
        self.along, self.across = self.kx * f.length, self.kz * f.width
        half = (abs(self.along) + abs(self.across)) / 2
        self.tight, self.open = self.mean - half, self.mean + half
        self.rest = res

    def tight_side(self):
        size = max(abs(self.along), abs(self.across))
        if size <= TINY:
            return "none"
        end = "the first machine" if self.along > 0 else "the last machine"
        side = "left side" if self.across > 0 else "right side"
        if abs(self.across) <= 1e-9 * size:
            return "end toward " + end
        if abs(self.along) <= 1e-9 * size:
            return side
        return "corner toward %s, %s" % (end, side)


def wedge(v):
    d = record({"foot": FACE, "bent": opt(LENGTH)})(v)
    w = Wedge(d.foot)
    worst = max(range(len(w.rest)), key=lambda i: abs(w.rest[i]))
    out = {"mean": w.mean, "slope.along": w.kx, "slope.across": w.kz, "slope.size": math.hypot(w.kx, w.kz),
           "along": w.along, "across": w.across, "tight": w.tight, "open": w.open, "range": w.open - w.tight,
           "rest.rms": math.sqrt(c.dot(w.rest, w.rest) / len(w.rest)), "rest.worst": w.rest[worst],
           "rest.worst-at": float(worst), "tight-side": w.tight_side()}
    if w.twist is not None:
        out["twist"] = w.twist
    if out["slope.size"] > 0:
        out["reach"] = out["range"] / out["slope.size"]  # of the foot along its steepest slope
    if d.bent is None:
        return out, []
    c.not_negative(d.bent, "bent")
    return out, ["bent-foot"] if abs(w.rest[worst]) > d.bent * (1 + SLACK) else []


def flat(w, s):
    """A flat shim: where the gap is less than the shim the foot is lifted, and
    then stands on its tight edge."""
    lift = max(0.0, s - w.tight)
    return {"shim": s, "at-tight": w.tight - s, "at-open": w.open - s, "lift": lift, "left-open": w.open - s + lift}


def flat_shim(v):
    d = record({"foot": FACE, "shim": opt(LENGTH)})(v)
    w = Wedge(d.foot)
    if d.shim is not None:
        shims = {"flat": c.not_negative(d.shim, "shim")}
    else:
        shims = {"tight": max(0.0, w.tight), "mean": w.mean, "open": w.open}
    return {"%s.%s" % (n, k): x for n, s in shims.items() for k, x in flat(w, s).items()}, []


def check_stock(s):
    if not s.leaves:
        raise Fault("missing", "leaves")
    for t in s.leaves:
        c.positive(t, "leaf")
    if not 1 <= s.maxLeaves <= 8:
        raise Fault("out-of-range", "maxLeaves")
    c.not_negative(s.within, "within")
    return sorted(set(s.leaves), reverse=True)


def stacks(leaves, most):
    """All stacks of up to so many leaves, thickest leaf first."""
    for n in range(most + 1):
        yield from itertools.combinations_with_replacement(leaves, n)


def shim_stack(v):
    """The fewest leaves that come within the tolerance, the nearest of those, the
    thinner of two as near; the nearest of all where none comes within."""
    d = record({"stock": STOCK, "wanted": LENGTH})(v)
    leaves = check_stock(d.stock)
    wanted, within = c.not_negative(d.wanted, "wanted"), d.stock.within
    best = None
    for s in stacks(leaves, d.stock.maxLeaves):
        total = math.fsum(s)
        error = abs(total - wanted)
        fits = error <= within * (1 + SLACK) + TINY
        # Rounded, so that 0.1 + 0.2 and 0.3 count as one thickness.
        key = (not fits, len(s) if fits else 0, round(error / TINY), round(total / TINY), len(s), [-x for x in s])
        if best is None or key < best[0]:
            best = (key, s, total)
    key, s, total = best
    out = {"count": float(len(s)), "total": total, "error": total - wanted}
    out.update({"leaf.%d" % i: t for i, t in enumerate(s)})
    # Thick leaves outside, thin ones between them, where they cannot crumple.
    pack = list(s[0::2]) + list(s[1::2])[::-1]
    out.update({"pack.%d" % i: t for i, t in enumerate(pack)})
    return out, ["shim-residual"] if key[0] else []


def stepped_shim(v):
    """Full leaves up to the tight gap, then steps. Between the ends of two leaves
    the gap grows by one leaf, so the most left open is the thickest step or what
    is open above the last one. Fewest leaves within the tolerance; then the least
    left open, then the most filled."""
    d = record({"stock": STOCK, "foot": FACE})(v)
    leaves = check_stock(d.stock)
    w = Wedge(d.foot)
    tight, most = max(0.0, w.tight), d.stock.maxLeaves
    best = None
    for full in stacks(leaves, most):
        f = math.fsum(full)
        if f > tight + TINY:
            continue
        for steps in stacks(leaves, most - len(full)):
            top = f + math.fsum(steps)
            if top > w.open + TINY or (steps and f + steps[-1] <= tight + TINY):
                continue  # too thick, or a step that would lie full
            left = max([w.open - top] + list(steps))
            n = len(full) + len(steps)
            fits = left <= d.stock.within * (1 + SLACK) + TINY
            key = (not fits, n if fits else 0, round(left / TINY), n, -round(top / TINY), [-x for x in full + steps])
            if best is None or key < best[0]:
                best = (key, full, steps, left, top)
    key, full, steps, left, top = best
    out = {"count": float(len(full) + len(steps)), "full": math.fsum(full), "total": top, "residual": left}
    height = 0.0
    span = w.open - w.tight
    for i, t in enumerate(full + steps):
        height += t
        out["leaf.%d" % i] = t
        out["leaf.%d.end" % i] = 1.0 if i < len(full) or span <= TINY else (w.open - height) / span
    return out, ["shim-residual"] if key[0] else []


def taper(v):
    """A machined block of the same slopes; where it may not be as thin as the
    tight gap, the foot comes up by the difference."""
    d = record({"foot": FACE, "thinnest": LENGTH})(v)
    c.positive(d.thinnest, "thinnest")
    w = Wedge(d.foot)
    thin = max(d.thinnest, w.tight)
    return {"slope.along": w.kx, "slope.across": w.kz, "slope.size": math.hypot(w.kx, w.kz), "thin": thin,
            "thick": thin + w.open - w.tight, "raise": thin - w.tight}, []


COMPUTATIONS = {
    "softfoot.wedge": wedge,
    "softfoot.flat-shim": flat_shim,
    "softfoot.shim-stack": shim_stack,
    "softfoot.stepped-shim": stepped_shim,
    "softfoot.taper": taper,
}
