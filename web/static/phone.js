// The picture that the phone read holds the code behind the #. It goes into its field, and out of the address and the history.
(function () {
  "use strict";
  var field = document.getElementById("phone-code"), code = window.location.hash.slice(1);
  if (!field || !code) { return; }
  window.history.replaceState(null, "", window.location.pathname);
  field.value = code;
  var name = document.getElementById("phone-name");
  if (name) { name.focus(); name.select(); }
}());
