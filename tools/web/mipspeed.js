// Times how long a mixed-integer solver takes for the planner's programs, for the benchmark alone. Reads JSON from standard
// input: {"name": "program in LP format", ...}, as mip.js does; writes {"name": {"all": [optimum, ms], "generated": [optimum,
// ms]}, ...}. Each is one solve in a warm program: the least of three, after one that is not counted, its start left out.
//
// all: every parcel is in the program, unless they are so many that it takes minutes. generated: parcels are added to the linear program as its prices ask for them; then
// the integer program is solved over these, and once more over all whose reduced cost is below what is between the two.
"use strict";
const highs = require("highs");

const exact = { mip_rel_gap: 0, mip_abs_gap: 0, output_flag: false };
const mostWhole = 6000; // variables
const number = (text) => Number(text);

// read takes a program apart: what each variable costs and holds, its bound, and what each row asks for.
function read(text) {
  const [head, rest] = text.split("Subject To\n");
  const [rows, tail] = rest.split("Bounds\n");
  const vars = new Map();
  const terms = (line, each) => {
    for (const [, n, name] of line.matchAll(/(\d+) ([xh]\d\S*)/g)) each(number(n), name);
  };
  terms(head, (cost, name) => vars.set(name, { name, cost, rows: [], most: 0 }));
  const asked = [];
  for (const row of rows.split(/\n(?= [os]\d)/)) {
    const [, name, line, sense, limit] = row.match(/^ ?(\S+): ([\s\S]*) (<=|=) (\d+)\s*$/);
    terms(line, (n, v) => vars.get(v).rows.push([asked.length, n]));
    asked.push({ name, sense, limit: number(limit) });
  }
  for (const [, name, most] of tail.split("General")[0].matchAll(/(\S+) <= (\d+)/g)) vars.get(name).most = number(most);
  return { vars: [...vars.values()], asked };
}

// write puts a program of some variables together.
function write(vars, asked, whole) {
  const lines = asked.map(() => []);
  for (const v of vars) for (const [row, n] of v.rows) lines[row].push(`${n} ${v.name}`);
  const rows = asked.map((r, i) => (lines[i].length ? ` ${r.name}: ${lines[i].join("\n + ")} ${r.sense} ${r.limit}` : "")).filter(Boolean);
  const bounds = vars.map((v) => ` ${v.name} <= ${v.most}`);
  const cost = vars.map((v) => `${v.cost} ${v.name}`).join("\n + ");
  const names = vars.map((v) => ` ${v.name}`);
  return `Minimize\n cost: ${cost}\nSubject To\n${rows.join("\n")}\nBounds\n${bounds.join("\n")}\n${whole ? `General\n${names.join("\n")}\n` : ""}End\n`;
}

function generated(solver, { vars, asked }) {
  const place = new Map(asked.map((r, i) => [r.name, i]));
  const pool = new Set(vars.filter((v) => v.name[0] === "h" || v.rows.length === 1));
  let prices, low;
  const reduced = (v) => v.rows.reduce((z, [row, n]) => z - n * prices[row], v.cost);
  for (;;) {
    const answer = solver.solve(write([...pool], asked, false), exact);
    prices = asked.map(() => 0);
    for (const r of answer.Rows) if (place.has(r.Name)) prices[place.get(r.Name)] = r.Dual;
    low = answer.ObjectiveValue;
    const gains = vars.map((v) => [reduced(v), v]).filter(([z, v]) => z < -1e-6 && !pool.has(v));
    if (gains.length === 0) break;
    gains.sort((a, b) => a[0] - b[0]);
    for (const [, v] of gains.slice(0, 60)) pool.add(v);
  }
  const top = solver.solve(write([...pool], asked, true), exact).ObjectiveValue;
  if (top - low < 1e-6) return top;
  const near = vars.filter((v) => reduced(v) < top - low + 1e-6);
  return solver.solve(write(near, asked, true), exact).ObjectiveValue;
}

async function main() {
  const chunks = [];
  for await (const chunk of process.stdin) chunks.push(chunk);
  const programs = JSON.parse(Buffer.concat(chunks).toString("utf8"));
  const out = {};
  for (const [name, text] of Object.entries(programs)) {
    const program = read(text);
    const ways = { generated: (solver) => generated(solver, program) };
    if (program.vars.length < mostWhole) ways.all = (solver) => solver.solve(text, exact).ObjectiveValue;
    out[name] = {};
    for (const [way, solve] of Object.entries(ways)) {
      let optimum, least = Infinity;
      for (let i = 0; i < 4; i++) {
        const solver = await highs(); // a new one each time: an old one may keep what it has learned
        const start = performance.now();
        optimum = solve(solver);
        if (i > 0) least = Math.min(least, performance.now() - start);
      }
      out[name][way] = [optimum, least];
    }
  }
  process.stdout.write(JSON.stringify(out));
}

main().catch((fault) => {
  console.error(fault);
  process.exit(1);
});
