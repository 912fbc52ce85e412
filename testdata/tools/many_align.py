"""Writes long random series of two-dial jobs as JSON on standard output:
python3 many_align.py reverse | rim-face

Each job is a position, seen by two dials at four, eight or uneven clock positions,
with sag, read to the division of a dial. numpy.linalg.lstsq (Python 3, NumPy) finds
offset and slope in both planes and the constant of each dial at once, all six as
unknowns of one system. Frame and signs: README.md.
"""

import json
import math
import sys

import numpy as np

COUNT = 1150
SOURCE = "numpy-1-24-2"
REASON = "sums in double precision, and the conversion of units"
PLANES = ("vertical", "horizontal")
# length, reading and slope, with how many readings a length times a slope is
METRIC = ("mm", "mm", "mm/m", 1e-3, 0.01)
INCH = ("in", "mil", "mil/in", 1.0, 0.5)


class Job:
    def __init__(self, rng):
        self.rng = rng
        self.length, self.reading, self.slope, self.factor, self.division = METRIC if rng.random() < 0.5 else INCH
        inch = 25.4 if self.length == "in" else 1.0
        self.scale = 1.0 if self.reading == "mm" else 1000 / 25.4  # readings in a millimetre
        self.place = lambda low, high: round(float(rng.uniform(low, high)) / inch, 2)
        self.line = rng.uniform(-1, 1, 4) * [0.3 * self.scale, 0.8, 0.3 * self.scale, 0.8]
        self.rows, self.right = [], []

    def positions(self):
        kind = self.rng.integers(3)
        if kind == 0:
            return [0, 90, 180, 270]
        if kind == 1:
            return [0, 45, 90, 135, 180, 225, 270, 315]
        return sorted(int(v) for v in self.rng.choice(np.arange(0, 360, 5), size=int(self.rng.integers(5, 9)), replace=False))

    def dial(self, number, effect):
        """A sweep of what effect(line) makes of the position, and its rows: effect
        returns the factors of the four unknowns for the direction n."""
        at = self.positions()
        while max((b - a) % 360 for a, b in zip(at, at[1:] + at[:1])) > 150:
            at = self.positions()
        sag = round(float(self.rng.uniform(-0.2, 0)) * self.scale / self.division) * self.division
        constant = self.rng.uniform(-0.2, 0.2) * self.scale
        readings = []
        for t in at:
            c, s = math.cos(math.radians(t)), math.sin(math.radians(t))
            row = effect(c, s)
            droop = sag * (1 - c) / 2
            shown = constant + float(np.dot(row, self.line)) + droop + float(self.rng.normal(0, self.division / 3))
            shown = round(round(shown / self.division) * self.division, 4)
            readings.append([t, shown])
            self.rows.append(list(row) + [1.0 if k == number else 0.0 for k in range(2)])
            self.right.append(shown - droop)
        return {"sag": {"rollOver": [round(sag, 4), self.reading]}, "sweep": {"unit": self.reading, "readings": readings}}

    def rim(self, number, x, sign):
        u = self.factor * x  # slope times this is an offset
        return self.dial(number, lambda c, s: (sign * c, sign * c * u, sign * s, sign * s * u))

    def face(self, number, diameter):
        h = self.factor * diameter / 2
        return self.dial(number, lambda c, s: (0.0, h * c, 0.0, h * s))

    def answer(self, stations, inboard, outboard):
        found, _, rank, _ = np.linalg.lstsq(np.array(self.rows), np.array(self.right), rcond=None)
        assert rank == 6
        expect = []

        def add(name, value, unit):
            expect.append({"name": name, "exact": float(value), "unit": unit, "tolerance": 1e-09 * (1 if unit == self.slope else self.scale), "reason": REASON})

        for k, plane in enumerate(PLANES):
            offset, slope = found[2 * k], found[2 * k + 1]
            at = lambda x: offset + slope * self.factor * x
            add("slope." + plane, slope, self.slope)
            for name, x in stations.items():
                add("offset.%s.%s" % (name, plane), at(x), self.reading)
            # The far machine is moved by minus the misalignment at its feet.
            add("far.inboard." + plane, -at(inboard), self.reading)
            add("far.outboard." + plane, -at(outboard), self.reading)
        ask = {
            "stations": [{"name": n, "at": [x, self.length]} for n, x in stations.items()],
            "far": {"inboard": [inboard, self.length], "outboard": [outboard, self.length]},
        }
        return ask, expect


def reverse(rng):
    j = Job(rng)
    near = j.place(-300, 0)
    far = j.place(120, 500)
    inboard = round(far + j.place(80, 400), 2)
    outboard = round(inboard + j.place(200, 900), 2)
    on_far = {"station": [far, j.length]} | j.rim(0, far, 1.0)  # bracket on the near shaft
    on_near = {"station": [near, j.length]} | j.rim(1, near, -1.0)  # bracket on the far one
    ask, expect = j.answer({"middle": round((near + far) / 2, 2)}, inboard, outboard)
    return {"onFar": on_far, "onNear": on_near, "ask": ask}, expect


def rim_face(rng):
    j = Job(rng)
    rim, diameter = j.place(-50, 150), j.place(80, 400)
    inboard = round(rim + j.place(150, 500), 2)
    outboard = round(inboard + j.place(200, 900), 2)
    given_rim = {"station": [rim, j.length]} | j.rim(0, rim, 1.0)
    given_face = {"diameter": [diameter, j.length]} | j.face(1, diameter)
    ask, expect = j.answer({"coupling": round(rim - j.place(10, 60), 2)}, inboard, outboard)
    return {"rim": given_rim, "face": given_face, "ask": ask}, expect


KINDS = {
    "reverse": ("align/many-reverse", "align.reverse-indicator", "align.many.reverse", "Two rim dials, random position", reverse, 60203),
    "rim-face": ("align/many-rim-face", "align.rim-and-face", "align.many.rim-face", "Rim and face dial, random position", rim_face, 60217),
}


def main(kind):
    suite, computation, prefix, title, job, seed = KINDS[kind]
    rng = np.random.default_rng(seed)
    lines = []
    for n in range(COUNT):
        given, expect = job(rng)
        lines.append("    " + json.dumps({
            "id": "%s-%04d" % (prefix, n), "title": "%s, %d" % (title, n), "computation": computation,
            "flags": ["random"], "input": given, "expect": expect, "source": SOURCE, "known": "derived",
        }))
    print('{\n  "suite": "%s",\n  "vectors": [\n%s\n  ]\n}' % (suite, ",\n".join(lines)))


if __name__ == "__main__":
    main(sys.argv[1])
