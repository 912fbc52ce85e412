"""Writes the vectors of two alignment jobs with their uncertainties as JSON.

A reverse-indicator and a rim-and-face set, from their definitions alone: with e
the misalignment (far less near), n = (cos t, sin t) at clock t, D the swept
diameter and S the roll-over sag, a dial reads

    rim, bracket on near  c + e(x).n + S(1 - cos t)/2
    rim, bracket on far   c - e(x).n + S(1 - cos t)/2
    face toward bracket   c + (D/2) slope.n + S(1 - cos t)/2

and numpy.linalg.lstsq finds e and the zeros c. A closing reading, a last one where
the first stood, is a check and not an equation. Moves of far feet are minus the
misalignment there, of near feet plus. The effect of a source is half the
difference of the answers one standard uncertainty to either side. Where only
readings and sag are uncertain and normal the answers are normal, with that
covariance: scipy.stats then gives what a simulation must come to. Readings and
distances are invented with a fixed seed. Run with Python 3, NumPy and SciPy:
python3 uncertainty_alignment.py linear, the same with simulated.
"""

import copy
import json
import math
import sys

import numpy as np
from scipy import stats

rng = np.random.default_rng(850)
ROUND = "two double-precision solutions of the same equations; uncertainties are differences of them"
SOURCE = "numpy-1-24-2-alignment"
SIZES = {"normal": 1.0, "rectangular": 1 / math.sqrt(3), "triangular": 1 / math.sqrt(6), "arc-sine": 1 / math.sqrt(2), "resolution": 1 / math.sqrt(12), "t": 1.0}
FIELD = {"normal": "sigma", "t": "sigma", "resolution": "division"}


def r(x, digits):
    return float(np.round(x, digits))


# The job in millimetres and degrees.

def rows(job):
    a, y = [], []
    for i, d in enumerate(job["dials"]):
        s = d["sweep"]
        for t, v in s[:-1] if s[0][0] == s[-1][0] else s:
            c, s = math.cos(math.radians(t)), math.sin(math.radians(t))
            row = [0.0] * 6
            row[i] = 1.0
            if d["kind"] == "face":
                row[3], row[5] = d["diameter"] / 2 * c, d["diameter"] / 2 * s
            else:
                g = 1.0 if d["bracket"] == "near" else -1.0
                row[2], row[3], row[4], row[5] = g * c, g * d["station"] * c, g * s, g * d["station"] * s
            a.append(row)
            y.append(v - d["sag"] * (1 - c) / 2)
    return np.array(a), np.array(y)


def solve(job):
    a, y = rows(job)
    scale = np.array([1, 1, 1, 1e-3, 1, 1e-3])
    x, _, rank, _ = np.linalg.lstsq(a * scale, y, rcond=None)
    assert rank == 6
    x = x * scale
    at = lambda p: (x[2] + x[3] * p, x[4] + x[5] * p)
    out = [x[3], x[5]]
    for p in job["stations"]:
        out += at(p)
    for p in job["near"]:
        out += at(p)
    for p in job["far"]:
        out += [-v for v in at(p)]
    return np.array(out)


def sweep(kind, station, diameter, bracket, sag, truth, positions, noise):
    out = []
    zero = None
    for t in positions:
        c, s = math.cos(math.radians(t)), math.sin(math.radians(t))
        if kind == "face":
            v = diameter / 2 * (truth[1] * c + truth[3] * s)
        else:
            v = (truth[0] + truth[1] * station) * c + (truth[2] + truth[3] * station) * s
            v = v if bracket == "near" else -v
        v += sag * (1 - c) / 2 + noise * rng.normal()
        zero = v if zero is None else zero
        out.append([t, r(v - zero, 4)])
    return out


POSITIONS = ([0, 90, 180, 270], [0, 90, 180, 270, 0], [0, 45, 90, 135, 180, 225, 270, 315], [0, 90, 180], [20, 80, 140, 200, 260, 320], [315, 0, 45, 90, 135], [0, 120, 240])


def job(k, kind):
    truth = (r(rng.normal(0, 0.3), 3), rng.normal(0, 5e-4), r(rng.normal(0, 0.3), 3), rng.normal(0, 5e-4))
    positions = [float(t) for t in POSITIONS[k % len(POSITIONS)]]
    far = r(rng.uniform(100, 600), 1)
    near = r(far - rng.uniform(80, 500), 1)
    diameter = r(rng.uniform(100, 500), 1)
    sag = [r(-abs(rng.normal(0, 0.08)), 3) for _ in range(2)]
    noise = 0.003 if k % 2 else 0.0
    if kind == "reverse":
        dials = [{"word": "on-far", "kind": "rim", "bracket": "near", "station": far, "diameter": 0.0}, {"word": "on-near", "kind": "rim", "bracket": "far", "station": near, "diameter": 0.0}]
    else:
        dials = [{"word": "rim", "kind": "rim", "bracket": "near", "station": far, "diameter": 0.0}, {"word": "face", "kind": "face", "bracket": "near", "station": 0.0, "diameter": diameter}]
    for d, s in zip(dials, sag):
        d["sag"] = s
        d["sweep"] = sweep(d["kind"], d["station"], d["diameter"], d["bracket"], s, truth, positions, noise)
    feet = lambda a, b: [r(a, 1), r(b, 1)]
    return {"method": kind, "dials": dials, "stations": [r((near + far) / 2, 1)],
            "near": feet(near - rng.uniform(50, 300), near - rng.uniform(400, 1500)) if k % 3 else [], "far": feet(far + rng.uniform(50, 300), far + rng.uniform(400, 2500))}


def dial_given(d):
    out = {"sag": {"rollOver": [d["sag"], "mm"]}, "sweep": {"unit": "mm", "readings": d["sweep"]}}
    if d["kind"] == "face":
        out["diameter"] = [d["diameter"], "mm"]
    else:
        out["station"] = [d["station"], "mm"]
    return out


def given(j, sources):
    ask = {"stations": [{"name": "s%d" % i, "at": [x, "mm"]} for i, x in enumerate(j["stations"])]}
    for m in ("near", "far"):
        if j[m]:
            ask[m] = {"inboard": [j[m][0], "mm"], "outboard": [j[m][1], "mm"]}
    a, b = (dial_given(d) for d in j["dials"])
    out = {"reverseIndicator": {"onFar": a, "onNear": b, "ask": ask}} if j["method"] == "reverse" else {"rimAndFace": {"rim": a, "face": b, "ask": ask}}
    out["sources"] = [s["given"] for s in sources]
    return out


# Sources: each a list of (standard uncertainty, function that puts a deviation in).

def distribution(size, unit, kinds):
    kind = kinds[int(rng.integers(len(kinds)))]
    out = {"kind": kind, FIELD.get(kind, "half"): [size, unit]}
    if kind == "t":
        out["degreesOfFreedom"] = float(rng.integers(4, 20))
    elif kind in ("normal", "rectangular") and rng.random() < 0.3:
        out["degreesOfFreedom"] = float(rng.integers(2, 50))
    return out, SIZES[kind] * size


def source(name, dist, entries, **what):
    d, u = dist
    return {"given": {"name": name, "distribution": d, **what}, "entries": [(u, e) for e in entries], "dof": d.get("degreesOfFreedom")}


def reading(i, k):
    def put(j, e):
        j["dials"][i]["sweep"][k][1] += e
    return put


def clock(i, k, closing):
    def put(j, e):
        s = j["dials"][i]["sweep"]
        s[k][0] += e
        if closing and k == 0:
            s[-1][0] += e
    return put


def field(places, name):
    def put(j, e):
        for i in places:
            j["dials"][i][name] += e
    return put


def foot(machine, i):
    def put(j, e):
        j[machine][i] += e
    return put


def tape(j, e):
    for d in j["dials"]:
        d["station"] *= 1 + e
    for name in ("stations", "near", "far"):
        j[name] = [x * (1 + e) for x in j[name]]


ALL = ["normal", "rectangular", "triangular", "arc-sine", "resolution", "t"]


def sources(j, k, simple=False):
    kinds = ["normal"] if simple else ALL
    words = [d["word"] for d in j["dials"]]
    out = []
    for i, w in enumerate(words):
        n = len(j["dials"][i]["sweep"])
        out.append(source("readings of " + w, distribution(r(rng.uniform(2, 20), 1) * 1e-3, "mm", kinds), [reading(i, q) for q in range(n)], vary="readings", dials=[w]))
    if k % 2:
        out.append(source("sag test", distribution(r(rng.uniform(2, 15), 1) * 1e-3, "mm", kinds), [field([0, 1], "sag")], vary="sag", dials=words))
    else:
        for i, w in enumerate(words):
            out.append(source("sag of " + w, distribution(r(rng.uniform(2, 15), 1) * 1e-3, "mm", kinds), [field([i], "sag")], vary="sag", dials=[w]))
    if simple:
        return out
    for i, w in enumerate(words):
        s = j["dials"][i]["sweep"]
        closing = s[0][0] == s[-1][0]
        d, u = distribution(r(rng.uniform(0.5, 4), 1), "deg", ["normal", "rectangular", "triangular"])
        out.append(source("angles of " + w, (d, u), [clock(i, q, closing) for q in range(len(s) - closing)], vary="clock-angles", dials=[w]))
        if j["dials"][i]["kind"] == "rim":
            out.append(source("station of " + w, distribution(r(rng.uniform(0.3, 3), 1), "mm", ALL), [field([i], "station")], vary="station", dials=[w]))
        else:
            out.append(source("diameter", distribution(r(rng.uniform(0.3, 3), 1), "mm", ALL), [field([i], "diameter")], vary="diameter", dials=[w]))
    out.append(source("far outboard foot", distribution(r(rng.uniform(1, 5), 1), "mm", ALL), [foot("far", 1)], vary="foot", foot="far-outboard"))
    out.append(source("tape", distribution(r(rng.uniform(0.5, 3), 1) * 1e-3, "1", ["normal", "rectangular"]), [tape], vary="tape"))
    return out


def names(j):
    stems = ["slope"] + ["offset.s%d" % i for i in range(len(j["stations"]))]
    stems += ["near.inboard", "near.outboard"] if j["near"] else []
    stems += ["far.inboard", "far.outboard"]
    return [s + "." + p for s in stems for p in ("vertical", "horizontal")]


def effects(j, listed):
    """For each source a matrix: a row for each of its entries, a column for each answer."""
    out = []
    for s in listed:
        e = []
        for u, put in s["entries"]:
            ends = []
            for sign in (1, -1):
                c = copy.deepcopy(j)
                put(c, sign * u)
                ends.append(solve(c))
            e.append((ends[0] - ends[1]) / 2)
        out.append(np.array(e))
    return out


def expect(name, value, unit, tolerance, reason=ROUND):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": float(tolerance), "reason": reason}


def vector(identity, title, computation, given, out, **more):
    return {"id": "uncertainty." + identity, "title": title, "computation": "uncertainty." + computation, "input": given, "expect": out, **more, "source": SOURCE, "known": "derived"}


def linear(k, kind):
    j = job(k, kind)
    listed = sources(j, k)
    base, parts = solve(j), effects(j, listed)
    out = []
    for i, name in enumerate(names(j)):
        unit = "mm/m" if name.startswith("slope") else "mm"
        scale = 1e3 if unit == "mm/m" else 1.0
        variances = np.array([(p[:, i] ** 2).sum() for p in parts])
        u = math.sqrt(variances.sum())
        below = sum(((p[:, i] / u) ** 4).sum() / s["dof"] for p, s in zip(parts, listed) if s["dof"])
        out += [expect(name + ".value", base[i] * scale, unit, 1e-11), expect(name + ".sigma", u * scale, unit, 1e-8 * u * scale + 1e-12)]
        if below > 1e-6:  # above a million what is left is rounding
            out.append(expect(name + ".degrees-of-freedom", 1 / below, "1", 1e-6 / below))
        if name.startswith(("slope", "far.outboard")):
            out += [expect("%s.share.%d" % (name, q), v / u**2, "1", 1e-7) for q, v in enumerate(variances)]
    title = "A reverse-indicator set" if kind == "reverse" else "A rim-and-face set"
    return vector("linear.%s-%d" % (kind, 1001 + k), title + " with the uncertainty of its answers", "linear", {"model": given(j, listed)}, out, flags=["random"])


def simulated(k, kind, trials=50000):
    """Readings and sag enter linearly: the answers are jointly normal."""
    j = job(k + 2, kind)
    listed = sources(j, k, simple=True)
    base, parts = solve(j), np.vstack(effects(j, listed))
    cov = parts.T @ parts
    reason = "four standard errors of %d trials" % trials
    out = [expect("trials", trials, "1", 0, "a count")]
    z = stats.norm.ppf(0.975)
    quantile = math.sqrt(0.025 * 0.975 / trials) / stats.norm.pdf(z)
    for i, name in enumerate(names(j)):
        unit = "mm/m" if name.startswith("slope") else "mm"
        u, v = (x * (1e3 if unit == "mm/m" else 1.0) for x in (math.sqrt(cov[i, i]), base[i]))
        out += [expect(name + ".mean", v, unit, 4 * u / math.sqrt(trials), reason), expect(name + ".sigma", u, unit, 4 * u / math.sqrt(2 * trials), reason),
                expect(name + ".symmetric.low", v - z * u, unit, 4 * quantile * u, reason), expect(name + ".symmetric.high", v + z * u, unit, 4 * quantile * u, reason)]
    last = names(j)
    a, b = last.index("far.inboard.vertical"), last.index("far.outboard.vertical")
    limits = [(r(base[i] - rng.uniform(0.5, 2) * math.sqrt(cov[i, i]), 4), r(base[i] + rng.uniform(0.5, 2) * math.sqrt(cov[i, i]), 4)) for i in (a, b)]
    both = stats.multivariate_normal(base[[a, b]], cov[np.ix_([a, b], [a, b])], allow_singular=True)
    (l0, u0), (l1, u1) = limits
    p = both.cdf([u0, u1]) - both.cdf([l0, u1]) - both.cdf([u0, l1]) + both.cdf([l0, l1])
    out.append(expect("within", p, "1", 4 * math.sqrt(p * (1 - p) / trials) + 1e-6, reason))
    within = [{"output": last[i], "lower": [l, "mm"], "upper": [u, "mm"]} for i, (l, u) in zip((a, b), limits)]
    return vector("simulate.%s-%d" % (kind, 1002 + k), "Readings and sag drawn at random, and both far feet within bounds together", "simulate",
                  {"model": given(j, listed), "seed": 800 + k, "trials": trials, "probability": [0.95, "1"], "within": within}, out, flags=["random"])


def main():
    kind = sys.argv[1]
    if kind == "linear":
        out = [linear(k, m) for m in ("reverse", "rim-face") for k in range(60)]
    else:
        out = [simulated(k, m) for m in ("reverse", "rim-face") for k in range(8)]
    print('{"suite": "uncertainty/alignment-%s", "vectors": [' % kind)
    print(",\n".join(json.dumps(v) for v in out))
    print("]}")


main()
