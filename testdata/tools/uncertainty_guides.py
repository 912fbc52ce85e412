"""Writes the vectors of the examples of the two guides as JSON on standard output.

JCGM 101:2008, 9.2 to 9.4, and JCGM 100:2008, H.1 and H.2, from memory. Each
printed figure is held against an exact one before it is written: sums of
rectangular distributions by their closed form, the mass by Gauss-Legendre
quadrature, the comparison loss by the exponential and the noncentral
chi-squared distribution or by one-dimensional quadrature, linear figures by
derivatives with mpmath. What a simulation must give has four of its standard
errors as tolerance; that of the ends of shortest intervals inside the
distribution is four standard deviations of forty simulations by NumPy. Run with
Python 3, NumPy, SciPy and mpmath: python3 uncertainty_guides.py linear, the same
with simulated.
"""

import itertools
import json
import math
import sys

import mpmath
import numpy as np
from scipy import optimize, stats

M = 200000
ROUND = "linear figures are differences taken from values larger than the uncertainty"
STAT = "four standard errors of %d trials"
SOURCES = {"100": "jcgm-100-2008", "101": "jcgm-101-2008"}


def expect(name, value, unit, tolerance, reason=ROUND, printed=None):
    out = {"name": name, "exact": float(value), "unit": unit, "tolerance": float(tolerance), "reason": reason}
    if printed is None:
        return out
    places = len(printed.split(".")[1]) if "." in printed else 0
    half = 0.5 * 10.0**-places
    allowed = half if reason == ROUND else half + float(tolerance)
    if abs(value - float(printed)) > allowed:
        print("left out, does not recompute: %s %s, is %.8g" % (name, printed, value), file=sys.stderr)
        return out
    out["printed"] = printed
    out["tolerance"] = allowed
    if reason == ROUND:
        del out["tolerance"], out["reason"]
    else:
        out["reason"] = "half the last printed place, and %s; the printed figure is that of a simulation, the exact one is not" % reason
    return out


def vector(identity, title, computation, given, out, guide, locator, **more):
    source, known = (SOURCES[guide], "memory") if guide in SOURCES else (guide, "derived")
    v = {"id": "uncertainty." + identity, "title": title, "computation": "uncertainty." + computation, "input": given, "expect": out, **more, "source": source, "known": known}
    if locator:
        v["locator"] = locator
    return v


def normal(s, unit="1", **more):
    return {"kind": "normal", "sigma": [s, unit], **more}


def rect(a, unit="1", **more):
    return {"kind": "rectangular", "half": [a, unit], **more}


def model(formula, values, sources, correlations=None):
    out = {"formula": formula, "inputs": [{"name": n, "value": list(v)} for n, v in values],
           "sources": [{"name": s[0], "of": s[1], "distribution": s[2]} for s in sources]}
    if correlations:
        out["correlations"] = [{"first": a, "second": b, "coefficient": [r, "1"]} for a, b, r in correlations]
    return out


def additive(distributions):
    names = ["x%d" % (i + 1) for i in range(len(distributions))]
    return model("sum", [(n, (0, "1")) for n in names], [(n, n, d) for n, d in zip(names, distributions)])


# Exact distributions.

def sum_of_rectangles(halves):
    """CDF and density of a sum of rectangular deviations (closed form)."""
    mpmath.mp.dps = 40
    a = [mpmath.mpf(h) for h in halves]
    n = len(a)

    def f(x, power):
        total = mpmath.mpf(0)
        for signs in itertools.product((1, -1), repeat=n):
            t = x + sum(s * h for s, h in zip(signs, a))
            if t > 0:
                total += math.prod(signs) * t**power
        return total / (mpmath.factorial(power) * mpmath.mpf(2) ** n * mpmath.fprod(a))

    return (lambda x: f(mpmath.mpf(x), n)), (lambda x: f(mpmath.mpf(x), n - 1))


def symmetric_half(cdf, p, guess):
    return float(mpmath.findroot(lambda x: cdf(x) - (1 + p) / 2, guess))


def noncentral(x1, s, r=0.0):
    """x1^2 + x2^2 with means x1 and 0 and equal normal uncertainties: with a
    correlation the sum is two squares of independent normals, turned by 45 degrees."""
    l1, l2 = s * math.sqrt(1 + r), s * math.sqrt(1 - r)
    m = x1 / math.sqrt(2)
    if r == 0:
        nc = (x1 / s) ** 2
        d = stats.ncx2(2, nc) if nc else stats.chi2(2)
        return (lambda y: d.cdf(y / s**2)), 2 * s**2 + x1**2, math.sqrt(4 * s**4 + 4 * s**2 * x1**2)
    nodes, weights = np.polynomial.legendre.leggauss(400)

    def cdf(y):
        # u = sqrt(y) sin t for the second square, the first lies within sqrt(y) cos t.
        t = nodes * math.pi / 2
        root = math.sqrt(max(y, 0))
        u, w = root * np.sin(t), root * np.cos(t)
        inner = stats.norm.cdf((w - m) / l1) - stats.norm.cdf((-w - m) / l1)
        return float((weights * math.pi / 2 * w * inner * stats.norm.pdf(u, m, l2)).sum())

    mean = l1**2 + l2**2 + 2 * m * m
    return cdf, mean, math.sqrt(2 * l1**4 + 2 * l2**4 + 4 * m * m * (l1**2 + l2**2))


def shortest(cdf, p, top):
    """The shortest interval with probability p on [0, top]."""
    inv = lambda q: optimize.brentq(lambda y: cdf(y) - q, 0, top, xtol=1e-16) if q > 0 else 0.0
    width = lambda q: inv(q + p) - inv(q)
    best = optimize.minimize_scalar(width, bounds=(0, 1 - p - 1e-9), method="bounded", options={"xatol": 1e-9})
    q = best.x if best.fun < width(0.0) else 0.0
    return inv(q), inv(q + p)


def quantiles(cdf, low, high, p, s):
    """Both ends of the symmetric interval and their standard errors."""
    out = []
    for q in ((1 - p) / 2, (1 + p) / 2):
        x = optimize.brentq(lambda y: float(cdf(y)) - q, low, high, xtol=1e-15)
        h = 1e-3 * s
        density = (float(cdf(x + h)) - float(cdf(x - h))) / (2 * h)
        out.append((x, math.sqrt(q * (1 - q) / M) / density))
    return out


def simulated(prefix, mean, sigma, kurtosis, ends, unit, trials=M, printed=None):
    pr = printed or {}
    scale = math.sqrt(M / trials)
    reason = STAT % trials
    out = [expect(prefix + "mean", mean, unit, 4 * sigma / math.sqrt(trials), reason, pr.get("mean")),
           expect(prefix + "sigma", sigma, unit, 4 * sigma * math.sqrt((kurtosis - 1) / 4 / trials), reason, pr.get("sigma"))]
    for name, (x, error) in zip(("low", "high"), ends):
        out.append(expect(prefix + "symmetric." + name, x, unit, 4 * error * scale, reason, pr.get(name)))
    out.append({"name": "trials", "exact": trials, "unit": "1", "tolerance": 0, "reason": "a count"})
    return out


def run(m, seed, trials=M, p=0.95, **more):
    return {"model": m, "seed": seed, "trials": trials, "probability": [p, "1"], **more}


# JCGM 101:2008, 9.2.

ROOT3 = math.sqrt(3)
ADDITIVE = [
    ("normals", "Sum of four normal quantities", "9.2.2", [normal(1.0)] * 4, 2.0, {"sigma": "2.0", "low": "-3.92", "high": "3.92"}),
    ("rectangulars", "Sum of four rectangular quantities", "9.2.3", [rect(ROOT3)] * 4, 2.0, {"sigma": "2.0", "low": "-3.88", "high": "3.88"}),
    ("one-large", "Sum of four rectangular quantities, one ten times the others", "9.2.4", [rect(ROOT3)] * 3 + [rect(10 * ROOT3)], math.sqrt(103), {"sigma": "10.1", "low": "-17.0", "high": "17.0"}),
]


def additive_ends(distributions, sigma):
    if distributions[0]["kind"] == "normal":
        x = stats.norm.ppf(0.975) * sigma
        density = stats.norm.pdf(x, scale=sigma)
    else:
        cdf, pdf = sum_of_rectangles([d["half"][0] for d in distributions])
        x = symmetric_half(cdf, 0.95, 1.7 * sigma)
        density = float(pdf(x))
    error = math.sqrt(0.025 * 0.975 / M) / density
    return [(-x, error), (x, error)]


def kurtosis(distributions):
    """Of a sum: excesses of the fourth cumulants (rectangular -1.2 u^4)."""
    u = [d["half"][0] / ROOT3 if d["kind"] == "rectangular" else d["sigma"][0] for d in distributions]
    excess = sum(-1.2 * v**4 for v, d in zip(u, distributions) if d["kind"] == "rectangular")
    return 3 + excess / sum(v * v for v in u) ** 2


def linear_expected(prefix, value, sigma, p, unit, printed=None, dof=None):
    pr = printed or {}
    k = stats.norm.ppf((1 + p) / 2) if dof is None else stats.t(math.floor(dof)).ppf((1 + p) / 2)
    slack = 1e-9 * sigma + 1e-15 * abs(value)
    out = [expect(prefix + "value", value, unit, slack, printed=pr.get("value")), expect(prefix + "sigma", sigma, unit, slack, printed=pr.get("sigma")),
           expect(prefix + "half", k * sigma, unit, 1e-8 * k * sigma + slack, printed=pr.get("half")),
           expect(prefix + "low", value - k * sigma, unit, 1e-8 * k * sigma + 1e-12 * abs(value), printed=pr.get("low")),
           expect(prefix + "high", value + k * sigma, unit, 1e-8 * k * sigma + 1e-12 * abs(value), printed=pr.get("high"))]
    if dof is not None:
        out.append(expect(prefix + "degrees-of-freedom", dof, "1", 1e-7 * dof))
    return out


def mass():
    values = [("reference", (100000.0, "1")), ("correction", (1.234, "1")), ("air", (1.20, "1")), ("weight", (8000.0, "1")), ("reference-density", (8000.0, "1"))]
    sources = [("reference", "reference", normal(0.050)), ("correction", "correction", normal(0.020)), ("air", "air", rect(0.10)), ("weight", "weight", rect(1000.0)), ("reference-density", "reference-density", rect(50.0))]
    return model("mass-calibration", values, sources)


def loss(x1, r=0.0):
    return model("comparison-loss", [("x1", (x1, "1")), ("x2", (0.0, "1"))], [("x1", "x1", normal(0.005)), ("x2", "x2", normal(0.005))], [("x1", "x2", r)] if r else None)


def gauge():
    values = [("standard", (50.000623, "mm")), ("difference", (215e-6, "mm")), ("expansion", (11.5e-6, "1/K")), ("expansion-difference", (0.0, "1/K")), ("temperature", (-0.1, "degC-rise")), ("temperature-difference", (0.0, "degC-rise"))]
    sources = [("standard", "standard", {"kind": "t", "sigma": [0.025, "um"], "degreesOfFreedom": 18})]
    for name, s, dof in (("repeated observations", 0.0058, 24), ("comparator, random", 0.0039, 5), ("comparator, systematic", 0.0067, 8)):
        sources.append((name, "difference", normal(s, "um", degreesOfFreedom=dof)))
    sources += [("expansion", "expansion", rect(2e-6, "1/K")), ("expansion difference", "expansion-difference", rect(1e-6, "1/K", degreesOfFreedom=50)),
                ("mean temperature", "temperature", normal(0.2, "degC-rise")), ("swing of temperature", "temperature", {"kind": "arc-sine", "half": [0.5, "degC-rise"]}),
                ("temperature difference", "temperature-difference", rect(0.05, "degC-rise", degreesOfFreedom=2))]
    return model("end-gauge", values, sources)


def gauge_linear():
    mpmath.mp.dps = 40
    x = [mpmath.mpf(v) for v in ("50.000623", "0.000215", "11.5e-6", "0", "-0.1", "0")]
    f = lambda ls, d, a, da, t, dt: (ls * (1 + a * (t - dt)) + d) / (1 + (a + da) * t)
    c = [mpmath.diff(f, tuple(x), tuple(int(i == k) for k in range(6))) for i in range(6)]
    parts = [(c[0] * 25e-6, 18), (c[1] * 5.8e-6, 24), (c[1] * 3.9e-6, 5), (c[1] * 6.7e-6, 8), (c[2] * 2e-6 / ROOT3, None), (c[3] * 1e-6 / ROOT3, 50), (c[4] * 0.2, None), (c[4] * 0.5 / math.sqrt(2), None), (c[5] * 0.05 / ROOT3, 2)]
    s = math.sqrt(sum(float(e) ** 2 for e, _ in parts))
    dof = 1 / sum((float(e) / s) ** 4 / n for e, n in parts if n)
    out = linear_expected("y.", float(f(*x)), s, 0.99, "mm", {"value": "50.000838", "sigma": "0.000032", "half": "0.000093"}, dof)
    out.append(expect("y.factor", stats.t(math.floor(dof)).ppf(0.995), "1", 1e-7, printed="2.92"))
    return out + [expect("y.share.%d" % i, (float(e) / s) ** 2, "1", 1e-6, "second-order terms of a half difference") for i, (e, _) in enumerate(parts)]


V = [5.007, 4.994, 5.005, 4.990, 4.999]
I = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3]
PHI = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]


def impedance():
    data = np.array([V, I, PHI])
    mean = data.mean(axis=1)
    c = np.cov(data) / 5
    s = np.sqrt(np.diag(c))
    r = c / np.outer(s, s)
    names = ("voltage", "current", "phase")
    m = model("impedance", [(n, (v, "1")) for n, v in zip(names, mean)], [(n, n, normal(v)) for n, v in zip(names, s)],
              [(names[i], names[j], r[i, j]) for i, j in ((0, 1), (0, 2), (1, 2))])
    z, phi = mean[0] / mean[1], mean[2]
    jac = np.array([[z * math.cos(phi) / mean[0], -z * math.cos(phi) / mean[1], -z * math.sin(phi)], [z * math.sin(phi) / mean[0], -z * math.sin(phi) / mean[1], z * math.cos(phi)], [1 / mean[1], -z / mean[1], 0]])
    cov = jac @ c @ jac.T
    u = np.sqrt(np.diag(cov))
    out, second = [], "central differences of a smooth function: the third derivative times the square of the uncertainty"
    for i, (n, v, pv, pu) in enumerate((("resistance", z * math.cos(phi), "127.732", "0.071"), ("reactance", z * math.sin(phi), "219.847", "0.295"), ("impedance", z, "254.260", "0.236"))):
        out += [expect(n + ".value", v, "1", 1e-12 * v, printed=pv), expect(n + ".sigma", u[i], "1", 1e-6, printed=pu)]
        for j in range(i):
            pr = {(1, 0): "-0.588", (2, 0): "-0.485", (2, 1): "0.993"}[(i, j)]
            out.append(expect("%s.correlation.%d" % (n, j), cov[i, j] / u[i] / u[j], "1", 1e-6, printed=pr))
    return vector("linear.gum-impedance", "Resistance and reactance from correlated readings", "linear", {"model": m}, out, "100", "H.2, Tables H.2 to H.4")


def linear():
    # Linear figures; where the guide's own first-order figures are recalled they are printed.
    for name, title, clause, d, s, pr in ADDITIVE:
        printed = {"sigma": pr["sigma"]}
        if name == "one-large":
            printed.update(low="-19.9", high="19.9")
        else:
            printed.update(low="-3.92", high="3.92")
        yield vector("linear.guide-" + name, title, "linear", {"model": additive(d), "probability": [0.95, "1"]}, linear_expected("y.", 0.0, s, 0.95, "1", printed), "101", clause)
    s = math.hypot(0.050, 0.020)
    yield vector("linear.guide-mass", "Calibration of a mass, milligrams over 100 g", "linear", {"model": mass(), "probability": [0.95, "1"]},
                 [expect(e["name"], e["exact"], "1", 1e-10, "rounding of a mass of 100,000 mg") if "printed" not in e else e for e in linear_expected("y.", 1.234, s, 0.95, "1", {"value": "1.2340", "sigma": "0.0539", "low": "1.1285", "high": "1.3395"})], "101", "9.3.2, Table 5, first order")
    for x1, printed in ((0.0, {"value": "0", "sigma": "0"}), (0.010, {"value": "0.000100", "sigma": "0.000100"}), (0.050, {"value": "0.002500", "sigma": "0.000500"})):
        out = linear_expected("y.", x1 * x1, 2 * x1 * 0.005, 0.95, "1", printed)
        # At 0.05 what the straight line leaves out is a tenth to the last digit.
        more = {"warnings": ["not-linear"]} if x1 < 0.05 else {}
        if x1 == 0:
            out = [expect("y.value", 0.0, "1", 0, "exactly zero"), expect("y.sigma", 0.0, "1", 0, "both halves of the difference are alike")]
        yield vector("linear.guide-loss-%d" % round(1000 * x1), "Comparison loss at x1 = %g, first order" % x1, "linear", {"model": loss(x1), "probability": [0.95, "1"]}, out, "101", "9.4.2", **more)
    yield vector("linear.gum-end-gauge", "Calibration of an end gauge", "linear", {"model": gauge(), "probability": [0.99, "1"]}, gauge_linear(), "100", "H.1; the distributions are those of JCGM 101:2008, 9.5, but for the rounded rectangles")
    yield impedance()
    for k, (a, b, ua, ub) in enumerate(((3.0, 4.0, 0.01, 0.02), (-2.0, 0.5, 0.1, 0.004), (10.0, 0.1, 0.2, 0.0))):
        m = model("product", [("a", (a, "1")), ("b", (b, "1"))], [("a", "a", normal(ua)), ("b", "b", normal(ub))])
        out = [expect("y.value", a * b, "1", 1e-13), expect("y.sigma", math.hypot(a * ub, b * ua), "1", 1e-12), expect("y.share.0", (b * ua) ** 2 / ((b * ua) ** 2 + (a * ub) ** 2), "1", 1e-9)]
        yield vector("linear.product-%d" % k, "Of two factors each gives its uncertainty times the other", "linear", {"model": m}, out, "own", None)


def mass_exact():
    """Quadrature over the three rectangular inputs; what is left is normal."""
    mpmath.mp.dps = 30
    n, w = np.polynomial.legendre.leggauss(60)
    air, weight, ref = 0.10 * n, 8000 + 1000 * n, 8000 + 50 * n
    product = air[:, None, None] * (1 / weight[None, :, None] - 1 / ref[None, None, :])
    ws = (w[:, None, None] * w[None, :, None] * w[None, None, :]) / 8
    m0 = 100001.234
    s0 = math.hypot(0.050, 0.020)
    shift, spread = m0 * product, s0 * (1 + product)
    cdf = lambda y: float((ws * stats.norm.cdf((y - 1.234 - shift) / spread)).sum())
    mean = 1.234 + (ws * shift).sum()
    var = (ws * (spread**2 + (shift + 1.234 - mean) ** 2)).sum()
    d = shift + 1.234 - mean
    fourth = (ws * (d**4 + 6 * d * d * spread**2 + 3 * spread**4)).sum()
    return cdf, mean, math.sqrt(var), fourth / var**2


def scatter_of_mass(count=40):
    g = np.random.default_rng(93)
    ends = []
    for _ in range(count):
        m = g.normal(100000, 0.050, M) + g.normal(1.234, 0.020, M)
        y = np.sort(m * (1 + g.uniform(-0.1, 0.1, M) * (1 / g.uniform(7000, 9000, M) - 1 / g.uniform(7950, 8050, M))) - 100000)
        q = int(0.95 * M + 0.5)
        k = np.argmin(y[q:] - y[:-q])
        ends.append((y[k], y[k + q]))
    return np.std(ends, axis=0, ddof=1)


def scatter_of_shortest(x1, r, p, count=40):
    g = np.random.default_rng(94)
    ends = []
    for _ in range(count):
        z = g.multivariate_normal([x1, 0], 0.005**2 * np.array([[1, r], [r, 1]]), M)
        y = np.sort((z**2).sum(axis=1))
        q = int(p * M + 0.5)
        k = np.argmin(y[q:] - y[:-q])
        ends.append((y[k], y[k + q]))
    return np.std(ends, axis=0, ddof=1)


def simulated_vectors():
    seed = 1
    for name, title, clause, d, s, printed in ADDITIVE:
        ends = additive_ends(d, s)
        small = name == "normals"
        for n in ((10000, M) if small else (M,)):
            identity = "simulate.guide-%s%s" % (name, "-001" if n < M else "")
            extra = {"validate": 1 if name != "one-large" else 2}
            out = simulated("y.", 0.0, s, kurtosis(d), ends, "1", n, printed if n == M else None)
            # At two digits of 10.1 the linear interval differs by 2.9, the tolerance is 0.5.
            out.append({"name": "y.validated", "text": "false" if name == "one-large" else "true"})
            yield vector(identity, title, "simulate", run(additive(d), seed, n, **extra), out, "101", clause + "; a figure of a simulation", flags=["random"])
            seed += 1
    cdf, mean, s, kurt = mass_exact()
    ends = quantiles(cdf, 0.5, 2.0, 0.95, s)
    low, high = shortest(lambda y: cdf(y + 0.5), 0.95, 1.5)
    error = scatter_of_mass()
    reason = "four standard deviations of forty simulations of %d trials" % M
    flat = [expect("y.shortest.low", low + 0.5, "1", 4 * error[0], reason, "1.0834"), expect("y.shortest.high", high + 0.5, "1", 4 * error[1], reason, "1.3825")]
    yield vector("simulate.guide-mass", "Calibration of a mass, milligrams over 100 g", "simulate", run(mass(), 93, validate=1), simulated("y.", mean, s, kurt, ends, "1", printed={"mean": "1.2341", "sigma": "0.0754"}) + flat + [{"name": "y.validated", "text": "false"}], "101", "9.3.2, Table 5; a figure of a simulation", flags=["random"])
    cases = [(0.0, 0.0, ("0.000050", "0.000050", "0.000000", "0.000150")), (0.010, 0.0, ("0.000150", "0.000112", "0.000000", "0.000367")), (0.050, 0.0, ("0.002550", "0.000502", "0.001590", "0.003543")),
             (0.0, 0.9, ("0.000050", "0.000067", "0.000000", "0.000185")), (0.010, 0.9, ("0.000150", "0.000121", "0.000013", "0.000398")), (0.050, 0.9, ("0.002551", "0.000505", "0.001628", "0.003555"))]
    for k, (x1, r, (pm, ps, pl, ph)) in enumerate(cases):
        cdf, mean, s = noncentral(x1, 0.005, r)
        low, high = shortest(cdf, 0.95, 0.02)
        error = scatter_of_shortest(x1, r, 0.95)
        g = np.random.default_rng(9)
        z = g.multivariate_normal([x1, 0], 0.005**2 * np.array([[1, r], [r, 1]]), 10**6)
        kurt = stats.kurtosis((z**2).sum(axis=1), fisher=False)
        reason = "four standard deviations of forty simulations of %d trials" % M
        out = [expect("y.mean", mean, "1", 4 * s / math.sqrt(M), STAT % M, pm), expect("y.sigma", s, "1", 4 * s * math.sqrt((kurt - 1) / 4 / M), STAT % M, ps),
               expect("y.shortest.low", low, "1", 4 * error[0], reason, pl), expect("y.shortest.high", high, "1", 4 * error[1], reason, ph)]
        yield vector("simulate.guide-loss-%d%s" % (round(1000 * x1), "-correlated" if r else ""), "Comparison loss at x1 = %g, correlation %g" % (x1, r), "simulate", run(loss(x1, r), 940 + k), out, "101", "9.4.%d; a figure of a simulation" % (3 if r else 2), flags=["random"])
    # Until steady: the rule's own tolerance is allowed twice, for the rule is one of two standard deviations.
    for k, (d, s, digits, tolerance) in enumerate(((ADDITIVE[0][3], 2.0, 1, 0.5), (ADDITIVE[1][3], 2.0, 2, 0.05))):
        half = additive_ends(d, s)[1][0]
        given = {"model": additive(d), "seed": 50 + k, "steady": {"digits": digits, "most": 1000000}, "probability": [0.95, "1"]}
        reason = "twice the numerical tolerance that ends the simulation"
        out = [expect("y.mean", 0.0, "1", 2 * tolerance, reason), expect("y.sigma", s, "1", 2 * tolerance, reason), expect("y.symmetric.low", -half, "1", 2 * tolerance, reason), expect("y.symmetric.high", half, "1", 2 * tolerance, reason)]
        yield vector("simulate.steady-%d" % k, "Until %d digits are steady" % digits, "simulate", given, out, "own", None, flags=["random"])
    # A t distribution spreads by sqrt(dof/(dof-2)); a single source is its own sum.
    for k, (dist, scipy) in enumerate((({"kind": "t", "sigma": [2.0, "um"], "degreesOfFreedom": 9}, stats.t(9, scale=2)), ({"kind": "triangular", "half": [10.0, "um"]}, stats.triang(0.5, -10, 20)), ({"kind": "arc-sine", "half": [5.0, "um"]}, stats.arcsine(-5, 10)), ({"kind": "trapezoidal", "half": [10.0, "um"], "flat": [4.0, "um"]}, stats.trapezoid(0.3, 0.7, -10, 20)), (normal(3.0, "um"), stats.norm(0, 3)))):
        m = model("sum", [("x", (100.0, "um"))], [("x", "x", dist)])
        ends = [(100 + scipy.ppf(q), math.sqrt(0.025 * 0.975 / M) / scipy.pdf(scipy.ppf(q))) for q in (0.025, 0.975)]
        yield vector("simulate.single-%d" % k, "One source: " + dist["kind"], "simulate", run(m, 60 + k), simulated("y.", 100, scipy.std(), 3 + float(scipy.stats(moments="k")), ends, "um"), "scipy-1-10-1-distributions", None, flags=["random"])


def main():
    kind = sys.argv[1]
    out = list({"linear": linear, "simulated": simulated_vectors}[kind]())
    print('{"suite": "uncertainty/guides-%s", "vectors": [' % kind)
    print(",\n".join(json.dumps(v) for v in out))
    print("]}")


main()
