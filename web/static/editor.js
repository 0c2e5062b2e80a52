// An editor whose draft stands in its form: its buttons send the form and get the same page back. Here that page is fetched, and what
// changed is put in place, so that nothing jumps. Without this script everything works by the pages themselves.
(function () {
  "use strict";
  var form = document.querySelector("form[data-editor]");
  if (!form || !window.fetch || !window.DOMParser) { return; }
  var latest = 0, moving = false, plain = false;
  var typed = -Infinity, soon; // when a key was pressed last; the refresh that is due

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
      if (!answer.ok && (otherwise || answer.status !== 422)) { // of a button's form, what is wrong is told on its own page
        throw new Error(answer.statusText);
      }
      return answer.text();
    }).then(function (text) {
      if (mine === latest) { use(new DOMParser().parseFromString(text, "text/html")); }
    }).catch(function () { if (mine === latest && otherwise) { otherwise(); } });
  }

  // freshen puts what follows from the fields in place; what she types in stays under her hands, as she typed it.
  function freshen(page) {
    if (window.performance.now() - typed < 600) { // a list is being searched by letters: it must not be taken away
      window.clearTimeout(soon);
      soon = window.setTimeout(function () { ask("show", freshen); }, 300);
      return;
    }
    document.querySelectorAll("[data-fresh]").forEach(function (old) {
      var now = page.getElementById(old.id), at = document.activeElement;
      if (!now || !old.isConnected || now.innerHTML === old.innerHTML) { return; }
      var within = at && at.id && old.contains(at);
      var open = Array.from(old.querySelectorAll("details"), function (d) { return d.open; });
      old.innerHTML = now.innerHTML;
      old.querySelectorAll("details").forEach(function (d, i) { d.open = d.open || open[i] === true; });
      var again = within ? document.getElementById(at.id) : null;
      if (!again) { return; }
      if (again.type === "checkbox") { again.checked = at.checked; } else { again.value = at.value; }
      again.focus({ preventScroll: true });
      if (again.type === "text") { again.setSelectionRange(at.selectionStart, at.selectionEnd); }
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
    if (e.target.type === "file" || moving) { return; }
    window.clearTimeout(soon);
    soon = window.setTimeout(function () { ask("show", freshen); }, 150);
  });
  if (form.dataset.editor === "typing") { // what looks like a slip is said while its cell is still being typed in
    form.addEventListener("input", function (e) {
      if (e.target.type !== "text" || moving) { return; }
      window.clearTimeout(soon);
      soon = window.setTimeout(function () { ask("show", freshen); }, 700);
    });
  }
  form.addEventListener("keydown", function (e) { if (e.key !== "Tab") { typed = e.timeStamp; } });
  form.addEventListener("submit", function (e) {
    var button = e.submitter;
    if (plain || !button || button.dataset.deed === undefined && button.value !== "show") { return; }
    e.preventDefault();
    if (moving) { return; } // a row is on its way: what is shown is not what stands
    window.clearTimeout(soon);
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
