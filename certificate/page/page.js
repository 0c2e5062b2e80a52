// What is on the page: pasted text, a file, a photo or the camera, the keys and the newest list.
(() => {
  "use strict";
  const at = (id) => document.getElementById(id);
  const known = JSON.parse(at("known").textContent);
  at("keys").value = (known.keys || []).join("\n");
  at("list").value = known.list || "";
  const detector = "BarcodeDetector" in window ? new window.BarcodeDetector({ formats: ["qr_code"] }) : null;
  if (!navigator.mediaDevices) at("camera").hidden = true;

  const labels = { serial: "Certificate", edition: "Edition, by its number in the register", number: "Number", limit: "Numbered in all", proofs: "Proofs: AP, PP, HC, BAT",
    year: "Year of the work", declared: "Limit declared on", day: "Certified on", title: "Title", artist: "Artist" };

  function row(table, label, words) {
    const tr = table.insertRow();
    const th = document.createElement("th");
    th.scope = "row";
    th.textContent = label;
    tr.append(th);
    tr.insertCell().textContent = words;
  }

  // A number as it stands on the sheet: 17/250, or AP 2/5.
  function asOnTheSheet(statement, [kind, n]) {
    const of = (name) => (statement.find((line) => line.startsWith(name + " ")) || "").split(" ").slice(1);
    const all = kind === "N" ? of("limit")[0] : of("proofs")[["AP", "PP", "HC", "BAT"].indexOf(kind)];
    return (kind === "N" ? "" : kind + " ") + n + "/" + all;
  }

  async function show() {
    const v = await globalThis.solanderCheck(at("text").value, { keys: at("keys").value.split("\n").filter(Boolean), list: at("list").value.trim() && at("list").value });
    const out = at("answer");
    out.replaceChildren();
    const good = v.word === "holds" || v.word === "signed";
    const head = document.createElement("h2");
    head.textContent = (good ? "✓ " : "✗ ") + v.word;
    const words = document.createElement("p");
    words.textContent = v.says;
    out.append(head, words);
    out.className = good ? "good" : "bad";
    const table = document.createElement("table");
    for (const line of v.statement) {
      const [name, ...rest] = line.split(" ");
      const words = name === "number" ? asOnTheSheet(v.statement, rest) : rest.join(" ");
      if (labels[name] && words !== "") row(table, labels[name], words);
    }
    for (const line of (v.facts || "").split("\n")) {
      const cut = line.indexOf(": ");
      if (cut > 0) row(table, line.slice(0, cut), line.slice(cut + 2));
    }
    if (v.key) row(table, "Key", v.key);
    if (v.size) row(table, "Leaves of the log", String(v.size));
    if (good) row(table, "Revoked certificates", v.list ? "looked at as of " + v.list : "no list was looked at: ask the studio for its newest one");
    if (v.statement.length && !good) words.textContent += " What it says stands below; it is not proven.";
    if (table.rows.length) out.append(table);
    out.focus();
  }

  // The texts of the codes in a picture: by the browser, or by the library that the page holds, which finds one code in a part of a picture.
  async function codesIn(source) {
    if (detector) return (await detector.detect(source)).map((c) => c.rawValue);
    const width = source.videoWidth || source.width, height = source.videoHeight || source.height;
    const found = [];
    for (const [x, y, w, h] of [[0, 0, 1, 1], [0, 0, 1, .5], [0, .5, 1, .5], [0, .25, 1, .5], [0, 0, .5, 1], [.5, 0, .5, 1], [0, 0, .5, .5], [.5, 0, .5, .5], [0, .5, .5, .5], [.5, .5, .5, .5]]) {
      const scale = Math.min(1, 1800 / Math.max(w * width, h * height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.max(1, Math.round(w * width * scale));
      canvas.height = Math.max(1, Math.round(h * height * scale));
      const on = canvas.getContext("2d", { willReadFrequently: true });
      on.drawImage(source, x * width, y * height, w * width, h * height, 0, 0, canvas.width, canvas.height);
      const code = globalThis.jsQR(on.getImageData(0, 0, canvas.width, canvas.height).data, canvas.width, canvas.height);
      if (code) found.push(code.data);
      if (code && code.data.startsWith("SOL2:") || source.videoWidth) break; // the camera looks again anyhow
    }
    return found;
  }

  async function fromPicture(source) {
    const found = await codesIn(source);
    const code = found.find((t) => t.startsWith("SOL2:")) || found.find((t) => t.startsWith("SOL1:"));
    if (!code) throw new Error("There is no code of a certificate in this picture.");
    at("text").value = code;
    await show();
  }

  function tell(e) {
    at("answer").className = "bad";
    at("answer").textContent = e.message;
  }

  // What was answered is no answer to what is typed since.
  for (const id of ["text", "keys", "list"]) {
    at(id).addEventListener("input", () => { at("answer").replaceChildren(); at("answer").className = ""; });
  }
  at("check").addEventListener("submit", (e) => { e.preventDefault(); show().catch(tell); });
  at("file").addEventListener("change", async () => {
    const file = at("file").files[0];
    if (!file) return;
    try {
      if (file.type.startsWith("image/")) await fromPicture(await createImageBitmap(file));
      else { at("text").value = await file.text(); await show(); }
    } catch (e) { tell(e); }
  });
  at("camera").addEventListener("click", async () => {
    const video = at("video");
    try {
      video.srcObject = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      video.hidden = false;
      await video.play();
      const look = async () => {
        if (video.hidden) return;
        try { await fromPicture(video); } catch { requestAnimationFrame(look); return; }
        video.srcObject.getTracks().forEach((t) => t.stop());
        video.hidden = true;
      };
      look();
    } catch (e) { tell(e); }
  });
})();
