"""Several stations of one shaft, and a hub with its shaft.

Definitions: testdata/README.md, "Several stations of one shaft" and "A hub with
its shaft". A shaft straight but skewed has eccentricities on a line in space; a
bent one on two lines that meet, found by least squares over the place of the break.
"""

import itertools
import math

import align_sweeps as sweeps
import common as c
import runout_limits
from align_model import at
from common import Fault, LENGTH, SWEEP, listof, opt, record, word
from runout_station import turn

LEAST = 0.0125e-3  # m: the size that counts, README.md

STATION = record({"station": LENGTH, "sweep": SWEEP})


def eccentricities(stations):
    """(station, vector, turn) in the order given."""
    if not stations:
        raise Fault("missing", "stations")
    out = []
    for s in stations:
        t = turn(s.sweep)
        out.append((s.station, t["first"], t))
    xs = sorted(s[0] for s in out)
    if not math.isfinite(xs[-1] - xs[0]):
        raise Fault("out-of-range")
    for a, b in zip(xs, xs[1:]):
        if b - a <= 1e-9 * max(abs(a), abs(b)):
            raise Fault("coincident-stations")
    return out


def along_shaft(stations):
    """The same by rising station."""
    return sorted(eccentricities(stations), key=lambda s: s[0])


def straight(points):
    """Least-squares lines ((offset, slope) vertical, horizontal) and all residuals.
    One station gives a line without slope."""
    lines, left = [], []
    for k in (0, 1):
        rows = [[1.0, x] if len(points) > 1 else [1.0] for x, _, *_ in points]
        sol, res, _ = c.lstsq(rows, [p[1][k] for p in points])
        lines.append((sol[0], sol[1] if len(sol) > 1 else 0.0))
        left += res
    return lines, left


def shaft_bow(v):
    d = record({"stations": listof(STATION)})(v)
    pts = along_shaft(d.stations)
    n = len(pts)
    lines, left = straight(pts)
    out = {}
    for i, (x, e, _) in enumerate(pts):
        out["centre.%d.vertical" % i], out["centre.%d.horizontal" % i] = e
        out["centre.%d.size" % i] = c.norm(e)
        out["straight.%d.vertical" % i] = at(lines[0], x)
        out["straight.%d.horizontal" % i] = at(lines[1], x)
    out["straight.slope.vertical"], out["straight.slope.horizontal"] = lines[0][1], lines[1][1]
    out["straight.rms"] = sweeps.rms(left, 2 * n - 4)
    out["verdict"] = "told" if n >= 3 else "cannot-tell"
    if n < 3:
        return out, []
    a, b = pts[0], pts[-1]
    away = []
    for x, e, _ in pts:
        share = (x - a[0]) / (b[0] - a[0])
        chord = c.add(c.scale(a[1], 1 - share), c.scale(b[1], share))
        away.append((c.norm(c.sub(e, chord)), x))
    out["bow"], out["bow.station"] = max(away, key=lambda p: p[0])
    if n >= 4:
        out.update(bend(pts))
    return out, []


def bend(pts):
    """Two limbs that meet: e(x) = a + b x + g max(0, x - k), the same k in both
    planes. For a k the rest is linear; k itself is searched between the second
    and the last but one station, so that each limb has two to go by."""
    xs = [p[0] for p in pts]
    middle, half = (xs[0] + xs[-1]) / 2, (xs[-1] - xs[0]) / 2

    def fit(k):
        rows = [[1.0, (x - middle) / half, max(0.0, x - k) / half] for x in xs]
        total, sols = 0.0, []
        for plane in (0, 1):
            sol, res, _ = c.lstsq(rows, [p[1][plane] for p in pts])
            total += c.dot(res, res)
            sols.append(sol)
        return total, sols

    steps = 24
    places = []
    for a, b in zip(xs[1:-2], xs[2:-1]):
        places += [a + (b - a) * i / steps for i in range(steps)]
    places.append(xs[-2])
    costs = [fit(k)[0] for k in places]
    best = min(range(len(places)), key=lambda i: costs[i])
    k = golden(lambda x: fit(x)[0], places[max(0, best - 1)], places[min(len(places) - 1, best + 1)])
    if costs[best] <= fit(k)[0]:
        k = places[best]
    total, sols = fit(k)
    change = [s[2] / half for s in sols]
    dof = 2 * len(pts) - 7
    return {"bend.station": k, "bend.angle": c.norm(change),
            # The free limb turns with the change; the outside of the elbow is opposite.
            "bend.toward": c.bearing(-change[0], -change[1]),
            "bend.centre.vertical": sols[0][0] + sols[0][1] * (k - middle) / half,
            "bend.centre.horizontal": sols[1][0] + sols[1][1] * (k - middle) / half,
            "bend.rms": math.sqrt(total / dof), "bend.degrees-of-freedom": float(dof)}


def golden(f, a, b):
    """The least of f between a and b by golden sections."""
    g = (math.sqrt(5) - 1) / 2
    x, y = b - g * (b - a), a + g * (b - a)
    fx, fy = f(x), f(y)
    for _ in range(90):
        if fx <= fy:
            b, y, fy = y, x, fx
            x = b - g * (b - a)
            fx = f(x)
        else:
            a, x, fx = x, y, fy
            y = a + g * (b - a)
            fy = f(y)
    return (a + b) / 2


def line_shaft(v):
    """Half a thousandth for each foot, a thousandth in any one foot (Bloch and
    Geitner, Practical Machinery Management, vol. 4, p. 103)."""
    d = record({"length": LENGTH, "stations": listof(STATION)})(v)
    whole_limit = runout_limits.line_shaft_whole(d.length)
    pts = along_shaft(d.stations)
    whole = 2 * max(c.norm(e) for _, e, _ in pts)
    out = {"whole": whole, "whole.limit": whole_limit, "whole.margin": whole_limit - whole}
    over = whole > whole_limit * (1 + 1e-9)
    foot = c.to_si(1, "ft")
    near = [2 * c.norm(c.sub(p[1], q[1])) for p, q in itertools.combinations(pts, 2)
            if q[0] - p[0] <= foot * (1 + 1e-9)]
    if near:
        limit = runout_limits.ANY_FOOT
        out["any-foot"], out["any-foot.limit"], out["any-foot.margin"] = max(near), limit, limit - max(near)
        over = over or max(near) > limit * (1 + 1e-9)
    out["verdict"] = "over" if over else "within"
    return out, []


# ---------------------------------------------------------------- a hub

FACE = record({"diameter": LENGTH, "surface": word("face-toward", "face-away"), "sweep": SWEEP})


def hub_diagnosis(v):
    """Which causes explain what was read.

    What the shaft, a second reading and the oval show is read directly: bent-shaft,
    loose-fit and out-of-round are causes where they count. Of the hub against its
    shaft there are three accounts, nothing, bored-eccentric (one vector for all
    stations) and bored-skewed (a line of vectors); what an account leaves is the
    root mean square of the vectors over, compared with `least`. Best is the one
    that explains enough with the fewest unknowns, counted as far as the readings
    tell them apart.
    """
    d = record({"hub": listof(STATION), "shaft": listof(STATION), "face": opt(FACE), "again": opt(SWEEP),
                "least": opt(LENGTH, LEAST)})(v)
    least = (c.not_negative(d.least, "least") or LEAST) * (1 + 1e-9)
    hub, shaft = eccentricities(d.hub), eccentricities(d.shaft)
    carried, _ = straight(shaft)
    out, rows = {}, []
    for i, (x, e, _) in enumerate(hub):
        diff = [e[k] - at(carried[k], x) for k in (0, 1)]
        rows.append(([1.0, x], diff))
        out["difference.%d.vertical" % i], out["difference.%d.horizontal" % i] = diff
        out["difference.%d.size" % i], out["hub.%d.size" % i] = c.norm(diff), c.norm(e)
    for i, (_, e, _) in enumerate(shaft):
        out["shaft.%d.size" % i] = c.norm(e)
    if d.face is not None:
        if d.face.diameter <= 0:
            raise Fault("zero-diameter")
        # The tilt as a vector at the swept radius, in the sense of a face toward -x.
        sign, radius = (1 if d.face.surface == "face-toward" else -1), d.face.diameter / 2
        tilt = [sign * f for f in turn(d.face.sweep)["first"]]
        rows.append(([0.0, radius], [tilt[k] - radius * carried[k][1] for k in (0, 1)]))
    before, after = [], []
    if max(c.norm(e) for _, e, _ in shaft) > least:
        before.append("bent-shaft")
    if d.again is not None:
        first = turn(d.hub[0].sweep)["first"]
        out["repeat"] = c.norm(c.sub(turn(d.again)["first"], first))
        if out["repeat"] > least:
            after.append("loose-fit")
    ovals = [t["oval"] for _, _, t in hub if t["seen"] == "full"]
    if ovals:
        out["oval"] = max(ovals)
        if out["oval"] > least:
            after.append("out-of-round")
    accounts = []
    for bored in ((), ("bored-eccentric",), ("bored-skewed",)):
        left, unknowns = explain(rows, bored)
        accounts.append((before + list(bored) + after, left, unknowns))
    accounts.sort(key=lambda a: (a[1] > least, a[2] if a[1] <= least else 0, a[1] if a[1] > least else 0.0))
    for i, (causes, left, _) in enumerate(accounts):
        out["account.%d" % i] = "+".join(causes) if causes else "sound"
        out["account.%d.unexplained" % i] = left
    enough = [a for a in accounts if a[1] <= least]
    best = [a for a in enough if a[2] == enough[0][2]]
    out["best.count"] = float(len(best))
    out["verdict"] = "told" if len(best) == 1 else "cannot-tell"
    return out, []


def explain(rows, bored):
    """The root mean square of the vectors that a bore leaves over, and its
    unknowns, those of both planes, as far as the readings tell them apart."""
    rms = lambda es: math.sqrt(math.fsum(c.dot(e, e) for e in es) / len(es))
    used = {(): 0, ("bored-eccentric",): 1, ("bored-skewed",): 2}[bored]
    if used == 0:
        return rms([e for _, e in rows]), 0
    sizes = [max(abs(r[j]) for r, _ in rows) or 1.0 for j in range(used)]
    table = [[r[j] / sizes[j] for j in range(used)] for r, _ in rows]
    _, s, _ = c.svd(table)
    inverse = c.pinv(table)
    left = []
    for k in (0, 1):
        y = [e[k] for _, e in rows]
        x = c.matvec(inverse, y)
        left.append([v - c.dot(r, x) for r, v in zip(table, y)])
    return rms(list(zip(*left))), 2 * sum(1 for v in s if v > 1e-10 * s[0])


RULES = {
    # Hub first, then the shaft beside it, total indicator readings in inches:
    "pump-handbook": (0.002, 0.001),  # Mackay, The Practical Pumping Handbook, 10.3.5
    "chiller-maker": (0.001, 0.001),  # Carrier, 17/19EX, p. 215
}


def hub_rule(v):
    d = record({"rule": word(*RULES), "hub": LENGTH, "shaft": opt(LENGTH)})(v)
    c.not_negative(d.hub, "hub")
    hub, shaft = (c.to_si(x, "in") * (1 + 1e-9) for x in RULES[d.rule])
    if d.shaft is not None:
        c.not_negative(d.shaft, "shaft")
    if d.hub <= hub:
        return {"finding": "hub-within"}, []
    if d.shaft is None:
        return {"finding": "read-shaft"}, []
    return {"finding": "hub-eccentric" if d.shaft <= shaft else "straighten-or-replace-shaft"}, []


COMPUTATIONS = {
    "runout.shaft-bow": shaft_bow,
    "runout.line-shaft": line_shaft,
    "runout.hub-diagnosis": hub_diagnosis,
    "runout.hub-rule": hub_rule,
}
