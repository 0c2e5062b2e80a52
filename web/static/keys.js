// Keys that save a reach for the pointer. Everything here can be done without them; the help page
// switches them off for this browser.
(function () {
  "use strict";
  var rooms = { b: "/", o: "/orders", e: "/editions", d: "/drawer", h: "/hand-over", s: "/studio" };
  var waiting = -Infinity; // when g was pressed, in milliseconds

  function off() {
    try { return window.localStorage.getItem("keys") === "off"; } catch (e) { return false; }
  }

  function typing(el) {
    return el && (el.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(el.tagName));
  }

  document.addEventListener("keydown", function (e) {
    if (e.ctrlKey || e.metaKey || e.altKey || e.isComposing || typing(e.target) || off()) { return; }
    var key = e.key, after = e.timeStamp - waiting < 1500;
    waiting = -Infinity;
    if (after && rooms[key]) {
      e.preventDefault();
      window.location.assign(rooms[key]);
    } else if (key === "g") {
      waiting = e.timeStamp;
    } else if (key === "/") {
      var look = document.getElementById("look");
      if (look) { e.preventDefault(); look.focus(); look.select(); }
    } else if (key === "c") {
      e.preventDefault();
      window.location.assign("/scan");
    } else if (key === "n") {
      e.preventDefault();
      window.location.assign("/orders/new");
    } else if (key === "?") {
      e.preventDefault();
      window.location.assign("/help");
    }
  });

  // The switch on the help page.
  var state = document.getElementById("keys-state"), button = document.getElementById("keys-switch");
  if (state && button) {
    var tell = function () {
      state.firstElementChild.textContent = off() ? "The keys are off in this browser." : "The keys are on.";
      button.textContent = off() ? "Switch them on" : "Switch them off";
    };
    button.addEventListener("click", function () {
      try { window.localStorage.setItem("keys", off() ? "on" : "off"); } catch (e) { /* not kept: nothing to do */ }
      tell();
    });
    tell();
    state.hidden = false;
  }

  // After a form could not be done, the summary is read first.
  var faults = document.getElementById("faults");
  if (faults) { faults.focus(); }
}());
