"""What is known of how far an input is off: distributions about zero.

Kinds and their sizes: testdata/README.md, "How sure an answer is". Variances:
JCGM 100:2008, 4.3.7 and 4.3.9, and JCGM 101:2008, table 1 (both from memory; each
is recomputed easily from the density).
"""

import math
import statistics

import special
from common import TEXT, Fault, listof, not_negative, number, opt, quantity, record, unit_kind

# What each kind needs and what it may have besides.
_NEEDS = {"normal": ("sigma",), "rectangular": ("half",), "triangular": ("half",), "arc-sine": ("half",),
          "trapezoidal": ("half", "flat"), "t": ("sigma", "degreesOfFreedom"), "resolution": ("division",),
          "repeats": ("values",)}
_MAY = {"normal": ("degreesOfFreedom",), "rectangular": ("degreesOfFreedom",)}
_SIZES = ("sigma", "half", "flat", "division")


def sized(v, path="input"):
    """[number, "unit"] as (kind of unit, SI value), finite."""
    value = quantity(None)(v, path)
    return unit_kind(v[1]), value


_READ = record({"kind": TEXT, "sigma": opt(sized), "half": opt(sized), "flat": opt(sized), "division": opt(sized),
                "degreesOfFreedom": opt(number()), "values": opt(listof(sized))})


def normals(r, count):
    """Standard normal values, two from two even ones (Box and Muller, 1958, from memory)."""
    half = (count + 1) // 2
    radius = [math.sqrt(-2 * math.log(1 - r.random())) for _ in range(half)]
    angle = [2 * math.pi * r.random() for _ in range(half)]
    out = [a * math.cos(t) for a, t in zip(radius, angle)]
    out += [a * math.sin(t) for a, t in zip(radius, angle)]
    return out[:count]


class Distribution:
    """shape, size (its scale), flat (of a trapezoid), dof or None, and the mean of repeats."""

    def __init__(self, shape, size, flat=0.0, dof=None, mean=0.0, repeats=False):
        self.shape, self.size, self.flat, self.dof = shape, size, flat, dof
        self.mean, self.repeats = mean, repeats

    def sigma(self):
        """The standard uncertainty as the law of propagation takes it; t counts by its scale."""
        a = self.size
        if self.shape in ("normal", "t"):
            return a
        if self.shape == "rectangular":
            return a / math.sqrt(3)
        if self.shape == "arc-sine":
            return a / math.sqrt(2)
        # A triangle is a trapezoid whose top has no width: (a^2 + b^2)/6.
        return math.sqrt((a * a + self.flat * self.flat) / 6)

    def quantile(self, p):
        """The deviation that is not exceeded with probability p."""
        if not 0 < p < 1:
            raise Fault("out-of-range", "probability")
        a = self.size
        if self.shape == "normal":
            return a * special.normal_quantile(p)
        if self.shape == "t":
            return a * special.student_quantile(p, self.dof)
        if self.shape == "rectangular":
            return a * (2 * p - 1)
        if self.shape == "arc-sine":
            return a * math.sin(math.pi * (p - 0.5))
        if p > 0.5:
            return -self.quantile(1 - p)
        # Trapezoid of height 1/(a + b): the side holds (a - b)/(2(a + b)) of the
        # probability and rises as (x + a)^2/(2(a - b)(a + b)); the top is even.
        b = self.flat
        if p * 2 * (a + b) <= a - b:
            return math.sqrt(2 * p * (a - b) * (a + b)) - a
        return (p - 0.5) * (a + b)

    def column(self, r, count):
        """count deviations at random, r a random.Random."""
        a, b, even, trials = self.size, self.flat, r.random, range(count)
        if self.shape == "normal":
            return [a * z for z in normals(r, count)]
        if self.shape == "rectangular":
            return [a * (2 * even() - 1) for _ in trials]
        if self.shape == "arc-sine":
            return [a * math.sin(math.pi * (even() - 0.5)) for _ in trials]
        if self.shape == "t":
            # A normal value over the root of an independent chi-square over its degrees of freedom.
            half, scale = self.dof / 2, 2 / self.dof
            return [a * z / math.sqrt(r.gammavariate(half, scale)) for z in normals(r, count)]
        # The sum of two even values with half-widths (a + b)/2 and (a - b)/2 is trapezoidal.
        wide, narrow = (a + b) / 2, (a - b) / 2
        return [wide * (2 * even() - 1) + narrow * (2 * even() - 1) for _ in trials]

    def times(self, k):
        """The same with all sizes k times as large."""
        return Distribution(self.shape, self.size * k, self.flat * k, self.dof, self.mean * k, self.repeats)


def DISTRIBUTION(v, path="input"):
    """(distribution, kind of its unit). The unit of a temperature on a scale is refused."""
    d = _READ(v, path)
    if d.kind not in _NEEDS:
        raise Fault("unknown-kind", path)
    needs, may = _NEEDS[d.kind], _MAY.get(d.kind, ())
    for name in _SIZES + ("degreesOfFreedom", "values"):
        given = d[name] is not None and d[name] != []
        if name in needs and not given:
            raise Fault("missing", path + "." + name)
        if given and name not in needs + may:
            raise Fault("mismatch", path + "." + name)
    kind, out = shaped(d, needs)
    if kind == "temperature":
        raise Fault("wrong-unit", path)
    return out, kind


def one_kind(sizes):
    kind = sizes[0][0]
    if any(k != kind for k, _ in sizes):
        raise Fault("wrong-unit")
    return kind


def shaped(d, needs):
    dof = d.degreesOfFreedom
    if dof is not None and not_negative(dof, "degreesOfFreedom") == 0:
        raise Fault("out-of-range", "degreesOfFreedom")
    if d.kind == "repeats":
        return one_kind(d["values"]), mean_of([x for _, x in d["values"]])
    sizes = [d[n] for n in needs if n in _SIZES]
    kind = one_kind(sizes)
    for _, x in sizes:
        not_negative(x, "size")
    if d.kind == "resolution":
        # Half a division either way, all alike.
        return kind, Distribution("rectangular", d.division[1] / 2)
    if d.kind == "t" and dof <= 2:
        raise Fault("out-of-range", "degreesOfFreedom")
    flat = d.flat[1] if d.kind == "trapezoidal" else 0.0
    size = (d.sigma or d.half)[1]
    if flat > size:
        raise Fault("out-of-range", "flat")
    shape = "trapezoidal" if d.kind == "triangular" else d.kind
    return kind, Distribution(shape, size, flat, dof)


def mean_of(values):
    """The mean of repeats errs as t with n - 1 degrees of freedom, scaled by s/sqrt(n)."""
    n = len(values)
    if n < 4:
        raise Fault("too-few-repeats")
    return Distribution("t", statistics.stdev(values) / math.sqrt(n), dof=n - 1.0, mean=math.fsum(values) / n,
                        repeats=True)


def factor(p, dof):
    """The coverage factor: the point of t at whole degrees of freedom, normal without any."""
    if not 0 < p < 1:
        raise Fault("out-of-range", "probability")
    if dof is None:
        return special.normal_quantile((1 + p) / 2)
    whole = math.floor(dof)
    if whole < 1:
        raise Fault("too-few-repeats")
    return special.student_quantile((1 + p) / 2, whole)


def probability(p):
    if not 0 < p < 1:
        raise Fault("out-of-range", "probability")
    return p
