"""Growth: materials, supports and pipes.

Definitions: testdata/README.md, "Growth". All that grows does so by strain times
length; a strain follows from how the material is described (see
Material.position).
"""

import math

from common import (EXPANSION, LENGTH, NUMBER, RISE, TEMPERATURE, TEXT, Fault, listof, not_negative, opt, record,
                    require, to_si, word)

HOTTEST = 10000.0  # K
LARGEST_COEFFICIENT = 1e-3  # 1/K
LONGEST = 1e6  # m
LONGSEGMENT = 10.0  # m; a support is not that high: probably a wrong unit (own choice)
LARGE_STRAIN = 0.02  # nor does it grow that much (own choice)
SAME = 1e-9  # K; rounding of a converted temperature

# ---------------------------------------------------------------- materials

_POINT = record({"at": TEMPERATURE, "value": EXPANSION})
_KINDS = ("constant", "mean-table", "instantaneous-table", "polynomial", "eurocode-3-steel")
_MATERIAL = record({
    "name": opt(TEXT), "variant": opt(TEXT), "kind": opt(word(*_KINDS)), "coefficient": opt(EXPANSION),
    "reference": opt(TEMPERATURE), "points": opt(listof(_POINT), []), "terms": opt(listof(NUMBER), []),
    "from": opt(TEMPERATURE), "to": opt(TEMPERATURE),
})

# ASME BPVC II-D, table TE-1, group 1 (carbon and low-alloy steel): temperatures,
# column A (instantaneous) and column B (mean), in millionths.
_TE1 = {
    ("degF", "1/degF", 70): (
        [70, 100, 150, 200, 250, 300, 350, 400, 450, 500, 550, 600, 650, 700, 750, 800, 850, 900, 950, 1000],
        [6.4, 6.5, 6.7, 6.9, 7.1, 7.3, 7.5, 7.7, 7.8, 8.0, 8.2, 8.4, 8.5, 8.6, 8.8, 8.9, 9.0, 9.1, 9.2, 9.3],
        [6.4, 6.5, 6.6, 6.7, 6.8, 6.9, 7.0, 7.1, 7.2, 7.3, 7.3, 7.4, 7.5, 7.6, 7.7, 7.8, 7.9, 7.9, 8.0, 8.1]),
    ("degC", "1/K", 20): (
        [20, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 600],
        [11.5, 12.0, 12.3, 12.7, 12.9, 13.2, 13.8, 14.3, 14.9, 15.9, 16.7, 17.0],
        [11.5, 11.8, 11.9, 12.1, 12.3, 12.4, 12.7, 13.0, 13.3, 13.8, 14.4, 14.8]),
}


def _named():
    """Materials by name and variant, in small letters."""
    out = {}
    for (scale, per, reference), (at, slope, mean) in _TE1.items():
        t = [to_si(v, scale) for v in at]

        def table(values):
            return [(x, to_si(v * 1e-6, per)) for x, v in zip(t, values)]

        means = Material("mean-table", points=table(mean), reference=to_si(reference, scale))
        out["te-1 group 1, mean from %d %s" % (reference, scale.lower())] = means
        out["te-1 group 1, instantaneous, per " + scale.lower()] = Material("instantaneous-table", points=table(slope))
    return {"carbon steel": out}


class Material:
    """What a metre grows; position(T) is the strain from where it is zero."""

    def __init__(self, kind, coefficient=0.0, reference=None, points=(), terms=(), low=None, high=None):
        self.kind, self.coefficient, self.reference = kind, coefficient, reference
        self.points, self.terms, self.low, self.high = list(points), list(terms), low, high
        self._check()
        if low is None and kind.endswith("table"):
            self.low, self.high = self.points[0][0], self.points[-1][0]
        if kind == "eurocode-3-steel":
            self.low, self.high = to_si(20, "degC"), to_si(1200, "degC")

    def _check(self):
        if (self.low is None) != (self.high is None):
            raise Fault("missing", "range")
        if self.low is not None and not self.low < self.high:
            raise Fault("not-ascending", "range")
        tables = self.kind.endswith("table")
        if self.kind == "mean-table" and self.reference is None:
            raise Fault("missing", "reference")
        if self.kind == "polynomial" and self.low is None:
            raise Fault("missing", "range")
        if tables and len(self.points) < 2 or self.kind == "polynomial" and not self.terms:
            raise Fault("too-few-points")
        foreign = (self.reference is not None and self.kind != "mean-table" or self.points and not tables
                   or self.terms and self.kind != "polynomial" or self.coefficient and self.kind != "constant")
        if foreign:
            raise Fault("mismatch", "a field of another kind")
        for (a, _), (b, _) in zip(self.points, self.points[1:]):
            if not b > a:
                raise Fault("not-ascending", "points")
        for v in [self.coefficient] + [v for _, v in self.points]:
            if abs(v) > LARGEST_COEFFICIENT:
                raise Fault("out-of-range", "coefficient")
        for t in [t for t, _ in self.points] + [t for t in (self.reference, self.low, self.high) if t is not None]:
            temperature(t)

    def _interpolated(self, t):
        """The coefficient of a table on the straight line between entries, held outside."""
        p = self.points
        if t <= p[0][0]:
            return p[0][1]
        for (a, va), (b, vb) in zip(p, p[1:]):
            if t <= b:
                return va + (vb - va) * (t - a) / (b - a)
        return p[-1][1]

    def position(self, t):
        """Strain at t, counted from any one temperature: only differences are used."""
        if self.kind == "constant":
            return self.coefficient * t
        if self.kind == "mean-table":
            # A mean belongs to its reference (definition of the mean coefficient,
            # ASME BPVC II-D, table TE-1): strain from the reference is a(T)(T - Tref).
            return self._interpolated(t) * (t - self.reference)
        if self.kind == "instantaneous-table":
            return self._area(t)
        # A formula is carried on along its tangent outside its range.
        inside = min(max(t, self.low), self.high)
        value, slope = self._formula(inside)
        return value + slope * (t - inside)

    def _area(self, t):
        """The integral of the table from its first entry to t, trapezoid by trapezoid."""
        p = self.points
        if t <= p[0][0]:
            return p[0][1] * (t - p[0][0])
        total = []
        for (a, va), (b, _) in zip(p, p[1:]):
            end = min(b, t)
            if end > a:
                total.append((va + self._interpolated(end)) / 2 * (end - a))
        return math.fsum(total) + p[-1][1] * max(0.0, t - p[-1][0])

    def _formula(self, t):
        """Strain and its slope at t, within the range of a closed form."""
        if self.kind == "polynomial":
            value = math.fsum(c * t**i for i, c in enumerate(self.terms))
            return value, math.fsum(i * c * t**(i - 1) for i, c in enumerate(self.terms) if i)
        # EN 1993-1-2, 3.4.1.1, with c in degrees Celsius.
        c = t - to_si(0, "degC")
        if c < 750:
            return 1.2e-5 * c + 0.4e-8 * c * c - 2.416e-4, 1.2e-5 + 0.8e-8 * c
        if c <= 860:
            return 1.1e-2, 0.0
        return 2e-5 * c - 6.2e-3, 2e-5

    def strain(self, cold, hot):
        """Growth over length from one temperature to another."""
        temperature(cold)
        temperature(hot)
        return self.position(hot) - self.position(cold)

    def warnings(self, *temperatures):
        if self.low is None:
            return []
        out = any(t < self.low - SAME or t > self.high + SAME for t in temperatures)
        return ["temperature-out-of-range"] if out else []


def temperature(t):
    """t, where it is one: zero kelvins is a temperature that was not given."""
    if t == 0:
        raise Fault("missing", "temperature")
    if not 0 < t <= HOTTEST:
        raise Fault("out-of-range", "temperature")
    return t


def MATERIAL(v, path="input"):
    d = _MATERIAL(v, path)
    if d.kind is None:
        return _by_name(d)
    if d.kind == "constant" and d.coefficient is None:
        raise Fault("missing", path + ".coefficient")
    return Material(d.kind, d.coefficient or 0.0, d.reference, [(p["at"], p["value"]) for p in d.points],
                    d.terms, d["from"], d["to"])


def _by_name(d):
    if d.name is None:
        raise Fault("missing", "kind")
    found = _named().get(d.name.strip().lower())
    if found is None:
        raise Fault("unknown-kind", d.name)
    if d.variant is None:
        raise Fault("missing", "variant")
    if d.variant.lower() not in found:
        raise Fault("unknown-kind", d.variant)
    return found[d.variant.lower()]


_STRAIN = record({"material": MATERIAL, "from": TEMPERATURE, "to": TEMPERATURE})


def strain(v):
    d = _STRAIN(v)
    return {"strain": d.material.strain(d["from"], d["to"])}, d.material.warnings(d["from"], d["to"])


def mean_coefficient(v):
    d = _STRAIN(v)
    e = d.material.strain(d["from"], d["to"])
    if d["from"] == d["to"]:
        raise Fault("same-temperature")
    return {"mean": e / (d["to"] - d["from"])}, d.material.warnings(d["from"], d["to"])


_EXPANSION = record({"material": MATERIAL, "length": LENGTH, "from": TEMPERATURE, "to": listof(TEMPERATURE)})


def expansion(v):
    d = _EXPANSION(v)
    length_of(d.length)
    if not d.to:
        raise Fault("missing", "to")
    return {"growth.%d" % i: d.length * d.material.strain(d["from"], t) for i, t in enumerate(d.to)}, []


def length_of(length):
    """A length of something that is there."""
    not_negative(length, "length")
    if length == 0:
        raise Fault("missing", "length")
    if length > LONGEST:
        raise Fault("out-of-range", "length")
    return length


# ---------------------------------------------------------------- supports and pipes

_LAYER = record({"height": LENGTH, "temperature": TEMPERATURE})
SEGMENT = record({"name": opt(TEXT), "length": LENGTH, "material": MATERIAL, "cold": TEMPERATURE,
                   "hot": opt(TEMPERATURE), "profile": opt(listof(_LAYER), [])})


def segment_growth(s):
    """Growth of a segment: length times strain, or the integral of strain over the height."""
    length_of(s.length)
    if not s.profile:
        return s.length * s.material.strain(s.cold, require(s.hot, "hot"))
    heights = [p.height for p in s.profile]
    if min(heights) < 0 or max(heights) > s.length * (1 + 1e-12):
        raise Fault("out-of-range", "height")
    if any(not b > a for a, b in zip(heights, heights[1:])):
        raise Fault("not-ascending", "height")
    e = [s.material.strain(s.cold, p.temperature) for p in s.profile]
    # Trapezoids between the readings; below the first and above the last the end
    # reading is held (README: a profile stands in the place of hot).
    area = [heights[0] * e[0], (s.length - heights[-1]) * e[-1]]
    area += [(b - a) * (ea + eb) / 2 for a, b, ea, eb in zip(heights, heights[1:], e, e[1:])]
    return math.fsum(area)


def segment_warnings(s, growth):
    temperatures = [s.cold] + ([p.temperature for p in s.profile] or [s.hot])
    out = s.material.warnings(*temperatures)
    if s.profile and (s.profile[0].height > 1e-9 or s.profile[-1].height < s.length - 1e-9):
        out.append("profile-short")
    if s.length > LONGSEGMENT or abs(growth) > LARGE_STRAIN * s.length:
        out.append("implausible-size")
    return out


def support_growth(segments):
    """Growth of each of a stack of segments, and the warnings."""
    if not segments:
        raise Fault("missing", "segments")
    parts = [segment_growth(s) for s in segments]
    return parts, [w for s, g in zip(segments, parts) for w in segment_warnings(s, g)]


_SUPPORT = record({"segments": listof(SEGMENT)})


def support(v):
    parts, warnings = support_growth(_SUPPORT(v).segments)
    results = {"growth": math.fsum(parts)}
    results.update({"segment.%d" % i: p for i, p in enumerate(parts)})
    return results, warnings


_LEG = record({"name": opt(TEXT), "x": LENGTH, "y": LENGTH, "z": LENGTH, "material": MATERIAL,
               "cold": TEMPERATURE, "hot": TEMPERATURE})
_PIPE = record({"legs": listof(_LEG)})


def pipe(v):
    """The nozzle end moves by the sum over the legs of strain times the way of the leg."""
    legs = _PIPE(v).legs
    if not legs:
        raise Fault("missing", "legs")
    warnings, moved = [], [[], [], []]
    for leg in legs:
        way = (leg.x, leg.y, leg.z)
        if not any(way):
            raise Fault("missing", "way")
        if math.hypot(*way) > LONGEST:
            raise Fault("out-of-range", "way")
        e = leg.material.strain(leg.cold, leg.hot)
        warnings += leg.material.warnings(leg.cold, leg.hot)
        for sums, w in zip(moved, way):
            sums.append(e * w)
    total = [math.fsum(m) for m in moved]
    return dict(zip("xyz", total), size=math.hypot(*total)), warnings


_RULES = record({"height": LENGTH, "rise": RISE})


def rules_of_thumb(v):
    """Four rules for a motor (Bloch and Geitner, Machinery Component Maintenance, p. 236)."""
    d = _RULES(v)
    h = length_of(d.height)
    per_degf = to_si(6e-6, "1/degF")
    growth = per_degf * not_negative(d.rise, "rise") * h  # 6 millionths of the height for each degF
    foot = h / to_si(1, "ft")
    by_foot = [to_si(n, "mil") * foot for n in (7, 4)]
    rules = [growth, growth / 2] + by_foot
    return {"rule.%d" % i: g for i, g in enumerate(rules)}, ["rules-disagree"]


COMPUTATIONS = {
    "thermal.strain": strain,
    "thermal.mean-coefficient": mean_coefficient,
    "thermal.expansion": expansion,
    "thermal.support": support,
    "thermal.pipe": pipe,
    "thermal.rules-of-thumb": rules_of_thumb,
}
