"""Machines that warm: shafts on their supports, gaps along the train, journals, movements.

Definitions: testdata/README.md, "Machines that warm". Growth of a support is in
thermal_growth.py.
"""

import math

from axis import OFFSET, Axis, both, put_axis, put_offset, through
from common import (LENGTH, NUMBER, RATIO, TEMPERATURE, Fault, clock, listof, lstsq, not_negative, opt, positive,
                    record, word)
from thermal_growth import MATERIAL, SEGMENT, support_growth

RESIDUAL = 25e-6  # m; a support off the shaft's line, about a thousandth of an inch (own choice)

_FOOT = record({"station": LENGTH, "lateral": LENGTH, "segments": listof(SEGMENT)})
_KEY = record({"station": LENGTH, "lateral": LENGTH, "material": MATERIAL, "cold": TEMPERATURE, "hot": TEMPERATURE})
_MACHINE = record({"supports": listof(_FOOT), "keys": opt(listof(_KEY), []), "residualLimit": opt(LENGTH),
                   "stations": opt(listof(LENGTH), [])})


def straight(xs, ys):
    """Offset at 0 and slope of the least-squares line; level through one place."""
    if len(set(xs)) == 1:
        return math.fsum(ys) / len(ys), 0.0
    (a, b), _, _ = lstsq([[1.0, x] for x in xs], ys)
    return a, b


def support_stations(supports):
    """(station, list of (lateral, growth)) by rising station, and the warnings."""
    if not supports:
        raise Fault("missing", "supports")
    by_station, warnings = {}, []
    for s in supports:
        parts, ws = support_growth(s.segments)
        warnings += ws
        by_station.setdefault(s.station, []).append((s.lateral, math.fsum(parts)))
    stations = sorted(by_station)
    if len(stations) > 8:
        raise Fault("out-of-range", "supports")
    if any(b - a < 1e-6 for a, b in zip(stations, stations[1:])):
        raise Fault("coincident-stations", "supports")
    return [(x, by_station[x]) for x in stations], warnings


def key_line(keys):
    """Offset and slope sideways: strain times the distance from the key to the shaft."""
    if len(keys) > 2:
        raise Fault("out-of-range", "keys")
    shift = [k.material.strain(k.cold, k.hot) * k.lateral for k in keys]
    if not keys:
        return 0.0, 0.0
    if len(keys) == 2 and abs(keys[1].station - keys[0].station) < 1e-6:
        raise Fault("coincident-stations", "keys")
    return straight([k.station for k in keys], shift)


def machine(v):
    """The shaft follows its supports; each station counts once."""
    d = _MACHINE(v)
    stations, warnings = support_stations(d.supports)
    rows = []
    for x, feet in stations:
        centre, roll = straight([z for z, _ in feet], [g for _, g in feet])
        one_side = len({z for z, _ in feet}) == 1
        if one_side and feet[0][0] != 0:
            warnings.append("roll-not-determined")
        outer = max(feet)[1] - min(feet)[1] if not one_side else 0.0
        rows.append((x, centre, None if one_side else roll, outer))
    line = straight([r[0] for r in rows], [r[1] for r in rows])
    side = key_line(d["keys"])
    axis = Axis((line[0], side[0]), (line[1], side[1])).checked()
    results = {}
    put_axis(results, axis, d.stations)
    limit = RESIDUAL if d.residualLimit is None else not_negative(d.residualLimit, "residualLimit")
    for i, (x, growth, roll, uneven) in enumerate(rows):
        name = "support-station.%d." % i
        residual = growth - axis.at(x)[0]
        results.update({name + "at": x, name + "growth": growth, name + "uneven": uneven, name + "residual": residual})
        if roll is not None:
            results[name + "roll"] = roll
        if abs(residual) > limit:
            warnings.append("residual")
    for k in d["keys"]:
        warnings += k.material.warnings(k.cold, k.hot)
    return results, warnings


_PART = record({"material": MATERIAL, "cold": TEMPERATURE, "hot": TEMPERATURE})
_AXIAL = record({"fixed": LENGTH, "thrust": LENGTH, "end": LENGTH, "casing": _PART, "rotor": _PART,
                 "shift": opt(LENGTH, 0.0)})
_GAP = record({"near": _AXIAL, "far": _AXIAL, "cold": opt(LENGTH), "running": opt(LENGTH)})


def end_movement(m):
    """The casing carries the thrust bearing away from where it is held, the rotor grows from there."""
    casing = m.casing.material.strain(m.casing.cold, m.casing.hot)
    rotor = m.rotor.material.strain(m.rotor.cold, m.rotor.hot)
    return casing * (m.thrust - m.fixed) + rotor * (m.end - m.thrust) + m.shift


def axial_gap(v):
    d = _GAP(v)
    change = end_movement(d.far) - end_movement(d.near)
    results = {"change": change}
    if d.cold is not None:
        results["running"] = not_negative(d.cold, "cold") + change
    if d.running is not None:
        results["cold"] = not_negative(d.running, "running") - change
    return results, []


_FLOAT = record({"bearing": LENGTH, "travel": LENGTH, "centre": opt(LENGTH, 0.0)})


def end_float(v):
    """Room left at the shoulders, and the rule that travel be less than half the float."""
    d = _FLOAT(v)
    positive(not_negative(d.bearing, "bearing"), "bearing")
    not_negative(d.travel, "travel")
    low = d.bearing / 2 + d.centre - d.travel
    high = d.bearing / 2 - d.centre - d.travel
    share = 2 * d.travel / d.bearing
    # ITT Goulds 3409 manual, p. 54: LESS than half the end float.
    return {"low": low, "high": high, "share": share,
            "window": "inside" if min(low, high) >= 0 else "outside",
            "half-float": "within" if share < 0.5 * (1 - 1e-12) else "over"}, []


_JOURNAL = record({"clearance": LENGTH, "load": NUMBER, "eccentricity": opt(RATIO, 1.0), "attitude": opt(NUMBER, 0.0),
                   "turning": opt(word("clockwise", "counterclockwise"))})


def journal(v):
    """The journal runs at k C/2 from the bore's centre, at rest it lies C/2 below it."""
    d = _JOURNAL(v)
    c = positive(not_negative(d.clearance, "clearance"), "clearance")
    if not (0 <= d.eccentricity <= 1 and 0 <= d.attitude <= 90):
        raise Fault("out-of-range", "journal")
    if d.attitude and d.turning is None:
        raise Fault("missing", "turning")
    turn = -1 if d.turning == "counterclockwise" else 1
    up, right = clock(d.load + turn * d.attitude)
    centre = (d.eccentricity * c / 2 * up, d.eccentricity * c / 2 * right)
    results = {}
    put_offset(results, "from-centre", centre)
    put_offset(results, "from-rest", (centre[0] + c / 2, centre[1]))
    return results, []


_CAUSE = word("other", "growth", "oil-film", "gear-load", "pipe", "pressure")
_MOVED = record({"station": LENGTH, "contributions": listof(record({"cause": _CAUSE, "offset": OFFSET}))})
_MOVEMENT = record({"first": _MOVED, "second": _MOVED, "stations": opt(listof(LENGTH), [])})


def movement(v):
    """Small movements add, cause by cause and plane by plane."""
    d = _MOVEMENT(v)
    total = [[math.fsum(both(c.offset)[p] for c in m.contributions) for p in (0, 1)] for m in (d.first, d.second)]
    axis = through(d.first.station, total[0], d.second.station, total[1]).checked()
    results = {}
    put_offset(results, "first", total[0])
    put_offset(results, "second", total[1])
    put_axis(results, axis, d.stations)
    return results, []


COMPUTATIONS = {
    "thermal.machine": machine,
    "thermal.axial-gap": axial_gap,
    "thermal.end-float": end_float,
    "thermal.journal": journal,
    "thermal.movement": movement,
}
