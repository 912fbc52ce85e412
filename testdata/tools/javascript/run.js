// The runner of testdata/README.md in JavaScript, without any library:
//   node run.js
// What it computes stands in mine.js; everything else of the corpus is counted as not covered.
const fs = require("fs"), path = require("path");
const { mine, fromSI } = require("./mine.js");

const filesUnder = (dir) => fs.readdirSync(dir, { withFileTypes: true }).flatMap((f) =>
  f.isDirectory() ? filesUnder(path.join(dir, f.name)) : f.name.endsWith(".json") ? [path.join(dir, f.name)] : []);
const halfLastPlace = (printed) => 0.5 * 10 ** -(printed.split(".")[1] || "").length;

// agrees holds one result against one expectation.
function agrees(e, result, misprint) {
  if (!(e.name in result)) return false;
  if ("text" in e) return result[e.name] === e.text;
  const got = fromSI(result[e.name], e.unit);
  const allowed = ("tolerance" in e ? e.tolerance : halfLastPlace(e.printed)) * (1 + 1e-9);
  return Math.abs(got - e.exact) <= allowed && (!("printed" in e) || misprint || Math.abs(got - Number(e.printed)) <= allowed);
}

// passes runs one vector.
function passes(v) {
  let answer;
  try { answer = mine[v.computation](v.input); } catch (fault) { return "error" in v && fault.code === v.error; }
  const warnings = answer.warnings || [];
  return !("error" in v) && v.expect.every((e) => agrees(e, answer.result, "misprint" in v)) &&
    (!v.warnings || String([...new Set(v.warnings)].sort()) === String([...new Set(warnings)].sort()));
}

let passed = 0, failed = 0, notCovered = 0;
for (const file of filesUnder(path.join(__dirname, "..", "..", "vectors")).sort())
  for (const v of JSON.parse(fs.readFileSync(file, "utf8")).vectors)
    if (!(v.computation in mine)) notCovered++;
    else if (passes(v)) passed++;
    else { failed++; console.log(v.id + " fails"); }
console.log(`${passed} passed, ${failed} failed, ${notCovered} not covered`);
process.exit(failed ? 1 : 0);
