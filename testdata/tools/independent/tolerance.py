"""Sizes held against limits: measures of a misalignment, shares, probabilities.

Definitions: testdata/README.md, "Sizes against limits". Tables of limits are in
tolerance_tables.py. Probabilities of conformity: JCGM 106:2012, section 7 (from
memory); the guard band is that of ISO 14253-1 (from memory).
"""

import math

import special
import tolerance_check as words
import tolerance_tables as tables
from axis import AXIS
from common import (FREQUENCY, LENGTH, RATIO, TEXT, Fault, any_quantity, listof, not_negative, opt, positive, record,
                    unit_kind, word)

EDGE = 1e-12  # rounding at the edge of a limit, as a part of it


# ---------------------------------------------------------------- measures


def stations_of(place, g):
    """The stations at which an offset is held against its limit."""
    if place == "coupling-centre":
        return [(g.nearFlex + g.farFlex) / 2]
    if place == "hub-faces":
        return [g.nearFace, g.farFace]
    return [g.nearFlex, g.farFlex]  # of both flex planes the larger counts, also where no place is stated


def governing(sizes, planes):
    """(size, plane) of a vertical and a horizontal size."""
    if planes == "resultant":
        return math.hypot(*sizes), "resultant"
    v, h = abs(sizes[0]), abs(sizes[1])
    return (v, "vertical") if v >= h else (h, "horizontal")


def measure_of(quantity, place, planes, e, g):
    """(value, plane, station or None) of a misalignment as one quantity.

    offset |e(x)|; rim reading 2|e(x)|; slope |m|; gap difference |m| D; face reading
    over the radius 2|m| (a face sweep on diameter D reads m D, over D/2 that is 2 m);
    deviation the larger |e| at the flex planes over their distance.
    """
    if quantity not in words.OF_SHAFTS:
        raise Fault("not-of-shafts", quantity)
    if quantity in ("true-offset", "rim-total-indicator-reading"):
        found = [governing(e.at(x), planes) + (x,) for x in stations_of(place, g)]
        value, plane, x = max(found, key=lambda f: f[0])
        return (2 * value if quantity.startswith("rim") else value), plane, x
    if quantity == "deviation-per-flex-separation":
        distance = tables.dimension(g, "flex-separation")
        value, plane = max((governing(e.at(x), planes) for x in (g.nearFlex, g.farFlex)), key=lambda f: f[0])
        return value / distance, plane, None
    value, plane = governing(e.slope, planes)
    if quantity == "gap-difference":
        value *= tables.dimension(g, "face-diameter")
    if quantity == "face-reading-per-radius":
        value *= 2
    return value, plane, None


_MEASURE = record({"quantity": word(*words.LENGTHS + words.SLOPES), "place": word(*words.PLACES),
                   "planes": word(*words.PLANES), "misalignment": AXIS, "geometry": tables.GEOMETRY})


def measure(v):
    d = _MEASURE(v)
    value, plane, station = measure_of(d.quantity, d.place, d.planes, d.misalignment, d.geometry)
    results = {"value": value, "plane": plane}
    if station is not None:
        results["station"] = station
    return results, []


_GAP = record({"gap": LENGTH, "diameter": LENGTH})


def slope_of_gap(v):
    d = _GAP(v)
    slope = d.gap / positive(d.diameter, "diameter", "zero-diameter")
    return {"slope": slope, "angle": math.atan(slope)}, []


_SLOPE = record({"slope": RATIO, "diameter": LENGTH})


def angle_of_slope(v):
    d = _SLOPE(v)
    return {"angle": math.atan(d.slope), "gap": d.slope * d.diameter, "slope": d.slope}, []


_MESH = record({"pitchDiameter": LENGTH, "speed": FREQUENCY, "angle": RATIO})


def gear_sliding(v):
    """A tooth at radius R goes to and fro by z = R a cos(wt): its speed is at most R a w.

    w = 2 pi N, so the peak is pi D N a and the mean, 2/pi of it, 2 D N a.
    """
    d = _MESH(v)
    positive(d.pitchDiameter, "pitchDiameter", "zero-diameter")
    reach = d.pitchDiameter * not_negative(d.speed, "speed") * abs(d.angle)
    return {"peak": math.pi * reach, "mean": 2 * reach}, []


# ---------------------------------------------------------------- shares and decisions


def combined(rule, shares):
    """What is used: the largest share or their sum."""
    return max(shares, default=0.0) if rule == "each-alone" else math.fsum(shares)


_SHARE = record({"combine": word(*words.COMBINE), "used": listof(record({"size": any_quantity, "limit": any_quantity})),
                 "beside": opt(any_quantity)})


def share(v):
    d = _SHARE(v)
    shares = []
    for u in d.used:
        if unit_kind(u.size[1]) != unit_kind(u.limit[1]):
            raise Fault("wrong-unit", "used")
        shares.append(abs(u.size[2]) / positive(not_negative(u.limit[2], "limit"), "limit"))
    used = combined(d.combine, shares)
    results = {"share": used, "verdict": "within" if used <= 1 + EDGE else "over"}
    if d.beside is not None:
        left = 1.0 if d.combine == "each-alone" else max(0.0, 1 - used)
        results["left"] = left * d.beside[2]
    return results, []


def conforms(value, sigma, lower, upper):
    """F((upper - value)/sigma) - F((lower - value)/sigma); without uncertainty 1 or 0."""
    not_negative(sigma, "sigma")
    if lower > upper:
        raise Fault("mismatch", "limits")
    if sigma == 0:
        return 1.0 if lower <= value <= upper else 0.0
    return special.between((lower - value) / sigma, (upper - value) / sigma)


_CONFORMITY = record({"value": RATIO, "sigma": RATIO, "lower": opt(RATIO, -math.inf), "upper": opt(RATIO, math.inf)})


def conformity(v):
    d = _CONFORMITY(v)
    return {"probability": conforms(d.value, d.sigma, d.lower, d.upper)}, []


_NORMAL = record({"vertical": LENGTH, "horizontal": LENGTH, "sigmaVertical": LENGTH, "sigmaHorizontal": LENGTH,
                  "correlation": opt(RATIO, 0.0)})


def covariance(p):
    not_negative(p.sigmaVertical, "sigmaVertical")
    not_negative(p.sigmaHorizontal, "sigmaHorizontal")
    if abs(p.correlation) > 1:
        raise Fault("out-of-range", "correlation")
    return p.sigmaVertical**2, p.sigmaHorizontal**2, p.correlation * p.sigmaVertical * p.sigmaHorizontal


def principal(p):
    """(larger sigma, smaller sigma, angle of the larger) of the ellipse of uncertainty."""
    a, b, c = covariance(p)
    mean, half = (a + b) / 2, math.hypot((a - b) / 2, c)
    larger = mean + half
    smaller = max(0.0, (a * b - c * c) / larger) if larger > 0 else 0.0
    return math.sqrt(larger), math.sqrt(smaller), math.atan2(2 * c, a - b) / 2


def ray(a, b, radius):
    """Integral from 0 to radius of r exp(-(a r^2 - 2 b r + b^2/a)/2) dr.

    With u = r - b/a the exponent is -a u^2/2, and r = u + b/a splits the integral
    into one that is plain and one that is the normal distribution function.
    """
    k = math.sqrt(a)
    low, high = -b / k, k * radius - b / k
    plain = (math.exp(-low * low / 2) - math.exp(-high * high / 2)) / a
    return plain + b / a / k * math.sqrt(2 * math.pi) * special.between(low, high)


def within_circle(p, radius):
    """Probability that a point with a normal uncertainty lies within a circle about zero.

    In polar coordinates the density along a ray has a closed integral (ray); what is
    left is an integral round the circle. Seen from zero the probability lies toward
    the mean and along the long axis of the ellipse, over angles that may be narrow:
    panels that grow from there on make sure that nothing is missed.
    """
    not_negative(radius, "radius")
    s1, s2, turn = principal(p)
    x = p.vertical * math.cos(turn) + p.horizontal * math.sin(turn)
    y = p.horizontal * math.cos(turn) - p.vertical * math.sin(turn)
    if s2 <= 1e-9 * s1:
        # All the uncertainty lies along one line: a chord of the circle.
        half = radius**2 - y * y
        return 0.0 if half < 0 else conforms(x, s1, -math.sqrt(half), math.sqrt(half))
    # In units of the larger uncertainty, so that the integral is of the size of one.
    x, y, radius, s1, s2 = x / s1, y / s1, radius / s1, 1.0, s2 / s1
    narrow = s2 / (math.hypot(x, y) + s1)
    marks = {-math.pi, math.pi}
    for centre in (math.atan2(y, x), 0.0, math.pi, -math.pi):
        width = narrow
        while width < 2 * math.pi:
            marks.update(m for m in (centre - width, centre, centre + width) if -math.pi < m < math.pi)
            width *= 3
    ends = sorted(marks)
    parts = [special.integral(lambda t: _along(t, x, y, s1, s2, radius), a, b, 10)
             for a, b in zip(ends, ends[1:]) if b - a > 1e-12]
    return min(1.0, math.fsum(parts) / (2 * math.pi * s1 * s2))


def _along(t, x, y, s1, s2, radius):
    """The part of the probability on the ray at angle t, times 2 pi s1 s2."""
    c, s = math.cos(t), math.sin(t)
    a = (c / s1)**2 + (s / s2)**2
    b = c * x / s1**2 + s * y / s2**2
    # The exponent is -(a r^2 - 2 b r + k)/2; k - b^2/a is what the ray passes by.
    passes = ((c * y - s * x) / (s1 * s2))**2 / a
    return math.exp(-passes / 2) * ray(a, b, radius) if passes < 1400 else 0.0


_RESULTANT = record({"point": _NORMAL, "radius": LENGTH})


def conformity_resultant(v):
    d = _RESULTANT(v)
    return {"probability": within_circle(d.point, d.radius)}, []


def outcome(size, band, limit):
    """Pass when the size and its guard band are within, fail when neither reaches back."""
    edge = EDGE * limit
    if size + band <= limit + edge:
        return "pass"
    return "fail" if size - band > limit + edge else "indeterminate"


def decision(size, sigma, limit, guard, probability):
    results = {"outcome": outcome(size, guard * sigma, limit), "probability": probability}
    if limit > 0:
        results["share"] = size / limit
    return results, []


_DECIDE = record({"value": LENGTH, "sigma": LENGTH, "limit": LENGTH, "guard": RATIO})


def decide(v):
    d = _DECIDE(v)
    for name in ("sigma", "limit", "guard"):
        not_negative(d[name], name)
    return decision(abs(d.value), d.sigma, d.limit, d.guard, conforms(d.value, d.sigma, -d.limit, d.limit))


_DECIDE_BOTH = record({"point": _NORMAL, "limit": LENGTH, "guard": RATIO})


def decide_resultant(v):
    """The guard band is that of the larger principal uncertainty, which is never too narrow."""
    d = _DECIDE_BOTH(v)
    not_negative(d.limit, "limit")
    not_negative(d.guard, "guard")
    size = math.hypot(d.point.vertical, d.point.horizontal)
    return decision(size, principal(d.point)[0], d.limit, d.guard, within_circle(d.point, d.limit))


# ---------------------------------------------------------------- grades

_GRADE = record({"set": TEXT, "misalignment": AXIS, "axialGap": opt(LENGTH), "runout": opt(LENGTH),
                 "geometry": tables.GEOMETRY})


def found_for(t, d):
    """(size, plane) of what a table limits; raises where it was not read."""
    if t.quantity == "axial-gap-error" or t.quantity == "runout":
        value = d.axialGap if t.quantity == "axial-gap-error" else d.runout
        if value is None:
            raise Fault("missing", t.quantity)
        return abs(value), "none"
    return measure_of(t.quantity, t.place, t.planes, d.misalignment, d.geometry)[:2]


def grade(v):
    """Every table of a set that can be graded, and the shares put together."""
    d = _GRADE(v)
    s = tables.find_set(d.set)
    results, warnings, shares, left = {}, [], [], 0
    for t in s.tables:
        try:
            size, plane = found_for(t, d)
            limit, _, ws = tables.limit(t, d.geometry)
        except Fault:
            left += 1
            continue
        shares.append(size / limit)
        warnings += ws
        results[t.id + ".share"] = size / limit
        results[t.id + ".plane"] = plane
    if not shares:
        raise Fault("nothing-graded")
    used = combined(s.combine, shares)
    results.update(share=used, verdict="within" if used <= 1 + EDGE else "over", ungraded=float(left))
    return results, warnings


_HIGHEST = record({"set": TEXT, "table": TEXT, "misalignment": AXIS, "geometry": tables.GEOMETRY})


def highest_speed(v):
    """The fastest speed at which the size is within; a limit never grows with speed, so halving finds it."""
    d = _HIGHEST(v)
    t = tables.find_table(d.set, d.table)
    if t.unusable:
        raise Fault("unusable-table", t.id)
    g = d.geometry
    size = measure_of(t.quantity, t.place, t.planes, d.misalignment, g)[0]

    def within(n):
        try:
            return size <= tables.limit(t, g, n)[0] * (1 + EDGE)
        except Fault as f:
            if f.code != "out-of-range":
                raise
            return None

    return speed_results(t, g, within), []


def speed_results(t, g, within):
    """Looks from the slowest speed of a table to the fastest; within(n) is None where it knows none."""
    if t.rule == "any-speed" or t.rule == "by-formula" and t.formula.power == 0:
        return {"answer": "unlimited" if within(1.0) else "none"}
    rows = tables.rows_for(t, g.size) if t.rows else []
    marks = {"by-band": [x for r in rows for x in (r.fromRpm, r.toRpm) if x], "by-point": [r.rpm for r in rows],
             "by-factor": [f.rpm for f in t.factors],
             "by-formula": [max(t.formula.lowestRpm, 1e-6)] if t.formula else []}
    speeds = sorted(set(marks[t.rule]))
    fastest = 1e12
    slow = speeds[0] * (0.5 if within(speeds[0] * 0.5) is not None else 1.0)
    if not within(slow):
        return {"answer": "none"}
    end = within(fastest)
    if end:
        return {"answer": "unlimited"}
    low, high = slow, fastest
    for mark in speeds:
        if within(mark):
            low = max(low, mark)
    for _ in range(200):
        mid = math.sqrt(low * high)
        if within(mid):
            low = mid
        else:
            high = mid
    top = next((m for m in speeds if abs(m / high - 1) < 1e-9), high)
    # A bound that is already too fast itself, because the stricter band owns it or nobody does.
    return {"answer": "up to" if within(top) or top == high else "below", "speed": top / 60}


COMPUTATIONS = {
    "tolerance.measure": measure,
    "tolerance.slope-of-gap": slope_of_gap,
    "tolerance.angle-of-slope": angle_of_slope,
    "tolerance.gear-sliding": gear_sliding,
    "tolerance.share": share,
    "tolerance.conformity": conformity,
    "tolerance.conformity-resultant": conformity_resultant,
    "tolerance.decide": decide,
    "tolerance.decide-resultant": decide_resultant,
    "tolerance.grade": grade,
    "tolerance.highest-speed": highest_speed,
    **tables.COMPUTATIONS,
}
