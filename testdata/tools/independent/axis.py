"""A misalignment or a movement as one straight line in each plane.

README.md, "Frame and signs": x runs along the train, y is up (vertical plane),
z to the right (horizontal plane). An axis is written as two points that it goes
through, or as a line in each plane by its offset at station 0 and its slope; a
plane that is not written is straight.
"""

import math

from common import LENGTH, RATIO, Fault, listof, opt, record

FARTHEST = 10.0  # m; an offset beyond it is not a misalignment
STEEPEST = 1.0  # rise over run
NEAREST = 1e-6  # m; stations nearer than this are one

OFFSET = record({"vertical": LENGTH, "horizontal": LENGTH})
_POINT = record({"station": LENGTH, "offset": OFFSET})
_LINE = record({"offset": LENGTH, "slope": RATIO})
_READ = record({"through": opt(listof(_POINT)), "vertical": opt(_LINE), "horizontal": opt(_LINE)})

PLANES = ("vertical", "horizontal")


class Axis:
    """offset[p] + slope[p] x in both planes p, 0 vertical and 1 horizontal."""

    def __init__(self, offset=(0.0, 0.0), slope=(0.0, 0.0)):
        self.offset, self.slope = tuple(offset), tuple(slope)

    def at(self, x):
        return tuple(a + b * x for a, b in zip(self.offset, self.slope))

    def plus(self, other, k=1.0):
        """self + k other."""
        return Axis([a + k * b for a, b in zip(self.offset, other.offset)],
                    [a + k * b for a, b in zip(self.slope, other.slope)])

    def checked(self, path="axis"):
        """Itself, or a fault where it is no misalignment."""
        for v in self.offset + self.slope:
            if not math.isfinite(v):
                raise Fault("not-finite", path)
        if max(map(abs, self.offset)) > FARTHEST or max(map(abs, self.slope)) > STEEPEST:
            raise Fault("out-of-range", path)
        return self


def through(x1, o1, x2, o2, path="through"):
    """The axis through two offsets (vertical, horizontal) at two stations."""
    if abs(x2 - x1) < NEAREST:
        raise Fault("coincident-stations", path)
    slope = [(b - a) / (x2 - x1) for a, b in zip(o1, o2)]
    return Axis([a - m * x1 for a, m in zip(o1, slope)], slope)


def both(o):
    """An offset that was read, as a pair."""
    return o.vertical, o.horizontal


def AXIS(v, path="input"):
    """The reader of an axis; not checked for its size."""
    d = _READ(v, path)
    lines = d.vertical or d.horizontal
    if lines and d.through is not None:
        raise Fault("mismatch", path)
    if lines:
        pair = [d[p] or {"offset": 0.0, "slope": 0.0} for p in PLANES]
        return Axis([p["offset"] for p in pair], [p["slope"] for p in pair])
    if d.through is None or len(d.through) != 2:
        raise Fault("missing", path)
    p, q = d.through
    return through(p.station, both(p.offset), q.station, both(q.offset), path)


def SMALL_AXIS(v, path="input"):
    """The reader of an axis that must be a plausible misalignment."""
    return AXIS(v, path).checked(path)


def put_offset(results, name, offset):
    """name.vertical and name.horizontal."""
    for plane, v in zip(PLANES, offset):
        results["%s.%s" % (name, plane)] = v


def put_axis(results, axis, stations):
    """slope.PLANE, and offset.i.PLANE at the stations."""
    for plane, m in zip(PLANES, axis.slope):
        results["slope." + plane] = m
    for i, x in enumerate(stations):
        put_offset(results, "offset.%d" % i, axis.at(x))
