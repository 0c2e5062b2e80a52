// Ticks all boxes of a group, or none, where they stand. Without it the link loads the bench with them ticked.
(function () {
  "use strict";
  document.addEventListener("click", function (e) {
    var link = e.target.closest && e.target.closest("a.turn"), part = link && link.closest(".part");
    if (!part || e.ctrlKey || e.metaKey || e.shiftKey) { return; }
    e.preventDefault();
    var boxes = Array.from(part.querySelectorAll(".tick input")), all = boxes.every(function (b) { return b.checked; });
    boxes.forEach(function (b) { b.checked = !all; });
    link.textContent = all ? "Tick all" : "Untick all";
  });
}());
