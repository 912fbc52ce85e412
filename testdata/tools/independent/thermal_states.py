"""Operating states and cold targets.

Definitions: testdata/README.md, "Operating states". A state is the movement of the
near and the far shaft from cold; its relative movement is far less near, and a
misalignment that is cold(x) when cold becomes cold(x) + relative(x).
"""

import itertools
import math

from axis import OFFSET, SMALL_AXIS, Axis, both, put_axis, put_offset
from common import (LENGTH, NUMBER, RATIO, RISE, TEXT, TIME, Fault, clock, listof, not_negative, opt, positive,
                    record, word)

_STATE = record({"name": opt(TEXT), "near": opt(SMALL_AXIS), "far": opt(SMALL_AXIS)})
_STATIONS = listof(LENGTH)


def relative(s):
    """Far movement less near movement; a shaft that is absent stands still."""
    return (s.far or Axis()).plus(s.near or Axis(), -1.0)


def target_results(movement, stations):
    """The cold target of a movement is minus that movement (Piotrowski, 3rd ed., pp. 540-541)."""
    results = {}
    put_axis(results, Axis().plus(movement, -1.0), stations)
    return results, []


_POSITION = record({"state": _STATE, "cold": SMALL_AXIS, "stations": _STATIONS})


def position(v):
    d = _POSITION(v)
    results = {}
    put_axis(results, d.cold.plus(relative(d.state)).checked(), d.stations)
    return results, []


_COLD = record({"state": _STATE, "stations": _STATIONS})


def cold_target(v):
    d = _COLD(v)
    return target_results(relative(d.state), d.stations)


def on_the_way(d, fraction):
    """The relative movement at a fraction of the way from one state to another."""
    a, b = relative(d["from"]), relative(d["to"])
    return a.plus(b.plus(a, -1.0), fraction)


_BETWEEN = record({"from": _STATE, "to": _STATE, "fraction": RATIO, "stations": _STATIONS})


def between(v):
    d = _BETWEEN(v)
    if not 0 <= d.fraction <= 1:
        raise Fault("out-of-range", "fraction")
    return target_results(on_the_way(d, d.fraction), d.stations)


_WARM_UP = record({"from": _STATE, "to": _STATE, "constant": TIME, "after": TIME, "stations": _STATIONS})


def warm_up(v):
    d = _WARM_UP(v)
    positive(not_negative(d.constant, "constant"), "constant")
    not_negative(d.after, "after")
    # First-order lag: 1 - exp(-t/tau) of the way after t.
    return target_results(on_the_way(d, -math.expm1(-d.after / d.constant)), d.stations)


_AMBIENT = record({"base": _STATE, "perKelvin": _STATE, "low": RISE, "high": RISE, "stations": _STATIONS})


def ambient(v):
    d = _AMBIENT(v)
    if d.low > d.high:
        raise Fault("out-of-range", "low")
    results = {}
    for name in ("low", "high"):
        moved = relative(d.base).plus(relative(d.perKelvin), d[name])
        for i, x in enumerate(d.stations):
            put_offset(results, "%s.%d" % (name, i), moved.at(x))
    return results, []


# ---------------------------------------------------------------- one target for several states


def middle(points, limits):
    """c that makes the largest |c - p|/l least, on a line.

    Each pair asks at least (q - p)/(l + k), at the place that divides them in the
    ratio of their limits; the pair that asks most decides.
    """
    worst, best = 0.0, points[0]
    for (p, l), (q, k) in itertools.permutations(list(zip(points, limits)), 2):
        share = (q - p) / (l + k)
        if share > worst:
            worst, best = share, p + share * l
    return best


def circle_centre(points, limits):
    """c in a plane that makes the largest |c - p|/l least.

    The smallest (weighted) circle is held by two points or by three: all such
    circles are tried and the one that serves every point best is taken.
    """
    def worst(c):
        return max(math.dist(c, p) / l for p, l in zip(points, limits))

    both_ = list(zip(points, limits))
    candidates = list(points)
    for (p, l), (q, k) in itertools.combinations(both_, 2):
        candidates.append(tuple((a * k + b * l) / (l + k) for a, b in zip(p, q)))
    for triple in itertools.combinations(both_, 3):
        candidates += apollonius(*triple)
    return min(candidates, key=worst)


def apollonius(first, second, third):
    """Points whose distances from three points are as their limits.

    |c - p|^2 = s l^2 for the three; the first subtracted from the others leaves two
    equations linear in c and s, and c = u + s w put into the first a quadratic in s.
    """
    (p, l), (q, k), (r, m) = first, second, third
    a, b = (q[0] - p[0], q[1] - p[1]), (r[0] - p[0], r[1] - p[1])
    det = a[0] * b[1] - a[1] * b[0]
    if abs(det) <= 1e-12 * math.hypot(*a) * math.hypot(*b):
        return []  # three points in line are served by two of them

    def cramer(x, y):
        return ((x * b[1] - y * a[1]) / det, (y * a[0] - x * b[0]) / det)

    # About p: 2 c.a = |a|^2 - s (k^2 - l^2), and the same for b.
    u = cramer((a[0]**2 + a[1]**2) / 2, (b[0]**2 + b[1]**2) / 2)
    w = cramer((l * l - k * k) / 2, (l * l - m * m) / 2)
    qa, qb, qc = w[0]**2 + w[1]**2, 2 * (u[0] * w[0] + u[1] * w[1]) - l * l, u[0]**2 + u[1]**2
    if qa <= 1e-18 * l * l:
        roots = [-qc / qb]
    else:
        disc = qb * qb - 4 * qa * qc
        if disc < 0:
            return []
        root = (-qb + math.copysign(math.sqrt(disc), -qb)) / 2
        roots = [root / qa, qc / root] if root else [0.0]
    return [(p[0] + u[0] + s * w[0], p[1] + u[1] + s * w[1]) for s in roots]


_PLACE = record({"station": LENGTH, "limit": LENGTH})
_CASE = record({"name": opt(TEXT), "near": opt(SMALL_AXIS), "far": opt(SMALL_AXIS),
                "nearLimit": opt(LENGTH), "farLimit": opt(LENGTH)})
_BEST = record({"states": listof(_CASE), "near": _PLACE, "far": _PLACE, "mode": word("per-plane", "resultant"),
                "cold": opt(SMALL_AXIS)})


def limit_of(value):
    not_negative(value, "limit")
    if value < 1e-9:
        raise Fault("out-of-range", "limit")
    return value


def best_cold_target(v):
    """A straight line is free at two stations, so each station is served by itself."""
    d = _BEST(v)
    if not d.states:
        raise Fault("missing", "states")
    if len(d.states) > 64:
        raise Fault("out-of-range", "states")
    if abs(d.near.station - d.far.station) < 1e-6:
        raise Fault("coincident-stations")
    results, checks = {}, []
    for shaft in ("near", "far"):
        place = d[shaft]
        limits = [limit_of(place.limit if s[shaft + "Limit"] is None else s[shaft + "Limit"]) for s in d.states]
        moved = [relative(s).at(place.station) for s in d.states]
        cold = d.cold.at(place.station) if d.cold else best_at(moved, limits, d.mode)
        put_offset(results, shaft, cold)
        for i, (m, l) in enumerate(zip(moved, limits)):
            e = [c + x for c, x in zip(cold, m)]
            sizes = (("resultant", math.hypot(*e)),) if d.mode == "resultant" else (
                ("vertical", abs(e[0])), ("horizontal", abs(e[1])))
            for direction, size in sizes:
                checks.append((i, shaft, direction, size, l))
    checks.sort(key=lambda c: c[0])
    worst = max(size / l for _, _, _, size, l in checks)
    # Where everything is met exactly nothing governs.
    governing = [c for c in checks if c[3] / c[4] >= worst * (1 - 1e-9) and worst > 1e-12]
    results.update(worst=worst, verdict="within" if worst <= 1 + 1e-12 else "over", governing=float(len(governing)))
    for i, c in enumerate(governing):
        results["governing.%d" % i] = "%d %s %s" % c[:3]
    for i, shaft, direction, size, l in checks:
        results["margin.%d.%s.%s" % (i, shaft, direction)] = l - size
    return results, []


def best_at(moved, limits, mode):
    """The best cold offset at one station: the middle of minus the movements."""
    wanted = [(-a, -b) for a, b in moved]
    if mode == "resultant":
        return circle_centre(wanted, limits)
    return tuple(middle([w[p] for w in wanted], limits) for p in (0, 1))


_ENCLOSING = record({"offsets": listof(OFFSET)})


def enclosing_circle(v):
    points = [both(o) for o in _ENCLOSING(v).offsets]
    if not points:
        raise Fault("missing", "offsets")
    if max(abs(c) for p in points for c in p) > 10:
        raise Fault("out-of-range", "offsets")
    centre = circle_centre(points, [1.0] * len(points))
    results = {"radius": max(math.dist(centre, p) for p in points)}
    put_offset(results, "centre", centre)
    return results, []


# ---------------------------------------------------------------- readings to aim for

_SAG = record({"rollOver": opt(LENGTH), "singleDeflection": opt(LENGTH), "none": opt(lambda x, path: bool(x))})
_DIAL = record({"name": opt(TEXT), "surface": opt(word("rim", "face-toward", "face-away"), "rim"),
                "bracket": opt(word("near", "far"), "near"), "station": opt(LENGTH), "diameter": opt(LENGTH),
                "sag": opt(_SAG)})
_READINGS = record({"target": SMALL_AXIS, "dials": listof(_DIAL), "zero": NUMBER, "at": listof(NUMBER)})


def roll_over_sag(sag):
    """The roll-over reading S; a single-deflection test shows half of it."""
    if sag is None or sag.none:
        return 0.0
    if sag.rollOver is not None:
        return sag.rollOver
    if sag.singleDeflection is None:
        raise Fault("missing", "sag")
    return 2 * sag.singleDeflection


def shown(dial, target, t):
    """What a dial shows at clock position t, but for a constant.

    Rim: e.n, turned round when the bracket is on the far shaft; face: (D/2) slope.n,
    turned round on the face that looks away, whichever shaft bears the bracket
    (testdata/README.md, "Frame and signs"). Sag adds S(1 - cos t)/2.
    """
    n = clock(t)
    sag = roll_over_sag(dial.sag) * (1 - n[0]) / 2
    if dial.surface == "rim":
        if dial.station is None:
            raise Fault("missing", "station")
        e = target.at(dial.station)
        sign = -1 if dial.bracket == "far" else 1
        return sign * (e[0] * n[0] + e[1] * n[1]) + sag
    if dial.diameter is None:
        raise Fault("missing", "diameter")
    positive(dial.diameter, "diameter", "zero-diameter")
    sign = -1 if dial.surface == "face-away" else 1
    return sign * dial.diameter / 2 * (target.slope[0] * n[0] + target.slope[1] * n[1]) + sag


def target_readings(v):
    """Dials that reach to a spool are not read here: no vector has one."""
    d = _READINGS(v)
    if not d.dials:
        raise Fault("missing", "dials")
    results = {}
    for i, dial in enumerate(d.dials):
        zero = shown(dial, d.target, d.zero)
        for j, t in enumerate(d.at):
            results["dial.%d.%d" % (i, j)] = shown(dial, d.target, t) - zero
    return results, []


COMPUTATIONS = {
    "thermal.position": position,
    "thermal.cold-target": cold_target,
    "thermal.between": between,
    "thermal.warm-up": warm_up,
    "thermal.ambient": ambient,
    "thermal.best-cold-target": best_cold_target,
    "thermal.target-readings": target_readings,
    "thermal.enclosing-circle": enclosing_circle,
}
