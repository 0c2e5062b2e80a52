// The check of a certificate, by docs/formats/certificate.md alone. solanderCheck(text, known) comes to { word, says, statement, key, size,
// list, facts }; it asks no server. A word that is not "holds" or "signed" is never to be read as valid.
globalThis.solanderCheck = (() => {
  "use strict";
  const says = {
    "holds": "It holds: the studio's key signed it, and it stands in the register's log.",
    "signed": "The studio's key signed it. The proof that it stands in the log is in the large code, or in the file.",
    "cut-off": "The code is cut off. Scan or copy it whole; nothing is known of the certificate by this.",
    "unreadable": "This is no code of a certificate.",
    "changed": "It does not hold: what it says is not what was signed.",
    "foreign-key": "It is signed by a key that is not known to be this studio's. Compare the key with the one that the studio shows.",
    "not-in-log": "It does not hold: its proof does not lead to the log that the studio signed.",
    "revoked": "It was revoked by the studio.",
    "replaced": "Another certificate took its place.",
    "old-list": "The signature is right, but what is known here of revoked certificates is older than this one. Get the studio's newest list.",
    "bad-list": "The signature is right, but what is taken for the list of revoked certificates is none that the studio signed. Get the studio's newest list.",
  };
  const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-.:*/";
  const kinds = ["N", "AP", "PP", "HC", "BAT"];
  class Cut extends Error {}
  class Strange extends Error {}

  const utf8 = (text) => new TextEncoder().encode(text);
  const hex = (bytes) => Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
  const joined = (...parts) => Uint8Array.from(parts.flatMap((p) => Array.from(p)));
  const same = (a, b) => a.length === b.length && a.every((x, i) => x === b[i]);
  const base64 = (bytes) => btoa(String.fromCharCode(...bytes));
  const unbase64 = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  const sha256 = async (bytes) => new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));

  // Ed25519 by the browser; where it lacks that, by the library that the page holds.
  async function verify(key, signature, message) {
    try {
      const k = await crypto.subtle.importKey("raw", key, { name: "Ed25519" }, false, ["verify"]);
      return await crypto.subtle.verify({ name: "Ed25519" }, k, signature, message);
    } catch {
      try {
        return await globalThis.solanderEd25519.verifyAsync(signature, message, key, { zip215: false });
      } catch {
        return false;
      }
    }
  }

  function unpack(text) {
    const out = [];
    for (let at = 0; at < text.length; at += 3) {
      const part = text.slice(at, at + 3);
      let n = 0;
      for (let i = part.length - 1; i >= 0; i--) {
        const sign = alphabet.indexOf(part[i]);
        if (sign < 0) throw new Strange();
        n = n * 41 + sign;
      }
      if (part.length === 3 && n < 65536) out.push(n >> 8, n & 255);
      else if (part.length === 2 && n < 256) out.push(n);
      else if (part.length < 3) throw new Cut();
      else throw new Strange();
    }
    return Uint8Array.from(out);
  }

  class Reader {
    constructor(bytes) { this.bytes = bytes; this.at = 0; }
    take(n) {
      if (this.at + n > this.bytes.length) throw new Cut();
      this.at += n;
      return this.bytes.subarray(this.at - n, this.at);
    }
    number() {
      let n = 0, factor = 1, width = 0;
      for (;;) {
        if (this.at >= this.bytes.length) throw new Strange();
        const b = this.bytes[this.at++];
        n += (b & 127) * factor;
        width++;
        if (n > 2 ** 40) throw new Strange();
        if (b < 128) {
          if (width > 1 && b === 0) throw new Strange();
          return n;
        }
        factor *= 128;
        if (width > 6) throw new Strange();
      }
    }
    text() { return new TextDecoder("utf-8", { fatal: true }).decode(this.take(this.take(1)[0])); }
    frame() {
      const size = this.take(2);
      return new Reader(this.take(size[0] * 256 + size[1]));
    }
    end() { if (this.at !== this.bytes.length) throw new Strange(); }
  }

  const day = (n) => (n === 0 || n > 200000 ? "" : new Date(n * 86400000).toISOString().slice(0, 10));

  function signed(r) {
    const f = r.frame();
    if (f.take(1)[0] !== 1) throw new Strange();
    const s = { key: hex(f.take(4)), serial: f.number(), edition: f.number() };
    const kind = f.number();
    if (kind >= kinds.length) throw new Strange();
    s.number = kinds[kind] + " " + f.number();
    s.limit = f.number();
    s.proofs = [f.number(), f.number(), f.number(), f.number()];
    s.year = f.number();
    s.declared = day(f.number());
    s.day = day(f.number());
    s.facts = hex(f.take(16));
    s.title = f.text();
    s.artist = f.text();
    s.signature = f.take(64);
    f.end();
    return s;
  }

  const textOf = (s) => "solander-certificate/1\nkey " + s.key + "\nserial " + s.serial + "\nedition " + s.edition + "\nnumber " + s.number +
    "\nlimit " + s.limit + "\nproofs " + s.proofs.join(" ") + "\nyear " + s.year + "\ndeclared " + s.declared + "\nday " + s.day +
    "\ntitle " + s.title + "\nartist " + s.artist + "\nfacts " + s.facts + "\n";

  function proof(r) {
    const f = r.frame();
    const p = { origin: f.text(), key: f.take(32), index: f.number(), size: f.number(), path: [] };
    for (let n = f.take(1)[0]; n > 0; n--) p.path.push(f.take(32));
    p.signature = f.take(64);
    f.end();
    return p;
  }

  // The public key of a text "name+id+base64"; null when it is none.
  async function keyOf(text) {
    const parts = /^([^+\s]+)\+([0-9a-f]{8})\+(\S+)$/.exec(text.trim());
    if (!parts) return null;
    let raw;
    try { raw = unbase64(parts[3]); } catch { return null; }
    if (raw.length !== 33 || raw[0] !== 1) return null;
    const id = hex((await sha256(joined(utf8(parts[1] + "\n"), raw))).subarray(0, 4));
    return id === parts[2] ? { name: parts[1], id, bytes: raw.subarray(1), text: text.trim() } : null;
  }

  // RFC 6962, 2.1.1: the root to which the path of a leaf leads.
  async function root(path, index, size, leaf) {
    if (index >= size) return null;
    let h = leaf, at = index, last = size - 1;
    const half = (n) => Math.floor(n / 2);
    for (const next of path) {
      if (last === 0) return null;
      if (at % 2 === 1 || at === last) {
        h = await sha256(joined([1], next, h));
        while (at % 2 === 0 && at !== 0) { at = half(at); last = half(last); }
      } else {
        h = await sha256(joined([1], h, next));
      }
      at = half(at); last = half(last);
    }
    return last === 0 ? h : null;
  }

  async function inLog(s, p, key) {
    if (p.origin !== key.name || !same(p.key, key.bytes)) return false;
    const leaf = "solander-leaf/1 certificate\nof " + s.serial + "\nedition " + s.edition + "\nnumber " + s.number + "\nday " + s.day +
      "\nstatement " + hex(await sha256(utf8(textOf(s)))) + "\n";
    const top = await root(p.path, p.index, p.size, await sha256(joined([0], utf8(leaf))));
    if (!top) return false;
    return verify(key.bytes, p.signature, utf8(p.origin + "\n" + p.size + "\n" + base64(top) + "\n"));
  }

  // A signed list of ended certificates; null when no known key signed it.
  async function listOf(text, keys) {
    const cut = text.lastIndexOf("\n\n");
    if (cut < 0) return null;
    const body = text.slice(0, cut + 1);
    for (const line of text.slice(cut + 2).split("\n")) {
      const m = /^\u2014 (\S+) (\S+)$/.exec(line);
      if (!m) continue;
      let raw;
      try { raw = unbase64(m[2]); } catch { continue; }
      for (const key of keys) {
        if (key.name !== m[1] || key.id !== hex(raw.subarray(0, 4)) || !(await verify(key.bytes, raw.subarray(4), utf8(body)))) continue;
        return parseList(body);
      }
    }
    return null;
  }

  function parseList(body) {
    const lines = body.split("\n");
    if (lines[0] !== "solander-certificates/1" || lines.pop() !== "") return null;
    const list = { day: "", last: 0, ended: new Map() };
    for (const line of lines.slice(1)) {
      const w = line.split(" ");
      if (w[0] === "day" && w.length === 2) list.day = w[1];
      else if (w[0] === "last" && w.length === 2) list.last = Number(w[1]);
      else if (w[0] === "revoked" && w.length === 3) list.ended.set(Number(w[1]), { day: w[2], by: 0 });
      else if (w[0] === "replaced" && w.length === 4) list.ended.set(Number(w[1]), { day: w[2], by: Number(w[3]) });
      else return null;
    }
    return list;
  }

  function factsIn(text) {
    const m = /-----BEGIN FACTS-----\n([\s\S]*?)-----END FACTS-----\n/.exec(text.replaceAll("\r\n", "\n"));
    return m ? m[1] : null;
  }

  const answer = (word, s) => ({ word, says: says[word], statement: s ? textOf(s).trimEnd().split("\n").slice(1) : [], key: "", size: 0, list: "", facts: null });

  async function check(text, known) {
    const code = /SOL([12]):([0-9A-Z\-.:*\/]*)/.exec(text);
    if (!code) return answer("unreadable");
    let s, p = null;
    try {
      const r = new Reader(unpack(code[2]));
      s = signed(r);
      if (code[1] === "2") p = proof(r);
      r.end();
    } catch (e) {
      return answer(e instanceof Cut ? "cut-off" : "unreadable");
    }
    const keys = (await Promise.all((known.keys || []).map(keyOf))).filter(Boolean);
    const key = keys.find((k) => k.id === s.key);
    if (!key) {
      const v = answer("foreign-key", s);
      if (p) v.key = p.origin + "+" + s.key + "+" + base64(joined([1], p.key));
      return v;
    }
    if (!(await verify(key.bytes, s.signature, utf8(textOf(s))))) return answer("changed");
    if (p && !(await inLog(s, p, key))) return answer("not-in-log");
    const v = answer(p ? "holds" : "signed", s);
    v.key = key.text;
    v.size = p ? p.size : 0;
    const facts = factsIn(text);
    if (facts !== null) {
      if (hex((await sha256(utf8(facts))).subarray(0, 16)) !== s.facts) {
        const bad = answer("changed");
        bad.says = "It does not hold: the facts that go with it are not those that were signed.";
        return bad;
      }
      v.facts = facts;
    }
    if (!known.list) return v;
    const list = await listOf(known.list, keys);
    if (!list) {
      v.word = "bad-list";
      v.says = says[v.word];
      return v;
    }
    v.list = list.day;
    const end = list.ended.get(s.serial);
    if (end) {
      v.word = end.by ? "replaced" : "revoked";
      v.says = says[v.word] + " On " + end.day + (end.by ? ", by number " + end.by + "." : ".");
    } else if (s.serial > list.last) {
      v.word = "old-list";
      v.says = says["old-list"];
    }
    return v;
  }
  return check;
})();
