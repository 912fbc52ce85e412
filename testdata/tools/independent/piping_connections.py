"""What a connection may carry: API 610, NEMA SM 23, API 617.

Definitions: testdata/README.md, "What a connection may carry".

Sources: API 610 tables by Forsthoffer, Tables 2.20.1 and 2.20.2, and appendix F of
API 610, 8th ed.; NEMA SM 23 by two engineering sites; API 617, 6th to 8th ed., the
components from memory.
"""

import math

import common as c
from common import Fault, FORCE, LENGTH, MOMENT, NUMBER, listof, opt, record, word
from piping_loads import MISFIT, PIPE, Pipe, given, load_on_nozzle, load_results

SLACK = 1e-9
ABSURD = 1e9  # N, N.m; no source

# ---------------------------------------------------------------- API 610

NPS = [2, 3, 4, 6, 8, 10, 12, 14, 16]
FORCES = {  # the three rows of components that the ports take in another order
    "us": {"x": [160, 240, 320, 560, 850, 1200, 1500, 1600, 1900],
           "low": [130, 200, 260, 460, 700, 1000, 1200, 1300, 1500],
           "high": [200, 300, 400, 700, 1100, 1500, 1800, 2000, 2300]},
    "si": {"x": [710, 1070, 1420, 2490, 3780, 5340, 6670, 7120, 8450],
           "low": [580, 890, 1160, 2050, 3110, 4450, 5340, 5780, 6670],
           "high": [890, 1330, 1780, 3110, 4890, 6670, 8000, 8900, 10230]},
}
# The largest force is along the nozzle: top Z, side Y, end X.
ORDER = {"top": ("x", "low", "high"), "side": ("x", "high", "low"), "end": ("high", "x", "low")}
TABLE = {
    "us": {"FR": [290, 430, 570, 1010, 1560, 2200, 2600, 2900, 3300],
           "MX": [340, 700, 980, 1700, 2600, 3700, 4500, 4700, 5400],
           "MY": [170, 350, 500, 870, 1300, 1800, 2200, 2300, 2700],
           "MZ": [260, 530, 740, 1300, 1900, 2800, 3400, 3500, 4000],
           "MR": [460, 950, 1330, 2310, 3500, 5000, 6100, 6300, 7200]},
    "si": {"FR": [1280, 1930, 2560, 4480, 6920, 9630, 11700, 12780, 14850],
           "MX": [460, 950, 1330, 2300, 3530, 5020, 6100, 6370, 7320],
           "MY": [230, 470, 680, 1180, 1760, 2440, 2980, 3120, 3660],
           "MZ": [350, 720, 1000, 1760, 2580, 3800, 4610, 4750, 5420],
           "MR": [620, 1280, 1800, 3130, 4710, 6750, 8210, 8540, 9820]},
}
NOZZLE = record({"nps": NUMBER, "port": word("top", "side", "end"), "units": word("us", "si")})
LOAD = record({"force": listof(FORCE), "moment": listof(MOMENT)})
NAMES = ("FX", "FY", "FZ", "FR", "MX", "MY", "MZ", "MR")


def api_610(n):
    """The limits of a nozzle in SI units by name."""
    if n.nps not in NPS:
        raise Fault("not-in-table", "nps")
    i = NPS.index(n.nps)
    f, m = ("lbf", "lbf.ft") if n.units == "us" else ("N", "N.m")
    out = {"F" + axis: FORCES[n.units][row][i] for axis, row in zip("XYZ", ORDER[n.port])}
    out.update({k: t[i] for k, t in TABLE[n.units].items()})
    return {k: c.to_si(out[k], f if k[0] == "F" else m) for k in NAMES}


def check_load(l):
    if len(l.force) != 3 or len(l.moment) != 3:
        raise Fault("missing", "three forces and three moments")
    if any(abs(x) > ABSURD for x in l.force + l.moment):
        raise Fault("out-of-range", "load")
    return l.force, l.moment


def parts_of(force, moment):
    return dict(zip(NAMES, [*force, c.norm(force), *moment, c.norm(moment)]))


def within(measured, limit):
    return "within" if abs(measured) <= limit * (1 + SLACK) else "over"


def api_610_nozzle(v):
    d = record({"nozzle": NOZZLE, "load": opt(LOAD)})(v)
    limits = api_610(d.nozzle)
    out = {k.lower() + ".limit": x for k, x in limits.items()}
    if d.load is None:
        return out, []
    parts = parts_of(*check_load(d.load))
    for k in NAMES:
        name = k.lower()
        out[name + ".measured"] = abs(parts[k])
        out[name + ".share"] = abs(parts[k]) / limits[k]
        out[name + ".verdict"] = within(parts[k], limits[k])
    out["verdict"] = "over" if any(out[k.lower() + ".verdict"] == "over" for k in NAMES) else "within"
    return out, []


def misfit_screen(v):
    d = record({"pipe": PIPE, "misfit": MISFIT, "nozzle": NOZZLE})(v)
    p = Pipe(d.pipe)
    limits = api_610(d.nozzle)
    force, moment = load_on_nozzle(p, d.misfit)
    out = load_results("", force, moment)
    # X of the standard along the shaft, Z up, Y across to the left of a person
    # who looks along +x: right-handed.
    turn = lambda e: [e[0], -e[2], e[1]]
    parts = parts_of(turn(force), turn(moment))
    shares = {k: abs(parts[k]) / limits[k] for k in NAMES}
    worst = max(NAMES, key=lambda k: shares[k])
    out["governs"], out["verdict"] = worst, "within" if shares[worst] <= 1 + SLACK else "over"
    if shares[worst] > 0:
        out["portion"] = 1 / shares[worst]
    return out, []


def api_610_pump(v):
    """Appendix F of API 610: components within twice the table, F1 and F2 the sums
    of shares of the resultants over 1.5, F3 to F5 the loads brought to the centre."""
    side = record({"nozzle": NOZZLE, "load": LOAD, "centre": listof(LENGTH)})
    d = record({"suction": side, "discharge": side})(v)
    if d.suction.nozzle.units != d.discharge.nozzle.units:
        raise Fault("mismatch", "one table for both")
    out, ok = {}, []
    tables, forces, moments = {}, [], []
    for n, (name, s) in enumerate((("suction", d.suction), ("discharge", d.discharge)), 1):
        limits = tables[name] = api_610(s.nozzle)
        force, moment = check_load(s.load)
        if len(s.centre) != 3:
            raise Fault("missing", "centre")
        parts = parts_of(force, moment)
        worst = 0.0
        for k in ("FX", "FY", "FZ", "MX", "MY", "MZ"):
            ratio = abs(parts[k]) / limits[k]
            out["%s.%s.ratio" % (name, k.lower())] = ratio
            worst = max(worst, ratio)
        out[name + ".parts"] = "within" if worst <= 2 * (1 + SLACK) else "over"
        ok.append(out[name + ".parts"])
        f = parts["FR"] / (1.5 * limits["FR"]) + parts["MR"] / (1.5 * limits["MR"])
        judged(out, "f%d" % n, f, 2.0, ok)
        forces.append(force)
        moments.append(c.add(moment, c.cross(s.centre, force)))
    total, about = c.add(*forces), c.add(*moments)
    s, t = tables["suction"], tables["discharge"]
    judged(out, "f3", c.norm(total), 1.5 * (s["FR"] + t["FR"]), ok)
    judged(out, "f4", abs(about[1]), 2.0 * (s["MY"] + t["MY"]), ok)
    judged(out, "f5", c.norm(about), 1.5 * (s["MR"] + t["MR"]), ok)
    for axis, f, m in zip("xyz", total, about):
        out["centre.force." + axis], out["centre.moment." + axis] = f, m
    out["verdict"] = "over" if "over" in ok else "within"
    return out, []


def judged(out, name, measured, limit, words=None):
    out[name + ".measured"], out[name + ".limit"] = measured, limit
    out[name + ".share"], out[name + ".verdict"] = abs(measured) / limit, within(measured, limit)
    if words is not None:
        words.append(out[name + ".verdict"])


# ---------------------------------------------------------------- NEMA SM 23, API 617


class Rule:
    """Limits for a diameter D in `unit`: single p F + M <= s D and combined
    q F + M <= t D, in the units of the print, and components times D."""

    def __init__(self, unit, force, moment, single, combined, parts, sizes):
        self.unit, self.force, self.moment = unit, force, moment
        self.single, self.combined, self.parts, self.sizes = single, combined, parts, sizes


# sizes: up to which the nominal size counts in full, and what is added above.
US_SIZES = ((8, 16), (9, 18))
RULES = {
    # 3 F + M <= 500 D; Fc <= (250 Dc - Mc)/2.
    "nema-sm-23": Rule("in", "lbf", "lbf.ft", (3, 1, 500), (2, 1, 250), (50, 125, 100, 250, 125, 125), US_SIZES),
    "api-617-us": Rule("in", "lbf", "lbf.ft", (3, 1, 927), (2, 1, 462), (92, 231, 185, 462, 231, 231), US_SIZES),
    # Fr + 1.09 Mr <= 54.1 De; Fc + 1.64 Mc <= 40.4 Dc.
    "api-617-si": Rule("mm", "N", "N.m", (1, 1.09, 54.1), (1, 1.64, 40.4), (16.1, 40.5, 32.4, 24.6, 12.3, 12.3),
                       ((200, 400), (230, 460))),
}
RULE = record({"standard": word(*RULES), "factor": opt(NUMBER)})


def rule_of(r):
    factor = 1.0 if r.factor is None else given(r.factor, "factor")
    return RULES[r.standard], factor


def counted(rule, which, d):
    """A size as it counts: in full up to a bound, a third of the sum above."""
    full, plus = rule.sizes[which]
    return d if d <= full * (1 + SLACK) else (plus + d) / 3


def nominal(rule, x):
    given(x, "nominal")
    if not 0.5e-3 <= x <= 10:
        raise Fault("out-of-range", "nominal")
    return c.from_si(x, rule.unit)


def connection_size(v):
    d = record({"rule": RULE, "nominal": listof(LENGTH)})(v)
    rule, _ = rule_of(d.rule)
    if not d.nominal:
        raise Fault("missing", "nominal")
    sizes = [nominal(rule, x) for x in d.nominal]
    out = {"single.%d" % i: c.to_si(counted(rule, 0, x), rule.unit) for i, x in enumerate(sizes)}
    out["combined"] = c.to_si(counted(rule, 1, math.hypot(*sizes)), rule.unit)
    return out, []


def combined_load(coefficients, rule, force, moment):
    """p F + q M in the print's units, and the unit it then has in SI."""
    p, q, _ = coefficients
    value = p * c.from_si(c.norm(force), rule.force) + q * c.from_si(c.norm(moment), rule.moment)
    # Where the moment stands alone the sum is a moment (F times p feet), else a force.
    return value, rule.moment if q == 1 else rule.force


def connections(v):
    one = record({"nominal": LENGTH, "load": LOAD, "centre": opt(listof(LENGTH))})
    d = record({"rule": RULE, "connections": listof(one)})(v)
    rule, factor = rule_of(d.rule)
    if not d.connections:
        raise Fault("missing", "connections")
    out, sizes = {}, []
    force, moment = [0.0] * 3, [0.0] * 3
    for i, k in enumerate(d.connections):
        f, m = check_load(k.load)
        sizes.append(nominal(rule, k.nominal))
        value, unit = combined_load(rule.single, rule, f, m)
        limit = rule.single[2] * counted(rule, 0, sizes[-1]) * factor
        judged(out, "single.%d" % i, c.to_si(value, unit), c.to_si(limit, unit))
        at = k.centre if k.centre is not None else [0.0] * 3
        if len(at) != 3:
            raise Fault("missing", "centre")
        force = c.add(force, f)
        moment = c.add(moment, c.add(m, c.cross(at, f)))
    out.update(load_results("combined.", force, moment))
    dc = counted(rule, 1, math.hypot(*sizes))
    out["combined.diameter"] = c.to_si(dc, rule.unit)
    value, unit = combined_load(rule.combined, rule, force, moment)
    judged(out, "combined.resultant", c.to_si(value, unit), c.to_si(rule.combined[2] * dc * factor, unit))
    for name, x, k, u in zip(("fx", "fy", "fz", "mx", "my", "mz"), force + moment, rule.parts,
                             [rule.force] * 3 + [rule.moment] * 3):
        judged(out, "combined." + name, abs(x), c.to_si(k * dc * factor, u))
    return out, []


COMPUTATIONS = {
    "piping.misfit-screen": misfit_screen,
    "piping.api-610-nozzle": api_610_nozzle,
    "piping.api-610-pump": api_610_pump,
    "piping.connection-size": connection_size,
    "piping.connections": connections,
}
