// Offers buyers of the book while a name is typed. Without it, the button “Look in the book” does the same.
(function () {
  "use strict";
  document.querySelectorAll("[data-offers]").forEach(function (box) {
    var field = document.getElementById(box.dataset.for), waiting = 0, asked = "";
    if (!field) { return; }

    function show(all) {
      box.textContent = "";
      if (!all.length) { return; }
      var list = document.createElement("ul");
      list.className = "plain";
      all.forEach(function (b) {
        var row = document.createElement("li"), button = document.createElement("button"), about = document.createElement("span");
        button.name = "known";
        button.value = b.id;
        button.setAttribute("formaction", "/orders#buyer");
        button.textContent = "It is " + b.name;
        about.className = "small soft";
        about.textContent = " " + b.about;
        row.append(button, about);
        list.append(row);
      });
      box.append(list);
    }

    field.addEventListener("input", function () {
      window.clearTimeout(waiting);
      waiting = window.setTimeout(function () {
        var text = asked = field.value.trim();
        if (text.length < 2) { show([]); return; }
        window.fetch(box.dataset.offers + "?q=" + encodeURIComponent(text)).then(function (a) { return a.ok ? a.json() : []; }).then(function (all) {
          if (asked === text) { show(all); }
        }, function () { /* the button is still there */ });
      }, 200);
    });
  });
})();
