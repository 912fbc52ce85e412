"""Writes a second set of alignment vectors as JSON on standard output.

Dials are simulated on turning shafts in three dimensions: scipy.optimize.brentq
finds where the stem meets the round rim or the tilted face, and
scipy.optimize.least_squares fits the position of the shafts to the rounded
readings. Where a figure is linear, numpy.linalg.lstsq fits
all unknowns of both dials at once, or numpy.polyfit and polyval carry lines. Run
with Python 3, NumPy and SciPy: python3 second_align.py
"""

import sys
from fractions import Fraction

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq, least_squares
from scipy.spatial.transform import Rotation

sys.dont_write_bytecode = True

from emit import number, numbers, suite, vector  # noqa: E402

NUMPY, SCIPY = "numpy-1-24-2", "scipy-1-10-1"
rng = np.random.default_rng(41207)
PLANES = ("vertical", "horizontal")
QUARTERS = [0, 90, 180, 270]
CURVE = (
    "the fit follows the curve of the rim and the tilt in full, the linear one does not: the next terms, "
    "offset^3/(8 radius^2) and offset times slope^2, are under 1e-9 mm for the small misalignments here, and grow on the way out"
)
SMALL = (0.03, 0.04)  # mm and mm/m


def mm(v):
    return [float(v), "mm"]


def pair(v, unit="mm"):
    return {"vertical": [float(v[0]), unit], "horizontal": [float(v[1]), unit]}


def axis_of(p):
    """offset and slope in each plane, mm and mm/m."""
    return {
        "vertical": {"offset": mm(p[0]), "slope": [float(p[1]), "mm/m"]},
        "horizontal": {"offset": mm(p[2]), "slope": [float(p[3]), "mm/m"]},
    }


def random_axis(offset=0.4, slope=0.8):
    v = np.round(rng.uniform(-1, 1, 4) * [offset, slope, offset, slope], 4)
    return [float(x) for x in v]


def lines(p):
    """For numpy.polyval over millimetres."""
    return [p[1] / 1000, p[0]], [p[3] / 1000, p[2]]


def both(name, v, h):
    return {name + ".vertical": v, name + ".horizontal": h}


# The shafts. The near one is the x axis; a shaft is a point and a direction.


def shaft(p):
    v, h = lines(p)
    d = np.array([1.0, v[0], h[0]])
    return np.array([0.0, v[1], h[1]]), d / np.linalg.norm(d)


NEAR = (np.zeros(3), np.array([1.0, 0.0, 0.0]))


def at(s, x):
    """The point of a shaft in the plane of station x."""
    return s[0] + s[1] * (x - s[0][0]) / s[1][0]


def tilt(a, b):
    """The shortest rotation from direction a to b."""
    c = np.cross(a, b)
    size = np.linalg.norm(c)
    return Rotation.from_rotvec(c * (np.arctan2(size, np.dot(a, b)) / size if size > 0 else 0.0))


def turned(s, clock):
    """The direction of a clock position that turns with the shaft."""
    return tilt(NEAR[1], s[1]).apply(Rotation.from_rotvec([np.radians(clock), 0, 0]).apply([0.0, 1.0, 0.0]))


def rim(carrier, touched, x, radius, clock, droop=0.0):
    """Distance from the carrying axis at which the stem meets the rim."""
    u, start = turned(carrier, clock), at(carrier, x) - [0.0, droop, 0.0]

    def outside(t):
        q = start + t * u - touched[0]
        return np.linalg.norm(np.cross(q, touched[1])) - radius

    return brentq(outside, 0.5 * radius, 1.5 * radius, xtol=1e-13, rtol=1e-15)


def face(carrier, touched, x, radius, clock):
    """How far the stem is pushed in by a face square to the touched shaft at x, which looks at the carrier."""
    u = turned(carrier, clock)
    start = at(carrier, x) + radius * u

    def beyond(t):
        return np.dot(start + t * carrier[1] - at(touched, x), touched[1])

    return brentq(beyond, -radius, radius, xtol=1e-14, rtol=1e-15)


def spool_of(p, x1, x2):
    """The spool runs from the near shaft at x1 to the far one at x2."""
    a, b = at(NEAR, x1), at(shaft(p), x2)
    return a, (b - a) / np.linalg.norm(b - a)


def sweep(values, clocks, unit="mm", digits=3):
    """Zeroed at the first position and rounded."""
    v = np.round(np.array(values) - values[0], digits) + 0.0
    return {"unit": unit, "readings": [[c, float(x)] for c, x in zip(clocks, v)]}


def fitted(model, sweeps):
    """The position that makes the simulated dials agree best with the readings; each has a zero of its own."""
    want = [np.array([r[1] for r in s["readings"]]) for s in sweeps]

    def left(p):
        out = []
        for got, w in zip(model(p), want):
            d = np.array(got) - w
            out.append(d - d.mean())
        return np.concatenate(out)

    return least_squares(left, np.zeros(4), x_scale=[0.1, 0.1, 0.1, 0.1], method="lm", diff_step=1e-4, xtol=1e-14, ftol=1e-14).x


def position(p, stations, tolerance, reason):
    v, h = lines(p)
    out = numbers(both("slope", v[0] * 1000, h[0] * 1000), "mm/m", tolerance, reason)
    for name, x in stations.items():
        out += numbers(both("offset." + name, np.polyval(v, x), np.polyval(h, x)), "mm", tolerance, reason)
    return out


def ask(stations):
    return {"stations": [{"name": n, "at": mm(x)} for n, x in stations.items()]}


def dial(clocks, values, digits=3, **more):
    return more | {"sag": {"none": True}, "sweep": sweep(values, clocks, digits=digits)}


# Two rim dials from one bracket.


def double_radial_simulated(n, bracket, x1, x2, radius, clocks):
    truth = random_axis(*SMALL)
    stations = {"a": 0.0, "b": x2 + 100.0}

    def model(p):
        far = shaft(p)
        carrier, touched = (NEAR, far) if bracket == "near" else (far, NEAR)
        return [[rim(carrier, touched, x, radius, c) for c in clocks] for x in (x1, x2)]

    first, second = model(truth)
    given = {
        "bracket": bracket, "first": dial(clocks, first, 5, station=mm(x1)),
        "second": dial(clocks, second, 5, station=mm(x2)), "ask": ask(stations),
    }
    p = fitted(model, [given["first"]["sweep"], given["second"]["sweep"]])
    return vector(
        f"double-radial-{n}", f"Two rim dials on the {bracket} bracket simulated in three dimensions",
        "align.double-radial", given, position(p, stations, 1e-8, CURVE), SCIPY,
    )


def joint(rows, readings):
    """Both dials at once by numpy.linalg.lstsq: a zero for each, then v0, sv, h0, sh. rows are functions of clock."""
    a, b = [], []
    for k, (row, s) in enumerate(zip(rows, readings)):
        for c, value in s["readings"]:
            zero = [0.0] * len(rows)
            zero[k] = 1.0
            t = np.radians(c)
            a.append(zero + list(row(np.cos(t), np.sin(t))))
            b.append(value)
    got = np.linalg.lstsq(np.array(a), np.array(b), rcond=None)[0][len(rows):]
    return [got[0], got[1] * 1000, got[2], got[3] * 1000]


def noisy(row, p, clocks):
    m = np.array([p[0], p[1] / 1000, p[2], p[3] / 1000])
    return [float(np.dot(row(np.cos(np.radians(c)), np.sin(np.radians(c))), m) + rng.normal(0, 0.004)) for c in clocks]


def rim_row(x, sign):
    return lambda c, s: (sign * c, sign * c * x, sign * s, sign * s * x)


def fit_case(n, computation, title, names, rows, extra, clocks, stations):
    """extra is what each dial is given beside its readings."""
    truth = random_axis(0.8, 1.5)
    dials = [dial(c, noisy(r, truth, c), **e) for r, c, e in zip(rows, clocks, extra)]
    p = joint(rows, [d["sweep"] for d in dials])
    given = dict(zip(names, dials)) | {"ask": ask(stations)}
    return given, vector(n, title, computation, given, position(p, stations, 1e-9, "two routes of linear least squares; only rounding is allowed"), NUMPY)


def double_radials():
    out = [
        double_radial_simulated(1, "near", 40.0, 260.0, 90.0, QUARTERS),
        double_radial_simulated(2, "far", -300.0, -60.0, 75.0, list(range(0, 360, 45))),
    ]
    for n, bracket, sign, xs in ((3, "near", 1, (30.0, 410.0)), (4, "far", -1, (-350.0, -90.0))):
        clocks = [[0, 35, 110, 170, 245, 300], [0, 60, 120, 180, 240, 300, 330]]
        given, v = fit_case(
            f"double-radial-{n}", "align.double-radial", "Uneven positions and scatter, both dials fitted at once",
            ("first", "second"), [rim_row(x, sign) for x in xs], [{"station": mm(x)} for x in xs], clocks, {"a": 0.0, "b": 500.0},
        )
        given["bracket"] = bracket
        out.append(v)
    return out


# Dials over a spool.


def over_spool(n, kind, x1, x2, d1, d2, clocks):
    truth = random_axis(*SMALL)
    stations = {"a": x1 - 50.0, "b": x2 + 50.0}

    def model(p):
        far, s = shaft(p), spool_of(p, x1, x2)
        if kind == "rim":
            return [rim(NEAR, s, d1, 80.0, c) for c in clocks], [rim(far, s, d2, 80.0, c) for c in clocks]
        first = [-face(NEAR, s, x1, d1, c) for c in clocks]
        second = [face(far, s, x2, d2, c) for c in clocks]  # this stem runs against x
        return first, second

    one, two = model(truth)
    spool = {"nearFlex": mm(x1), "farFlex": mm(x2)}
    if kind == "rim":
        given = {"spool": spool, "onNear": dial(clocks, one, 5, station=mm(d1)), "onFar": dial(clocks, two, 5, station=mm(d2))}
        name, names = "shaft-to-spool", ("onNear", "onFar")
    else:
        given = {"spool": spool, "nearFace": dial(clocks, one, 5, diameter=mm(2 * d1)), "farFace": dial(clocks, two, 5, diameter=mm(2 * d2))}
        name, names = "face-face", ("nearFace", "farFace")
    p = fitted(model, [given[k]["sweep"] for k in names])
    given["ask"] = ask(stations)
    return vector(
        f"{name}-{n}", "Two dials over a spool simulated in three dimensions", "align." + name, given,
        position(p, stations, 1e-8, CURVE), SCIPY,
    )


def spool_rows(kind, x1, x2, d1, d2):
    length = x2 - x1
    # the spool's line over the near shaft rises from nothing at x1 to the far offset at x2
    near_slope = np.array([1.0, x2]) / length
    far_slope = np.array([-1.0, -x1]) / length  # far shaft against the spool
    if kind == "face":
        one, two = d1 * near_slope, d2 * far_slope
    else:
        one = (d1 - x1) * near_slope
        two = (x2 - d2) * far_slope  # spool against the far shaft at d2, where the far shaft's lead is taken back
    return [lambda c, s, k=k: (c * k[0], c * k[1], s * k[0], s * k[1]) for k in (one, two)]


def over_spool_linear(n, kind, x1, x2, d1, d2):
    clocks = [[0, 50, 100, 160, 215, 290], [0, 80, 140, 200, 260, 310, 340]]
    names = ("nearFace", "farFace") if kind == "face" else ("onNear", "onFar")
    extra = [{"diameter": mm(2 * d1)}, {"diameter": mm(2 * d2)}] if kind == "face" else [{"station": mm(d1)}, {"station": mm(d2)}]
    name = "face-face" if kind == "face" else "shaft-to-spool"
    given, v = fit_case(
        f"{name}-{n}", "align." + name, "Uneven positions and scatter over a spool, both dials fitted at once",
        names, spool_rows(kind, x1, x2, d1, d2), extra, clocks, {"a": x1, "b": x2},
    )
    given["spool"] = {"nearFlex": mm(x1), "farFlex": mm(x2)}
    return v


def spools():
    return [
        over_spool(1, "face", 60.0, 660.0, 110.0, 95.0, QUARTERS),
        over_spool(2, "face", -200.0, 500.0, 140.0, 140.0, list(range(0, 360, 30))),
        over_spool_linear(3, "face", 0.0, 900.0, 120.0, 150.0),
        over_spool(1, "rim", 60.0, 660.0, 260.0, 480.0, QUARTERS),
        over_spool(2, "rim", -200.0, 500.0, 100.0, 180.0, list(range(0, 360, 45))),
        over_spool_linear(3, "rim", 0.0, 900.0, 300.0, 560.0),
    ]


def flex_angles():
    out = []
    for n, (x1, x2) in enumerate(((50.0, 350.0), (-400.0, 1100.0), (0.0, 152.4)), 1):
        p = random_axis(0.02, 0.04)
        far, s = shaft(p), spool_of(p, x1, x2)
        # a direction as seen along another: turn that one into x, then rise over run
        def against(d, base):
            w = tilt(base, NEAR[1]).apply(d)
            return w[1] / w[0] * 1000, w[2] / w[0] * 1000

        near, after = against(s[1], NEAR[1]), against(far[1], s[1])
        largest = max(np.arctan2(np.linalg.norm(np.cross(a, b)), np.dot(a, b)) for a, b in ((s[1], NEAR[1]), (far[1], s[1])))
        reason = "angles in space against differences of slopes: the next term is the slope cubed, under 1e-8 mm/m here"
        exp = numbers(both("near", *near) | both("far", *after), "mm/m", 1e-8, reason)
        exp.append(number("largest", largest, "1", 1e-11, reason))
        given = {"axis": axis_of(p), "spool": {"nearFlex": mm(x1), "farFlex": mm(x2)}}
        out.append(vector(f"flex-angles-{n}", "Angles of the spool in space against both shafts", "align.flex-angles", given, exp, SCIPY))
    return out


def after_moves():
    out = []
    for n, who in enumerate((("near",), ("far",), ("near", "far"), ("far",)), 1):
        p = random_axis(0.9, 1.2)
        v, h = (np.array(x) for x in lines(p))
        given = {"axis": axis_of(p)}
        for m in who:
            feet = sorted(np.round(rng.uniform(150, 1400, 2), 1))
            feet = [-x for x in feet] if m == "near" else feet
            moves = np.round(rng.uniform(-1, 1, (2, 2)), 3)
            given[m] = {
                "feet": {"inboard": mm(feet[0]), "outboard": mm(feet[1])}, "inboard": pair(moves[0]), "outboard": pair(moves[1]),
            }
            sign = 1 if m == "far" else -1
            v = np.polyadd(v, sign * np.polyfit(feet, moves[:, 0], 1))
            h = np.polyadd(h, sign * np.polyfit(feet, moves[:, 1], 1))
        stations = {"a": -120.0, "b": 333.3}
        given["ask"] = ask(stations)
        q = [v[1], v[0] * 1000, h[1], h[0] * 1000]
        out.append(vector(
            f"after-moves-{n}", "What is left after moves of " + " and ".join(who), "align.after-moves", given,
            position(q, stations, 1e-9, "lines by numpy.polyfit; only rounding is allowed"), NUMPY,
        ))
    return out


def moved_in_space():
    """The far machine is turned and shifted as a body until its feet have moved as told."""
    out = []
    for n in (5, 6):
        p = random_axis(*SMALL)
        feet = np.array([260.0, 940.0])
        moves = np.round(rng.uniform(-0.03, 0.03, (2, 2)), 3)
        far = shaft(p)
        middle = at(far, feet.mean())

        def moved(q, points):
            return middle + [0.0, q[0], q[1]] + Rotation.from_euler("zy", [q[2], -q[3]]).apply(points - middle)

        spots = np.array([at(far, x) for x in feet])

        def miss(q):
            return (moved(q, spots) - spots)[:, 1:].ravel() - moves.ravel()

        q = least_squares(miss, np.zeros(4), method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15).x
        ends = moved(q, np.array([at(far, -500.0), at(far, 1500.0)]))
        stations = {"a": 0.0, "b": 410.0}
        got = {x: [float(np.interp(x, ends[:, 0], ends[:, k])) for k in (1, 2)] for x in stations.values()}
        exp = []
        reason = "turned as a body in space: the feet come nearer by the slope squared, an offset under 1e-9 mm here"
        for name, x in stations.items():
            exp += numbers(both("offset." + name, *got[x]), "mm", 1e-8, reason)
        given = {
            "axis": axis_of(p),
            "far": {"feet": {"inboard": mm(feet[0]), "outboard": mm(feet[1])}, "inboard": pair(moves[0]), "outboard": pair(moves[1])},
            "ask": ask(stations),
        }
        out.append(vector(f"after-moves-{n}", "The far machine turned and shifted as a body in space", "align.after-moves", given, exp, SCIPY))
    return out


def bracket_sags():
    out = []
    cases = ((450.0, 18.0, None, 1, 205e9, 7850.0, 0.2), (700.0, 30.0, 24.0, 2, 69e9, 2700.0, 0.35), (1200.0, 40.0, 36.0, 3, 110e9, 1600.0, 0.0), (120.0, 9.5, None, 1, 200e9, 7800.0, 0.6))
    for n, (length, od, bore, bars, modulus, density, end) in enumerate(cases, 1):
        big, r, low = length / 1000, od / 2000, (bore or 0.0) / 2000

        def ring(power):
            """Integral of y^power over the section, strip by strip: y = radius sin t."""
            def disc(a):
                return 2 * a ** (power + 2) * quad(lambda t: np.sin(t) ** power * np.cos(t) ** 2, -np.pi / 2, np.pi / 2)[0]
            return disc(r) - (disc(low) if low else 0.0)

        weight, stiff = bars * ring(0) * density * 9.80665, modulus * bars * ring(2)

        def moment(x):
            own, _ = quad(lambda s: weight * (s - x), x, big)
            return own + end * 9.80665 * (big - x)

        slope = quad(lambda x: moment(x) / stiff, 0, big)[0]
        droop = quad(lambda x: moment(x) / stiff * (big - x), 0, big)[0]
        given = {"length": mm(length), "outerDiameter": mm(od)}
        if bore:
            given |= {"innerDiameter": mm(bore)}
        if bars > 1:
            given |= {"bars": bars}
        given |= {"modulusPascal": modulus, "densityKilogramPerCubicMetre": density}
        if end:
            given |= {"endMassKilogram": end}
        exp = numbers({"droop": droop * 1000, "roll-over": -2000 * droop}, "mm", 1e-9, "sections and bending moment by quadrature, good to 1e-10")
        exp.append(number("end-slope", slope * 1000, "mm/m", 1e-9, "sections and bending moment by quadrature, good to 1e-10"))
        out.append(vector(f"bracket-sag-{n}", f"{bars} bars of {length} mm, the bending moment integrated", "align.bracket-sag", given, exp, "scipy-1-10-1-growth"))
    return out


def clocks():
    out = []
    for n, hour in enumerate((1.0, 4.5, 7.75, 11.99, -2.25), 1):
        r = Rotation.from_euler("x", hour * 30, degrees=True)
        _, up, right = r.apply([0.0, 1.0, 0.0])
        exp = numbers({"degrees": np.degrees(np.arctan2(right, up)) % 360, "up": up, "right": right}, "1", 1e-12)
        exp[0]["tolerance"] = 1e-9
        out.append(vector(f"clock-{n}", f"The hand at {hour} turned as a rotation about x", "align.clock", {"hour": hour}, exp, SCIPY))
    return out


def sum_rules():
    cases = (("near", 60.0, 0.0, [1.5, 2.0, -0.8, 1.0]), ("far", 45.0, 0.0, [-1.2, 3.0, 0.9, -2.0]), ("near", 50.0, -0.6, [0.9, -2.0, 1.4, 3.0]), ("near", 120.0, -0.2, [2.5, 5.0, 0.3, -4.0]))
    x, vectors = 80.0, []
    for n, (bracket, radius, roll, p) in enumerate(cases, 1):
        far = shaft(p)
        carrier, touched = (NEAR, far) if bracket == "near" else (far, NEAR)
        droop = -roll / 2
        top, right, bottom, left = (rim(carrier, touched, x, radius, c, droop) for c in QUARTERS)
        e = np.hypot(abs(p[0]) + abs(p[1]) * x / 1000 + droop, abs(p[2]) + abs(p[3]) * x / 1000)
        s = np.hypot(p[1], p[3]) / 1000
        bound = float(f"{radius * (e / radius + s) ** 4:.1e}")
        given = {
            "dial": {
                "bracket": bracket, "station": mm(x), "diameter": mm(2 * radius), "sag": {"rollOver": mm(roll)} if roll else {"none": True},
                "sweep": {"unit": "mm", "readings": [[c, 0] for c in QUARTERS]},
            },
            "axis": axis_of(p),
        }
        reason = f"the formula stops at second order; the next is the fourth, radius (offset/radius + slope)^4 = {bound:g} mm"
        vectors.append(vector(
            f"expected-sum-rule-{n}", f"The stem followed round a rim of {radius} mm from the {bracket} bracket", "align.expected-sum-rule",
            given, [number("expected", top + bottom - right - left, "mm", max(bound, 1e-9), reason)], SCIPY,
        ))
    return vectors


def extrapolations():
    out = []
    for n, (x, lo, hi, limit) in enumerate((("1250", "100", "350", None), ("-990.5", "100", "320", "4"), ("212.5", "100", "350", None), ("3.7", "10.1", "11.2", "6")), 1):
        f = [Fraction(v) for v in (x, lo, hi)]
        spans = (f[0] - Fraction(float(np.clip(float(f[0]), float(f[1]), float(f[2]))))) / (f[2] - f[1])
        given = {"at": mm(x), "from": mm(lo), "to": mm(hi)}
        if limit:
            given["spans"] = float(limit)
        exp = [number("spans", abs(spans), "1", 1e-9)]
        warn = None
        if limit:
            warn = ["long-extrapolation"] if abs(spans) > Fraction(limit) else []
        out.append(vector(f"extrapolation-{n}", f"Station {x} against the span {lo} to {hi}, clipped by NumPy", "align.extrapolation", given, exp, NUMPY, warn))
    return out


def means():
    out = []
    for n, (count, cl, limit) in enumerate(((3, QUARTERS, 0.05), (4, list(range(0, 360, 45)), 0.004), (5, [0, 70, 140, 200, 300], None)), 1):
        base = rng.uniform(-0.5, 0.5, len(cl))
        table = np.round(base + rng.normal(0, 0.01, (count, len(cl))), 3)
        table = np.round(table - table[:, :1] + np.round(rng.uniform(-1, 1, (count, 1)), 3), 3)
        own = table - np.mean(table, axis=1, keepdims=True)
        repeat = float(np.max(np.ptp(own, axis=0)))
        given = {"sweeps": [{"unit": "mm", "readings": [[c, float(v)] for c, v in zip(cl, row)]} for row in table]}
        warn = None
        if limit:
            given["limit"] = mm(limit)
            warn = ["repeatability"] if repeat > limit else []
        exp = numbers({f"reading.{i}": v for i, v in enumerate(np.mean(own, axis=0))} | {"repeatability": repeat}, "mm", 1e-9)
        out.append(vector(f"mean-of-sweeps-{n}", f"{count} sweeps, each with its own zero", "align.mean-of-sweeps", given, exp, NUMPY, warn))
    return out


def mirrored():
    out = []
    for n in (1, 2, 3):
        p = random_axis(0.9, 1.5)
        v, h = lines(p)
        x = np.array([-400.0, 0.0, 700.0])
        far = np.column_stack([x, np.polyval(v, x), np.polyval(h, x)])
        near = np.column_stack([x, 0 * x, 0 * x])
        half = Rotation.from_euler("y", 180, degrees=True)
        gap = half.apply(near) - half.apply(far)  # the near one has become the far one
        along = half.apply(near)[:, 0]
        fv, fh = np.polyfit(along, gap[:, 1], 1), np.polyfit(along, gap[:, 2], 1)
        exp = numbers(both("offset", fv[1], fh[1]), "mm", 1e-9) + numbers(both("slope", fv[0] * 1000, fh[0] * 1000), "mm/m", 1e-9)
        out.append(vector(f"mirrored-axis-{n}", "Both shafts turned half round about the vertical", "align.mirrored-axis", {"axis": axis_of(p)}, exp, SCIPY))
    return out


def straightedges():
    """A straightedge laid on the near rim at a quarter; the feeler goes in toward the far rim."""
    out = []
    for n, (near, far, v, h) in enumerate(((80.0, 80.0, 0.21, -0.34), (62.5, 62.1, -0.43, 0.18), (110.0, 110.35, 0.05, 0.62)), 1):
        centre = np.array([v, h])

        def gap(clock):
            u = Rotation.from_euler("x", clock, degrees=True).apply([0.0, 1.0, 0.0])[1:]
            hit = brentq(lambda t: np.linalg.norm(t * u - centre) - far, 0.5 * far, 1.5 * far, xtol=1e-14, rtol=1e-15)
            return near - hit

        gaps = [gap(c) for c in QUARTERS]
        t = np.radians(QUARTERS)
        got = np.linalg.lstsq(np.column_stack([np.ones(4), -np.cos(t), -np.sin(t)]), gaps, rcond=None)[0]
        given = dict(zip(("top", "right", "bottom", "left"), (mm(g) for g in gaps)))
        out.append(vector(
            f"straightedge-gaps-{n}", f"Rims of {near} and {far} mm, the feeler pushed in until it meets the far one", "align.straightedge-gaps", given,
            numbers(both("offset", got[1], got[2]), "mm", 1e-9, "the curve of the rim is alike at opposite ends and drops out; only rounding is left"), SCIPY,
        ))
    return out


suite("align/second-library", [
    *after_moves(), *moved_in_space(), *bracket_sags(), *clocks(), *double_radials(), *sum_rules(), *extrapolations(),
    *flex_angles(), *means(), *mirrored(), *spools(), *straightedges(),
])
