// Lets the browser ask a passkey, where it can, and sends its answer on in the form. Without it the forms stay hidden: the password does.
(function () {
  "use strict";
  var can = window.PublicKeyCredential && navigator.credentials && PublicKeyCredential.parseRequestOptionsFromJSON;
  if (!can) { return; }
  document.querySelectorAll("form[data-passkey]").forEach(function (form) {
    var told = form.querySelector("[role=alert]");
    form.hidden = false;
    form.addEventListener("submit", function (e) {
      if (form.elements["passkey-answer"].value) { return; }
      e.preventDefault();
      told.hidden = true;
      fetch(form.dataset.passkey, { method: "POST", body: new URLSearchParams({ ask: "1" }), credentials: "same-origin" }).then(function (r) {
        if (!r.ok) { throw new Error("asked"); }
        return r.json();
      }).then(function (asked) {
        form.elements["passkey-key"].value = asked.key;
        if (form.hasAttribute("data-make")) {
          return navigator.credentials.create({ publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(asked.options) });
        }
        return navigator.credentials.get({ publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(asked.options) });
      }).then(function (answer) {
        form.elements["passkey-answer"].value = JSON.stringify(answer.toJSON());
        form.submit();
      }).catch(function (err) {
        told.textContent = err.message === "asked" ? "The studio did not answer so. Open the page anew; you may have to show first that it is you."
          : "No passkey was used. Try once more, or use your password.";
        told.hidden = false;
      });
    });
  });
}());
