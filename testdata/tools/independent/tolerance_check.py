"""Whether a table of limits can be used, and what looks wrong about it.

The rules are those of testdata/schema/limits.schema.json and of the error codes of
testdata/README.md. A table is what tolerance_tables.py has read.
"""

import math
import statistics

from common import Fault, not_negative, require, to_si, unit_kind

LENGTHS = ("true-offset", "rim-total-indicator-reading", "gap-difference", "axial-gap-error", "runout")
SLOPES = ("angle", "gap-difference-per-diameter", "face-reading-per-radius", "deviation-per-flex-separation",
          "runout-per-length")
OF_SHAFTS = ("true-offset", "rim-total-indicator-reading", "angle", "gap-difference", "gap-difference-per-diameter",
             "face-reading-per-radius", "deviation-per-flex-separation")
PLACES = ("coupling-centre", "flex-planes", "hub-faces", "not-stated")
PLANES = ("each-plane", "resultant")
MEASURES = {"face-diameter": "faceDiameter", "flex-separation": None, "runout-length": "runoutLength",
            "runner-diameter": "runnerDiameter", "clearance": "clearance"}
RULES = ("any-speed", "by-band", "by-point", "by-formula", "by-factor")
COMBINE = ("each-alone", "shares-add")


def slope_of(value, unit):
    """A printed value in SI units, an angle as its slope (the tangent)."""
    si = to_si(value, unit)
    return math.tan(si) if unit_kind(unit) == "angle" else si


def positive_or(value, path):
    """A number that must be above zero: below it is negative, at it out of range."""
    not_negative(value, path)
    if value == 0:
        raise Fault("out-of-range", path)
    return value


def check(t):
    """Raises what makes a table unusable (the format's description in the schema)."""
    check_unit(t)
    if t.quantity in ("true-offset", "rim-total-indicator-reading") and t.place is None:
        raise Fault("missing", "place")
    if t.quantity in OF_SHAFTS and t.planes is None:
        raise Fault("missing", "planes")
    check_parts(t)
    for r in t.rows:
        positive_or(r.value, "value")
        if unit_kind(t.unit) == "angle" and to_si(r.value, t.unit) >= math.pi / 2:
            raise Fault("out-of-range", "a right angle")
    if t.rule == "by-formula":
        return check_formula(t)
    for rows in by_size(t).values():
        check_rows(t, rows)
    if t.rule == "by-factor":
        check_speeds([(f.rpm, positive_or(f.factor, "factor")) for f in t.factors])
    return None


def check_unit(t):
    """Lengths count 1, slopes and angles 0; times adds one and over takes one off."""
    kind = unit_kind(t.unit, "unit")
    power = {"length": 1, "ratio": 0, "angle": 0}.get(kind)
    if power is None:
        raise Fault("wrong-unit", "unit")
    power += (t.times is not None) - (t.over is not None)
    if power != (1 if t.quantity in LENGTHS else 0):
        raise Fault("wrong-unit", "unit")


def check_parts(t):
    """Each rule has parts of its own, and no others."""
    by_speed = t.rule in ("by-point", "by-factor")
    if t.rule == "by-formula":
        require(t.formula, "formula")
    elif not t.rows:
        raise Fault("missing", "rows")
    if t.rule == "by-factor" and not t.factors:
        raise Fault("missing", "factors")
    if by_speed:
        require(t.between, "between")
        require(t.below, "below")
        require(t.above, "above")
    foreign = (t.formula is not None and t.rule != "by-formula" or t.rows and t.rule == "by-formula"
               or t.factors and t.rule != "by-factor" or t.between is not None and not by_speed
               or t.below is not None and not by_speed
               or t.above is not None and not by_speed and t.rule != "by-band")
    for r in t.rows:
        banded = r.fromRpm is not None or r.toRpm is not None or r.ownsFrom or r.ownsTo
        if r.rpm is not None and t.rule != "by-point" or banded and t.rule != "by-band":
            foreign = True
    if foreign:
        raise Fault("mismatch", "a part of another rule")


def check_formula(t):
    f = t.formula
    for name in ("base", "perDiameter", "lowestRpm"):
        not_negative(f[name], name)
    if f.power < 0:
        raise Fault("not-monotone", "power")
    positive_or(f.numerator, "numerator")
    if f.base == 0 and f.perDiameter == 0:
        raise Fault("out-of-range", "formula")
    if f.perDiameter and unit_kind(t.unit) != "length":
        raise Fault("wrong-unit", "perDiameter")


def by_size(t):
    """Rows by size in the order given; the rows of a size stand together."""
    out, last = {}, None
    for r in t.rows:
        if r.size in out and r.size != last:
            raise Fault("not-in-order", "rows of a size apart")
        out.setdefault(r.size, []).append(r)
        last = r.size
    if "" in out and len(out) > 1:
        raise Fault("missing", "size")
    return out


def check_rows(t, rows):
    """The rows of one size."""
    if t.rule in ("any-speed", "by-factor"):
        if len(rows) > 1:
            raise Fault("given-twice", rows[0].size)
    elif t.rule == "by-point":
        check_speeds([(require(r.rpm, "rpm"), r.value) for r in rows])
    else:
        check_bands(t, rows)


def check_speeds(points):
    """Rising speeds above zero, and nothing that grows with speed."""
    for rpm, _ in points:
        positive_or(rpm, "rpm")
    for (a, va), (b, vb) in zip(points, points[1:]):
        if not b > a:
            raise Fault("not-in-order", "rpm")
        if vb > va:
            raise Fault("not-monotone", "value")


def check_bands(t, rows):
    """Bands that follow one another without gap or overlap, no bound owned twice."""
    for i, r in enumerate(rows):
        not_negative(require(r.fromRpm, "fromRpm"), "fromRpm")
        if r.toRpm is None:
            if i < len(rows) - 1:
                raise Fault("missing", "toRpm")
            continue
        positive_or(r.toRpm, "toRpm")
        if not r.toRpm > r.fromRpm:
            raise Fault("not-in-order", "toRpm")
    for a, b in zip(rows, rows[1:]):
        if a.toRpm != b.fromRpm or a.ownsTo and b.ownsFrom:
            raise Fault("speed-gap")
        if b.value > a.value:
            raise Fault("not-monotone", "value")
    if rows[-1].toRpm is not None and t.above is None:
        raise Fault("missing", "above")


# What looks wrong, though it can be used. README.md names the codes; how steep, how
# far off and how many times are choices of this module that agree with the vectors.
STEEP = 4e-3  # slope
SLIPPED = 8.0  # times
TREND = 0.05  # of the ratio of two rows of a size


def suspicions(t):
    out = ["suspect-figures"] if t.suspect else []
    groups = by_size(t)
    for rows in groups.values():
        if t.rule == "by-band" and any(not a.ownsTo and not b.ownsFrom for a, b in zip(rows, rows[1:])):
            out.append("boundary-unstated")
        if any(not 1 / SLIPPED < b.value / a.value < SLIPPED for a, b in zip(rows, rows[1:])):
            out.append("implausible-size")
    if t.quantity in SLOPES and t.times is None and t.over is None:
        share = 2.0 if t.quantity == "face-reading-per-radius" else 1.0
        if any(slope_of(r.value, t.unit) / share > STEEP * (1 + 1e-9) for r in t.rows):
            out.append("implausible-size")
    if off_trend(list(groups.values())):
        out.append("off-trend")
    return out


def off_trend(groups):
    """One size of several falls away with speed otherwise than the sizes beside it."""
    length = len(groups[0]) if groups else 0
    if length < 2 or len(groups) < 4 or any(len(g) != length for g in groups):
        return False
    for k in range(length - 1):
        ratios = [g[k + 1].value / g[k].value for g in groups]
        usual = statistics.median(ratios)
        if any(abs(r / usual - 1) > TREND for r in ratios):
            return True
    return False
