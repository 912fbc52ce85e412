"""Writes the vectors of distributions, proportions and samples as JSON on standard output.

Sizes are invented with a fixed seed; quantiles and intervals are those of
SciPy's distributions (norm, uniform, triang, trapezoid, arcsine, t, beta);
printed coverage factors are from memory and each is held against scipy.stats.t
before it is written. Coverage intervals of small samples are found by trying
every pair. Run with Python 3, NumPy and SciPy: python3
uncertainty_distributions.py distributions, the same with factors or samples.
"""

import json
import math
import sys

import numpy as np
from scipy import stats

rng = np.random.default_rng(101)
SCIPY = "scipy-1-10-1-distributions"
ROUND = "two double-precision computations of the same figure differ by rounding alone"
TAIL = "the point of the t and beta distributions is found by iteration in both libraries"


def expect(name, value, unit, tolerance, reason=ROUND, printed=None):
    out = {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}
    if printed is not None:
        out = {"name": name, "printed": printed, "exact": float(value), "unit": unit}
    return out


def vector(identity, title, computation, given, out, source=SCIPY, known="derived", **more):
    return {"id": "uncertainty." + identity, "title": title, "computation": "uncertainty." + computation, "input": given, "expect": out, **more, "source": source, "known": known}


def q(v, unit):
    return [float(v), unit]


# Distributions. Student's t enters the linear law with its scale, not with its
# standard deviation (JCGM 100:2008, 4.2.3).

def shape(kind, a, b, dof):
    if kind == "normal":
        return {"sigma": a}, stats.norm(scale=a), a
    if kind == "rectangular":
        return {"half": a}, stats.uniform(-a, 2 * a), None
    if kind == "triangular":
        return {"half": a}, stats.triang(0.5, loc=-a, scale=2 * a), None
    if kind == "trapezoidal":
        return {"half": a, "flat": b}, stats.trapezoid((a - b) / (2 * a), (a + b) / (2 * a), loc=-a, scale=2 * a), None
    if kind == "arc-sine":
        return {"half": a}, stats.arcsine(loc=-a, scale=2 * a), None
    if kind == "resolution":
        return {"division": a}, stats.uniform(-a / 2, a), None
    return {"sigma": a}, stats.t(dof, scale=a), a


def distributions():
    for kind in ("normal", "rectangular", "triangular", "trapezoidal", "arc-sine", "resolution", "t"):
        for k, unit in enumerate(("um", "mil", "degC-rise", "mil/in", "m")):
            a = float(round(rng.uniform(0.5, 30), 2))
            b = float(round(a * (0.0, 0.2, 0.5, 0.9, 1.0)[k], 4))
            dof = float((3, 4, 9, 2.5, 60)[k])
            sizes, d, sigma = shape(kind, a, b, dof)
            sigma = d.std() if sigma is None else sigma
            given = {"kind": kind, **{name: q(v, unit) for name, v in sizes.items()}}
            if kind == "t":
                given["degreesOfFreedom"] = dof
            ps = (0.001, 0.025, 0.3, 0.5, 0.84, 0.975, 0.999)
            out = [expect("sigma", sigma, unit, 1e-12 * a)]
            for i, p in enumerate(ps):
                tolerance, reason = (1e-8 * a, TAIL) if kind == "t" else (1e-12 * a, ROUND)
                out.append(expect("quantile.%d" % i, d.ppf(p) if p != 0.5 else 0.0, unit, tolerance, reason))
            yield vector("distribution.%s-%d" % (kind, k), "Standard uncertainty and quantiles, %s" % kind, "distribution", {"distribution": given, "probabilities": [q(p, "1") for p in ps]}, out)
    for k, n in enumerate((4, 5, 10, 30)):
        values = [float(round(v, 3)) for v in rng.normal(0.3, 0.01, n)]
        s = np.std(values, ddof=1) / math.sqrt(n)
        given = {"distribution": {"kind": "repeats", "values": [q(v, "mm") for v in values]}, "probabilities": [q(0.975, "1")]}
        out = [expect("mean", np.mean(values), "mm", 1e-14), expect("sigma", s, "mm", 1e-15), expect("degrees-of-freedom", n - 1, "1", 1e-12), expect("quantile.0", stats.t(n - 1, scale=s).ppf(0.975), "mm", 1e-9 * s, TAIL)]
        yield vector("distribution.repeats-%d" % k, "The mean of repeated readings", "distribution", given, out)
    yield vector("distribution.gum-resolution", "A display with divisions of one leaves 0.29 of a division", "distribution", {"distribution": {"kind": "resolution", "division": [1, "um"]}}, [expect("sigma", 1 / math.sqrt(12), "um", 0, printed="0.29")], "jcgm-100-2008", "memory", locator="F.2.2.1")
    yield vector("distribution.gum-copper", "The coefficient of expansion of copper, known to 0.40e-6/K", "distribution", {"distribution": {"kind": "rectangular", "half": [0.40e-6, "1/K"]}}, [expect("sigma", 0.40e-6 / math.sqrt(3), "1/K", 0, printed="0.00000023")], "jcgm-100-2008", "memory", locator="4.3.7, example 2")


# Table G.2 of JCGM 100:2008, t_p for p = 68.27, 90, 95, 95.45, 99 and 99.73 %.

TABLE = """
1 1.84 6.31 12.71 13.97 63.66 235.80
2 1.32 2.92 4.30 4.53 9.92 19.21
3 1.20 2.35 3.18 3.31 5.84 9.22
4 1.14 2.13 2.78 2.87 4.60 6.62
5 1.11 2.02 2.57 2.65 4.03 5.51
6 1.09 1.94 2.45 2.52 3.71 4.90
7 1.08 1.89 2.36 2.43 3.50 4.53
8 1.07 1.86 2.31 2.37 3.36 4.28
9 1.06 1.83 2.26 2.32 3.25 4.09
10 1.05 1.81 2.23 2.28 3.17 3.96
11 1.05 1.80 2.20 2.25 3.11 3.85
12 1.04 1.78 2.18 2.23 3.05 3.76
13 1.04 1.77 2.16 2.21 3.01 3.69
14 1.04 1.76 2.14 2.20 2.98 3.64
15 1.03 1.75 2.13 2.18 2.95 3.59
16 1.03 1.75 2.12 2.17 2.92 3.54
17 1.03 1.74 2.11 2.16 2.90 3.51
18 1.03 1.73 2.10 2.15 2.88 3.48
19 1.03 1.73 2.09 2.14 2.86 3.45
20 1.03 1.72 2.09 2.13 2.85 3.42
25 1.02 1.71 2.06 2.11 2.79 3.33
30 1.02 1.70 2.04 2.09 2.75 3.27
35 1.01 1.70 2.03 2.07 2.72 3.23
40 1.01 1.68 2.02 2.06 2.70 3.20
45 1.01 1.68 2.01 2.06 2.69 3.18
50 1.01 1.68 2.01 2.05 2.68 3.16
100 1.005 1.660 1.984 2.025 2.626 3.077
inf 1.000 1.645 1.960 2.000 2.576 3.000
"""
PERCENT = (0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973)


def factors():
    for row in TABLE.split("\n"):
        if not row:
            continue
        nu, *printed = row.split()
        out, ps = [], []
        for p, text in zip(PERCENT, printed):
            exact = stats.norm.ppf((1 + p) / 2) if nu == "inf" else stats.t(float(nu)).ppf((1 + p) / 2)
            if abs(exact - float(text)) > 0.5 * 10.0 ** -len(text.split(".")[1]):
                print("left out, does not recompute: t(%s) at %s: %s, is %.5f" % (nu, p, text, exact), file=sys.stderr)
                continue
            out.append(expect("factor.%d" % len(ps), exact, "1", 0, printed=text))
            ps.append([p, "1"])
        given = {"probabilities": ps}
        if nu != "inf":
            given["degreesOfFreedom"] = float(nu)
        yield vector("coverage-factor.gum-%s" % nu, "Coverage factors, degrees of freedom: %s" % nu, "coverage-factor", given, out, "jcgm-100-2008", "memory", locator="Table G.2")
    for k in range(20):
        nu, p = float(round(rng.uniform(1, 80), 2)), float(round(rng.uniform(0.4, 0.999), 4))
        exact = stats.t(math.floor(nu)).ppf((1 + p) / 2)
        yield vector("coverage-factor.scipy-%02d" % k, "Degrees of freedom are cut down to a whole number", "coverage-factor", {"degreesOfFreedom": nu, "probabilities": [[p, "1"]]}, [expect("factor.0", exact, "1", 1e-8 * exact, TAIL)])


# Proportions, samples and numerical tolerances.

def rounded(x):
    return math.floor(x + 0.5)


def symmetric(v, p):
    v, m = sorted(v), len(v)
    count = rounded(p * m)
    r = rounded((m - count) / 2)
    r = min(max(r, 1), m - count)
    return v[r - 1], v[r + count - 1]


def shortest(v, p):
    v, m = sorted(v), len(v)
    count = rounded(p * m)
    return min(((v[r], v[r + count]) for r in range(m - count)), key=lambda e: (e[1] - e[0], e[0]))


def quantile(v, p):
    """Hazen's rule, which NumPy has by that name."""
    return np.quantile(v, p, method="hazen")


def sample(identity, title, values, p, unit="um", source=SCIPY, known="derived"):
    ps = (0.05, 0.5, 0.9)
    a, b = symmetric(values, p), shortest(values, p)
    out = [expect("symmetric.low", a[0], unit, 1e-9), expect("symmetric.high", a[1], unit, 1e-9), expect("shortest.low", b[0], unit, 1e-9), expect("shortest.high", b[1], unit, 1e-9)]
    out += [expect("quantile.%d" % i, quantile(values, x), unit, 1e-9) for i, x in enumerate(ps)]
    return vector("coverage-interval." + identity, title, "coverage-interval", {"unit": unit, "values": [float(v) for v in values], "probability": [p, "1"], "probabilities": [[x, "1"] for x in ps]}, out, source, known)


def samples():
    yield sample("ten", "Ten values in order", range(1, 11), 0.8, source="own")
    yield sample("ten-half", "Half of ten values", [1, 2, 3, 5, 8, 13, 21, 34, 55, 89], 0.5, source="own")
    yield sample("two-heaps", "Two heaps: the shortest interval is in the closer one", [1, 2, 3, 4, 20, 20.5, 21, 21.5, 22, 22.5], 0.5, source="own")
    yield sample("unsorted", "The order does not matter", [5, 1, 4, 2, 3, 9, 7, 8, 6, 10], 0.8, source="own")
    yield sample("two", "Two values", [3, -1], 0.5, source="own")
    yield sample("minus", "Negative values", [-5.5, -4, -3, -2.5, -1, 0, 0.5, 7], 0.75, source="own")
    for k, n in enumerate((11, 20, 37, 64, 99, 128)):
        values = [round(float(v), 2) for v in (rng.gamma(2, 3, n) if k % 2 else rng.normal(0, 5, n))]
        yield sample("numpy-%d" % k, "%d values drawn at random" % n, values, (0.5, 0.8, 0.9, 0.95, 0.95, 0.9)[k])
    cases = [(0, 10), (10, 10), (1, 20), (3, 7), (50, 100), (999, 1000), (0, 100000), (4750, 5000), (1, 1), (0, 1)]
    cases += [(int(rng.integers(0, n + 1)), n) for n in (int(v) for v in rng.integers(2, 100000, 20))]
    for k, (count, n) in enumerate(cases):
        c = (0.95, 0.99, 0.9)[k % 3]
        low = stats.beta.ppf((1 - c) / 2, count, n - count + 1) if count else 0.0
        high = stats.beta.ppf((1 + c) / 2, count + 1, n - count) if count < n else 1.0
        yield vector("proportion.scipy-%02d" % k, "%d of %d" % (count, n), "proportion", {"count": count, "trials": n, "confidence": [c, "1"]}, [expect("share", count / n, "1", 1e-15), expect("low", low, "1", 1e-9, TAIL), expect("high", high, "1", 1e-9, TAIL)])
    for k, (sigma, digits, exact) in enumerate([(0.00035, 2, 0.000005), (0.00035, 1, 0.00005), (35, 2, 0.5), (10.1, 2, 0.5), (0.0996, 2, 0.005), (0.0754, 3, 0.00005), (2, 2, 0.05), (999, 1, 500), (9.4, 1, 0.5), (1, 4, 0.0005)]):
        yield vector("numerical-tolerance.%d" % k, "%g to %d digits: half a unit of the last place" % (sigma, digits), "numerical-tolerance", {"sigma": sigma, "digits": digits}, [expect("tolerance", exact, "1", 1e-15 * max(1, exact))], "own", "derived")


def main():
    kind = sys.argv[1]
    out = list({"distributions": distributions, "factors": factors, "samples": samples}[kind]())
    print('{"suite": "uncertainty/%s", "vectors": [' % kind)
    print(",\n".join(json.dumps(v) for v in out))
    print("]}")


main()
