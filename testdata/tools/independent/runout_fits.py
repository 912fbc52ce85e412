"""Hubs on shafts: zones, fits, bores and keyways, heating, tapers, press fits.

Definitions: testdata/README.md, "Hubs on shafts". Interference is on the
diameter, positive when the shaft is larger.

Sources: ISO 286 deviations as tabulated in JIS B 0401 up to 80 mm, from memory
above, H7 from 30 mm up read as h7 with its sign turned, 18 to 30 mm from memory;
ANSI/AGMA 9002-B04 as a bore and keyway table; customary interference from a
compressor textbook; Lame's formulas for a thick-walled cylinder on a solid shaft
of the same material (Bloch, Improving Machinery Reliability, ch. 3).
"""

import math

import common as c
from common import EXPANSION, Fault, LENGTH, MOMENT, PRESSURE, RATIO, TEMPERATURE, opt, record, word

SLACK = 1e-9
BORDERS = [18, 30, 50, 80, 120, 180, 250]  # mm, over and up to
ZONES = {  # um, lower and upper deviation for each row
    "k6": [(2, 15), (2, 18), (2, 21), (3, 25), (3, 28), (4, 33)],
    "m6": [(8, 21), (9, 25), (11, 30), (13, 35), (15, 40), (17, 46)],
    "n6": [(15, 28), (17, 33), (20, 39), (23, 45), (27, 52), (31, 60)],
    "p6": [(22, 35), (26, 42), (32, 51), (37, 59), (43, 68), (50, 79)],
    "H7": [(0, 21), (0, 25), (0, 30), (0, 35), (0, 40), (0, 46)],
}
READ_UP_TO = 3  # rows of shaft zones that were read
HEAT_LIMIT = 0.01  # interference over the diameter beyond which the unit is doubted


def row_of(diameter):
    d = c.from_si(diameter, "mm")
    for i, (low, high) in enumerate(zip(BORDERS, BORDERS[1:])):
        if low * (1 + SLACK) < d <= high * (1 + SLACK):
            return i
    raise Fault("out-of-range", "no row for %g mm" % d)


def zone_of(name, diameter):
    c.positive(diameter, "diameter", "zero-diameter")
    i = row_of(diameter)
    low, high = (c.to_si(x, "um") for x in ZONES[name][i])
    read = i > 0 if name == "H7" else i < READ_UP_TO
    return low, high, "read-secondhand" if read else "memory"


def zone(v):
    d = record({"zone": word(*ZONES), "diameter": LENGTH})(v)
    low, high, known = zone_of(d.zone, d.diameter)
    return {"lower": low, "upper": high, "known": known, "width": high - low}, []


def fit(hole, shaft):
    """Least and most interference of a pair of zones and the kind of fit."""
    for low, high in (hole, shaft):
        if low > high:
            raise Fault("mismatch", "the upper deviation is under the lower one")
    least, most = shaft[0] - hole[1], shaft[1] - hole[0]
    tiny = 1e-12
    kind = "interference" if least >= -tiny else "clearance" if most <= tiny else "transition"
    return {"least": least, "most": most, "kind": kind}


def hub_fit(v):
    d = record({"zone": word("k6", "m6", "n6", "p6"), "diameter": LENGTH})(v)
    shaft, hole = zone_of(d.zone, d.diameter), zone_of("H7", d.diameter)
    out = fit(hole[:2], shaft[:2])
    out["known"] = "memory" if "memory" in (shaft[2], hole[2]) else "read-secondhand"
    return out, []


def pair(v):
    zone_read = record({"lower": LENGTH, "upper": LENGTH})
    d = record({"hole": zone_read, "shaft": zone_read})(v)
    return fit((d.hole.lower, d.hole.upper), (d.shaft.lower, d.shaft.upper)), []


# Customary interference over the diameter, a compressor textbook's chapter on
# coupling hubs; API 671 gives a least value alone.
PRACTICE = {
    "straight-keyless": (0.001, 0.0015), "straight-keyed": (0.0005, 0.00075), "taper-hydraulic": (0.002, 0.0025),
    "keyless-api-671": (0.0015, None),
}


def against(seat, share):
    least, most = PRACTICE[seat]
    if share < least - 1e-12:
        return "under"
    return "over" if most is not None and share > most + 1e-12 else "within"


def fit_practice(v):
    d = record({"seat": word(*PRACTICE), "interference": opt(RATIO)})(v)
    least, most = PRACTICE[d.seat]
    out = {"least": least, "known": "read-secondhand" if d.seat == "keyless-api-671" else "read"}
    if most is not None:
        out["most"] = most
    if d.interference is not None:
        out["practice"] = against(d.seat, d.interference)
    return out, []


def measured_fit(v):
    d = record({"shaft": LENGTH, "bore": LENGTH, "seat": opt(word(*PRACTICE))})(v)
    c.positive(d.shaft, "shaft", "zero-diameter")
    c.positive(d.bore, "bore", "zero-diameter")
    i = d.shaft - d.bore
    out = {"interference": i, "per-diameter": i / d.bore}
    if d.seat is not None:
        out["practice"] = against(d.seat, i / d.bore)
    return out, []


# ANSI/AGMA 9002-B04, inches: bore, key width, depth of the keyway in the hub, across.
AGMA = [
    (0.375, 0.0938, 0.0469, 0.421), (0.4375, 0.0938, 0.0469, 0.484), (0.5, 0.125, 0.0625, 0.56),
    (0.5625, 0.125, 0.0625, 0.623), (0.625, 0.1875, 0.0938, 0.709), (0.6875, 0.1875, 0.0938, 0.773),
    (0.75, 0.1875, 0.0938, 0.837), (0.8125, 0.1875, 0.0938, 0.9), (0.875, 0.1875, 0.0938, 0.964),
    (0.9375, 0.25, 0.125, 1.051), (1, 0.25, 0.125, 1.114), (1.0625, 0.25, 0.125, 1.178), (1.125, 0.25, 0.125, 1.241),
    (1.1875, 0.25, 0.125, 1.304), (1.25, 0.25, 0.125, 1.367), (1.3125, 0.3125, 0.1562, 1.455),
    (1.375, 0.3125, 0.1562, 1.518), (1.4375, 0.375, 0.1875, 1.605), (1.5, 0.375, 0.1875, 1.669),
]


def inch_bore(v):
    d = record({"bore": LENGTH})(v)
    bore = c.from_si(d.bore, "in")
    row = next((r for r in AGMA if abs(r[0] - bore) <= 1e-6), None)
    if row is None:
        raise Fault("out-of-range", "no row for a bore of %g in" % bore)
    inch = lambda x: c.to_si(x, "in")
    out = {"key-width": inch(row[1]), "keyway-depth": inch(row[2]), "across": inch(row[3])}
    width = 0.002 if row[0] <= 1.375 else 0.0025
    for name, low, high in (("clearance-bore", 0, 0.001), ("interference-bore", -0.001, -0.0005),
                            ("key-width", 0, width), ("across", 0, 0.015)):
        out[name + ".lower"], out[name + ".upper"] = inch(low), inch(high)
        out[name + ".known"] = "read-secondhand"
    return out, []


def keyway(v):
    """From the bottom of the keyway to the far side of the bore: the bore less the
    rise of the arc under the keyway, plus its depth and the allowance of 0.005 in
    of ANSI B17.1 (from memory; it fits every row of the table read)."""
    d = record({"bore": LENGTH, "width": LENGTH, "depth": LENGTH})(v)
    c.positive(d.bore, "bore", "zero-diameter")
    c.positive(d.width, "width")
    c.positive(d.depth, "depth")
    if d.width >= d.bore:
        raise Fault("mismatch")
    rise = (d.bore - math.sqrt(d.bore**2 - d.width**2)) / 2
    return {"across": d.bore - rise + d.depth + c.to_si(0.005, "in")}, []


def hub_heating(v):
    """The bore grows by alpha D rise: it must grow by interference and clearance
    (Bloch, Improving Machinery Reliability, eq. 3-12)."""
    d = record({"bore": LENGTH, "interference": LENGTH, "clearance": LENGTH, "expansion": EXPANSION,
                "shaft": opt(TEMPERATURE), "highest": opt(TEMPERATURE)})(v)
    c.positive(d.bore, "bore", "zero-diameter")
    for f in ("interference", "clearance", "expansion"):
        c.not_negative(d[f], f)
    c.positive(d.expansion, "expansion")
    for f in ("shaft", "highest"):
        if d[f] is not None:
            c.not_negative(d[f], f)
    if d.highest is not None:
        c.require(d.shaft, "shaft")
    rise = (d.interference + d.clearance) / (d.expansion * d.bore)
    out, warnings = {"rise": rise}, []
    if d.shaft is not None:
        out["temperature"] = d.shaft + rise
    if d.highest is None:
        warnings.append("heat-limit-not-given")
    elif out["temperature"] > d.highest * (1 + 1e-12):
        warnings.append("hub-too-hot")
    if d.clearance == 0:
        warnings.append("no-mounting-clearance")
    if d.interference / d.bore > HEAT_LIMIT:
        warnings.append("interference-size")
    return out, warnings


def taper_seat(v):
    """A taper on the diameter: pushed up by interference over taper."""
    d = record({"taper": RATIO, "interference": LENGTH})(v)
    c.positive(c.not_negative(d.taper, "taper"), "taper")
    return {"advance": c.not_negative(d.interference, "interference") / d.taper}, []


def press_fit(v):
    """A hub of outside D on a solid shaft of diameter d of the same material, with
    k = d/D: p = E (i/d) (1 - k^2)/2, tension at the bore p (1 + k^2)/(1 - k^2) (Lame)."""
    d = record({"shaft": LENGTH, "outside": LENGTH, "modulus": PRESSURE, "interference": opt(LENGTH),
                "pressure": opt(PRESSURE)})(v)
    if d.interference is None and d.pressure is None:
        raise Fault("missing")
    if d.interference is not None and d.pressure is not None:
        raise Fault("mismatch")
    c.positive(d.shaft, "shaft", "zero-diameter")
    c.positive(d.modulus, "modulus")
    if d.outside <= d.shaft:
        raise Fault("mismatch", "no wall")
    k2 = (d.shaft / d.outside) ** 2
    if d.interference is not None:
        i = c.not_negative(d.interference, "interference")
        p = d.modulus * (i / d.shaft) * (1 - k2) / 2
    else:
        p = c.not_negative(d.pressure, "pressure")
        i = 2 * p * d.shaft / (d.modulus * (1 - k2))
    return {"pressure": p, "interference": i, "per-diameter": i / d.shaft, "bore-stress": p * (1 + k2) / (1 - k2)}, []


def grip(v):
    """Friction on the seat: T = mu p (pi d L) d/2."""
    d = record({"diameter": LENGTH, "length": LENGTH, "friction": RATIO, "pressure": opt(PRESSURE),
                "torque": opt(MOMENT)})(v)
    if d.pressure is None and d.torque is None:
        raise Fault("missing")
    if d.pressure is not None and d.torque is not None:
        raise Fault("mismatch")
    c.positive(d.diameter, "diameter", "zero-diameter")
    c.positive(c.not_negative(d.length, "length"), "length")
    c.positive(c.not_negative(d.friction, "friction"), "friction")
    arm = d.friction * math.pi * d.diameter**2 * d.length / 2
    if d.pressure is not None:
        return {"torque": c.not_negative(d.pressure, "pressure") * arm}, []
    return {"pressure": abs(d.torque) / arm}, []


COMPUTATIONS = {
    "runout.zone": zone,
    "runout.hub-fit": hub_fit,
    "runout.pair": pair,
    "runout.measured-fit": measured_fit,
    "runout.fit-practice": fit_practice,
    "runout.inch-bore": inch_bore,
    "runout.keyway": keyway,
    "runout.hub-heating": hub_heating,
    "runout.taper-seat": taper_seat,
    "runout.press-fit": press_fit,
    "runout.grip": grip,
}
