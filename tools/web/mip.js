// Solves mixed-integer programs for the planner's tests, by a solver that shares nothing with it. Reads JSON from
// standard input: {"name": "program in LP format", ...}; writes {"name": [optimum with presolve, without], ...}.
// A program without an optimum has the solver's word for it instead of numbers.
"use strict";
const highs = require("highs");

async function main() {
  const chunks = [];
  for await (const chunk of process.stdin) chunks.push(chunk);
  const programs = JSON.parse(Buffer.concat(chunks).toString("utf8"));
  const out = {};
  for (const [name, program] of Object.entries(programs)) {
    out[name] = [];
    for (const presolve of ["on", "off"]) {
      const solver = await highs(); // a new one each time: an old one may keep what it has learned
      const answer = solver.solve(program, { presolve, mip_rel_gap: 0, mip_abs_gap: 0, output_flag: false });
      out[name].push(answer.Status === "Optimal" ? answer.ObjectiveValue : answer.Status);
    }
  }
  process.stdout.write(JSON.stringify(out));
}

main().catch((fault) => {
  console.error(fault);
  process.exit(1);
});
