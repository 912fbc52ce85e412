"""Writes the vectors of cold targets and hot checks as JSON on standard output.

Movements and readings are invented with a fixed seed. The best cold target is
the least t for which every offset stays within t times its limit: a linear
program plane by plane (scipy.optimize.linprog), a cone program for resultants,
solved as a smooth problem with t as one unknown (scipy.optimize.minimize, SLSQP,
from several starts). Cooling curves are fitted by scipy.optimize.curve_fit with
the value at the stop as a parameter of its own, so that its covariance is
scipy's. Run with Python 3, NumPy and SciPy: python3 thermal_states.py
"""

import json

import numpy as np
from scipy.optimize import curve_fit, linprog, minimize

rng = np.random.default_rng(20261)
SOURCE = "scipy-1-10-1-optimize"
NEAR, FAR = 900.0, 1400.0  # stations, mm


def axis(near, far):
    """Through two offsets in um at the two stations."""
    point = lambda at, o: {"station": [at, "mm"], "offset": {"vertical": [float(o[0]), "um"], "horizontal": [float(o[1]), "um"]}}
    return {"through": [point(NEAR, near), point(FAR, far)]}


def per_plane(moves, limits):
    """Least t and c with |c + m| <= t L for all: a linear program in (c, t)."""
    rows = np.vstack([np.column_stack([np.ones_like(moves), -limits]), np.column_stack([-np.ones_like(moves), -limits])])
    r = linprog([0, 1], A_ub=rows, b_ub=np.concatenate([-moves, moves]), bounds=[(None, None), (0, None)], method="highs-ds")
    assert r.status == 0
    return r.x[0], r.x[1]


def resultant(moves, limits):
    """Least t and p with |p + m| <= t L for all."""
    best = None
    for start in range(6):
        p0 = -moves.mean(axis=0) + 20 * rng.normal(size=2) * (start > 0)
        t0 = np.max(np.hypot(*(p0 + moves).T) / limits) * 1.1
        con = {"type": "ineq", "fun": lambda x: (x[2] * limits) ** 2 - np.sum((x[:2] + moves) ** 2, axis=1),
               "jac": lambda x: np.column_stack([-2 * (x[:2] + moves), 2 * x[2] * limits**2])}
        r = minimize(lambda x: x[2], [*p0, t0], jac=lambda x: np.array([0, 0, 1.0]), constraints=[con],
                     method="SLSQP", options={"ftol": 1e-15, "maxiter": 1000})
        t = float(np.max(np.hypot(*(r.x[:2] + moves).T) / limits))
        if best is None or t < best[1]:
            best = (r.x[:2], t)
    return best


def target(name, title, n, mode, own_limits):
    near, far = np.round(rng.normal(0, 60, (n, 2)), 1), np.round(rng.normal(0, 90, (n, 2)), 1)
    lim = {"near": np.full(n, 50.0), "far": np.full(n, 40.0)}
    states = []
    for i in range(n):
        s = {"far": axis(near[i], far[i])}
        if own_limits and i % 2:
            lim["near"][i], lim["far"][i] = np.round(rng.uniform(60, 120, 2), 0)
            s["nearLimit"], s["farLimit"] = [float(lim["near"][i]), "um"], [float(lim["far"][i]), "um"]
        states.append(s)
    why = "the program is solved to about 1e-7 of its numbers"
    expect, worst = [], 0.0
    for shaft, moves in (("near", near), ("far", far)):
        if mode == "per-plane":
            c = [per_plane(moves[:, k], lim[shaft]) for k in (0, 1)]
            p, t = [q[0] for q in c], max(q[1] for q in c)
        else:
            p, t = resultant(moves, lim[shaft])
        worst = max(worst, t)
        for plane, value in zip(("vertical", "horizontal"), p):
            expect.append({"name": f"{shaft}.{plane}", "exact": float(value), "unit": "um", "tolerance": 2e-3 if mode == "resultant" else 1e-5, "reason": why})
    expect.insert(0, {"name": "worst", "exact": float(worst), "unit": "1", "tolerance": 1e-6, "reason": why})
    return {
        "id": "thermal.best-cold-target.scipy-" + name, "title": title, "computation": "thermal.best-cold-target",
        "input": {"states": states, "near": {"station": [NEAR, "mm"], "limit": [50, "um"]},
                  "far": {"station": [FAR, "mm"], "limit": [40, "um"]}, "mode": mode},
        "expect": expect, "source": SOURCE, "known": "derived",
    }


def circle(n):
    pts = np.round(rng.normal(0, 100, (n, 2)), 1)
    p, t = resultant(-pts, np.ones(n))
    why = "the program is solved to about 1e-7 of its numbers"
    off = [{"vertical": [float(v), "um"], "horizontal": [float(h), "um"]} for v, h in pts]
    return {
        "id": f"thermal.enclosing-circle.scipy-{n}", "title": f"Smallest circle round {n} points",
        "computation": "thermal.enclosing-circle", "input": {"offsets": off},
        "expect": [{"name": "radius", "exact": float(t), "unit": "um", "tolerance": 1e-4, "reason": why},
                   {"name": "centre.vertical", "exact": float(p[0]), "unit": "um", "tolerance": 5e-3, "reason": why},
                   {"name": "centre.horizontal", "exact": float(p[1]), "unit": "um", "tolerance": 5e-3, "reason": why}],
        "source": SOURCE, "known": "derived",
    }


def cooling(name, title, stop, final, tau, minutes, noise, sigma=None, warnings=None):
    t = np.array(minutes, float)
    v = np.round(final + (stop - final) * np.exp(-t / tau) + noise * rng.normal(size=len(t)), 2)
    f = lambda t, a, b, c: b + (a - b) * np.exp(-t / c)
    p, cov = curve_fit(f, t, v, p0=[stop, final, tau], sigma=None if sigma is None else np.full(len(t), sigma),
                       absolute_sigma=sigma is not None, xtol=1e-15, ftol=1e-15, gtol=1e-15, method="trf", jac="3-point",
                       x_scale=[100, 100, 50], max_nfev=10000)
    s = np.sqrt(np.diag(cov))
    why, whys = "both iterate to a flat bottom", "scipy takes the derivatives by differences"
    entry = lambda n, x, u, tol, why: {"name": n, "exact": float(x), "unit": u, "tolerance": float(tol), "reason": why}
    data = {"readings": [{"after": [float(a), "min"], "value": [float(b), "um"]} for a, b in zip(t, v)]}
    if sigma is not None:
        data["sigma"] = [sigma, "um"]
    out = {
        "id": "thermal.hot-check.scipy-" + name, "title": title, "computation": "thermal.hot-check", "input": data,
        "expect": [entry("at-stop", p[0], "um", 1e-4, why), entry("final", p[1], "um", 1e-4, why),
                   entry("constant", p[2], "min", 1e-4, why),
                   entry("sigma.at-stop", s[0], "um", 1e-4 * s[0], whys), entry("sigma.final", s[1], "um", 1e-4 * s[1], whys),
                   entry("sigma.constant", s[2], "min", 1e-4 * s[2], whys)],
        "source": SOURCE, "known": "derived",
    }
    if warnings is not None:
        out["warnings"] = warnings
    return out


STATES = [
    target("two", "Two states, plane by plane", 2, "per-plane", False),
    target("five", "Five states, plane by plane", 5, "per-plane", False),
    target("five-limits", "Five states, some with limits of their own", 5, "per-plane", True),
    target("two-resultant", "Two states by their resultant", 2, "resultant", False),
    target("four-resultant", "Four states by their resultant", 4, "resultant", False),
    target("seven-resultant", "Seven states by their resultant", 7, "resultant", False),
    target("six-resultant-limits", "Six states by their resultant, some with limits of their own", 6, "resultant", True),
    circle(3), circle(9), circle(15),
]
HOT = [
    cooling("five", "Five readings with scatter", 310, 40, 45, [6, 15, 30, 60, 120], 2, warnings=[]),
    cooling("eight", "Eight readings with scatter", -180, 20, 70, [5, 12, 20, 35, 50, 80, 120, 200], 1.5, warnings=[]),
    cooling("known-sigma", "The uncertainty of a reading is given", 250, 10, 60, [8, 16, 30, 60, 110, 180], 2, sigma=3.0, warnings=[]),
    cooling("late", "The first reading comes late", 250, 10, 30, [25, 35, 50, 70, 100, 140], 0.5, warnings=["long-extrapolation"]),
    cooling("four", "Four readings, one degree of freedom", 400, 60, 50, [5, 20, 50, 120], 1, warnings=[]),
]

if __name__ == "__main__":
    print(json.dumps({"states": STATES, "hotcheck": HOT}, indent=2))
