// Says when what the page shows has changed, on another machine or in another window. The page stays as it is until she wants it anew; without this
// script it shows what stood when it was opened.
(function () {
  "use strict";
  var main = document.querySelector("main[data-writes]"), place = document.getElementById("changed");
  if (!main || !place || !window.fetch || !window.DOMParser || !window.AbortController) { return; }
  var writes = main.dataset.writes, shown = seen(main), fails = 0, waits = null, soon = 0, told = false;

  // seen is what is to be seen on a page: its words, and what stands in its fields.
  function seen(page) {
    var fields = Array.from(page.querySelectorAll("input:not([type=hidden])"), function (f) { return f.getAttribute("value") + f.hasAttribute("checked"); });
    return (page.textContent + fields.join()).replace(/\s+/g, " ");
  }

  function tell() {
    var text = document.createElement("p"), anew = document.createElement("a"), address = new URL(window.location.href);
    ["said", "marked", "undone", "lacks"].forEach(function (name) { address.searchParams.delete(name); });
    anew.href = address.pathname + address.search;
    anew.textContent = "show it anew";
    text.append("This page has changed meanwhile: ", anew);
    place.replaceChildren(text);
    told = true;
  }

  function after(ms, what) {
    window.clearTimeout(soon);
    soon = window.setTimeout(what, ms);
  }

  function rest() {
    window.clearTimeout(soon);
    if (waits) { waits.abort(); }
    waits = null;
  }

  // get asks, and hands the answer on; whatever goes wrong is tried again, ever more seldom.
  function get(address, use) {
    var mine = waits = new AbortController();
    window.fetch(address, { signal: mine.signal, headers: { Accept: "text/html, text/plain" } }).then(function (answer) {
      if (!answer.ok || answer.redirected) { throw new Error(answer.statusText); }
      return answer.text();
    }).then(function (text) {
      if (mine === waits) { fails = 0; use(text); }
    }).catch(function () {
      if (mine === waits) { after(Math.min(60, 2 << Math.min(++fails, 5)) * 1000, wait); }
    });
  }

  function wait() {
    get("/changes?since=" + writes, function (now) {
      if (!now) { wait(); return; }
      after(600, function () { look(now); }); // a deed may be several writes
    });
  }

  function look(now) {
    get(window.location.href, function (text) {
      var page = new DOMParser().parseFromString(text, "text/html").querySelector("main[data-writes]");
      if (!page) { return; }
      if (seen(page) !== shown) { tell(); return; }
      writes = page.dataset.writes;
      after(now === writes ? 200 : 2000, wait);
    });
  }

  function begin() {
    if (!told && !document.hidden) { rest(); wait(); }
  }

  document.addEventListener("visibilitychange", function () { if (document.hidden) { rest(); } else { begin(); } });
  window.addEventListener("pagehide", rest);
  window.addEventListener("pageshow", function (e) { if (e.persisted) { begin(); } });
  begin();
}());
