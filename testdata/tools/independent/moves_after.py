"""After a plan: shim packs, what a move did, shims on a bolt circle.

Definitions: testdata/README.md, "After a plan".
"""

import math

from axis import SMALL_AXIS, Axis, put_offset
from common import (ANGLE, BOOL, INT, LENGTH, NUMBER, RATIO, Fault, clock, listof, lstsq, not_negative, opt,
                    positive, record)

# ---------------------------------------------------------------- packs

GRAIN = 1e12  # picometres in a metre: thicknesses are added as whole numbers
_STOCK = record({"leaves": listof(LENGTH), "maxLeaves": INT, "within": opt(LENGTH, 0.0)})
_PACK = record({"present": opt(listof(LENGTH), []), "change": LENGTH, "least": opt(LENGTH, 0.0),
                "most": opt(LENGTH, 0.0), "stock": _STOCK})


def thickness(x):
    positive(not_negative(x, "leaf"), "leaf")
    return round(x * GRAIN)


def subsets(leaves):
    """(kept count, kept sum, indices) of every choice of leaves that stay."""
    out = [(0, 0, ())]
    for i, x in enumerate(leaves):
        out += [(n + 1, total + x, chosen + (i,)) for n, total, chosen in out]
    return out


def sums_by_count(leaves, most):
    """For each number of leaves the totals that so many make, each with one way to make it."""
    out = [{0: ()}]
    for _ in range(most):
        made = {}
        for total, chosen in out[-1].items():
            for x in leaves:
                made.setdefault(total + x, chosen + (x,))
        out.append(made)
    return out


def candidates(present, stock, most, wanted):
    """Every pack of at most so many leaves as (error, leaves, handled, total, kept, added).

    Of the totals that one number of new leaves makes only the nearest on either side
    of what is missing are of use.
    """
    made = sums_by_count(sorted(set(stock)), most)
    ranked = [sorted(m) for m in made]
    for n, total, kept in subsets(present):
        for k in range(max(0, most - n) + 1):
            if n + k > most:
                continue
            for t in nearest_two(ranked[k], wanted - total):
                whole = total + t
                yield whole - wanted, n + k, len(present) - n + k, whole, kept, made[k][t]


def nearest_two(ranked, x):
    """The value at or below x and the one above it."""
    low, high = 0, len(ranked)
    while low < high:
        mid = (low + high) // 2
        if ranked[mid] <= x:
            low = mid + 1
        else:
            high = mid
    return ranked[max(0, low - 1):low + 1]


def pack(v):
    """Within what is near enough the fewest leaves, then the fewest handled, then the nearest, then the thinner."""
    d = _PACK(v)
    present = [thickness(x) for x in d.present]
    stock = [thickness(x) for x in d.stock.leaves]
    if not stock:
        raise Fault("missing", "leaves")
    most = d.stock.maxLeaves
    if not 1 <= most <= 8 or len(present) > 8 or len(stock) > 24:
        raise Fault("out-of-range", "leaves")
    for name in ("least", "most"):
        not_negative(d[name], name)
    within = round(not_negative(d.stock.within, "within") * GRAIN)
    wanted = sum(present) + round(d.change * GRAIN)
    if wanted < 0:
        raise Fault("base-bound")
    if wanted < round(d.least * GRAIN) or d.most > 0 and wanted > round(d.most * GRAIN):
        raise Fault("out-of-range", "change")
    every = list(candidates(present, stock, most, wanted))
    good = [c for c in every if abs(c[0]) <= within]
    if good:
        best = min(good, key=lambda c: (c[1], c[2], abs(c[0]), c[3]))
    else:
        best = min(every, key=lambda c: (abs(c[0]), c[1], c[2], c[3]))
    error, leaves, handled, total, kept, added = best
    results = {"total": total / GRAIN, "error": error / GRAIN, "leaves": float(leaves), "handled": float(handled)}
    out = sorted((x for i, x in enumerate(present) if i not in kept), reverse=True)
    for name, what in (("out", out), ("in", sorted(added, reverse=True))):
        results.update({"%s.%d" % (name, i): x / GRAIN for i, x in enumerate(what)})
    warnings = [] if good else ["shim-residual"]
    if total < round(d.least * GRAIN) or d.most > 0 and total > round(d.most * GRAIN):
        warnings.append("pack-beyond-limits")
    return results, warnings


# ---------------------------------------------------------------- responses

# What is left of an error after a move of k times what was planned is 1 - k of it.
MISTAKES = (("right", 0.0), ("not-halved", -1.0), ("halved-twice", 0.5), ("wrong-way", 2.0), ("not-moved", 1.0))
COVER = 2.0
EDGE = 1e-9  # rounding at the edge of what agrees
_RESPONSE = record({"before": SMALL_AXIS, "planned": SMALL_AXIS, "after": SMALL_AXIS, "target": opt(SMALL_AXIS),
                    "stations": listof(LENGTH), "sigma": LENGTH, "cover": opt(NUMBER, 0.0), "next": opt(LENGTH)})


def uncertainty(d):
    """(sigma above zero, standard uncertainties that count as agreeing)."""
    positive(not_negative(d.sigma, "sigma"), "sigma")
    cover = not_negative(d.cover, "cover") or COVER
    if cover > 10:
        raise Fault("out-of-range", "cover")
    return d.sigma, cover


def response_plane(d, k, sigma, cover, results, name):
    """Finding, fits and whether the plan was reached, in one plane."""
    # Before and after are independent: a difference of the two has sqrt(2) sigma.
    change = math.sqrt(2) * sigma
    fits, usable, reached = [m for m, _ in MISTAKES], 0, True
    for i, x in enumerate(d.stations):
        planned = d.planned.at(x)[k]
        predicted = d.before.at(x)[k] + planned
        difference = d.after.at(x)[k] - predicted
        at = "%s.%d." % (name, i)
        results.update({at + "predicted": predicted, at + "difference": difference})
        reached = reached and abs(difference) <= cover * change * (1 + EDGE)
        if not abs(planned) > cover * change:
            continue
        usable += 1
        ratio, u = difference / -planned, change / abs(planned)
        results.update({at + "ratio": ratio, at + "uncertainty": u})
        agree = {m for m, r in MISTAKES if abs(ratio - r) <= cover * u * (1 + EDGE)}
        fits = [m for m in fits if m in agree]
    if not usable:
        fits = []
    finding = "cannot-tell" if not usable else ("none-fits", "named", "ambiguous")[min(2, len(fits))]
    results.update({name + ".finding": finding, name + ".fits": " ".join(fits) or "none",
                    name + ".reached": "true" if reached else "false"})
    return usable, reached


def response(v):
    d = _RESPONSE(v)
    sigma, cover = uncertainty(d)
    if len(d.stations) < 2:
        raise Fault("missing", "stations")
    ranked = sorted(d.stations)
    if any(b - a < 1e-6 for a, b in zip(ranked, ranked[1:])):
        raise Fault("coincident-stations")
    results, warnings = {}, []
    for k, name in enumerate(("vertical", "horizontal")):
        told, reached = response_plane(d, k, sigma, cover, results, name)
        if not reached:
            warnings.append("off-plan")
        if not told:
            warnings.append("move-too-small-to-tell")
    if d.next is not None:
        left = d.after.plus(d.target or Axis(), -1.0).at(d.next)
        put_offset(results, "next.far", [-x for x in left])
        put_offset(results, "next.near", left)
    return results, warnings


_POINT = record({"x": LENGTH, "y": LENGTH, "z": LENGTH})
_FEET = record({"feet": listof(record({"at": _POINT, "planned": LENGTH, "measured": LENGTH})), "sigma": LENGTH,
                "cover": opt(NUMBER, 0.0)})


def feet_response(v):
    """What a plane through the measured movements leaves; u(left) = sigma sqrt(1 - leverage)."""
    d = _FEET(v)
    sigma, cover = uncertainty(d)
    feet = d.feet
    if len(feet) < 4:
        raise Fault("missing", "feet")
    middle = [math.fsum(f.at[k] for f in feet) / len(feet) for k in "xyz"]
    # A point goes up by shift y + turn z times its way along less turn x times its way across.
    rows = [[1.0, f.at.x - middle[0], -(f.at.z - middle[2])] for f in feet]
    x, left, cofactors = lstsq(rows, [f.measured for f in feet], tiny=1e-9)
    results = {"shift.x": 0.0, "shift.y": x[0], "shift.z": 0.0, "turn.x": x[2], "turn.y": 0.0, "turn.z": x[1]}
    rigid = True
    for i, (f, row, e) in enumerate(zip(feet, rows, left)):
        leverage = math.fsum(row[a] * cofactors[a][b] * row[b] for a in range(3) for b in range(3))
        u = sigma * math.sqrt(max(0.0, 1 - leverage))
        rigid = rigid and abs(e) <= cover * u * (1 + EDGE) + 1e-12
        name = "foot.%d." % i
        results.update({name + "left": e, name + "uncertainty": u})
        if abs(f.planned) > cover * sigma:
            results[name + "ratio"] = f.measured / f.planned
    results["rigid"] = "true" if rigid else "false"
    return results, [] if rigid else ["not-rigid"]


# ---------------------------------------------------------------- bolt circles

STEEPEST = 0.1  # a lean beyond it is not one (own choice)
_CIRCLE = record({"station": opt(LENGTH), "diameter": LENGTH, "bolts": INT, "first": ANGLE, "before": opt(BOOL, False)})
_BOLTS = record({"circle": _CIRCLE, "slope": record({"vertical": RATIO, "horizontal": RATIO}), "step": opt(LENGTH)})


def bolt_shims(v):
    """The shaft leans away from a shim, so the shims stand r (-slope).n above one another."""
    d = _BOLTS(v)
    c = d.circle
    positive(c.diameter, "diameter", "zero-diameter")
    if not 3 <= c.bolts <= 64 or max(abs(d.slope.vertical), abs(d.slope.horizontal)) > STEEPEST:
        raise Fault("out-of-range")
    r, sign = c.diameter / 2, (1.0 if c.before else -1.0)
    toward = [clock(math.degrees(c.first) + 360.0 * i / c.bolts) for i in range(c.bolts)]
    heights = [sign * r * (d.slope.vertical * n[0] + d.slope.horizontal * n[1]) for n in toward]
    least = min(heights)
    shims = [h - least for h in heights]
    lean = math.hypot(d.slope.vertical, d.slope.horizontal)
    results = {"along": -sign * math.fsum(shims) / c.bolts}
    for i, s in enumerate(shims):
        results["shim.%d" % i] = s
        # Across the axis of the tilt the shims grow by the lean for each unit of way.
        results["from-zero.%d" % i] = s / lean if lean else 0.0
    if d.step is None:
        return results, []
    positive(not_negative(d.step, "step"), "step")
    rounded = rounded_bolts(shims, toward, r, d.step)
    uneven, off, whole = rounded
    results.update({"rounded.off": off, "rounded.uneven": uneven,
                    "rounded.along": -sign * math.fsum(whole) / c.bolts})
    return results, ["bolt-shims-uneven"] if uneven > d.step / 2 * (1 + EDGE) else []


def plane_of(shims, toward, r):
    """Mean and tilt of the plane through shims at equal steps round a circle (Fourier sums)."""
    n = len(shims)
    mean = math.fsum(shims) / n
    tilt = [2 / (n * r) * math.fsum(s * t[k] for s, t in zip(shims, toward)) for k in (0, 1)]
    return mean, tilt


def rounded_bolts(shims, toward, r, step):
    """(uneven, off, shims) of the lift of all shims whose rounding misses the slope least.

    Of equal ones that which leaves the bolts most nearly in one plane, then that with
    the least shim in all.

    The rounding changes only where some shim and the lift come to half a step.
    """
    marks = sorted({(0.5 - s / step) % 1.0 for s in shims} | {0.0})
    lifts = [(a + b) / 2 * step for a, b in zip(marks, marks[1:] + [1.0])]
    _, wanted = plane_of(shims, toward, r)
    found = []
    for lift in lifts:
        whole = [math.floor((s + lift) / step + 0.5) * step for s in shims]
        lowest = min(whole)
        whole = [w - lowest for w in whole]
        mean, tilt = plane_of(whole, toward, r)
        off = r * math.hypot(tilt[0] - wanted[0], tilt[1] - wanted[1])
        uneven = max(abs(w - mean - r * (tilt[0] * n[0] + tilt[1] * n[1])) for w, n in zip(whole, toward))
        found.append((round(off * GRAIN), round(uneven * GRAIN), round(sum(whole) * GRAIN), off, uneven, whole))
    best = min(found)
    return best[4], best[3], best[5]


_FACE = record({"reading": LENGTH, "diameter": LENGTH, "distance": LENGTH})


def face_shim(v):
    """The rule by hand: reading over swept diameter times the distance from the bolt without a shim."""
    d = _FACE(v)
    not_negative(d.reading, "reading")
    not_negative(d.distance, "distance")
    positive(not_negative(d.diameter, "diameter"), "diameter", "zero-diameter")
    return {"shim": d.reading / d.diameter * d.distance}, []


COMPUTATIONS = {
    "moves.pack": pack,
    "moves.response": response,
    "moves.feet-response": feet_response,
    "moves.bolt-shims": bolt_shims,
    "moves.face-shim": face_shim,
}
