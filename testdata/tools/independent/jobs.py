"""The jobs that an uncertainty is propagated through.

Formulas: testdata/README.md, "Uncertain jobs", after JCGM 100:2008, H.1 and H.2,
and JCGM 101:2008, 9 (from memory). Alignment jobs: a sweep of a dial is fitted by
c + a cos t + b sin t (least squares, after its sag is taken off); a rim dial on
the near shaft's bracket has (a, b) = e at its station, one on the far shaft's
(a, b) = -e, and a face dial of swept diameter D has (a, b) = D/2 times the slope.
"""

import math

from common import (BOOL, LENGTH, SWEEP, TEXT, Fault, clock, listof, opt, record, unit_kind, word)
from distributions import normals

# ---------------------------------------------------------------- formulas


def _product(x):
    return [math.prod(x)]


def _loss(x):
    return [x[0] * x[0] + x[1] * x[1]]


def _mass(x):
    # Milligrams and kg/m3; the nominal mass is 100 g (JCGM 101:2008, 9.3.1).
    return [(x[0] + x[1]) * (1 + (x[2] - 1.2) * (1 / x[3] - 1 / x[4])) - 100_000]


def _gauge(x):
    # JCGM 100:2008, H.1: l = (ls (1 + as (t - dt)) + d)/(1 + (as + da) t).
    return [(x[0] * (1 + x[2] * (x[4] - x[5])) + x[1]) / (1 + (x[2] + x[3]) * x[4])]


def _impedance(x):
    # JCGM 100:2008, H.2.
    z = x[0] / x[1]
    return [z * math.cos(x[2]), z * math.sin(x[2]), z]


# name: (inputs in order or None, kinds of their units or None, outputs, function)
FORMULAS = {
    "sum": (None, None, ["y"], lambda x: [sum(x)]),
    "product": (None, "ratio", ["y"], _product),
    "comparison-loss": (["x1", "x2"], ["ratio"] * 2, ["y"], _loss),
    "mass-calibration": (["reference", "correction", "air", "weight", "reference-density"], ["ratio"] * 5, ["y"],
                         _mass),
    "end-gauge": (["standard", "difference", "expansion", "expansion-difference", "temperature",
                   "temperature-difference"], ["length", "length", "expansion", "expansion", "rise", "rise"], ["y"],
                  _gauge),
    "impedance": (["voltage", "current", "phase"], ["ratio"] * 3, ["resistance", "reactance", "impedance"], _impedance),
}


class Source:
    """A distribution, the line of the budget it belongs to, and what it varies."""

    def __init__(self, name, dist, group, what):
        self.name, self.dist, self.group, self.what = name, dist, group, what


class Job:
    """outputs, sources, and answers for deviations of the sources."""

    def __init__(self, outputs, sources, compute):
        self.outputs, self.sources, self.compute = outputs, sources, compute

    def answer(self, deviations):
        """The outputs with some sources (by index) off by so much."""
        try:
            out = self.compute([(self.sources[k].what, v) for k, v in deviations.items()])
        except (Fault, ZeroDivisionError, OverflowError, ValueError):
            raise Fault("trial-failed") from None
        if not all(map(math.isfinite, out)):
            raise Fault("trial-failed")
        return out

    def columns(self, drawn):
        """Answers of many trials, one list for each output."""
        what = [s.what for s in self.sources]
        rows = []
        for values in zip(*drawn):
            try:
                rows.append(self.compute(list(zip(what, values))))
            except (Fault, ZeroDivisionError, OverflowError, ValueError):
                raise Fault("trial-failed") from None
        return [list(c) for c in zip(*rows)]

    def linear_trials(self, count, rng):
        """A quicker way for jobs that have one; None where they have not."""
        return None

    @staticmethod
    def of_alignment(kind, m):
        return Alignment(kind, m)


class Formula(Job):
    def __init__(self, outputs, sources, function, values):
        super().__init__(outputs, sources, self._compute)
        self.function, self.values = function, values

    def _compute(self, deviations):
        x = list(self.values)
        for k, v in deviations:
            x[k] += v
        return self.function(x)

    def columns(self, drawn):
        """Input by input: the value with all that varies it added up, then the formula trial by trial."""
        count = len(drawn[0])
        inputs = [[x] * count for x in self.values]
        for s, column in zip(self.sources, drawn):
            inputs[s.what] = [a + b for a, b in zip(inputs[s.what], column)]
        try:
            rows = [self.function(x) for x in zip(*inputs)]
        except (ZeroDivisionError, OverflowError, ValueError):
            raise Fault("trial-failed") from None
        return [list(c) for c in zip(*rows)]


def formula_job(m):
    names, kinds, outputs, function = FORMULAS[m.formula]
    inputs = m.inputs or []
    if not inputs or names is not None and len(inputs) != len(names):
        raise Fault("missing", "inputs")
    given = {}
    for d, unit in inputs:
        if d.name in given:
            raise Fault("same-name", d.name)
        given[d.name] = (d.value, unit_kind(unit))
    order = names or list(given)
    for name in given:
        if name not in order:
            raise Fault("mismatch", name)
    first = given[order[0]][1] if order[0] in given else None
    wanted = kinds if isinstance(kinds, list) else [kinds or first] * len(order)
    for name, kind in zip(order, wanted):
        if given[name][1] != kind:
            raise Fault("wrong-unit", name)
    values = [given[name][0] for name in order]
    sources = []
    for i, s in enumerate(m.sources):
        if s.of not in order:
            raise Fault("mismatch", "of")
        if s.vary is not None or s.dials or s.foot is not None:
            raise Fault("mismatch", "vary")
        k = order.index(s.of)
        dist, kind = s.distribution
        if kind != wanted[k]:
            raise Fault("wrong-unit", s.name)
        values[k] += dist.mean
        sources.append(Source(s.name, dist, i, k))
    return Formula(outputs, sources, function, values)


# ---------------------------------------------------------------- alignment

_SAG = record({"rollOver": opt(LENGTH), "singleDeflection": opt(LENGTH), "none": opt(BOOL)})
_DIAL = record({"name": opt(TEXT), "station": opt(LENGTH), "diameter": opt(LENGTH), "sag": opt(_SAG), "sweep": SWEEP,
                "surface": opt(word("rim", "face-toward", "face-away")), "bracket": opt(word("near", "far"))})
_ASK = record({"stations": opt(listof(record({"name": TEXT, "at": LENGTH})), []),
               "near": opt(record({"inboard": LENGTH, "outboard": LENGTH})),
               "far": opt(record({"inboard": LENGTH, "outboard": LENGTH}))})
ALIGNMENT = {
    "reverseIndicator": record({"onFar": _DIAL, "onNear": _DIAL, "ask": opt(_ASK)}),
    "rimAndFace": record({"rim": _DIAL, "face": _DIAL, "bracket": opt(word("near", "far"), "near"), "ask": opt(_ASK)}),
}
_DIALS = {"reverseIndicator": {"on-far": "onFar", "on-near": "onNear"}, "rimAndFace": {"rim": "rim", "face": "face"}}
_KIND_OF = {"readings": "length", "clock-angles": "angle", "sag": "length", "station": "length",
            "diameter": "length", "foot": "length", "tape": "ratio"}


class Dial:
    """What a dial is and read; a copy is varied in a trial."""

    def __init__(self, d, face):
        if d.station is None and not face:
            raise Fault("missing", "station")
        if d.diameter is None and face:
            raise Fault("missing", "diameter")
        self.station, self.diameter = d.station or 0.0, d.diameter or 0.0
        self.angles = [t for t, _ in d.sweep]
        self.readings = [r for _, r in d.sweep]
        self.sag_known = d.sag is not None
        self.sag = 0.0
        if d.sag is not None and not d.sag.none:
            if d.sag.rollOver is None and d.sag.singleDeflection is None:
                raise Fault("missing", "sag")
            # A single-deflection test shows half of a roll-over test.
            self.sag = d.sag.rollOver if d.sag.rollOver is not None else 2 * d.sag.singleDeflection
        self.away = d.surface == "face-away"

    def closes(self):
        t = self.angles
        return len(t) > 1 and abs(math.remainder(t[-1] - t[0], 360)) < 1e-9

    def copy(self):
        out = object.__new__(Dial)
        out.__dict__.update(self.__dict__, angles=list(self.angles), readings=list(self.readings))
        return out

    def harmonics(self):
        """(a, b) of c + a cos t + b sin t through the readings without their sag, S(1 - cos t)/2.

        A closing reading, the last where the first was, shows whether the dial came back;
        it is not fitted.
        """
        n = [clock(t) for t in (self.angles[:-1] if self.closes() else self.angles)]
        r = [x - self.sag * (1 - c) / 2 for x, (c, _) in zip(self.readings, n)]
        count = len(n)
        cm, sm, rm = sum(c for c, _ in n) / count, sum(s for _, s in n) / count, sum(r) / count
        # Counted from their means, the equations of least squares are two: of a and of b.
        cc = cs = ss = cr = sr = 0.0
        for (c, s), x in zip(n, r):
            c, s, x = c - cm, s - sm, x - rm
            cc, cs, ss, cr, sr = cc + c * c, cs + c * s, ss + s * s, cr + c * x, sr + s * x
        det = cc * ss - cs * cs
        if det <= 1e-9 * cc * ss or count < 3:
            raise Fault("too-few-positions")
        return (cr * ss - sr * cs) / det, (sr * cc - cr * cs) / det


class Alignment(Job):
    """A reverse-indicator or a rim-and-face set with what is asked of it.

    What a source varies is written as a word with an index: ("readings", dial, j).
    """

    def __init__(self, kind, m):
        self.kind = kind
        d = m[kind]
        words = _DIALS[kind]
        self.dials = {w: Dial(d[f], f == "face") for w, f in words.items()}
        ask = d.ask or _ASK({})
        self.places = [("station", s.at) for s in ask.stations]
        outputs = ["slope"] + ["offset." + s.name for s in ask.stations]
        for machine in ("near", "far"):
            if ask[machine] is None:
                continue
            for end in ("inboard", "outboard"):
                outputs.append(machine + "." + end)
                self.places.append((machine + "-" + end, ask[machine][end]))
        if m.inputs is not None:
            raise Fault("mismatch", "inputs")
        sources = [one for i, s in enumerate(m.sources) for one in self._sources(i, s)]
        names = ["%s.%s" % (o, p) for o in outputs for p in ("vertical", "horizontal")]
        super().__init__(names, sources, self._compute)

    def _sources(self, i, s):
        """What one entry of an input stands for: each reading and each angle is a source of its own."""
        if s.of is not None:
            raise Fault("mismatch", "of")
        if s.vary is None:
            raise Fault("missing", "vary")
        if (s.vary in ("foot", "tape")) == bool(s.dials) or (s.vary == "foot") != (s.foot is not None):
            raise Fault("mismatch", s.name)
        if any(w not in self.dials for w in s.dials):
            raise Fault("unknown-kind", s.name)
        dist, kind = s.distribution
        if kind != _KIND_OF[s.vary]:
            raise Fault("wrong-unit", s.name)
        if dist.repeats:
            raise Fault("mismatch", s.name)
        if s.vary == "readings":
            return [Source(s.name, dist, i, ("reading", w, j)) for w in s.dials
                    for j in range(len(self.dials[w].readings))]
        if s.vary == "clock-angles":
            turned = dist.times(180 / math.pi)  # clock positions are in degrees
            return [Source(s.name, turned, i, ("angle", w, j)) for w in s.dials for j in self._own_angles(w)]
        return [Source(s.name, dist, i, (s.vary, s.foot or tuple(s.dials), 0))]

    def _own_angles(self, w):
        """Positions of a dial; a closing reading goes with the first."""
        d = self.dials[w]
        return range(len(d.angles) - 1 if d.closes() else len(d.angles))

    def _compute(self, deviations):
        dials = {w: d.copy() for w, d in self.dials.items()}
        places = list(self.places)
        for (what, which, j), v in deviations:
            if what == "reading":
                dials[which].readings[j] += v
            elif what == "angle":
                dials[which].angles[j] += v
                if j == 0 and self.dials[which].closes():
                    dials[which].angles[-1] += v
            elif what == "foot":
                places = [(n, x + v) if n == which else (n, x) for n, x in places]
            elif what == "tape":
                # One tape: all that was measured along the train is off by one factor.
                places = [(n, x * (1 + v)) for n, x in places]
                for d in dials.values():
                    d.station *= 1 + v
            else:
                for w in which:
                    if what != "sag" or dials[w].sag_known:
                        setattr(dials[w], what, getattr(dials[w], what) + v)
        return self.outputs_of({w: d.harmonics() for w, d in dials.items()}, dials, places)

    def outputs_of(self, ab, dials, places):
        """Slope, offsets at stations, moves at feet: a foot of the far machine goes by -e, of the near by +e."""
        if self.kind == "reverseIndicator":
            far, near = dials["on-far"].station, dials["on-near"].station
            if abs(far - near) < 1e-6:
                raise Fault("coincident-stations")
            e = ab["on-far"]  # the bracket stands on the near shaft
            other = tuple(-x for x in ab["on-near"])  # and here on the far one
            slope = [(p - q) / (far - near) for p, q in zip(e, other)]
            at = far
        else:
            d = dials["face"].diameter
            if not d > 0:
                raise Fault("zero-diameter")
            slope = [x * 2 / d * (-1 if dials["face"].away else 1) for x in ab["face"]]
            e, at = ab["rim"], dials["rim"].station
        out = list(slope)
        for name, x in places:
            sign = -1 if name.startswith("far-") else 1
            out += [sign * (p + m * (x - at)) for p, m in zip(e, slope)]
        return out

    def linear_trials(self, count, rng):
        """Trials of a job in which only readings and sag vary, all normal.

        The harmonics of a dial are linear in its readings and its sag, so that those of
        all dials together are normal, and so are drawn at once instead of reading by
        reading; the answers are linear in the harmonics.
        """
        if any(s.what[0] not in ("reading", "sag") or s.dist.shape != "normal" for s in self.sources):
            return None
        words = list(self.dials)
        base = [x for w in words for x in self.dials[w].harmonics()]
        moved = []
        for s in self.sources:
            moved.append([s.dist.size * x for x in self._pull(s.what, words)])
        size = len(base)
        cov = [[math.fsum(m[i] * m[j] for m in moved) for j in range(size)] for i in range(size)]
        scale = [math.sqrt(c[i]) or 1.0 for i, c in enumerate(cov)]
        low = semi_cholesky([[cov[i][j] / (scale[i] * scale[j]) for j in range(size)] for i in range(size)])
        z = [normals(rng, count) for _ in range(size)]

        def answers(h):
            pairs = {w: (h[2 * k], h[2 * k + 1]) for k, w in enumerate(words)}
            return self.outputs_of(pairs, self.dials, self.places)

        start = answers(base)
        # What one unit of each normal value does to each output.
        gains = []
        for j in range(size):
            shifted = answers([b + scale[i] * low[i][j] for i, b in enumerate(base)])
            gains.append([a - b for a, b in zip(shifted, start)])
        columns = []
        for k, s in enumerate(start):
            terms = [(g[k], z[j]) for j, g in enumerate(gains) if abs(g[k]) > 1e-300]
            columns.append(weighted(s, terms, count))
        return columns

    def _pull(self, what, words):
        """What a unit deviation of a source does to the harmonics of all dials."""
        kind, which, j = what
        out = []
        for w in words:
            d = self.dials[w].copy()
            d.readings, d.sag = [0.0] * len(d.readings), 0.0
            if kind == "reading" and w == which:
                d.readings[j] = 1.0
            if kind == "sag" and w in which and d.sag_known:
                d.sag = 1.0
            out += d.harmonics()
        return out


def weighted(start, terms, count):
    """start + sum of weight times column, trial by trial; four terms at most are usual."""
    if not terms:
        return [start] * count
    if len(terms) == 1:
        (a, x), = terms
        return [start + a * p for p in x]
    if len(terms) == 2:
        (a, x), (b, y) = terms
        return [start + a * p + b * q for p, q in zip(x, y)]
    if len(terms) == 3:
        (a, x), (b, y), (c, z) = terms
        return [start + a * p + b * q + c * r for p, q, r in zip(x, y, z)]
    (a, x), (b, y), (c, z), (d, w) = terms[:4]
    return [start + a * p + b * q + c * r + d * s for p, q, r, s in zip(x, y, z, w)]


def semi_cholesky(m):
    """Lower triangle l with l l' = m for a covariance that may be singular."""
    n = len(m)
    low = [[0.0] * n for _ in range(n)]
    for j in range(n):
        pivot = m[j][j] - math.fsum(low[j][k]**2 for k in range(j))
        if pivot <= 1e-14:
            continue
        low[j][j] = math.sqrt(pivot)
        for i in range(j + 1, n):
            low[i][j] = (m[i][j] - math.fsum(low[i][k] * low[j][k] for k in range(j))) / low[j][j]
    return low
