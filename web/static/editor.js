// An editor whose draft stands in its form: its buttons send the form and get the same page back. Here that page is fetched, and what
// changed is put in place, so that nothing jumps. Without this script everything works by the pages themselves.
(function () {
  "use strict";
  var form = document.querySelector("form[data-editor]");
  if (!form || !window.fetch || !window.DOMParser) { return; }
  var latest = 0, moving = false, plain = false;

  function sent(button) {
    var body = new URLSearchParams();
    new FormData(form).forEach(function (value, name) { if (typeof value === "string") { body.append(name, value); } });
    body.append("do", button);
    return body;
  }

  // ask sends the draft and hands the page that comes back on; an answer that was overtaken is dropped.
  function ask(button, use, otherwise) {
    var mine = ++latest;
    fetch(form.getAttribute("action"), { method: "POST", body: sent(button), headers: { Accept: "text/html" } }).then(function (answer) {
      if (!answer.ok) { throw new Error(answer.statusText); }
      return answer.text();
    }).then(function (text) {
      if (mine === latest) { use(new DOMParser().parseFromString(text, "text/html")); }
    }).catch(function () { if (mine === latest && otherwise) { otherwise(); } });
  }

  // freshen puts what follows from the fields in place, but for the part she types in.
  function freshen(page) {
    document.querySelectorAll("[data-fresh]").forEach(function (old) {
      var now = page.getElementById(old.id);
      if (!now || old.contains(document.activeElement) || now.innerHTML === old.innerHTML) { return; }
      var open = old.querySelector("details[open]") !== null;
      old.innerHTML = now.innerHTML;
      var folded = old.querySelector("details");
      if (open && folded) { folded.open = true; }
    });
  }

  function whole(page) {
    var now = page.getElementById(form.id);
    if (!now) { return; }
    var files = form.querySelectorAll("input[type=file]"); // the browser alone knows what was chosen there
    form.innerHTML = now.innerHTML;
    files.forEach(function (file) {
      var blank = document.getElementById(file.id);
      if (blank) { blank.replaceWith(file); }
    });
    var at = form.querySelector("[autofocus]");
    if (at) { at.focus(); }
  }

  form.addEventListener("change", function (e) {
    if (e.target.type !== "file" && !moving) { ask("show", freshen); }
  });
  form.addEventListener("submit", function (e) {
    var button = e.submitter;
    if (plain || !button || button.dataset.deed === undefined && button.value !== "show") { return; }
    e.preventDefault();
    if (moving) { return; } // a row is on its way: what is shown is not what stands
    var deed = button.dataset.deed !== undefined;
    moving = deed;
    ask(button.value, function (page) {
      moving = false;
      (deed ? whole : freshen)(page);
    }, function () {
      plain = true; // as without this script
      form.requestSubmit(button);
    });
  });
}());
