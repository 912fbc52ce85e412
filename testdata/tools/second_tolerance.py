"""Writes a second set of vectors about limits as JSON on standard output.

Faces and teeth are turned in space by scipy.spatial.transform.Rotation: the tilt
that opens a gap by so much is found by scipy.optimize.brentq, the way and speed of
a tooth from its positions by scipy.optimize.minimize_scalar. Probabilities are those
of scipy.stats.norm and multivariate_normal, the latter integrated over the
circle by scipy.integrate.dblquad. Texts are read by the json module of Python, and
numpy.diff says whether a table falls. Run with Python 3, NumPy and SciPy:
python3 second_tolerance.py
"""

import json
import sys

import numpy as np
from scipy.integrate import dblquad
from scipy.optimize import brentq, minimize_scalar
from scipy.spatial.transform import Rotation
from scipy.stats import multivariate_normal, norm

sys.dont_write_bytecode = True

from emit import number, suite, text, vector  # noqa: E402

SCIPY, STATS, PYTHON, NUMPY = "scipy-1-10-1", "scipy-1-10-1-stats", "python-3-11-2", "numpy-1-24-2"
rng = np.random.default_rng(14253)


def mm(v):
    return [float(v), "mm"]


def opened(angle, diameter):
    """How much wider a face turned by the angle stands open at one end of a diameter of the other."""
    n = Rotation.from_euler("z", angle).apply([1.0, 0.0, 0.0])  # square to the turned face
    up, down = (-n[1] * y / n[0] for y in (-diameter / 2, diameter / 2))
    return up - down


def slope_of_gap(n, gap, diameter):
    a = brentq(lambda x: opened(x, diameter) - gap, -1.0, 1.0, xtol=1e-16, rtol=1e-14)
    exp = [number("slope", np.tan(a) * 1000, "mm/m", 1e-9), number("angle", np.degrees(a), "deg", 1e-11)]
    return vector(f"slope-of-gap-{n}", f"A face turned until it opens by {gap:g} mm over {diameter:g} mm", "tolerance.slope-of-gap",
                  {"gap": mm(gap), "diameter": mm(diameter)}, exp, SCIPY)


def angle_of_slope(n, slope, diameter):
    """slope in mm/m, on a line of one metre."""
    def rise(x):
        d = Rotation.from_euler("z", x).apply([1.0, 0.0, 0.0])
        return d[1] / d[0] * 1000

    a = brentq(lambda x: rise(x) - slope, -1.0, 1.0, xtol=1e-16, rtol=1e-14)
    exp = [number("angle", np.degrees(a), "deg", 1e-11), number("gap", opened(a, diameter), "mm", 1e-9), number("slope", rise(a), "mm/m", 1e-9)]
    return vector(f"angle-of-slope-{n}", f"A line turned until it rises {slope:g} mm in a metre", "tolerance.angle-of-slope",
                  {"slope": [slope, "mm/m"], "diameter": mm(diameter)}, exp, SCIPY)


def gear_sliding(n, diameter, rpm, slope):
    """A tooth of the tilted hub on its way round, against the plane of the sleeve."""
    tilt = Rotation.from_euler("z", np.arctan(slope / 1000))

    def place(turn):
        p = tilt.apply(Rotation.from_euler("x", turn).apply([0.0, diameter / 2, 0.0]))
        return p[0] * diameter / 2 / np.hypot(p[1], p[2])  # where it crosses the pitch circle of the sleeve

    sign = 1.0 if slope > 0 else -1.0
    far = minimize_scalar(lambda t: sign * place(t), bounds=(-1.0, 1.0), method="bounded", options={"xatol": 1e-9})
    near = minimize_scalar(lambda t: -sign * place(t), bounds=(np.pi - 1.0, np.pi + 1.0), method="bounded", options={"xatol": 1e-9})
    way = abs(-near.fun - far.fun)  # between the ends, twice a turn
    turns = rpm / 60
    h = 1e-3

    def speed(t):  # of five points, good to h^4
        d = (8 * (place(t + h) - place(t - h)) - place(t + 2 * h) + place(t - 2 * h)) / (12 * h)
        return abs(d) * 2 * np.pi * turns

    top = minimize_scalar(lambda t: -speed(t), bounds=(np.pi / 2 - 0.5, np.pi / 2 + 0.5), method="bounded", options={"xatol": 1e-9})
    size = -top.fun
    allowed = float(f"{max(size, 1e-3) * max((slope / 1000) ** 2, 1e-9):.1e}")
    reason = "the tooth is followed in space: next to the tilt comes its square"
    exp = [number("peak", size, "mm/s", allowed, reason), number("mean", 2 * way * turns, "mm/s", allowed, reason)]
    return vector(f"gear-sliding-{n}", f"A tooth on {diameter:g} mm at {rpm:g} rpm followed round", "tolerance.gear-sliding",
                  {"pitchDiameter": mm(diameter), "speed": [rpm, "rpm"], "angle": [slope, "mm/m"]}, exp, SCIPY)


def outcome(size, guard, limit):
    return "pass" if size + guard <= limit else "fail" if size - guard > limit else "indeterminate"


def decide(n, value, sigma, limit, guard):
    p = norm.cdf(limit, value, sigma) - norm.cdf(-limit, value, sigma)
    exp = [number("probability", p, "1", 1e-12, "a distribution function of one variable; only rounding is allowed"),
           number("share", abs(value) / limit, "1", 1e-12), text("outcome", outcome(abs(value), guard * sigma, limit))]
    given = {"value": mm(value), "sigma": mm(sigma), "limit": mm(limit), "guard": [guard, "1"]}
    return vector(f"decide-{n}", f"An offset of {value:g} mm, {guard:g} standard uncertainties of guard", "tolerance.decide", given, exp, STATS)


def decide_resultant(n, point, sigmas, correlation, limit, guard):
    s, c = np.array(sigmas), correlation
    cov = np.array([[s[0] ** 2, c * s[0] * s[1]], [c * s[0] * s[1], s[1] ** 2]])
    density = multivariate_normal(point, cov).pdf
    p, _ = dblquad(lambda r, t: r * density([r * np.cos(t), r * np.sin(t)]), 0, 2 * np.pi, 0, limit, epsabs=1e-12, epsrel=1e-12)
    major = float(np.sqrt(np.linalg.eigvalsh(cov)[-1]))
    size = float(np.hypot(*point))
    exp = [number("probability", p, "1", 1e-9, "the integral is asked for to 1e-12"), number("share", size / limit, "1", 1e-12),
           text("outcome", outcome(size, guard * major, limit))]
    um = lambda v: [float(v), "um"]
    given = {"point": {"vertical": um(point[0]), "horizontal": um(point[1]), "sigmaVertical": um(s[0]), "sigmaHorizontal": um(s[1])},
             "limit": um(limit), "guard": [guard, "1"]}
    if c:
        given["point"]["correlation"] = [c, "1"]
    return vector(f"decide-resultant-{n}", "A resultant whose density is integrated over the circle", "tolerance.decide-resultant", given, exp, STATS)


def table(name, rows, rule, **more):
    return {"id": name, "title": "offset", "quantity": "true-offset", "place": "coupling-centre", "planes": "resultant", "unit": "mm",
            "rule": rule, "source": "invented", "known": "read", "rows": rows} | more


def check_table(n, count, falls):
    """Limits at rising speeds, which must not grow with them."""
    v = np.sort(np.round(rng.uniform(0.05, 0.25, count), 3))[::-1]
    if not falls:
        v[[1, 2]] = v[[2, 1]]
    rows = [{"rpm": 900 + 450 * i, "value": float(x)} for i, x in enumerate(v)]
    given = {"table": table("own", rows, "by-point", between="linear", below="hold", above="refuse")}
    title = f"{count} limits by rising speed, their differences all downward"
    if bool(np.all(np.diff(v) <= 0)):
        exp = [number("rows", len(json.loads(json.dumps(rows))), "1", 1e-9, "a count"), text("quantity", "true-offset")]
        return vector(f"check-table-{n}", title, "tolerance.check-table", given, exp, NUMPY)
    out = vector(f"check-table-{n}", f"{count} limits by rising speed, one difference upward", "tolerance.check-table", given, [], NUMPY)
    del out["expect"]
    out["error"] = "not-monotone"
    return {k: out[k] for k in ("id", "title", "computation", "input", "error", "source", "known")}


def parse_limits(n, title, written):
    got = json.loads(written)
    exp = [number("tables", len(got["tables"]), "1", 0, "a count"), text("combine", got["combine"])]
    return vector(f"parse-limits-{n}", title, "tolerance.parse-limits", {"text": written}, exp, PYTHON, [])


def texts():
    tables = [table(f"t{i}", [{"value": v}], "any-speed") for i, v in enumerate((0.1, 0.125, 0.05))]
    whole = {"format": "collinear limits 1", "id": "own", "title": "own", "combine": "each-alone", "tables": tables}
    yield parse_limits(1, "Three tables with blanks and line ends between all marks", json.dumps(whole, indent=3, separators=(" , ", " : ")))
    escaped = "".join(c if c in "{}[]:,\" .0123456789-" else f"\\u{ord(c):04x}" for c in json.dumps(whole | {"combine": "shares-add", "tables": tables[:1]}))
    yield parse_limits(2, "Every letter written as an escape", escaped)
    powers = json.dumps(whole | {"tables": tables[:2]}).replace("0.125", "1.25E-1").replace("0.1}", "100e-3}")
    yield parse_limits(3, "Limits written with powers of ten, and fields from last to first", json.dumps(dict(reversed(json.loads(powers).items()))).replace("0.125", "12.5e-2"))


suite("tolerance/second-library", [
    angle_of_slope(1, 0.8, 150.0), angle_of_slope(2, -3.25, 240.0), angle_of_slope(3, 17.5, 90.0),
    check_table(1, 5, True), check_table(2, 8, True), check_table(3, 6, False),
    decide(1, 0.071, 0.012, 0.1, 2.0), decide(2, -0.094, 0.008, 0.1, 1.65), decide(3, 0.171, 0.02, 0.125, 2.0), decide(4, -0.02, 0.03, 0.05, 1.0),
    decide_resultant(1, (20.0, -15.0), (8.0, 8.0), 0.0, 50.0, 2.0), decide_resultant(2, (-35.0, 22.0), (6.0, 11.0), 0.4, 50.0, 2.0),
    decide_resultant(3, (48.0, 51.0), (7.0, 5.0), -0.3, 50.0, 1.645),
    gear_sliding(1, 180.0, 3580.0, 0.9), gear_sliding(2, 95.0, 11200.0, -0.35), gear_sliding(3, 420.0, 1490.0, 4.0),
    *texts(),
    slope_of_gap(1, 0.06, 125.0), slope_of_gap(2, -0.45, 300.0), slope_of_gap(3, 2.4, 160.0),
])
