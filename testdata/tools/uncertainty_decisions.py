"""Writes the vectors of single decisions and of the choice of a method as JSON.

Specific risks are tails of scipy.stats.norm, guard bands roots by
scipy.optimize.brentq. Methods are compared by the inverse of the normal matrix
(numpy.linalg.inv) of their readings: a rim dial reads c + e(x).n, a face dial c +
(D/2) slope.n, and two face dials over a spool give e(x) = a (x - near flex) + b (x
- far flex). Figures are invented with a fixed seed. Run with Python 3, NumPy and
SciPy: python3 uncertainty_decisions.py
"""

import json
import math

import numpy as np
from scipy import optimize, stats

rng = np.random.default_rng(106)
ROUND = "two double-precision computations of the same figure differ by rounding alone"
SOURCE = "scipy-1-10-1-decisions"
INF = float("inf")


def expect(name, value, unit, tolerance, reason=ROUND):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": float(tolerance), "reason": reason}


def vector(identity, title, computation, given, out):
    return {"id": "uncertainty." + identity, "title": title, "computation": "uncertainty." + computation, "input": given, "expect": out, "source": SOURCE, "known": "derived"}


def number(v):
    return "+Inf" if v == INF else "-Inf" if v == -INF else v


def span(low, high, unit):
    return {"lower": [number(low), unit], "upper": [number(high), unit]}


def r(x, n):
    return float(np.round(x, n))


def specific(k):
    unit = ("um", "mil", "1")[k % 3]
    tol = r(rng.uniform(5, 50), 1)
    low, high = [(-tol, tol), (-INF, tol), (-tol, INF), (0.0, tol)][k % 4]
    guard = r(rng.uniform(0, 0.3) * tol, 1) * (k % 2)
    accept = (low + guard, high - guard)
    sigma, y = r(rng.uniform(0.05, 0.6) * tol, 2), r(rng.uniform(-1.4, 1.4) * tol, 1)
    given = {"measured": [y, unit], "sigma": [sigma, unit], "tolerance": span(low, high, unit), "acceptance": span(*accept, unit)}
    mean, spread = y, sigma
    if k % 3 == 0:
        m0, s0 = r(rng.uniform(-0.5, 0.5) * tol, 1), r(rng.uniform(0.1, 1) * tol, 2)
        given["prior"] = {"mean": [m0, unit], "sigma": [s0, unit]}
        w = 1 / s0**2 + 1 / sigma**2
        mean, spread = (m0 / s0**2 + y / sigma**2) / w, math.sqrt(1 / w)
    d = stats.norm(mean, spread)
    inside, outside = d.cdf(high) - d.cdf(low), d.cdf(low) + d.sf(high)
    ok = accept[0] <= y <= accept[1]
    out = [{"name": "accepted", "text": "true" if ok else "false"}, expect("conforms", inside, "1", 1e-12), expect("consumer", outside if ok else 0.0, "1", 1e-12), expect("producer", 0.0 if ok else inside, "1", 1e-12)]
    return vector("specific-risk.scipy-%02d" % k, "Risk of the decision on one item", "specific-risk", given, out)


def guard(k):
    width, sigma, risk = r(rng.uniform(10, 60), 1), r(rng.uniform(0.5, 3), 2), r(rng.uniform(0.001, 0.2), 4)
    if k % 3 == 2:
        low, high, w = -INF, width, -sigma * stats.norm.ppf(risk)
    else:
        low, high = -width / 2, width / 2
        f = lambda w: stats.norm.sf(w / sigma) + stats.norm.sf((width - w) / sigma) - risk
        w = optimize.brentq(f, 0, width / 2, xtol=1e-13)
    given = {"tolerance": span(low, high, "um"), "sigma": [sigma, "um"], "risk": [risk, "1"]}
    return vector("specific-guard.scipy-%02d" % k, "Guard band for the worst accepted value", "specific-guard", given, [expect("width", w, "um", 1e-9, "the root is found by iteration")])


# Methods: unknowns are the zeros of two dials, offset and slope in both planes;
# lengths in millimetres, offsets at x0 so that the matrix is well conditioned.

def covariance(at, dials, x0):
    rows = []
    for i, (kind, where, s) in enumerate(dials):
        for t in at:
            c, n = math.cos(math.radians(t)), math.sin(math.radians(t))
            row = np.zeros(6)
            row[i] = 1
            if kind == "rim":
                row[2], row[3], row[4], row[5] = c, c * (where - x0), n, n * (where - x0)
            else:
                row[3], row[5] = where / 2 * c, where / 2 * n
            rows.append(row / s)
    a = np.array(rows)
    return np.linalg.inv(a.T @ a)


def spool(at, f, s):
    """Variances of the two slopes over the spool, as linear functions of e and slope."""
    def angle(diameter):
        rows = np.array([[1, diameter / 2 * math.cos(math.radians(t)), diameter / 2 * math.sin(math.radians(t))] for t in at]) / s
        return np.linalg.inv(rows.T @ rows)[1:, 1:]
    return angle(f["near"]), angle(f["far"])


def figures(method, g, at, s, sf, stations):
    if method == "face-face":
        a, b = spool(at, g, sf)
        slope = np.sqrt(np.diag(a + b))
        offsets = [np.sqrt(np.diag(a * (x - g["nearFlex"]) ** 2 + b * (x - g["farFlex"]) ** 2)) for x in stations]
        return slope, offsets
    if method == "rim-and-face":
        dials, x0 = [("rim", g["rim"], s), ("face", g["swept"], sf)], g["rim"]
    else:
        dials, x0 = [("rim", g["first"], s), ("rim", g["second"], s)], (g["first"] + g["second"]) / 2
    c = covariance(at, dials, x0)
    offsets = [np.sqrt([c[i, i] + 2 * (x - x0) * c[i, i + 1] + (x - x0) ** 2 * c[i + 1, i + 1] for i in (2, 4)]) for x in stations]
    return np.sqrt([c[3, 3], c[5, 5]]), offsets


POSITIONS = ([0, 90, 180, 270], [0, 45, 90, 135, 180, 225, 270, 315], [0, 90, 180], [20, 80, 140, 200, 260, 320], [315, 0, 45, 90, 135], [0, 120, 240])


def compare(k):
    at = [float(t) for t in POSITIONS[k % len(POSITIONS)]]
    first = r(rng.uniform(0, 100), 1)
    second = r(first + rng.uniform(80, 500), 1)
    rim = r(rng.uniform(80, 300), 1)
    places = {"reverse": {"first": first, "second": second}, "rimFace": {"rim": rim, "swept": r(rng.uniform(80, 500), 1)}, "double": {"first": rim, "second": r(rim + rng.uniform(40, 200), 1)},
              "faceFace": {"nearFlex": first, "farFlex": r(first + rng.uniform(300, 3000), 1), "near": r(rng.uniform(80, 400), 1), "far": r(rng.uniform(80, 400), 1)}}
    words = {"reverse": "reverse-indicator", "rimFace": "rim-and-face", "double": "double-radial", "faceFace": "face-face"}
    for name in list(places):
        if len(places) > 2 and rng.random() < 0.25:
            del places[name]
    s = r(rng.uniform(2, 15), 1)
    sf = r(rng.uniform(2, 20), 1) if k % 2 else s
    stations = [r(second + rng.uniform(50, 200), 1), r(second + rng.uniform(300, 2000), 1)]
    given = {n: {f: [v, "mm"] for f, v in p.items()} for n, p in places.items()}
    given.update(at=at, sigma=[s, "um"], stations=[[x, "mm"] for x in stations])
    if k % 2:
        given["faceSigma"] = [sf, "um"]
    results = {words[n]: figures(words[n], p, at, s * 1e-3, sf * 1e-3, stations) for n, p in places.items()}
    worst = {w: max(max(o) for o in f[1]) for w, f in results.items()}
    out = [{"name": "rank.%d" % i, "text": w} for i, w in enumerate(sorted(worst, key=worst.get))]
    for w, (slope, offsets) in results.items():
        out += [expect(w + ".slope." + p, v * 1e3, "mm/m", 1e-9 * v * 1e3) for p, v in zip(("vertical", "horizontal"), slope)]
        out.append(expect(w + ".worst", worst[w], "mm", 1e-9 * worst[w]))
        for i, o in enumerate(offsets):
            out += [expect("%s.offset.%d.%s" % (w, i, p), v, "mm", 1e-9 * v) for p, v in zip(("vertical", "horizontal"), o)]
    return vector("compare-methods.numpy-%02d" % k, "Which method finds the feet best", "compare-methods", given, out)


out = [specific(k) for k in range(24)] + [guard(k) for k in range(9)] + [compare(k) for k in range(18)]
print('{"suite": "uncertainty/decisions", "vectors": [')
print(",\n".join(json.dumps(v) for v in out))
print("]}")
