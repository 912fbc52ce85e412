// A few computations of the corpus, written from the definitions in testdata/README.md. They show what an implementation
// in another language has to do: read strictly, compute in SI units, and refuse with a code word.

class Fault extends Error {
  constructor(code) { super(code); this.code = code; }
}

const inch = 0.0254;
// unit: [kind, factor to SI, what is added first]; only those that the computations below need.
const units = {
  m: ["length", 1], mm: ["length", 1e-3], um: ["length", 1e-6], in: ["length", inch], mil: ["length", inch / 1000], ft: ["length", 12 * inch],
  1: ["ratio", 1], "mil/in": ["ratio", 1e-3], "mm/m": ["ratio", 1e-3], "in/ft": ["ratio", 1 / 12], "um/m": ["ratio", 1e-6], "mil/ft": ["ratio", 1 / 12000],
  deg: ["angle", Math.PI / 180], rad: ["angle", 1],
  K: ["temperature", 1, 0], degC: ["temperature", 1, 273.15], degF: ["temperature", 5 / 9, 459.67],
  "degC-rise": ["rise", 1], "degF-rise": ["rise", 5 / 9],
  rpm: ["frequency", 1 / 60], Hz: ["frequency", 1], "1/K": ["coefficient", 1], "1/degF": ["coefficient", 9 / 5],
};
const unitNamed = (name) => { if (!(name in units)) throw new Fault("unknown-unit"); return units[name]; };
const fromSI = (si, unit) => si / unitNamed(unit)[1] - (units[unit][2] || 0);
const toSI = (number, unit) => (number + (unitNamed(unit)[2] || 0)) * units[unit][1];

// number reads a plain number; "NaN", "+Inf" and "-Inf" stand for what JSON cannot hold.
function number(v) {
  if (["NaN", "+Inf", "-Inf"].includes(v)) throw new Fault("not-finite");
  if (typeof v !== "number") throw new Fault("wrong-type");
  return v;
}
// quantity reads [number, "unit"] of one kind, in SI units.
const quantity = (kind) => (v) => {
  if (!Array.isArray(v) || v.length !== 2) throw new Fault("wrong-type");
  if (unitNamed(v[1])[0] !== kind) throw new Fault("wrong-unit");
  return toSI(number(v[0]), v[1]);
};
const length = quantity("length"), ratio = quantity("ratio");
// record reads an object: every field needs a reader, every reader but an optional one a field.
const record = (fields) => (v) => {
  if (typeof v !== "object" || v === null || Array.isArray(v)) throw new Fault("wrong-type");
  for (const name in v) if (!(name in fields)) throw new Fault("unknown-field");
  const out = {};
  for (const name in fields)
    if (name in v) out[name] = fields[name](v[name]);
    else if (!fields[name].optional) throw new Fault("missing");
  return out;
};
const optional = (reader) => Object.assign((v) => reader(v), { optional: true });
const list = (reader) => (v) => { if (!Array.isArray(v)) throw new Fault("wrong-type"); return v.map(reader); };
const text = (v) => { if (typeof v !== "string") throw new Fault("wrong-type"); return v; };

const offset = record({ vertical: length, horizontal: length });
const line = record({ offset: length, slope: ratio });
const axis = record({ vertical: optional(line), horizontal: optional(line) });
const point = record({ station: length, offset: length });
const planes = ["vertical", "horizontal"];
// sweep reads the readings of a dial: [[clock degrees, metres], ...].
const sweep = (v) => {
  const s = record({ unit: text, readings: list((p) => [number(p[0]), number(p[1])]) })(v);
  return s.readings.map(([at, r]) => [at, length([r, s.unit])]);
};
const samePlace = (a, b) => { const d = Math.abs(a - b) % 360; return Math.min(d, 360 - d) < 1e-9; };
const readingAt = (s, at) => { const p = s.find(([t]) => samePlace(t, at)); return p && p[1]; };
const readings = (s) => Object.fromEntries(s.map(([, r], i) => ["reading." + i, r]));
const cos = (deg) => samePlace(deg, 90) || samePlace(deg, 270) ? 0 : Math.cos((deg * Math.PI) / 180);
const at = (l, x) => l.offset + l.slope * x;

const mine = {
  "align.convert": (input) => {
    const v = record({ value: (x) => x, to: text })(input);
    const kind = unitNamed(v.to)[0];
    return { result: { number: fromSI(quantity(kind)(v.value), v.to) } };
  },
  "align.clock": (input) => {
    const turned = 30 * record({ hour: number })(input).hour;
    if (!Number.isFinite(turned)) throw new Fault("out-of-range");
    const deg = ((turned % 360) + 360) % 360;
    return { result: { degrees: deg, up: cos(deg), right: cos(deg - 90) } };
  },
  "align.line-at": (input) => {
    const v = record({ line, at: length })(input);
    return { result: { offset: at(v.line, v.at) } };
  },
  "align.through-two-points": (input) => {
    const v = record({ p: point, q: point, stations: optional(list(record({ name: text, at: length }))) })(input);
    if (v.p.station === v.q.station) throw new Fault("coincident-stations");
    const slope = (v.q.offset - v.p.offset) / (v.q.station - v.p.station);
    const result = { slope };
    for (const s of v.stations || []) result["offset." + s.name] = v.p.offset + slope * (s.at - v.p.station);
    return { result };
  },
  // A flex plane bends by the line to the other end of the spool: e/L, seen from either side.
  "align.flex-angles": (input) => {
    const v = record({ axis, spool: record({ nearFlex: length, farFlex: length }) })(input);
    const { nearFlex, farFlex } = v.spool;
    if (!(farFlex > nearFlex)) throw new Fault("coincident-stations");
    const result = {}, size = { near: 0, far: 0 };
    for (const p of planes) {
      const l = v.axis[p] || { offset: 0, slope: 0 };
      // The spool lies on the near line (zero) at its near end and on the far line at its far one.
      result["near." + p] = at(l, farFlex) / (farFlex - nearFlex);
      result["far." + p] = l.slope - result["near." + p];
      for (const end in size) size[end] = Math.hypot(size[end], result[end + "." + p]);
    }
    result.largest = Math.max(size.near, size.far);
    return { result };
  },
  "align.total-reading": (input) => {
    const r = record({ sweep })(input).sweep.map(([, x]) => x);
    if (r.length === 0) throw new Fault("too-few-positions");
    return { result: { total: Math.max(...r) - Math.min(...r) } };
  },
  "align.closure": (input) => {
    const s = record({ sweep })(input).sweep, result = {};
    const closed = s.length > 1 && samePlace(s[0][0], s[s.length - 1][0]);
    const open = closed ? s.slice(0, -1) : s;
    if (closed) result.closure = s[s.length - 1][1] - s[0][1];
    const q = [0, 90, 180, 270].map((t) => readingAt(open, t));
    if (!q.includes(undefined)) result["sum-rule"] = q[0] + q[2] - q[1] - q[3];
    if (!closed && q.includes(undefined)) throw new Fault("too-few-positions");
    return { result };
  },
  "align.re-zero": (input) => {
    const v = record({ sweep, at: number })(input);
    const zero = readingAt(v.sweep, v.at);
    if (zero === undefined) throw new Fault("missing");
    return { result: readings(v.sweep.map(([t, r]) => [t, r - zero])) };
  },
  // The hub's own error turns with the shaft, the misalignment does not.
  "align.half-turn": (input) => {
    const v = record({ before: offset, after: offset })(input), result = {};
    for (const p of planes) {
      result["misalignment." + p] = (v.before[p] + v.after[p]) / 2;
      result["hub-error." + p] = (v.before[p] - v.after[p]) / 2;
    }
    return { result };
  },
};

module.exports = { mine, fromSI };
