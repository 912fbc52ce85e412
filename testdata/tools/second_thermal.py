"""Writes a second set of growth vectors as JSON on standard output.

Strains are integrated from tables of coefficients by scipy.integrate.quad, legs of
pipes and parts of machines point by point along their length; a machine that warms
up follows its differential equation (scipy.integrate.solve_ivp); a journal at rest
lies where scipy.optimize.minimize finds it lowest, and is turned by
scipy.spatial.transform.Rotation; lines are those of numpy.polyfit. Run with Python 3,
NumPy and SciPy: python3 second_thermal.py
"""

import sys

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import interp1d
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

sys.dont_write_bytecode = True

from emit import number, numbers, suite, vector  # noqa: E402

GROWTH, SCIPY, NUMPY = "scipy-1-10-1-growth", "scipy-1-10-1", "numpy-1-24-2"
rng = np.random.default_rng(33091)
# Two invented tables of coefficients at a temperature, millionths a kelvin.
TABLES = {
    "steel": ([-50, 0, 50, 100, 200, 400], [10.6, 11.2, 11.7, 12.2, 13.1, 14.6]),
    "iron": ([0, 100, 250, 350], [9.8, 10.6, 11.9, 12.7]),
}


def mm(v):
    return [float(v), "mm"]


def material(name):
    t, a = TABLES[name]
    return {"kind": "instantaneous-table", "points": [{"at": [x, "degC"], "value": [float(f"{v}e-6"), "1/K"]} for x, v in zip(t, a)]}


def strain(name, cold, hot):
    """In millionths: the table integrated between its entries, its ends held."""
    t, a = TABLES[name]
    f = interp1d(t, a, bounds_error=False, fill_value=(a[0], a[-1]))
    ends = sorted({cold, hot, *[p for p in t if min(cold, hot) < p < max(cold, hot)]})
    total = sum(quad(f, p, q, epsabs=1e-12)[0] for p, q in zip(ends, ends[1:]))
    return total if hot >= cold else -total


def random_axis():
    v = np.round(rng.uniform(-1, 1, 4) * [0.5, 0.4, 0.5, 0.4], 4)
    return {"vertical": {"offset": mm(v[0]), "slope": [float(v[1]), "mm/m"]}, "horizontal": {"offset": mm(v[2]), "slope": [float(v[3]), "mm/m"]}}, v


def state():
    """Both shafts, and far less near as two lines over metres."""
    near, a = random_axis()
    far, b = random_axis()
    d = b - a
    return {"near": near, "far": far}, np.array([[d[1], d[0]], [d[3], d[2]]])


def at(lines, stations, sign=1.0):
    out = {}
    for i, x in enumerate(stations):
        out[f"{i}.vertical"], out[f"{i}.horizontal"] = (sign * np.polyval(w, x / 1000) for w in lines)
    return out


def ambient(n, low, high):
    base, b = state()
    rise, r = state()
    for s in ("near", "far"):  # a hundredth of that for a kelvin
        for p in rise[s].values():
            p["offset"][0], p["slope"][0] = float(f"{p['offset'][0] / 100:.6f}"), float(f"{p['slope'][0] / 100:.6f}")
    stations = [-150.0, 420.0]
    table = [-40.0, 60.0]  # the relative movement is a straight line of the rise
    exp = {}
    for word, t in (("low", low), ("high", high)):
        for k, v in at(b, stations).items():
            ends = [v + e * at(r / 100, stations)[k] for e in table]
            exp[f"{word}.{k}"] = np.interp(t, table, ends)
    given = {"base": base, "perKelvin": rise, "low": [low, "degC-rise"], "high": [high, "degC-rise"], "stations": [mm(x) for x in stations]}
    return vector(f"ambient-{n}", "Relative movement read off between two ambient temperatures", "thermal.ambient", given, numbers(exp, "mm", 1e-9), NUMPY)


def warm_up(n, minutes, after):
    start, a = state()
    end, b = state()
    stations = [0.0, 600.0]
    # dy/dt = (end - y)/constant for all that moves, slopes as well
    y0, y1 = a.ravel(), b.ravel()
    s = solve_ivp(lambda t, y: (y1 - y) / minutes, (0, after), y0, method="DOP853", rtol=1e-12, atol=1e-14)
    now = s.y[:, -1].reshape(2, 2)
    reason = "the differential equation is followed to 1e-12 a step"
    exp = numbers({"offset." + k: v for k, v in at(now, stations, -1.0).items()}, "mm", 1e-9, reason)
    exp += numbers({"slope.vertical": -now[0, 0], "slope.horizontal": -now[1, 0]}, "mm/m", 1e-9, reason)
    given = {"from": start, "to": end, "constant": [minutes, "min"], "after": [after * 60, "s"], "stations": [mm(x) for x in stations]}
    return vector(f"warm-up-{n}", f"{after:g} min after the start by the differential equation of a body that warms", "thermal.warm-up", given, exp, SCIPY)


def part(name, cold, hot):
    return {"material": material(name), "cold": [cold, "degC"], "hot": [hot, "degC"]}


def end_of(m):
    """The hot place of a shaft end in m: points strung along the casing to the thrust bearing, then along the rotor."""
    def along(x, y, p):
        e = strain(p[0], p[1], p[2]) * 1e-6
        return quad(lambda s: 1 + e, x, y)[0]

    thrust = m["fixed"] + along(m["fixed"], m["thrust"], m["casing"])
    return thrust + along(m["thrust"], m["end"], m["rotor"]) + m["shift"] / 1000


def axial_gap(n, near, far, cold, running):
    def written(m):
        out = {k: [m[k], "m"] for k in ("fixed", "thrust", "end")} | {k: part(*m[k]) for k in ("casing", "rotor")}
        return out | ({"shift": mm(m["shift"])} if m["shift"] else {})

    change = (end_of(far) - far["end"] - (end_of(near) - near["end"])) * 1000
    exp = numbers({"change": change, "running": cold + change, "cold": running - change}, "mm", 1e-9, "places in metres, good to 1e-16 of ten")
    given = {"near": written(near), "far": written(far), "cold": mm(cold), "running": mm(running)}
    return vector(f"axial-gap-{n}", "Points strung along casing and rotor of both machines", "thermal.axial-gap", given, exp, GROWTH)


def journal(n, clearance, load, eccentricity, attitude, turning):
    look = lambda c: Rotation.from_euler("x", c, degrees=True).apply([0.0, 1.0, 0.0])[1:]
    r = clearance / 2
    w = look(180.0)
    # at rest: as low as the bore lets it
    rest = minimize(lambda p: -(w @ p), 0.3 * w + [0.1, 0.05], jac=lambda p: -w, method="SLSQP", options={"ftol": 1e-15, "maxiter": 200},
                    constraints={"type": "ineq", "fun": lambda p: 1 - p @ p, "jac": lambda p: -2 * p}).x * r
    run = look(load + (attitude if turning == "clockwise" else -attitude)) * eccentricity * r
    given = {"clearance": mm(clearance), "load": load, "eccentricity": [eccentricity, "1"], "attitude": attitude, "turning": turning}
    exp = numbers({"from-centre.vertical": run[0], "from-centre.horizontal": run[1]}, "mm", 1e-9)
    exp += numbers({"from-rest.vertical": run[0] - rest[0], "from-rest.horizontal": run[1] - rest[1]}, "mm", 1e-7, "the search for the place at rest is good to about 1e-8")
    return vector(f"journal-{n}", f"A journal that turns {turning}, loaded toward {load:g} degrees", "thermal.journal", given, exp, SCIPY)


def machine(n, stations, laterals, ask):
    """Supports of two segments; the shaft's growth at a station is that of the line across, at the shaft."""
    supports, spots, unevens, rolls = [], [], [], []
    for x, across in zip(stations, laterals):
        got = []
        for z in across:
            segments, total = [], 0.0
            for name in ("iron", "steel"):
                length, cold, hot = float(rng.integers(150, 500)), 20.0, float(rng.integers(30, 140))
                segments.append({"length": mm(length), **part(name, cold, hot)})
                total += length * strain(name, cold, hot) * 1e-6
            supports.append({"station": mm(x), "lateral": mm(z), "segments": segments})
            got.append(total)
        if len(across) > 1:
            line = np.polyfit(across, got, 1)
            spots.append(np.polyval(line, 0.0))
            rolls.append(line[0] * 1000)
            unevens.append(got[int(np.argmax(across))] - got[int(np.argmin(across))])
        else:
            spots.append(got[0])
            rolls.append(None)
            unevens.append(None)
    shaft = np.polyfit(stations, spots, 1)
    exp = []
    for i, (x, g) in enumerate(zip(stations, spots)):
        exp += numbers({f"support-station.{i}.growth": g, f"support-station.{i}.residual": g - np.polyval(shaft, x)}, "mm", 1e-9)
        if rolls[i] is not None:
            exp += [number(f"support-station.{i}.uneven", unevens[i], "mm", 1e-9), number(f"support-station.{i}.roll", rolls[i], "mm/m", 1e-9)]
    exp.append(number("slope.vertical", shaft[0] * 1000, "mm/m", 1e-9))
    exp += numbers({f"offset.{i}.vertical": np.polyval(shaft, x) for i, x in enumerate(ask)}, "mm", 1e-9)
    given = {"supports": supports, "stations": [mm(x) for x in ask]}
    return vector(f"machine-{n}", f"{len(supports)} supports at {len(stations)} stations, lines by numpy.polyfit", "thermal.machine", given, exp, GROWTH)


def pipe(n, legs):
    """Every leg grows along itself; the nozzle end stands at the sum of the hot legs."""
    total, given = np.zeros(3), []
    for way, name, cold, hot in legs:
        way = np.array(way)
        e = strain(name, cold, hot) * 1e-6
        total += [quad(lambda s, c=c: e * c, 0, 1)[0] for c in way]
        given.append(dict(zip("xyz", ([float(v), "m"] for v in way))) | part(name, cold, hot))
    exp = numbers(dict(zip("xyz", total * 1000)) | {"size": np.linalg.norm(total) * 1000}, "mm", 1e-9)
    return vector(f"pipe-{n}", f"{len(legs)} legs from anchor to nozzle, each integrated", "thermal.pipe", {"legs": given}, exp, GROWTH)


def shaft(fixed, thrust, end, casing, rotor, shift=0.0):
    return {"fixed": fixed, "thrust": thrust, "end": end, "casing": casing, "rotor": rotor, "shift": shift}


suite("thermal/second-library", [
    ambient(1, -25.0, 30.0), ambient(2, -10.5, 12.25), ambient(3, 0.0, 41.0),
    axial_gap(1, shaft(0.0, 1.2, 3.1, ("iron", 20.0, 85.0), ("steel", 20.0, 160.0)), shaft(6.0, 5.2, 3.6, ("iron", 20.0, 45.0), ("steel", 20.0, 70.0)), 500.0, 498.0),
    axial_gap(2, shaft(2.0, 0.3, 2.8, ("steel", 15.0, 240.0), ("steel", 15.0, 310.0), 0.25), shaft(3.4, 3.9, 3.1, ("iron", 15.0, 60.0), ("steel", 15.0, 75.0), -0.1), 300.0, 300.0),
    axial_gap(3, shaft(-1.0, -2.0, 0.5, ("iron", 25.0, 10.0), ("steel", 25.0, -20.0)), shaft(0.9, 2.4, 0.8, ("iron", 25.0, 130.0), ("steel", 25.0, 180.0)), 320.0, 319.0),
    journal(1, 0.18, 180.0, 0.62, 48.0, "clockwise"), journal(2, 0.24, 180.0, 0.45, 61.5, "counterclockwise"),
    journal(3, 0.3, 22.0, 0.8, 30.0, "clockwise"), journal(4, 0.21, 255.0, 0.3, 74.0, "counterclockwise"),
    machine(1, [0.0, 950.0], [(-300.0, 300.0), (-260.0, 260.0)], [-200.0, 1300.0]),
    machine(2, [-100.0, 700.0, 1600.0], [(-250.0, 350.0), (-250.0, 350.0), (-400.0, 100.0)], [0.0, 2000.0]),
    machine(3, [0.0, 600.0, 1100.0, 2000.0], [(0.0,), (-300.0, 0.0, 340.0), (-320.0, 320.0), (0.0,)], [300.0]),
    pipe(1, [((3.0, 5.0, 0.0), "steel", 20.0, 180.0), ((0.0, -6.0, 2.0), "steel", 20.0, 95.0)]),
    pipe(2, [((4.2, 0.0, 0.0), "steel", 10.0, 330.0), ((0.0, 0.0, -2.5), "iron", 10.0, 55.0), ((-1.1, 0.7, 0.4), "steel", 10.0, -45.0)]),
    pipe(3, [((0.5, -1.5, 2.5), "iron", 30.0, 290.0)]),
    warm_up(1, 45.0, 30.0), warm_up(2, 20.0, 75.0), warm_up(3, 180.0, 12.0),
])
