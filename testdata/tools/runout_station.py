"""Writes the vectors of single-station runout of another library as JSON on standard output.

The readings are invented with a fixed seed. NumPy's linalg.lstsq fits first and
second harmonic together on the full matrix of columns; numpy.fft.rfft gives the
same on even marks as a check. Run with Python 3 and NumPy: python3 runout_station.py
"""

import json

import numpy as np

rng = np.random.default_rng(21940)
ROUNDING = "two double-precision fits of the same readings differ by rounding alone"


def expect(name, value, unit, tolerance):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": ROUNDING}


def angle(x, y, period):
    return np.degrees(np.arctan2(y, x)) % 360 * period / 360


def fit(marks, values, orders):
    t = np.radians(marks)
    columns = [np.ones(len(t))]
    for k in orders:
        columns += [np.cos(k * t), np.sin(k * t)]
    a = np.column_stack(columns)
    x = np.linalg.lstsq(a, values, rcond=None)[0]
    return x, values - a @ x, values - a[:, :3] @ x[:3]


def readings(marks, noise):
    t = np.radians(marks)
    e, high, oval, lobe = 20 + 60 * rng.random(), rng.random() * 360, 15 * rng.random(), rng.random() * 180
    v = e * np.cos(t - np.radians(high)) + oval * np.cos(2 * (t - np.radians(lobe)))
    v += noise * rng.standard_normal(len(marks))
    return np.round(v - v[0], 1)


def measures(marks, values, orders, unit):
    x, rest, off = fit(marks, values, orders)
    n = len(marks)
    if n >= 5 and np.allclose(np.diff(marks), 360 / n):
        f = np.fft.rfft(values) * 2 / n  # Fourier sums, the same on even marks
        turn = np.exp(1j * np.radians(marks[0]))
        assert abs(f[1] * np.conj(turn) - (x[1] - 1j * x[2])) < 1e-9
    out = [
        expect("first.vertical", x[1], unit, 1e-9),
        expect("first.horizontal", x[2], unit, 1e-9),
        expect("first.size", np.hypot(x[1], x[2]), unit, 1e-9),
        expect("high-spot", angle(x[1], x[2], 360), "deg", 1e-7),
        expect("total", np.ptp(values), unit, 1e-9),
        expect("off.worst", np.max(np.abs(off)), unit, 1e-9),
        expect("off.rms", np.sqrt(np.sum(off**2) / (n - 3)), unit, 1e-9),
    ]
    if 2 in orders:
        out += [
            expect("second.cosine", x[3], unit, 1e-9),
            expect("second.sine", x[4], unit, 1e-9),
            expect("second.size", np.hypot(x[3], x[4]), unit, 1e-9),
            expect("second.high-spot", angle(x[3], x[4], 180), "deg", 1e-6),
            {"name": "second.seen", "text": "full"},
        ]
        if n > 5:
            out += [
                expect("rest.worst", np.max(np.abs(rest)), unit, 1e-9),
                expect("rest.rms", np.sqrt(np.sum(rest**2) / (n - 5)), unit, 1e-9),
            ]
    else:
        out.append({"name": "second.seen", "text": "hidden"})
    return out, x


def sweep(marks, values, unit):
    return {"unit": unit, "readings": [[float(m), float(v)] for m, v in zip(marks, values)]}


def section(name, title, marks, noise, orders=(1, 2)):
    values = readings(marks, noise)
    out, x = measures(marks, values, orders, "um")
    out.append(expect("eccentricity", np.hypot(x[1], x[2]), "um", 1e-9))
    return vector("section-" + name, title, "runout.section", {"sweep": sweep(marks, values, "um")}, out)


def face(name, title, marks, diameter, noise):
    values = np.round(readings(marks, noise) / 25.4, 2)
    out, x = measures(marks, values, (1, 2), "mil")
    tilt = x[1:3] / (diameter / 2)
    out += [
        expect("tilt.vertical", tilt[0], "mil/in", 1e-9),
        expect("tilt.horizontal", tilt[1], "mil/in", 1e-9),
        expect("tilt.size", np.hypot(*tilt), "mil/in", 1e-9),
    ]
    return vector("face-" + name, title, "runout.face", {"sweep": sweep(marks, values, "mil"), "diameter": [diameter, "in"]}, out)


def pair(name, title, marks, diameter):
    v = readings(np.concatenate([marks, marks + 180]), 1.0)
    drift = np.round(30 * rng.standard_normal(len(marks)), 1)
    drift[0] = 0
    a, b = np.round(v[: len(marks)] + drift, 1), np.round(v[len(marks) :] + drift, 1)
    half, axial = (a - b) / 2, (a + b) / 2
    out, x = measures(marks, half, (1,), "um")
    out.append(expect("tilt.size", np.hypot(x[1], x[2]) / (diameter / 2), "mm/m", 1e-9))  # um/mm is mm/m
    out.append(expect("float", np.ptp(axial), "um", 1e-9))
    given = {"a": sweep(marks, a, "um"), "b": sweep(marks, b, "um"), "diameter": [diameter, "mm"]}
    return vector("pair-" + name, title, "runout.face-pair", given, out)


def vector(name, title, computation, given, out):
    return {
        "id": "runout.station.numpy-" + name,
        "title": title,
        "computation": computation,
        "input": given,
        "expect": out,
        "source": "numpy-1-24-2",
        "known": "derived",
    }


def even(n, start=0.0):
    return start + 360.0 * np.arange(n) / n


def main():
    out = [
        section("eight", "Eight even marks", even(8), 1.0),
        section("twelve", "Twelve even marks, the first not at 12 o'clock", even(12, 15.0), 2.0),
        section("five", "Five even marks leave nothing beyond the second harmonic", even(5), 1.0),
        section("sixteen", "Sixteen even marks", even(16), 1.5),
        section("uneven", "Nine uneven marks: the oval must not leak into the eccentricity",
                np.array([0.0, 33, 70, 120, 150, 200, 255, 290, 325]), 1.0),
        section("four-uneven", "Four marks that are not quarters hide the second harmonic",
                np.array([0.0, 80, 170, 260]), 1.0, (1,)),
        face("eight", "Face at eight even marks", even(8), 12.0, 0.5),
        face("ten", "Face at ten even marks", even(10, 9.0), 7.5, 0.5),
        pair("eight", "Two face dials, shaft floating at random", even(8), 240.0),
        pair("six", "Two face dials at six marks", even(6), 310.0),
    ]
    print(json.dumps(out, indent=2))


if __name__ == "__main__":
    main()
