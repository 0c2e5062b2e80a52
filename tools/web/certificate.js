// Runs the scripts of the page "Check a certificate" as a browser would, without a page: node certificate.js PAGE < cases.json
// A case is {"text": …, "keys": […], "list": …}; the answer is the list of verdicts. With LIBRARY set, WebCrypto's own Ed25519 is taken away.
const fs = require("node:fs");
const vm = require("node:vm");
const { webcrypto } = require("node:crypto");

const page = fs.readFileSync(process.argv[2], "utf8");
const scripts = [...page.matchAll(/<script>([\s\S]*?)<\/script>/g)].map((m) => m[1]);
if (scripts.length !== 4) throw new Error(scripts.length + " scripts in the page, want 4");
const subtle = webcrypto.subtle;
const crypto = process.env.LIBRARY
  ? { subtle: { digest: (a, b) => subtle.digest(a, b), importKey: () => Promise.reject(new Error("not here")) }, getRandomValues: (a) => webcrypto.getRandomValues(a) }
  : webcrypto;
const world = vm.createContext({ crypto, TextEncoder, TextDecoder, atob, btoa, Uint8Array, Map, Promise, BigInt, Uint8ClampedArray, console });
for (const script of scripts.slice(0, 3)) vm.runInContext(script, world);
if (typeof world.jsQR !== "function") throw new Error("nothing reads the codes of pictures");
const cases = JSON.parse(fs.readFileSync(0, "utf8"));
(async () => {
  const out = [];
  for (const c of cases) out.push(await world.solanderCheck(c.text, { keys: c.keys, list: c.list }));
  process.stdout.write(JSON.stringify(out));
})();
