"""Pipes as springs.

Definitions: testdata/README.md, "Pipes as springs". A size, modulus, length or stress of zero counts as not given.

Formulas. Sections: A = pi/4 (Do^2 - Di^2), I = pi/64 (Do^4 - Di^4), S = I/(Do/2).
A straight pipe is a beam of Euler and Bernoulli from the nozzle to what holds it:
with the slope of its centreline w x a (a away from the nozzle along it, w the turn
of its end) the force on its end is k1 d + k2 (w x a) and the moment k2 (a x d) +
k3 w across it, k1, k2, k3 being 12, 6L, 4L^2 times EI/L^3 with the far end
anchored and 3, 3L, 3L^2 with it hinged (slope-deflection, Timoshenko); along it
EA/L and G 2I/L with G = E/(2 (1 + nu)). The nozzle feels the opposite.

Sources: Mott, Machine Elements in Mechanical Design, Table A16-6 (schedule 40);
a pipe-stress report's listing of ASME B31.1 (modulus, C over 0.30 %), ASME B31.9
Table 919.3.1 and Eq. (8), other moduli from memory.
"""

import math

import common as c
from common import Fault, LENGTH, NUMBER, PRESSURE, RATIO, TEMPERATURE, TEXT, listof, opt, record, word

SLACK = 1e-9
WIDE = 100.0  # m; no source
SMALL = 0.1  # slope, turn or strain up to which straight lines hold; no source
MODULUS = (1e9, 1e12)  # Pa; no source


def given(x, path):
    """A size that must be there: zero is missing, less is negative."""
    c.not_negative(x, path)
    if x == 0:
        raise Fault("missing", path)
    return x


# ---------------------------------------------------------------- sections

SCHEDULE_40 = {  # inches: outside, wall
    0.5: (0.84, 0.109), 1: (1.315, 0.133), 1.5: (1.9, 0.145), 2: (2.375, 0.154), 2.5: (2.875, 0.203), 3: (3.5, 0.216),
    3.5: (4.0, 0.226), 4: (4.5, 0.237), 5: (5.563, 0.258), 6: (6.625, 0.28), 8: (8.625, 0.322), 10: (10.75, 0.365),
    12: (12.75, 0.406), 16: (16.0, 0.5), 18: (18.0, 0.562),
}
SECTION = record({"nps": opt(NUMBER), "outside": opt(LENGTH), "wall": opt(LENGTH)})


def section_of(s):
    """(outside, wall) in metres."""
    if s.nps is not None:
        if s.outside is not None or s.wall is not None:
            raise Fault("mismatch", "dimensions are given too")
        if s.nps not in SCHEDULE_40:
            raise Fault("not-in-table", "nps")
        return tuple(c.to_si(x, "in") for x in SCHEDULE_40[s.nps])
    outside, wall = given(s.outside or 0.0, "outside"), given(s.wall or 0.0, "wall")
    if outside > WIDE:
        raise Fault("out-of-range", "outside")
    if 2 * wall >= outside * (1 - SLACK):
        raise Fault("wall-too-thick")
    return outside, wall


def properties(outside, wall):
    inside = outside - 2 * wall
    area = math.pi / 4 * (outside**2 - inside**2)
    inertia = math.pi / 64 * (outside**4 - inside**4)
    return inside, area, inertia, inertia / (outside / 2)


def pipe_section(v):
    d = record({"section": SECTION, "unit": c.unit_name("length")})(v)
    outside, wall = section_of(d.section)
    inside, area, inertia, modulus = properties(outside, wall)
    one = c.to_si(1, d.unit)
    return {"outside": outside, "wall": wall, "inside": inside, "area-in-unit": area / one**2,
            "inertia-in-unit": inertia / one**4, "modulus-in-unit": modulus / one**3}, []


# ---------------------------------------------------------------- modulus

T_F = [70, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100, 1200]
MODULI = {  # carbon steel, million psi at degF
    "over 0.30 % carbon": [29.3, 28.6, 28.1, 27.5, 27.1, 26.5, 25.3, 24.0, 22.3, 20.2, 17.9, 15.4],
    "0.30 % carbon or less, older B31.1": [29.5, 28.8, 28.3, 27.7, 27.3, 26.7, 25.5, 24.2, 22.4, 20.4, 18.0],
    "0.30 % carbon or less, II-D": [29.4, 28.8, 28.3, 27.9, 27.3, 26.5, 25.5, 24.2, 22.5, 20.4, 18.0],
    "B31.9": [27.5],
}


def check_modulus(e, path):
    given(e, path)
    if not MODULUS[0] <= e <= MODULUS[1]:
        raise Fault("out-of-range", path)
    return e


def modulus(v):
    """Straight lines between the points of a table, held at its ends."""
    point = record({"at": TEMPERATURE, "value": PRESSURE})
    d = record({"name": opt(TEXT), "variant": opt(TEXT, ""), "constant": opt(PRESSURE),
                "points": opt(listof(point), []), "at": TEMPERATURE})(v)
    t = c.not_negative(d["at"], "at")
    if d.name is not None:
        if d.name != "carbon steel" or d.variant not in MODULI:
            raise Fault("not-in-table", d.name)
        values = [c.to_si(e * 1e6, "psi") for e in MODULI[d.variant]]
        if len(values) == 1:
            return {"modulus": values[0]}, []
        points = [(c.to_si(f, "degF"), e) for f, e in zip(T_F, values)]
    elif d.constant is not None:
        if d.points:
            raise Fault("mismatch")
        return {"modulus": check_modulus(d.constant, "constant")}, []
    else:
        points = [(p["at"], check_modulus(p.value, "value")) for p in d.points]
        if not points:
            raise Fault("missing", "points")
        if any(b[0] <= a[0] for a, b in zip(points, points[1:])):
            raise Fault("out-of-range", "points do not rise")
    low, high = points[0][0], points[-1][0]
    warnings = [] if low - 1e-9 <= t <= high + 1e-9 else ["modulus-out-of-range"]
    if t <= low:
        return {"modulus": points[0][1]}, warnings
    for (t0, e0), (t1, e1) in zip(points, points[1:]):
        if t <= t1:
            return {"modulus": e0 + (e1 - e0) * (t - t0) / (t1 - t0)}, warnings
    return {"modulus": points[-1][1]}, warnings


# ---------------------------------------------------------------- a straight pipe

PIPE = record({"section": SECTION, "modulus": PRESSURE, "length": LENGTH, "far": word("anchored", "hinged"),
               "poisson": opt(NUMBER)})


class Pipe:
    """Stiffnesses of the nozzle end of a straight pipe."""

    def __init__(self, p):
        self.outside, wall = section_of(p.section)
        _, self.area, self.inertia, _ = properties(self.outside, wall)
        self.e = check_modulus(p.modulus, "modulus")
        self.length = given(p.length, "length")
        self.poisson = p.poisson
        if p.poisson is not None and not 0 <= p.poisson < 0.5:
            raise Fault("negative" if p.poisson < 0 else "out-of-range", "poisson")
        n, b = self.length, self.e * self.inertia / self.length**3
        self.k1, self.k2, self.k3 = (12 * b, 6 * b * n, 4 * b * n**2) if p.far == "anchored" \
            else (3 * b, 3 * b * n, 3 * b * n**2)
        # Moment at the far end from offset and from tilt.
        self.far = (6 * b * n, 2 * b * n**2) if p.far == "anchored" else (0.0, 0.0)

    def axial(self):
        return self.e * self.area / self.length

    def twist(self):
        if self.poisson is None:
            raise Fault("missing", "poisson")
        return self.e / (2 * (1 + self.poisson)) * 2 * self.inertia / self.length


def closing(v):
    d = record({"pipe": PIPE, "offset": opt(LENGTH), "tilt": opt(RATIO), "gap": opt(LENGTH)})(v)
    p = Pipe(d.pipe)
    named = [k for k in ("offset", "tilt", "gap") if d[k] is not None]
    if len(named) != 1:
        raise Fault("missing", "give one of offset, tilt and gap")
    if named == ["gap"]:
        return {"force": p.axial() * d.gap}, []
    if named == ["offset"]:
        force, moment, far = p.k1 * d.offset, p.k2 * d.offset, p.far[0] * d.offset
    else:
        if abs(d.tilt) > SMALL:
            raise Fault("out-of-range", "tilt")
        force, moment, far = p.k2 * d.tilt, p.k3 * d.tilt, p.far[1] * d.tilt
    stress = max(abs(moment), abs(far)) * (p.outside / 2) / p.inertia
    return {"force": force, "moment": moment, "far-moment": far, "stress": stress}, []


MISFIT = record({"away": listof(NUMBER), "shift": listof(LENGTH), "turn": opt(listof(NUMBER))})


def load_on_nozzle(p, m):
    """(force, moment) on the nozzle in the frame of the train."""
    turn = m.turn if m.turn is not None else [0.0] * 3
    if len(m.away) != 3 or len(m.shift) != 3 or len(turn) != 3:
        raise Fault("missing", "three numbers each")
    if c.norm(m.away) == 0:
        raise Fault("missing", "a direction of no length")
    if c.norm(turn) > SMALL:
        raise Fault("out-of-range", "turn")
    a = c.scale(m.away, 1 / c.norm(m.away))
    along, spin = c.dot(a, m.shift), c.dot(a, turn)
    d, w = c.sub(m.shift, c.scale(a, along)), c.sub(turn, c.scale(a, spin))
    force = c.add(c.add(c.scale(d, p.k1), c.scale(c.cross(w, a), p.k2)), c.scale(a, p.axial() * along))
    moment = c.add(c.scale(c.cross(a, d), p.k2), c.scale(w, p.k3))
    if abs(spin) > 1e-15:
        moment = c.add(moment, c.scale(a, p.twist() * spin))
    return c.scale(force, -1), c.scale(moment, -1)


def load_results(prefix, force, moment):
    out = {}
    for name, x in (("force", force), ("moment", moment)):
        for axis, value in zip("xyz", x):
            out["%s%s.%s" % (prefix, name, axis)] = value
        out["%s%s.resultant" % (prefix, name)] = c.norm(x)
    return out


def nozzle_load(v):
    d = record({"pipe": PIPE, "misfit": MISFIT})(v)
    return load_results("", *load_on_nozzle(Pipe(d.pipe), d.misfit)), []


def restrained(v):
    """What a stop blocks of the free growth is squeezed: stress -E blocked/L. A
    stop with a gap holds one way only."""
    d = record({"area": NUMBER, "areaUnit": c.unit_name("length"), "modulus": PRESSURE, "length": LENGTH,
                "strain": RATIO, "gap": opt(LENGTH)})(v)
    area = given(d.area, "area") * c.to_si(1, d.areaUnit) ** 2
    e, n = check_modulus(d.modulus, "modulus"), given(d.length, "length")
    if abs(d.strain) > SMALL:
        raise Fault("out-of-range", "strain")
    free = d.strain * n
    blocked = free if d.gap is None else max(0.0, free - c.not_negative(d.gap, "gap"))
    stress = -e * blocked / n
    return {"free": free, "blocked": blocked, "stress": stress, "force": stress * area, "stress.size": abs(stress),
            "force.size": abs(stress * area)}, []


def free_length(v):
    """A guided cantilever that takes up y at a stress S: S = 3 E D y/L^2."""
    d = record({"outside": LENGTH, "modulus": PRESSURE, "movement": LENGTH, "stress": PRESSURE})(v)
    outside, e = given(d.outside, "outside"), check_modulus(d.modulus, "modulus")
    y, s = c.not_negative(d.movement, "movement"), given(d.stress, "stress")
    return {"length": math.sqrt(3 * e * outside * y / s)}, []


def share_offset(v):
    """Legs in series under one force bend as the cubes of their lengths."""
    d = record({"offset": LENGTH, "legs": listof(LENGTH)})(v)
    if not d.legs:
        raise Fault("missing", "legs")
    cubes = [given(x, "leg") ** 3 for x in d.legs]
    whole = math.fsum(cubes)
    return {"leg.%d" % i: d.offset * x / whole for i, x in enumerate(cubes)}, []


def flexibility_test(v):
    """D Y/(L - U)^2, at most 0.03 in inches and feet, 208.3 in mm and m (B31.9, Eq. 8)."""
    d = record({"outside": LENGTH, "movement": LENGTH, "developed": LENGTH, "straight": LENGTH,
                "units": word("us", "si")})(v)
    for f in ("outside", "developed", "straight"):
        given(d[f], f)
    c.not_negative(d.movement, "movement")
    if d.developed <= d.straight:
        raise Fault("out-of-range", "no longer than the distance")
    measured = d.outside * d.movement / (d.developed - d.straight) ** 2
    limit = 0.03 / 144 if d.units == "us" else 208.3e-6
    return {"measured": measured, "limit": limit,
            "verdict": "within" if measured <= limit * (1 + SLACK) else "over"}, []


COMPUTATIONS = {
    "piping.section": pipe_section,
    "piping.modulus": modulus,
    "piping.closing": closing,
    "piping.nozzle-load": nozzle_load,
    "piping.restrained": restrained,
    "piping.free-length": free_length,
    "piping.share-offset": share_offset,
    "piping.flexibility-test": flexibility_test,
}
