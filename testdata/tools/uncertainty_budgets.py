"""Writes the vectors of budgets on paper as JSON on standard output.

The law of propagation as a matrix product (NumPy), the Welch-Satterthwaite
formula, and factors of scipy.stats.t at whole degrees of freedom. The end gauge
of JCGM 100:2008, H.1 is from memory; each printed figure is held against its
recomputation before it is written. Contributions of the other tables are
invented with a fixed seed. Run with Python 3, NumPy and SciPy: python3
uncertainty_budgets.py
"""

import json
import math
import sys

import numpy as np
from scipy import optimize, stats

rng = np.random.default_rng(100)
ROUND = "two double-precision computations differ by rounding, and the differences are taken from values larger than the uncertainty"
TAIL = "the point of the t distribution is found by iteration in both libraries"
SCIPY = "scipy-1-10-1-budgets"
SIZES = {"normal": 1.0, "rectangular": 1 / math.sqrt(3), "triangular": 1 / math.sqrt(6), "arc-sine": 1 / math.sqrt(2), "t": 1.0, "resolution": 1 / math.sqrt(12)}
FIELD = {"normal": "sigma", "t": "sigma", "resolution": "division"}


def expect(name, value, unit, tolerance, reason=ROUND, printed=None):
    if printed is None:
        return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}
    places = len(printed.split(".")[1]) if "." in printed else 0
    if abs(value - float(printed)) > 0.5 * 10.0**-places:
        print("left out, does not recompute: %s %s, is %.8g" % (name, printed, value), file=sys.stderr)
        return None
    return {"name": name, "printed": printed, "exact": float(value), "unit": unit}


def vector(identity, title, computation, given, out, source=SCIPY, known="derived", **more):
    out = [e for e in out if e]
    return {"id": "uncertainty." + identity, "title": title, "computation": "uncertainty." + computation, "input": given, "expect": out, **more, "source": source, "known": known}


class Table:
    """Contributions: kind, size, unit of size and its SI factor, sensitivity, dof, group, random."""

    def __init__(self, unit, si):
        self.unit, self.si, self.rows, self.r = unit, si, [], []

    def add(self, name, kind, size, unit, si, c=1.0, dof=None, group="", random=False, value=0.0):
        self.rows.append({"name": name, "kind": kind, "size": size, "unit": unit, "si": si, "c": c, "dof": dof, "group": group, "random": random, "value": value})

    def given(self):
        out = []
        for a in self.rows:
            d = {"kind": a["kind"], FIELD.get(a["kind"], "half"): [a["size"], a["unit"]]}
            if a["dof"] is not None:
                d["degreesOfFreedom"] = a["dof"]
            e = {"name": a["name"], "distribution": d}
            for k in ("group", "random"):
                if a[k]:
                    e[k] = a[k]
            if a["value"]:
                e["value"] = [a["value"], a["unit"]]
            if a["c"] != 1:
                e["sensitivity"] = a["c"]
            out.append(e)
        t = {"unit": self.unit, "contributions": out}
        if self.r:
            t["correlations"] = [{"first": self.rows[i]["name"], "second": self.rows[j]["name"], "coefficient": [v, "1"]} for i, j, v in self.r]
        return t

    def effects(self):
        return np.array([a["c"] * SIZES[a["kind"]] * a["size"] * a["si"] for a in self.rows]) / self.si

    def matrix(self):
        m = np.eye(len(self.rows))
        for i, j, v in self.r:
            m[i, j] = m[j, i] = v
        return m

    def value(self):
        return sum(a["c"] * a["value"] * a["si"] for a in self.rows) / self.si

    def sigma(self):
        e = self.effects()
        return math.sqrt(e @ self.matrix() @ e)

    def shares(self):
        e = self.effects()
        return e * (self.matrix() @ e) / self.sigma() ** 2

    def dof(self):
        """None when none is finite, or when a correlated contribution has them."""
        below = 0.0
        for i, a in enumerate(self.rows):
            if a["dof"] is None or self.effects()[i] == 0:
                continue
            if any(i in (k[0], k[1]) and k[2] != 0 for k in self.r):
                return None
            below += (self.effects()[i] / self.sigma()) ** 4 / a["dof"]
        return 1 / below if below else None

    def groups(self):
        names = []
        for a in self.rows:
            g = a["group"] or a["name"]
            if g not in names:
                names.append(g)
        return {g: np.array([(a["group"] or a["name"]) == g for a in self.rows]) for g in names}

    def part(self, mask):
        e = self.effects() * mask
        return e @ self.matrix() @ e


def factor(dof, p):
    return stats.norm.ppf((1 + p) / 2) if dof is None else stats.t(math.floor(dof + 1e-9)).ppf((1 + p) / 2)


def combine(identity, title, t, p, printed=None, **more):
    s, value, dof = t.sigma(), t.value(), t.dof()
    k = factor(dof, p)
    pr = printed or {}
    size = max(abs(value), s)
    out = [
        expect("value", value, t.unit, 1e-12 * size, printed=pr.get("value")),
        expect("sigma", s, t.unit, 1e-9 * s + 1e-15 * size, printed=pr.get("sigma")),
        expect("factor", k, "1", 1e-8 * k, TAIL, printed=pr.get("factor")),
        expect("half", k * s, t.unit, 1e-8 * k * s + 1e-15 * size, TAIL, printed=pr.get("half")),
        expect("low", value - k * s, t.unit, 1e-8 * k * s + 1e-12 * size, TAIL),
        expect("high", value + k * s, t.unit, 1e-8 * k * s + 1e-12 * size, TAIL),
    ]
    if dof is not None and dof < 1e6:  # beyond it nothing is told from certain
        out.append(expect("degrees-of-freedom", dof, "1", 1e-7 * dof, printed=pr.get("dof")))
    for i, (e, share) in enumerate(zip(t.effects(), t.shares())):
        out.append(expect("effect.%d" % i, e, t.unit, 1e-9 * s + 1e-15 * size, printed=pr.get("effect.%d" % i)))
        out.append(expect("share.%d" % i, share, "1", 1e-7))
    lines = [(g, t.shares()[m].sum(), math.sqrt(max(t.part(m), 0)), m.sum()) for g, m in t.groups().items()]
    lines.sort(key=lambda l: -l[1])
    if min([9] + [a[1] - b[1] for a, b in zip(lines, lines[1:])]) > 1e-6:  # else the order is one of rounding
        for i, (g, share, sigma, n) in enumerate(lines):
            out += [{"name": "budget.%d.group" % i, "text": g}, expect("budget.%d.share" % i, share, "1", 1e-7), expect("budget.%d.sigma" % i, sigma, t.unit, 1e-9 * s + 1e-15 * size), expect("budget.%d.sources" % i, n, "1", 0, "a count")]
    return vector("combine." + identity, title, "combine", {**t.given(), "probability": [p, "1"]}, out, **more)


def gauge():
    """JCGM 100:2008, H.1; nanometres are written as micrometres."""
    standard, alpha, theta = 50.000623e-3, 11.5e-6, -0.1
    d = Table("um", 1e-6)
    for name, size, dof in (("repeated observations", 0.0058, 24), ("comparator, random", 0.0039, 5), ("comparator, systematic", 0.0067, 8)):
        d.add(name, "normal", size, "um", 1e-6, dof=dof)
    yield combine("gum-difference", "End gauge: the difference from the standard (9.7 nm)", d, 0.99, {"sigma": "0.0097", "dof": "25.6"}, source="jcgm-100-2008", known="memory", locator="H.1.3.2 and H.1.6")
    t = Table("mm", 1e-3)
    t.add("standard", "normal", 25e-6, "mm", 1e-3, dof=18, value=50.000623)
    for name, size, dof, value in (("repeated observations", 5.8e-6, 24, 215e-6), ("comparator, random", 3.9e-6, 5, 0), ("comparator, systematic", 6.7e-6, 8, 0)):
        t.add(name, "normal", size, "mm", 1e-3, dof=dof, group="difference", value=value)
    t.add("expansion", "rectangular", 2e-6, "1/K", 1, c=0.0)
    t.add("temperature", "normal", 0.41, "degC-rise", 1, c=0.0)
    t.add("difference in expansion", "rectangular", 1e-6, "1/K", 1, c=-standard * theta, dof=50)
    t.add("difference in temperature", "rectangular", 0.05, "degC-rise", 1, c=-standard * alpha, dof=2)
    printed = {"value": "50.000838", "sigma": "0.000032", "factor": "2.92", "half": "0.000093", "dof": "16.7", "effect.0": "0.000025", "effect.6": "0.0000029", "effect.7": "-0.0000166"}
    yield combine("gum-end-gauge", "Calibration of an end gauge", t, 0.99, printed, source="jcgm-100-2008", known="memory", locator="H.1, Table H.1 and H.1.6; signs of the sensitivities are ours")


def drawn(k):
    t = Table(*(("um", 1e-6), ("mil", 2.54e-5), ("1", 1.0))[k % 3])
    kinds = list(SIZES)
    n = int(rng.integers(2, 9))
    for i in range(n):
        kind = kinds[int(rng.integers(len(kinds)))]
        dof = None
        if kind == "t":
            dof = float(rng.integers(3, 30))
        elif kind in ("normal", "rectangular") and rng.random() < 0.4:
            dof = float(round(rng.uniform(2, 40), 1))
        size, c = float(round(rng.uniform(0.2, 9), 2)), float(round(rng.normal(0, 2), 2))
        t.add("s%d" % i, kind, size, t.unit, t.si, c=c if c else 1.0, dof=dof, group=("", "", "dial", "tape")[int(rng.integers(4))], random=bool(rng.random() < 0.5), value=float(round(rng.normal(0, 20), 1)))
    return t


def correlated(k):
    t = drawn(k)
    n = len(t.rows)
    a = rng.normal(0, 1, (n, n + 1))
    c = a @ a.T
    s = np.sqrt(np.diag(c))
    for i in range(n):
        for j in range(i):
            v = float(round(c[i, j] / s[i] / s[j], 3))
            if rng.random() < 0.6 and abs(v) < 0.9 / n:
                t.r.append((i, j, v))
    return t


def combines():
    yield from gauge()
    one = Table("um", 1e-6)
    one.add("reading", "resolution", 10.0, "um", 1e-6)
    yield combine("one", "A single contribution is all of it", one, 0.95)
    two = Table("um", 1e-6)
    two.add("a", "normal", 3.0, "um", 1e-6)
    two.add("b", "normal", 4.0, "um", 1e-6)
    yield combine("three-four-five", "Three and four make five", two, 0.95, source="own")
    for name, r, title in (("together", 1.0, "fully correlated contributions add up"), ("against", -1.0, "fully opposed ones subtract")):
        t = Table("um", 1e-6)
        t.add("a", "normal", 3.0, "um", 1e-6)
        t.add("b", "normal", 4.0, "um", 1e-6)
        t.r = [(0, 1, r)]
        yield combine(name, "Three and four: " + title, t, 0.95, source="own")
    t = Table("um", 1e-6)
    for i in range(10):  # JCGM 100:2008, 5.2.2: ten resistors by one standard
        t.add("r%d" % i, "normal", 0.1, "um", 1e-6)
    t.r = [(i, j, 1.0) for i in range(10) for j in range(i)]
    yield combine("ten-alike", "Ten contributions with one cause add up to ten times one", t, 0.95, source="own")
    for k in range(40):
        yield combine("scipy-%02d" % k, "Invented contributions", drawn(k), (0.95, 0.99, 0.6827, 0.5)[k % 4])
    for k in range(20):
        t = correlated(k)
        while (t.dof() or 0) > 1e5:  # there t is normal to six digits, which is another question
            t = correlated(k)
        yield combine("correlated-%02d" % k, "Invented contributions, some correlated", t, 0.95)


def needed(k):
    t = correlated(k) if k % 3 == 2 else drawn(k)
    groups = t.groups()
    g = list(groups)[int(rng.integers(len(groups)))]
    m = groups[g].astype(float)
    rest = math.sqrt(max(t.part(1 - m), 0))
    wanted = float(np.format_float_positional(rest * float(rng.uniform(1.05, 1.8)) + 0.01, precision=4))
    e, r = t.effects(), t.matrix()

    def sigma(f):
        v = e * (1 - m) + f * e * m
        return math.sqrt(v @ r @ v)

    high = 1.0
    while sigma(high) < wanted:
        high *= 2
    f = optimize.brentq(lambda x: sigma(x) - wanted, _lowest(sigma, high), high, xtol=1e-14, rtol=1e-14)
    out = [expect("factor", f, "1", 1e-6 * f, "the root is found by iteration, and differences are taken from values larger than the uncertainty"), expect("rest", rest, t.unit, 1e-8 * wanted + 1e-15)]
    if m.sum() == 1:
        i = int(np.argmax(m))
        out.append(expect("sigma", f * SIZES[t.rows[i]["kind"]] * t.rows[i]["size"], t.unit, 1e-6 * f * t.rows[i]["size"]))
    return vector("needed.scipy-%02d" % k, "How well one group must be known", "needed", {"table": t.given(), "group": g, "wanted": [wanted, t.unit]}, out)


def _lowest(sigma, high):
    """Where sigma is least on [0, high]: the larger root lies above."""
    return optimize.minimize_scalar(sigma, bounds=(0, high), method="bounded", options={"xatol": 1e-12}).x


def repeat(k):
    while True:
        t = correlated(k) if k % 3 == 2 else drawn(k)
        if any(a["random"] for a in t.rows):
            break
    n = (2, 3, 4, 10)[k % 4]
    e, r, savings = t.effects(), t.matrix(), []
    for g, mask in t.groups().items():
        m = mask & np.array([a["random"] for a in t.rows])
        if m.any():
            v = np.where(m, e / math.sqrt(n), e)
            savings.append((math.sqrt(v @ r @ v), g))
    savings.sort()
    out = [expect("count", len(savings), "1", 0, "a count")]
    for i, (s, g) in enumerate(savings):
        out += [{"name": "%d.group" % i, "text": g}, expect("%d.sigma" % i, s, t.unit, 1e-8 * t.sigma() + 1e-15), expect("%d.saved" % i, 1 - s / t.sigma(), "1", 1e-7)]
    return vector("repeat-first.numpy-%02d" % k, "What repeating buys", "repeat-first", {"table": t.given(), "times": n}, out)


def main():
    out = list(combines()) + [needed(k) for k in range(15)] + [repeat(k) for k in range(12)]
    print('{"suite": "uncertainty/budgets", "vectors": [')
    print(",\n".join(json.dumps(v) for v in out))
    print("]}")


main()
