// What is on the page: pasted text, a file, a photo or the camera, the keys and the newest list.
(() => {
  "use strict";
  const at = (id) => document.getElementById(id);
  const known = JSON.parse(at("known").textContent);
  at("keys").value = (known.keys || []).join("\n");
  at("list").value = known.list || "";
  const detector = "BarcodeDetector" in window ? new window.BarcodeDetector({ formats: ["qr_code"] }) : null;
  if (!detector) at("camera").hidden = true;

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

  async function show() {
    const v = await globalThis.solanderCheck(at("text").value, { keys: at("keys").value.split("\n").filter(Boolean), list: at("list").value });
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
      if (labels[name] && rest.join(" ") !== "") row(table, labels[name], rest.join(" "));
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

  async function fromPicture(source) {
    if (!detector) throw new Error("This browser reads no codes from pictures: paste the text that a reader of codes shows.");
    const found = await detector.detect(source);
    const code = found.map((c) => c.rawValue).find((t) => t.startsWith("SOL2:")) || found.map((c) => c.rawValue).find((t) => t.startsWith("SOL1:"));
    if (!code) throw new Error("There is no code of a certificate in this picture.");
    at("text").value = code;
    await show();
  }

  function tell(e) {
    at("answer").className = "bad";
    at("answer").textContent = e.message;
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
