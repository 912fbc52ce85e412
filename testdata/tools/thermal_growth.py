"""Writes vectors of thermal growth as JSON on standard output.

The tables are those of materials.json, the temperatures invented. Mean tables
are read with scipy.interpolate.interp1d, instantaneous ones integrated with
scipy.integrate.quad between the entries, temperature profiles with
scipy.integrate.trapezoid. Run with Python 3, NumPy and SciPy:
python3 thermal_growth.py
"""

import json
import re

import numpy as np
from scipy.integrate import quad, trapezoid
from scipy.interpolate import interp1d

REASON = "double-precision sums, and the conversion of units"
T_F = [70, 100, 150, 200, 250, 300, 350, 400, 450, 500, 550, 600, 650, 700, 750, 800, 850, 900, 950, 1000]
A_F = [6.4, 6.5, 6.7, 6.9, 7.1, 7.3, 7.5, 7.7, 7.8, 8.0, 8.2, 8.4, 8.5, 8.6, 8.8, 8.9, 9.0, 9.1, 9.2, 9.3]
B_F = [6.4, 6.5, 6.6, 6.7, 6.8, 6.9, 7.0, 7.1, 7.2, 7.3, 7.3, 7.4, 7.5, 7.6, 7.7, 7.8, 7.9, 7.9, 8.0, 8.1]
T_C = [20, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 600]
A_C = [11.5, 12.0, 12.3, 12.7, 12.9, 13.2, 13.8, 14.3, 14.9, 15.9, 16.7, 17.0]
B_C = [11.5, 11.8, 11.9, 12.1, 12.3, 12.4, 12.7, 13.0, 13.3, 13.8, 14.4, 14.8]
SCALE = {"degC": "1/K", "degF": "1/degF"}


def held(t, a):
    """The table in millionths, its ends held."""
    return interp1d(t, a, bounds_error=False, fill_value=(a[0], a[-1]))


def material(kind, t, a, unit):
    m = {"kind": kind}
    if kind == "mean-table":
        m["reference"] = [t[0], unit]
    m["points"] = [{"at": [p, unit], "value": [float(f"{v}e-6"), SCALE[unit]]} for p, v in zip(t, a)]
    return m


def strain(kind, t, a, low, high):
    """In millionths, temperatures in the unit of the table."""
    f = held(t, a)
    if kind == "mean-table":
        return float(f(high) * (high - t[0]) - f(low) * (low - t[0]))
    ends = sorted({low, high, *[p for p in t if min(low, high) < p < max(low, high)]})
    total = sum(quad(f, p, q, epsabs=1e-12)[0] for p, q in zip(ends, ends[1:]))
    return total if high >= low else -total


def vector(name, title, computation, given, what, value, unit, tolerance, warnings):
    return {
        "id": f"thermal.{computation}.scipy-{name}", "title": title, "computation": "thermal." + computation,
        "input": given,
        "expect": [{"name": what, "exact": value, "unit": unit, "tolerance": tolerance, "reason": REASON}],
        "warnings": warnings, "source": "scipy-1-10-1-growth", "known": "derived",
    }


def strains():
    out = []
    for kind, t, a, unit, word in (
        ("mean-table", T_F, B_F, "degF", "mean-f"), ("instantaneous-table", T_F, A_F, "degF", "slope-f"),
        ("mean-table", T_C, B_C, "degC", "mean-c"), ("instantaneous-table", T_C, A_C, "degC", "slope-c"),
    ):
        spans = [(83.5, 217.25), (140.0, 566.6), (500.0, 91.0), (-20.0, 180.0), (400.0, 1111.0)]
        for low, high in spans:
            inside = t[0] <= min(low, high) and max(low, high) <= t[-1]
            out.append(vector(
                f"{word}-{abs(int(low))}-{int(high)}", f"From {low} to {high} {unit} by a {kind.replace('-', ' ')}",
                "strain", {"material": material(kind, t, a, unit), "from": [low, unit], "to": [high, unit]},
                "strain", strain(kind, t, a, low, high), "um/m", 1e-8, [] if inside else ["temperature-out-of-range"],
            ))
    return out


def profile(name, title, length, cold, heights, temperatures):
    """A leg in mm and degC, read at some heights; the end readings are held."""
    strains = [strain("mean-table", T_C, B_C, cold, t) for t in temperatures]
    h, e = [0.0, *heights, length], [strains[0], *strains, strains[-1]]
    growth = float(trapezoid(e, h)) / 1000  # um
    short = heights[0] > 0 or heights[-1] < length
    given = {"segments": [{
        "length": [length, "mm"], "material": material("mean-table", T_C, B_C, "degC"), "cold": [cold, "degC"],
        "profile": [{"height": [p, "mm"], "temperature": [q, "degC"]} for p, q in zip(heights, temperatures)],
    }]}
    return vector(name, title, "support", given, "growth", growth, "um", 1e-9, ["profile-short"] if short else [])


def main():
    rng = np.random.default_rng(2711)
    heights = [float(v) for v in np.sort(np.round(rng.uniform(20, 880, 14), 1))]
    temperatures = [float(v) for v in np.round(140 - np.array(heights) / 10 + rng.normal(0, 4, 14), 1)]
    out = strains() + [
        profile("leg-even", "A leg read at both ends and between", 500.0, 22.0, [0.0, 125.0, 250.0, 375.0, 500.0],
                [31.0, 36.5, 44.0, 55.5, 61.0]),
        profile("leg-uneven", "A leg read at uneven heights", 610.0, 24.0, [0.0, 35.0, 80.0, 300.0, 610.0],
                [118.0, 97.0, 84.0, 52.0, 38.0]),
        profile("leg-short", "A leg not read at its ends", 450.0, 20.0, [40.0, 200.0, 390.0], [65.0, 58.0, 41.0]),
        profile("leg-once", "One reading for a whole leg", 300.0, 20.0, [150.0], [77.0]),
        profile("leg-many", "A leg read at fourteen heights", 900.0, 21.0, heights, temperatures),
    ]
    text = json.dumps({"suite": "thermal/growth-scipy", "vectors": out}, indent=2)
    text = re.sub(r"\[\s+([^][{}]*?)\s+\]", lambda m: "[" + re.sub(r"\s*\n\s*", " ", m[1]) + "]", text)
    print(re.sub(r"\{\s+(\"(?:at|height)\".*?\])\s+\}", lambda m: "{" + re.sub(r"\s*\n\s*", " ", m[1]) + "}", text, flags=re.S))


main()
