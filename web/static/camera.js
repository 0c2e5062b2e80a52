// Reads the codes of the papers with the camera of a phone, by the browser's own detector. Without one, or without a camera, the mark is
// typed: it stands below the bars.
(function () {
  "use strict";
  var box = document.getElementById("camera"), button = box && box.querySelector("button"), view = box && box.querySelector("video");
  var said = box && box.querySelector("p"), field = document.querySelector("form.scan input[autofocus]"), stream = null, last = "";
  if (!box || !field) { return; }

  // What is kept while this window is open: that the camera is on, and the code that was read last.
  function keep(name, value) {
    try { window.sessionStorage.setItem(name, value); } catch (e) { /* not kept: the button is pressed anew for each code */ }
  }
  function kept(name) {
    try { return window.sessionStorage.getItem(name) || ""; } catch (e) { return ""; }
  }
  var before = kept("camera-read"); // it may still be in sight

  function stop() {
    if (stream) { stream.getTracks().forEach(function (t) { t.stop(); }); }
    stream = null;
    view.hidden = true;
    button.textContent = "Scan with the camera";
  }

  function tell(text) { said.textContent = text; }

  // Twice the same in a row is a code that was read; one alone may be half of another. The one before counts again once it was out of sight.
  function read(detector) {
    if (!stream) { return; }
    detector.detect(view).then(function (codes) {
      var code = codes.length === 1 ? codes[0].rawValue.trim() : "";
      if (!codes.length) { before = ""; }
      if (stream && code && code === last && code !== before) {
        keep("camera-read", code);
        stop();
        field.value = code;
        field.form.requestSubmit();
        return;
      }
      last = code;
      window.setTimeout(read, 120, detector);
    }, function () { window.setTimeout(read, 400, detector); });
  }

  function begin(detector) {
    tell("");
    navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" }, audio: false }).then(function (got) {
      stream = got;
      last = "";
      view.srcObject = got;
      view.hidden = false;
      button.textContent = "Stop the camera";
      return view.play();
    }).then(function () { read(detector); }, function (e) {
      stop();
      keep("camera", "off");
      tell(e.name === "NotAllowedError" ? "The browser was told not to let this page see through the camera; its settings for this page can change that. Type the mark."
        : "No camera can be used now. Type the mark.");
    });
  }

  var able = "BarcodeDetector" in window && navigator.mediaDevices && navigator.mediaDevices.getUserMedia;
  (able ? window.BarcodeDetector.getSupportedFormats() : Promise.resolve([])).then(function (all) {
    var formats = ["code_128", "qr_code"].filter(function (f) { return all.indexOf(f) >= 0; });
    if (formats[0] !== "code_128") { // what the papers carry
      if (navigator.maxTouchPoints > 0) { tell("This browser reads no bar codes by itself. Type what stands below the bars."); box.hidden = false; button.hidden = true; }
      return;
    }
    var detector = new window.BarcodeDetector({ formats: formats });
    box.hidden = false;
    button.addEventListener("click", function () {
      if (stream) { keep("camera", "off"); stop(); return; }
      keep("camera", "on");
      begin(detector);
    });
    window.addEventListener("pagehide", stop);
    if (kept("camera") === "on") { begin(detector); } // for the next code, until she stops it
  }, function () { /* typed then */ });
}());
