"""What every module of this second implementation needs: faults, units, strict
reading of inputs, and dense linear algebra. Python 3, standard library only.

This directory computes the vectors of the corpus a second time, from the
definitions in testdata/README.md and from published formulas, so that a vector
and the program it was written for cannot be wrong together unnoticed.

How a module looks
------------------
A module exports

    COMPUTATIONS = {"align.convert": function, ...}

A function takes the input of a vector as parsed JSON (a dict) and returns

    (results, warnings)

results: a dict from name to a float in the SI unit of its kind (m, 1, rad, K,
degC-rise, Hz, 1/K, kg, Pa, N, N.m, kg.m, m/s, s), or to a text. warnings: a
list of code words; order and repeats do not matter. What cannot be computed
raises common.Fault("code-word"). The runner turns a result that is not finite,
and an OverflowError, into the fault out-of-range, as README.md says of results
too large to write.

How an input is read
--------------------
A reader is a function (value, path) -> parsed value. `record` builds one from
the fields an object may have; an unknown field, a missing one and a wrong type
raise the faults of README.md:

    READ = record({
        "diameter": LENGTH,                      needed
        "speed": opt(FREQUENCY),                 None when absent
        "mode": opt(word("a", "b"), "a"),        with a default
        "feet": listof(record({"name": TEXT, "x": LENGTH})),
        "sweep": SWEEP,                          list of (degrees, metres)
    })
    d = READ(input)                              d.diameter, d["mode"], d.feet[0].x

Quantities come out in SI units as floats. Numbers must be finite (fault
not-finite) unless the reader says otherwise: number(finite=False) and
quantity(kind, finite=False).

Linear algebra
--------------
In linear.py, and here by the same names. Matrices are lists of rows. solve
(elimination with row pivoting), lstsq (Householder reflections), svd (one-sided
Jacobi rotations) and pinv.
"""

import math
from fractions import Fraction

from linear import Fault, add, cross, dot, lstsq, matvec, norm, pinv, scale, solve, sub, svd  # noqa: F401


# ---------------------------------------------------------------- units

_INCH = Fraction(254, 10000)  # m, exact by the agreement of 1959
_POUND = Fraction(45359237, 100000000)  # kg, exact by the same agreement
_G = Fraction(980665, 100000)  # m/s2, standard acceleration (3rd CGPM, 1901)
_LBF = _POUND * _G

# unit: (kind, factor to SI). Temperatures on a scale also have an offset.
UNITS = {
    "m": ("length", Fraction(1)),
    "mm": ("length", Fraction(1, 1000)),
    "um": ("length", Fraction(1, 10**6)),
    "in": ("length", _INCH),
    "mil": ("length", _INCH / 1000),
    "ft": ("length", _INCH * 12),
    "1": ("ratio", Fraction(1)),
    "mil/in": ("ratio", Fraction(1, 1000)),
    "mm/m": ("ratio", Fraction(1, 1000)),
    "in/ft": ("ratio", Fraction(1, 12)),
    "um/m": ("ratio", Fraction(1, 10**6)),
    "mil/ft": ("ratio", Fraction(1, 12000)),
    "deg": ("angle", None),
    "rad": ("angle", Fraction(1)),
    "K": ("temperature", Fraction(1)),
    "degC": ("temperature", Fraction(1)),
    "degF": ("temperature", Fraction(5, 9)),
    "degC-rise": ("rise", Fraction(1)),
    "degF-rise": ("rise", Fraction(5, 9)),
    "rpm": ("frequency", Fraction(1, 60)),
    "Hz": ("frequency", Fraction(1)),
    "1/K": ("expansion", Fraction(1)),
    "1/degF": ("expansion", Fraction(9, 5)),
    "kg": ("mass", Fraction(1)),
    "lb": ("mass", _POUND),
    "Pa": ("pressure", Fraction(1)),
    "MPa": ("pressure", Fraction(10**6)),
    "psi": ("pressure", _LBF / _INCH**2),
    "N": ("force", Fraction(1)),
    "lbf": ("force", _LBF),
    "N.m": ("moment", Fraction(1)),
    "lbf.in": ("moment", _LBF * _INCH),
    "lbf.ft": ("moment", _LBF * _INCH * 12),
    "kg.m": ("unbalance", Fraction(1)),
    "g.mm": ("unbalance", Fraction(1, 10**6)),
    "m/s": ("velocity", Fraction(1)),
    "mm/s": ("velocity", Fraction(1, 1000)),
    "in/s": ("velocity", _INCH),
    "s": ("time", Fraction(1)),
    "min": ("time", Fraction(60)),
    "h": ("time", Fraction(3600)),
}
_ZERO = {"degC": Fraction(27315, 100), "degF": Fraction(45967, 100) * Fraction(5, 9)}


def to_si(number, unit):
    """A number in a unit as a number in the SI unit of its kind."""
    if unit == "deg":
        return math.radians(number)
    factor = UNITS[unit][1]
    # One multiplication and one division keep 0.1 mm what it is in decimals.
    value = number * factor.numerator / factor.denominator
    return value + float(_ZERO[unit]) if unit in _ZERO else value


def from_si(value, unit):
    """A number in SI as a number in a unit."""
    if unit == "deg":
        return math.degrees(value)
    if unit in _ZERO:
        value -= float(_ZERO[unit])
    factor = UNITS[unit][1]
    return value * factor.denominator / factor.numerator


def unit_kind(unit, path="unit"):
    """The kind of quantity a unit measures."""
    if not isinstance(unit, str):
        raise Fault("wrong-type", path)
    if unit not in UNITS:
        raise Fault("unknown-unit", path)
    return UNITS[unit][0]


# ---------------------------------------------------------------- reading


class Fields(dict):
    """An object that was read; fields are attributes as well."""

    __getattr__ = dict.__getitem__


class opt:
    """Marks a field of a record that may be absent."""

    def __init__(self, reader, default=None):
        self.reader, self.default = reader, default


def record(fields):
    """A reader of an object with these fields and no others."""

    def read(v, path="input"):
        if not isinstance(v, dict):
            raise Fault("wrong-type", path)
        for name in v:
            if name not in fields:
                raise Fault("unknown-field", path + "." + name)
        out = Fields()
        for name, reader in fields.items():
            optional = isinstance(reader, opt)
            if name not in v:
                if not optional:
                    raise Fault("missing", path + "." + name)
                out[name] = reader.default
                continue
            out[name] = (reader.reader if optional else reader)(v[name], path + "." + name)
        return out

    return read


def listof(reader, length=None):
    """A reader of a list, of so many entries where a length is given."""

    def read(v, path="input"):
        if not isinstance(v, list) or (length is not None and len(v) != length):
            raise Fault("wrong-type", path)
        return [reader(e, "%s[%d]" % (path, i)) for i, e in enumerate(v)]

    return read


def or_null(reader):
    """A reader that also takes null, as None."""
    return lambda v, path="input": None if v is None else reader(v, path)


def number(finite=True):
    """A reader of a bare number. "NaN", "+Inf" and "-Inf" are numbers too."""

    def read(v, path="input"):
        if isinstance(v, str) and v in ("NaN", "+Inf", "-Inf"):
            v = float(v)
        if isinstance(v, bool) or not isinstance(v, (int, float)):
            raise Fault("wrong-type", path)
        v = float(v)
        if finite and not math.isfinite(v):
            raise Fault("not-finite", path)
        return v

    return read


def quantity(kind=None, finite=True):
    """A reader of [number, "unit"] in SI units; of any kind when kind is None."""
    read_number = number(finite)

    def read(v, path="input"):
        if not isinstance(v, list) or len(v) != 2:
            raise Fault("wrong-type", path)
        number(False)(v[0], path)
        found = unit_kind(v[1], path)
        if kind is not None and found != kind:
            raise Fault("wrong-unit", path)
        return to_si(read_number(v[0], path), v[1])

    return read


def any_quantity(v, path="input"):
    """[number, "unit"] of any kind, as (number, unit, SI value)."""
    si = quantity(None)(v, path)
    return number()(v[0], path), v[1], si


def unit_name(kind=None):
    """A reader of the name of a unit."""

    def read(v, path="input"):
        found = unit_kind(v, path)
        if kind is not None and found != kind:
            raise Fault("wrong-unit", path)
        return v

    return read


def word(*allowed):
    """A reader of one word of a list."""

    def read(v, path="input"):
        if not isinstance(v, str):
            raise Fault("wrong-type", path)
        if v not in allowed:
            raise Fault("unknown-kind", path)
        return v

    return read


def TEXT(v, path="input"):
    if not isinstance(v, str):
        raise Fault("wrong-type", path)
    return v


def BOOL(v, path="input"):
    if not isinstance(v, bool):
        raise Fault("wrong-type", path)
    return v


def INT(v, path="input"):
    if isinstance(v, bool) or not isinstance(v, int):
        raise Fault("wrong-type", path)
    return v


def ANYTHING(v, path="input"):
    return v


NUMBER = number()
LENGTH = quantity("length")
RATIO = quantity("ratio")
ANGLE = quantity("angle")
TEMPERATURE = quantity("temperature")
RISE = quantity("rise")
FREQUENCY = quantity("frequency")
EXPANSION = quantity("expansion")
MASS = quantity("mass")
PRESSURE = quantity("pressure")
FORCE = quantity("force")
MOMENT = quantity("moment")
UNBALANCE = quantity("unbalance")
VELOCITY = quantity("velocity")
TIME = quantity("time")


def pairs(v, path="input"):
    """Pairs of plain numbers."""
    return [tuple(p) for p in listof(listof(NUMBER, 2))(v, path)]


def SWEEP(v, path="input"):
    """{"unit": "mil", "readings": [[0, 0], [90, 5]]} as (degrees, metres)."""
    d = record({"unit": unit_name("length"), "readings": pairs})(v, path)
    return [(t, to_si(r, d.unit)) for t, r in d.readings]


def require(value, path):
    """The value, or the fault missing where it is None."""
    if value is None:
        raise Fault("missing", path)
    return value


def positive(value, path, code="out-of-range"):
    """The value, or a fault where it is not above zero."""
    if not value > 0:
        raise Fault(code, path)
    return value


def not_negative(value, path):
    """The value, or the fault negative where it is below zero."""
    if value < 0:
        raise Fault("negative", path)
    return value


# ---------------------------------------------------------------- angles


def clock(degrees):
    """(cos, sin) of a clock position in degrees, exact at the quarters."""
    t = math.fmod(degrees, 360.0)
    if t < 0:
        t += 360.0
    quarter, rest = divmod(t, 90.0)
    c, s = (1.0, 0.0) if rest == 0 else (math.cos(math.radians(rest)), math.sin(math.radians(rest)))
    for _ in range(int(quarter) % 4):
        c, s = -s, c
    return c, s


def bearing(vertical, horizontal):
    """Clock position of a vector, radians from 12 o'clock, 0 to under 2 pi."""
    t = math.atan2(horizontal, vertical)
    if t < 0:
        t += 2 * math.pi
    return 0.0 if t >= 2 * math.pi else t
