"""Circles through points and the plumb survey of vertical units.

Definitions: testdata/README.md, "Vertical units" and "Circles". Limits are those
of the US Bureau of Reclamation, FIST Volume 2-1, Table 1 and figure 16.

Formulas. A wire stands at a distance from the shaft; where the shaft leans north,
the north wire comes nearer and the south wire goes away, so half the difference
of the south and the north reading, each less its reading at the top, is the lean.
A shaft turned by t carries its throw along: lean = centre + R(t) throw, R turning
north toward east (clockwise from above). Both are linear in the unknowns.
A circle by algebraic least squares is linear in 2 xc, 2 yc and r^2 - xc^2 - yc^2
(Kasa, 1976); by geometric least squares the distances themselves are fitted.
"""

import math

import common as c
from common import Fault, LENGTH, NUMBER, listof, opt, record, word
from runout_limits import verdict

ROUNDNESS = 0.002 * 0.0254  # m, FIST 2-1, figure 16
STRAIGHTNESS = 0.003 * 0.0254  # m, FIST 2-1, Table 1
FREE = 0.005 * 0.0254  # m under a light push, FIST 2-1, p. 19
PLUMB = 0.000025  # of the height between the readings, FIST 2-1, Table 1
ORBIT = 0.002 * 0.0254  # m times length over runner diameter, FIST 2-1, Table 1
# Shares of a clearance, FIST 2-1, Table 1.
SHARES = {
    "stator-air-gap": 0.05, "stator-concentricity": 0.05, "upper-guide-bearing": 0.20, "lower-guide-bearing": 0.20,
    "seal-rings": 0.10, "stator-circularity": 0.05, "rotor-circularity": 0.05, "stator-verticality": 0.05,
    "rotor-verticality": 0.05, "wicket-gate-plumb": 0.20, "facing-plate-parallel": 0.20,
    "facing-plate-levelness": 0.20, "wicket-gate-to-centre": 0.0002, "wicket-gate-to-gate": 0.0001,
}
REFUSED = 10.0  # times the uncertainty of evenly spread positions
WIRES_NAMES = ("north", "south", "east", "west")


def WIRES(v, path="input"):
    d = record({"unit": c.unit_name("length"), **{k: NUMBER for k in WIRES_NAMES}})(v, path)
    out = {k: c.to_si(d[k], d.unit) for k in WIRES_NAMES}
    for k in WIRES_NAMES:
        c.not_negative(out[k], path + "." + k)
    return out


# ---------------------------------------------------------------- the sheet


def sheet(first, lower):
    """The columns of one worksheet (FIST 2-1, figure 16): a constant brings each
    wire of the first elevation to its north reading and goes along below."""
    out = {}
    corrected = {}
    for k in WIRES_NAMES:
        constant = first["north"] - first[k]
        corrected[k] = lower[k] + constant
        out["constant." + k] = constant
        out["corrected." + k] = corrected[k]
        out["together." + k] = first[k] + constant
    north = (corrected["south"] - corrected["north"]) / 2
    east = (corrected["west"] - corrected["east"]) / 2
    out["out-of-plumb.north-south"], out["out-of-plumb.east-west"] = abs(north), abs(east)
    out["toward.north-south"] = toward(north, "N", "S")
    out["toward.east-west"] = toward(east, "E", "W")
    out["sum.north-south"] = corrected["north"] + corrected["south"]
    out["sum.east-west"] = corrected["east"] + corrected["west"]
    out["roundness"] = abs(out["sum.north-south"] - out["sum.east-west"])
    return out, (north, east)


def toward(lean, plus, minus):
    # A lean of rounding errors only is none.
    if abs(lean) < 1e-12:
        return "plumb"
    return plus if lean > 0 else minus


def plumb_sheet(v):
    d = record({"first": WIRES, "lower": WIRES})(v)
    out, _ = sheet(d.first, d.lower)
    return out, ["plumb-roundness"] if out["roundness"] > ROUNDNESS * (1 + 1e-9) else []


# ---------------------------------------------------------------- orbits


def fit_orbit(points, sense=1):
    """lean = centre + R(t) throw, R turning clockwise: north = c co - s si, east =
    c si + s co; points are (t degrees, (north, east))."""
    rows, values = [], []
    for t, lean in points:
        co, si = c.clock(sense * t)
        rows += [[1.0, 0.0, co, -si], [0.0, 1.0, si, co]]
        values += list(lean)
    x, res, cof = c.lstsq(rows, values, tiny=1e-13)
    n = len(points)
    dof = 2 * n - 4
    return {"centre": x[:2], "throw": x[2:], "rms": math.sqrt(c.dot(res, res) / dof) if dof > 0 else 0.0,
            "worst": max(c.norm(res[2 * i:2 * i + 2]) for i in range(n)),
            # n positions spread evenly give each part of the throw a variance of 1/n.
            "arc": math.sqrt(cof[2][2] * n)}


def positions_check(turns):
    distinct = []
    for t in turns:
        if not any(abs((t - u + 180) % 360 - 180) < 1e-9 for u in distinct):
            distinct.append(t)
    if len(distinct) < 3:
        raise Fault("too-few-positions")


def orbit_results(points):
    positions_check([t for t, _ in points])
    try:
        o = fit_orbit(points)
    except Fault:
        raise Fault("arc-too-narrow")
    if o["arc"] > REFUSED:
        raise Fault("arc-too-narrow")
    out = {"diameter": 2 * c.norm(o["throw"]), "rms": o["rms"], "worst": o["worst"], "arc": o["arc"]}
    for name in ("centre", "throw"):
        out[name + ".north"], out[name + ".east"] = o[name]
        out[name + ".size"] = c.norm(o[name])
    i = 0
    for a, (t, p) in enumerate(points):
        for u, q in points[a + 1:]:
            if abs((u - t) % 360 - 180) < 1e-9:
                out["pair.%d.diameter" % i] = c.norm(c.sub(p, q))
                middle = c.scale(c.add(p, q), 0.5)
                out["pair.%d.middle.north" % i], out["pair.%d.middle.east" % i] = middle
                out["pair.%d.middle.size" % i] = c.norm(middle)
                i += 1
    warnings = []
    back = fit_orbit(points, -1)
    # Turned the other way the points fit better by far.
    if o["rms"] > 2 * back["rms"] and o["worst"] > 1e-12:
        warnings.append("turning-sense")
    return out, warnings


def orbit(v):
    d = record({"points": listof(record({"turned": NUMBER, "north": LENGTH, "east": LENGTH}))})(v)
    return orbit_results([(p.turned, (p.north, p.east)) for p in d.points])


# ---------------------------------------------------------------- the line


def from_chord(elevations, points):
    """Each point less the chord from the top one to the bottom one."""
    top, bottom = points[0], points[-1]
    out = []
    for x, p in zip(elevations, points):
        share = (elevations[0] - x) / (elevations[0] - elevations[-1])
        out.append(c.sub(p, c.add(c.scale(top, 1 - share), c.scale(bottom, share))))
    return out


def elevations_check(xs):
    for a, b in zip(xs, xs[1:]):
        if a == b:
            raise Fault("coincident-stations")
        if a < b:
            raise Fault("out-of-range", "elevations go from the top down")


def chord(v):
    d = record({"points": listof(record({"elevation": LENGTH, "north": LENGTH, "east": LENGTH}))})(v)
    if len(d.points) < 3:
        raise Fault("undetermined")
    xs = [p.elevation for p in d.points]
    elevations_check(xs)
    away = from_chord(xs, [[p.north, p.east] for p in d.points])
    out = {}
    for i, a in enumerate(away):
        out["away.%d.north" % i], out["away.%d.east" % i] = a
        out["away.%d.size" % i] = c.norm(a)
    i = max(range(len(away)), key=lambda k: c.norm(away[k]))
    out["farthest"], out["farthest.elevation"] = c.norm(away[i]), xs[i]
    out["verdict"] = verdict(out["farthest"] / STRAIGHTNESS)
    return out, []


def plumb_survey(v):
    position = record({"turned": NUMBER, "wires": listof(WIRES)})
    d = record({"elevations": listof(LENGTH), "positions": listof(position),
                "reclamation": opt(record({"length": LENGTH, "runner": LENGTH}))})(v)
    xs = d.elevations
    if len(xs) < 2:
        raise Fault("missing", "elevations")
    elevations_check(xs)
    for p in d.positions:
        if len(p.wires) != len(xs):
            raise Fault("mismatch")
    out, warnings = {}, set()
    leans, chords = [], []
    for i, p in enumerate(d.positions):
        at = [[0.0, 0.0]]
        for k in range(1, len(xs)):
            s, lean = sheet(p.wires[0], p.wires[k])
            out.update({"position.%d.level.%d.%s" % (i, k, n): x for n, x in s.items()})
            if s["roundness"] > ROUNDNESS * (1 + 1e-9):
                warnings.add("plumb-roundness")
            at.append(list(lean))
        leans.append(at)
        away = from_chord(xs, at)
        chords.append(away)
        for k, a in enumerate(away):
            out["position.%d.chord.%d.north" % (i, k)], out["position.%d.chord.%d.east" % (i, k)] = a
            out["position.%d.chord.%d.size" % (i, k)] = c.norm(a)
    for k in range(1, len(xs)):
        o, w = orbit_results([(p.turned, leans[i][k]) for i, p in enumerate(d.positions)])
        warnings |= set(w)
        out.update({"orbit.%d.%s" % (k, n): x for n, x in o.items()})
    for k in range(1, len(xs) - 1):
        # What goes along with the shaft is a bow of it, what stays is a wire.
        f = fit_orbit([(p.turned, chords[i][k]) for i, p in enumerate(d.positions)])
        for name, part in (("shaft", f["throw"]), ("fixed", f["centre"])):
            out["bow.%d.%s.north" % (k, name)], out["bow.%d.%s.east" % (k, name)] = part
            out["bow.%d.%s.size" % (k, name)] = c.norm(part)
    last, height = len(xs) - 1, xs[0] - xs[-1]
    centre = out["orbit.%d.centre.size" % last]
    out["slope"] = centre / height
    out["farthest"] = max(c.norm(a) for away in chords for a in away)
    if d.reclamation is not None:
        out.update(reclamation_verdicts(out, d.reclamation, last, height, centre, len(xs)))
    return out, warnings


def reclamation_verdicts(out, r, last, height, centre, levels):
    limits = {"orbit": orbit_limit(r.length, r.runner), "plumb": PLUMB * height}
    measured = {"orbit": out["orbit.%d.diameter" % last], "plumb": centre}
    if levels > 2:
        limits["straightness"], measured["straightness"] = STRAIGHTNESS, out["farthest"]
    res = {}
    for k in limits:
        res["limit." + k] = limits[k]
        res["verdict." + k] = verdict(measured[k] / limits[k])
    return res


def orbit_limit(length, runner):
    c.positive(length, "length")
    c.positive(runner, "runner", "zero-diameter")
    return ORBIT * length / runner


def reclamation_limit(v):
    d = record({"item": c.TEXT, "reference": opt(LENGTH), "runner": opt(LENGTH)})(v)
    fixed = {"straightness": STRAIGHTNESS, "roundness": ROUNDNESS}
    if d.item in fixed:
        return {"limit": fixed[d.item], "known": "read"}, []
    if d.item not in SHARES and d.item not in ("plumb", "orbit"):
        raise Fault("unknown-kind")
    reference = c.positive(c.require(d.reference, "reference"), "reference")
    if d.item == "plumb":
        return {"limit": PLUMB * reference, "known": "read"}, []
    if d.item == "orbit":
        return {"limit": orbit_limit(reference, c.require(d.runner, "runner")), "known": "read"}, []
    return {"limit": SHARES[d.item] * reference, "known": "read"}, []


def shaft_free(v):
    d = record({"push": LENGTH})(v)
    free = abs(d.push) >= FREE * (1 - 1e-9)
    return {"free": "yes" if free else "no"}, [] if free else ["shaft-not-free"]


# ---------------------------------------------------------------- circles


def algebraic(points):
    """x^2 + y^2 = 2 xc x + 2 yc y + (r^2 - xc^2 - yc^2), linear in three unknowns."""
    mx = math.fsum(p[0] for p in points) / len(points)
    my = math.fsum(p[1] for p in points) / len(points)
    size = max(math.hypot(p[0] - mx, p[1] - my) for p in points)
    if size == 0 or len(points) < 3:
        raise Fault("undetermined")
    q = [((p[0] - mx) / size, (p[1] - my) / size) for p in points]
    x, _, _ = c.lstsq([[a, b, 1.0] for a, b in q], [a * a + b * b for a, b in q], tiny=1e-9)
    xc, yc = x[0] / 2, x[1] / 2
    return mx + xc * size, my + yc * size, math.sqrt(x[2] + xc * xc + yc * yc) * size


def geometric(points):
    """Gauss-Newton on the distances, from the algebraic circle; steps are halved
    while they do not make the sum of squares less."""
    xc, yc, _ = algebraic(points)

    def distances(x, y):
        return [math.hypot(p[0] - x, p[1] - y) for p in points]

    def cost(x, y):
        ds = distances(x, y)
        mean = math.fsum(ds) / len(ds)
        return math.fsum((v - mean) ** 2 for v in ds)

    for _ in range(200):
        ds = distances(xc, yc)
        rows = [[-(p[0] - xc) / v, -(p[1] - yc) / v, -1.0] for p, v in zip(points, ds)]
        step, _, _ = c.lstsq(rows, [-v for v in ds], tiny=1e-13)
        k, now = 1.0, cost(xc, yc)
        while k > 1e-9 and cost(xc + k * step[0], yc + k * step[1]) > now:
            k /= 2
        xc, yc = xc + k * step[0], yc + k * step[1]
        if math.hypot(step[0], step[1]) < 1e-9 * max(ds):
            break
    for _ in range(6):  # Newton's method for the last digits of rough points
        ds = distances(xc, yc)
        mean = math.fsum(ds) / len(ds)
        us = [((xc - p[0]) / v, (yc - p[1]) / v) for p, v in zip(points, ds)]
        middle = [math.fsum(u[k] for u in us) / len(us) for k in (0, 1)]
        grad = [math.fsum((v - mean) * u[k] for u, v in zip(us, ds)) for k in (0, 1)]
        hess = [[math.fsum((u[j] - middle[j]) * u[k] + (v - mean) * ((j == k) - u[j] * u[k]) / v
                           for u, v in zip(us, ds)) for k in (0, 1)] for j in (0, 1)]
        try:
            step = c.solve(hess, grad)
        except Fault:
            break
        if math.hypot(*step) > 1e-3 * max(ds):
            break  # not near the end: what was found stands
        xc, yc = xc - step[0], yc - step[1]
    return xc, yc, math.fsum(distances(xc, yc)) / len(points)


def circle(v):
    d = record({"unit": c.unit_name("length"), "points": c.pairs, "method": word("geometric", "algebraic")})(v)
    fit = {"geometric": geometric, "algebraic": algebraic}[d.method]
    xc, yc, r = fit(d.points)  # in the unit given
    ds = [math.hypot(p[0] - xc, p[1] - yc) for p in d.points]
    n = len(ds)
    mean = math.fsum(ds) / n
    res = [v - r for v in ds]
    squares = math.fsum(e * e for e in res)
    si = lambda x: c.to_si(x, d.unit)
    out = {"centre.x": si(xc), "centre.y": si(yc), "radius": si(r), "mean-distance": si(mean),
           "rms": si(math.sqrt(squares / n)), "scatter": si(math.sqrt(math.fsum((v - mean) ** 2 for v in ds) / n)),
           "worst": si(max(abs(e) for e in res)), "sum-squares-in-unit": squares}
    out.update({"residual.%d" % i: si(e) for i, e in enumerate(res)})
    return out, []


COMPUTATIONS = {
    "runout.plumb-sheet": plumb_sheet,
    "runout.plumb-survey": plumb_survey,
    "runout.orbit": orbit,
    "runout.chord": chord,
    "runout.reclamation-limit": reclamation_limit,
    "runout.shaft-free": shaft_free,
    "runout.circle": circle,
}
