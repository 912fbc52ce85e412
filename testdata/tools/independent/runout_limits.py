"""Published limits of runout, as tables with their sources.

Definitions: testdata/README.md, "Limits of runout". How a figure is known is part
of the result. A row counts over its lower and up to its upper bound unless said
otherwise; a bound given in another unit counts as the same (one part in 10^9).
"""

import common as c
from common import Fault, FREQUENCY, LENGTH, opt, record, word

SLACK = 1e-9
ANY_FOOT = c.to_si(0.001, "in")  # Bloch and Geitner, Practical Machinery Management, vol. 4, p. 103


def verdict(share):
    return "within" if share <= 1 + SLACK else "over"


# NEMA MG 1 (condensed 2011), 4.9.7, at the end of the extension, inches.
NEMA_SHAFT = [(0.1875, 1.625, 0.002), (1.625, 6.5, 0.003)]
# IEC 60072-1 by EASA AR100-2015, Table 2-4, midway along the extension, millimetres.
IEC_SHAFT = [(6, 10, 0.03), (10, 18, 0.035), (18, 30, 0.04), (30, 50, 0.05), (50, 80, 0.06), (80, 120, 0.07),
             (120, 180, 0.08), (180, 250, 0.09), (250, 315, 0.1), (315, 400, 0.11), (400, 500, 0.125),
             (500, 630, 0.14)]
# DIN 42955 as tabulated by a drive maker, millimetres: normal and reduced.
DIN_SHAFT = [(0, 10, 0.03, 0.015), (10, 18, 0.035, 0.018), (18, 30, 0.04, 0.021), (30, 50, 0.05, 0.025),
             (50, 80, 0.06, 0.03), (80, 120, 0.07, 0.035), (120, 180, 0.08, 0.04), (180, 250, 0.09, 0.045)]
# NEMA MG 1 4.13, Table 4-6, flanges of type P, by EASA AR100-2020 (draft), Table 2-9, inches.
NEMA_FLANGE = [(0, 12, 0.004), (12, 24, 0.007), (24, 40, 0.009), (40, 60, 0.012)]
# IEC 60072-1 C.7 by EASA AR100-2020 (draft), Table 2-11, millimetres.
IEC_FLANGE = [(40, 100, 0.08), (100, 230, 0.1), (230, 450, 0.125), (450, 800, 0.16), (800, 1250, 0.2),
              (1250, 2000, 0.25), (2000, 2240, 0.315)]
DIN_FLANGE = [(0, 22, 0.05, 0.025), (22, 40, 0.06, 0.03), (40, 100, 0.08, 0.04), (100, 230, 0.1, 0.05),
              (230, 450, 0.125, 0.063), (450, 800, 0.16, 0.08), (800, 1400, 0.2, 0.1)]

STANDARDS = ("nema-mg-1", "iec-60072-1", "din-42955-normal", "din-42955-reduced")


def standard(v, path="input"):
    return word(*STANDARDS)(v, path)


def lookup(table, size, unit, column=2, from_first=False, larger_at=None):
    """The limit of the row that holds size (SI). from_first: the first lower bound
    belongs to the table. larger_at: a bound that belongs to the row above it."""
    value = c.from_si(size, unit)
    for i, row in enumerate(table):
        low, high = row[0], row[1]
        above = value > low * (1 + SLACK) or (low == 0 and value > 0)
        if (i == 0 and from_first) or low == larger_at:
            above = value >= low * (1 - SLACK)
        below = value <= high * (1 + SLACK)
        if high == larger_at:
            below = value < high * (1 - SLACK)
        if above and below:
            return c.to_si(row[column], unit)
    raise Fault("out-of-range", "no row for %g %s" % (value, unit))


def shaft_limit(std, diameter):
    c.positive(diameter, "diameter", "zero-diameter")
    if std == "nema-mg-1":
        return lookup(NEMA_SHAFT, diameter, "in", from_first=True), "end of the shaft extension", "read"
    if std == "iec-60072-1":
        return lookup(IEC_SHAFT, diameter, "mm"), "middle of the shaft extension", "read-secondhand"
    column = 2 if std == "din-42955-normal" else 3
    return (lookup(DIN_SHAFT, diameter, "mm", column), "shaft extension, place not given in the table read",
            "read-secondhand")


def extension_limit(v):
    d = record({"standard": standard, "diameter": LENGTH, "runout": opt(LENGTH),
                "place": opt(word("end", "middle"))})(v)
    limit, place, known = shaft_limit(d.standard, d.diameter)
    out = {"limit": limit, "limit.place": place, "limit.known": known}
    if d.runout is None:
        return out, []
    c.require(d.place, "place")
    c.not_negative(d.runout, "runout")
    named = {"nema-mg-1": "end", "iec-60072-1": "middle"}.get(d.standard)
    if named is not None and d.place != named:
        raise Fault("mismatch", "the standard wants the dial at the " + named)
    out["share"] = d.runout / limit
    out["verdict"] = verdict(out["share"])
    return out, []


def flange_limit(v):
    d = record({"standard": standard, "rabbet": LENGTH})(v)
    c.positive(d.rabbet, "rabbet", "zero-diameter")
    if d.standard == "nema-mg-1":
        limit, place = lookup(NEMA_FLANGE, d.rabbet, "in", larger_at=12), "flange of type P"
    elif d.standard == "iec-60072-1":
        limit, place = lookup(IEC_FLANGE, d.rabbet, "mm"), "mounting flange"
    else:
        column = 2 if d.standard == "din-42955-normal" else 3
        limit, place = lookup(DIN_FLANGE, d.rabbet, "mm", column), "mounting flange"
    return {"limit": limit, "limit.place": place, "limit.known": "read-secondhand"}, []


def pump_rotor_limit(v):
    """API 610, 11th ed., as printed in two pump manuals: a rotor is flexible where
    L^4/D^2 is over 1.9e9 mm^2. Both prints have the same sign in both rows; that
    the tighter row is the stiff one is from memory."""
    d = record({"span": LENGTH, "diameter": LENGTH})(v)
    c.positive(d.span, "span")
    c.positive(d.diameter, "diameter", "zero-diameter")
    span, diameter = c.from_si(d.span, "mm"), c.from_si(d.diameter, "mm")
    flexible = span**4 / diameter**2 > 1.9e9 * (1 + SLACK)
    kind = "flexible" if flexible else "stiff"
    shaft, whole = (40, 90) if flexible else (25, 75)
    known = "read-secondhand" if flexible else "memory"
    return {"rotor": kind, "shaft.limit": c.to_si(shaft, "um"), "shaft.limit.known": known,
            "shaft.limit.place": kind + " rotor, shaft",
            "rotor.limit": c.to_si(whole, "um"), "rotor.limit.known": known,
            "rotor.limit.place": kind + " rotor, parts fitted with clearance"}, []


def chemical_pump_limit(v):
    d = record({"part": word("shaft", "sleeve")})(v)
    # ASME B73.1 column in a pump manual's table.
    return {"limit": c.to_si(0.05, "mm"), "limit.known": "read-secondhand", "limit.place": d.part}, []


def line_shaft_whole(length):
    """0.0005 in for each foot of length (Bloch and Geitner, as above)."""
    c.positive(c.not_negative(length, "length"), "length")
    return c.to_si(0.0005, "in") * c.from_si(length, "ft")


def line_shaft_limit(v):
    d = record({"length": LENGTH})(v)
    return {"whole": line_shaft_whole(d.length), "any-foot": ANY_FOOT}, []


# GB/T 8564-2003 as Table 4-2 of a secondary text; bands begin with their lower speed, r/min.
BANDS = [0, 150, 300, 500, 750]
HYDRO = {
    "generator-journals": ("mm/m", [0.03, 0.03, 0.02, 0.02, 0.02]),
    "turbine-journal": ("mm/m", [0.05, 0.05, 0.04, 0.03, 0.02]),
    "collector-ring": ("mm", [0.5, 0.4, 0.3, 0.2, 0.1]),
}
CAP_BANDS = [0, 250, 600]
CAPS = [0.35, 0.25, 0.2]  # mm, turbine guide bearing


def band(bounds, speed):
    rpm = c.from_si(speed, "rpm")
    return max(i for i, b in enumerate(bounds) if rpm >= b * (1 - SLACK))


def hydro_limit(v):
    d = record({"part": word(*HYDRO), "speed": FREQUENCY, "runout": opt(LENGTH), "distance": opt(LENGTH)})(v)
    c.positive(c.not_negative(d.speed, "speed"), "speed")
    unit, limits = HYDRO[d.part]
    limit = c.to_si(limits[band(BANDS, d.speed)], unit)
    out = {"limit": limit, "limit.known": "read-secondhand"}
    if d.part == "turbine-journal":
        out["cap"] = c.to_si(CAPS[band(CAP_BANDS, d.speed)], "mm")
        out["cap.known"] = "read-secondhand"
    if d.runout is None:
        return out, []
    c.not_negative(d.runout, "runout")
    measured = d.runout
    if unit == "mm/m":
        # Runout over the distance from the point read to the mirror plate.
        measured = d.runout / c.positive(d.distance or 0.0, "distance")
    out["limit.measured"], out["limit.verdict"] = measured, verdict(measured / limit)
    words = [out["limit.verdict"]]
    if "cap" in out:
        out["cap.measured"], out["cap.verdict"] = d.runout, verdict(d.runout / out["cap"])
        words.append(out["cap.verdict"])
    out["verdict"] = "over" if "over" in words else "within"
    return out, []


COMPUTATIONS = {
    "runout.extension-limit": extension_limit,
    "runout.flange-limit": flange_limit,
    "runout.pump-rotor-limit": pump_rotor_limit,
    "runout.chemical-pump-limit": chemical_pump_limit,
    "runout.line-shaft-limit": line_shaft_limit,
    "runout.hydro-limit": hydro_limit,
}
