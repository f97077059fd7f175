// A scanner types fast and ends with Enter: in a field marked data-scan that goes on to the next
// field instead of sending the form.
"use strict";
document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (event.key !== "Enter" || !(field instanceof HTMLInputElement) || !("scan" in field.dataset)) return;
  event.preventDefault();
  field.dispatchEvent(new Event("change", { bubbles: true }));
  const fields = [...field.form.elements].filter((one) => one.matches("input:not([type=hidden]), select, textarea, button") && one.checkVisibility());
  const next = fields[fields.indexOf(field) + 1];
  if (next) next.focus();
});
