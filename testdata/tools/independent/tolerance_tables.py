"""Tables of limits: reading them and looking a limit up.

The format is that of testdata/schema/limits.schema.json; the published tables
are data and are read from tolerance/builtin at run time. Rules of lookup:
testdata/README.md, "Tables of limits".
"""

import json
import math
import os
import re

from common import ANYTHING, FREQUENCY, LENGTH, TEXT, Fault, not_negative, opt, record, require, to_si, unit_kind
from tolerance_check import (COMBINE, LENGTHS, MEASURES, PLACES, PLANES, RULES, SLOPES, by_size, check, slope_of,
                             suspicions)

BUILTIN = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "..", "tolerance", "builtin")
FORMAT = "collinear limits 1"
DEEPEST = 16
ONE_SPEED = 1e-12  # speeds within this part are one

GEOMETRY = record({
    "size": opt(TEXT, ""), "speed": opt(FREQUENCY), "nearFlex": opt(LENGTH, 0.0), "farFlex": opt(LENGTH, 0.0),
    "nearFace": opt(LENGTH, 0.0), "farFace": opt(LENGTH, 0.0), "faceDiameter": opt(LENGTH),
    "runoutLength": opt(LENGTH), "runnerDiameter": opt(LENGTH), "clearance": opt(LENGTH),
})


def dimension(g, measure):
    """A dimension of the machine; one that is zero was not given."""
    if measure == "flex-separation":
        value = abs(g.farFlex - g.nearFlex)
    else:
        value = require(g[MEASURES[measure]], measure)
    not_negative(value, measure)
    if value == 0:
        raise Fault("missing", measure)
    return value


# ---------------------------------------------------------------- reading


def strict_json(text):
    """The value of a text, refusing what JSON does not have and fields given twice."""
    def no_twins(pairs):
        out = dict(pairs)
        if len(out) != len(pairs):
            raise Fault("bad-json", "a field given twice")
        return out

    def no_constant(_):
        raise Fault("bad-json", "not a number")

    try:
        value = json.loads(text, object_pairs_hook=no_twins, parse_constant=no_constant)
    except (ValueError, RecursionError):
        raise Fault("bad-json") from None
    if depth(value) > DEEPEST:
        raise Fault("bad-json", "nested too deep")
    return value


def depth(value):
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else None
    return 0 if inner is None else 1 + max((depth(x) for x in inner), default=0)


def plain(v, path):
    """A number as the format has it: no words for what is not finite."""
    if isinstance(v, bool) or not isinstance(v, (int, float)):
        raise Fault("wrong-type", path)
    if not math.isfinite(v):
        raise Fault("out-of-range", path)
    return float(v)


def flag(v, path):
    if not isinstance(v, bool):
        raise Fault("wrong-type", path)
    return v


def some_text(v, path):
    if not TEXT(v, path).strip():
        raise Fault("missing", path)
    return v


def identity_name(v, path):
    if not re.fullmatch("[a-z0-9]+(-[a-z0-9]+)*", some_text(v, path)) or len(v) > 80:
        raise Fault("out-of-range", path)
    return v


def one_of(*words):
    def read(v, path):
        if some_text(v, path) not in words:
            raise Fault("unknown-kind", path)
        return v
    return read


def some(reader):
    """A list of one entry or more; an empty one was not given."""
    def read(v, path):
        if not isinstance(v, list):
            raise Fault("wrong-type", path)
        if not v:
            raise Fault("missing", path)
        return [reader(e, "%s[%d]" % (path, i)) for i, e in enumerate(v)]
    return read


_ROW = record({"size": opt(some_text, ""), "rpm": opt(plain), "fromRpm": opt(plain), "toRpm": opt(plain),
               "ownsFrom": opt(flag, False), "ownsTo": opt(flag, False), "value": plain})
_FORMULA = record({"base": plain, "perDiameter": plain, "numerator": plain, "power": plain,
                   "lowestRpm": opt(plain, 0.0)})
_FACTOR = record({"rpm": plain, "factor": plain})
_OUTSIDE = opt(one_of("refuse", "hold", "hold-unstated"))
_TABLE = record({
    "id": identity_name, "title": some_text, "quantity": one_of(*LENGTHS + SLOPES), "place": opt(one_of(*PLACES)),
    "planes": opt(one_of(*PLANES)), "coupling": opt(some_text),
    "turned": opt(one_of("both", "one", "none", "not-stated")),
    "unit": lambda v, path: v if unit_kind(v, path) else v, "rule": one_of(*RULES), "rows": opt(some(_ROW), []),
    "formula": opt(_FORMULA), "factors": opt(some(_FACTOR), []), "between": opt(one_of("linear", "stricter")),
    "below": _OUTSIDE, "above": opt(one_of("refuse", "hold")), "times": opt(one_of(*MEASURES)),
    "over": opt(one_of(*MEASURES)), "source": some_text, "edition": opt(some_text),
    "known": one_of("read", "read-secondhand", "memory", "common-practice"), "note": opt(some_text),
    "suspect": opt(some_text), "unusable": opt(flag, False),
})
_SET = record({"format": TEXT, "id": identity_name, "title": some_text, "combine": one_of(*COMBINE),
               "tables": some(ANYTHING)})


def TABLE(v, path="table"):
    """The reader of a table, which is checked as well."""
    t = _TABLE(v, path)
    check(t)
    return t


def read_set(value):
    """A set from parsed JSON. Its format is looked at before anything else."""
    if not isinstance(value, dict):
        raise Fault("wrong-type")
    if "format" not in value:
        raise Fault("missing", "format")
    if TEXT(value["format"], "format") != FORMAT:
        raise Fault("unknown-format")
    s = _SET(value, "set")
    s["tables"] = [TABLE(t, "tables[%d]" % i) for i, t in enumerate(s.tables)]
    if len({t.id for t in s.tables}) < len(s.tables):
        raise Fault("given-twice", "tables")
    return s


_SETS = {}


def find_set(name):
    """A published set by its name; they are read once."""
    if not _SETS:
        for f in sorted(os.listdir(BUILTIN)):
            if f.endswith(".json"):
                with open(os.path.join(BUILTIN, f), encoding="utf-8") as h:
                    s = read_set(strict_json(h.read()))
                _SETS[s.id] = s
    if name not in _SETS:
        raise Fault("unknown-table", name)
    return _SETS[name]


def find_table(name, of):
    for t in find_set(name).tables:
        if t.id == of:
            return t
    raise Fault("unknown-table", of)


# ---------------------------------------------------------------- looking up


def rows_for(t, size):
    groups = by_size(t)
    if "" in groups:
        return groups[""]
    if size:
        if size not in groups:
            raise Fault("unknown-size", size)
        return groups[size]
    if len(groups) > 1:
        raise Fault("missing", "size")
    return next(iter(groups.values()))


def same(a, b):
    return abs(a - b) <= ONE_SPEED * max(abs(a), abs(b))


def speed_of(g):
    """Revolutions a minute; a speed of zero is one that was not given."""
    n = not_negative(require(g.speed, "speed"), "speed") * 60
    if n == 0:
        raise Fault("missing", "speed")
    return n


def at_points(t, points, n):
    """(value, warnings) at speed n from values at single speeds."""
    for rpm, value in points:
        if same(rpm, n):
            return value, []
    first, last = points[0], points[-1]
    if n < first[0]:
        if t.below == "refuse":
            raise Fault("out-of-range", "speed")
        return first[1], ["end-speed-held"]
    if n > last[0]:
        if t.above == "refuse":
            raise Fault("out-of-range", "speed")
        return last[1], ["end-speed-held"]
    (a, va), (b, vb) = next((p, q) for p, q in zip(points, points[1:]) if p[0] < n < q[0])
    if t.between == "linear":
        return va + (vb - va) * (n - a) / (b - a), []
    return min(va, vb), ["between-speeds"]


def at_bands(t, rows, n):
    """(value, warnings) at speed n from bands; of a bound that nobody owns the stricter holds."""
    for a, b in zip(rows, rows[1:]):
        if same(a.toRpm, n):
            if a.ownsTo or b.ownsFrom:
                return (a.value if a.ownsTo else b.value), []
            return min(a.value, b.value), ["boundary-unstated"]
    first, last = rows[0], rows[-1]
    if n < first.fromRpm and not same(n, first.fromRpm):
        raise Fault("out-of-range", "speed")
    if last.toRpm is not None and n > last.toRpm and not same(n, last.toRpm):
        if t.above == "refuse":
            raise Fault("out-of-range", "speed")
        return last.value, ["end-speed-held"]
    for r in rows:
        if r.toRpm is None or n < r.toRpm or same(n, r.toRpm):
            return r.value, []
    raise Fault("out-of-range", "speed")


def printed_at(t, g, n=None):
    """(value in the table's unit, warnings) by the rule of speed; n overrides the speed of g."""
    if t.rule == "by-formula":
        f = t.formula
        d = 0.0
        if f.perDiameter:
            d = dimension(g, "face-diameter") / to_si(1.0, t.unit)
        speed = 1.0
        if f.power:
            speed = max(speed_of(g) if n is None else n, f.lowestRpm)
        return (f.base + f.perDiameter * d) * f.numerator / speed**f.power, []
    rows = rows_for(t, g.size)
    if t.rule == "any-speed":
        return rows[0].value, []
    n = speed_of(g) if n is None else n
    if t.rule == "by-band":
        return at_bands(t, rows, n)
    if t.rule == "by-point":
        return at_points(t, [(r.rpm, r.value) for r in rows], n)
    factor, warnings = at_points(t, [(f.rpm, f.factor) for f in t.factors], n)
    return rows[0].value * factor, warnings


def scaled(t, g, printed):
    """A printed value as the limit in SI units."""
    value = slope_of(printed, t.unit)
    if t.times:
        value *= dimension(g, t.times)
    if t.over:
        value /= dimension(g, t.over)
    return value


def limit(t, g, n=None):
    """(limit in SI units, printed value, warnings)."""
    if t.unusable:
        raise Fault("unusable-table", t.id)
    printed, warnings = printed_at(t, g, n)
    value = scaled(t, g, printed)
    if not value < 1e150:
        raise Fault("out-of-range", "limit")
    return value, printed, warnings + (["suspect-figures"] if t.suspect else [])


_LOOKUP = record({"set": opt(TEXT), "of": opt(TEXT), "table": opt(TABLE), "geometry": GEOMETRY})


def limit_at(v):
    d = _LOOKUP(v)
    if d.table is not None and (d.set is not None or d.of is not None):
        raise Fault("mismatch", "table")
    t = d.table or find_table(require(d.set, "set"), require(d.of, "of"))
    value, printed, warnings = limit(t, d.geometry)
    return {"limit": value, "printed": to_si(printed, t.unit)}, warnings


_CHECK = record({"table": TABLE})


def check_table(v):
    t = _CHECK(v).table
    return {"quantity": t.quantity, "rows": float(len(t.rows))}, suspicions(t)


_PARSE = record({"text": TEXT})


def parse_limits(v):
    s = read_set(strict_json(_PARSE(v).text))
    return ({"combine": s.combine, "tables": float(len(s.tables))},
            [w for t in s.tables for w in suspicions(t)])


COMPUTATIONS = {
    "tolerance.limit-at": limit_at,
    "tolerance.check-table": check_table,
    "tolerance.parse-limits": parse_limits,
}
