// A scanner types fast and ends with Enter: in a field marked data-scan, or in one that was unfolded
// to be changed, that goes on to the next field instead of sending the form.
"use strict";
document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (event.key !== "Enter" || !(field instanceof HTMLInputElement)) return;
  if (!("scan" in field.dataset) && !field.closest("form.keyed details")) return;
  event.preventDefault();
  field.dispatchEvent(new Event("change", { bubbles: true }));
  const fields = [...field.form.elements].filter((one) => one.matches("input:not([type=hidden]), select, textarea, button") && one.checkVisibility());
  const next = fields[fields.indexOf(field) + 1];
  if (next) next.focus();
});
// What the page has put into a field, and what was scanned into it, is chosen as a whole when the
// caret comes there: what is typed or scanned next stands in its place, not before or behind it.
let entered = null;
const whole = (field) => {
  if (!(field instanceof HTMLInputElement) || field.type !== "text" || !field.value) return false;
  if (!("scan" in field.dataset) && field.value !== field.defaultValue) return false;
  field.select();
  return true;
};
document.addEventListener("focusin", (event) => { entered = whole(event.target) ? event.target : null; });
// The tap that brought the caret would set it between two signs; a second tap may.
document.addEventListener("click", (event) => {
  if (event.target === entered && entered.selectionStart === entered.selectionEnd) entered.select();
  if (event.target instanceof HTMLInputElement) entered = null;
});
// At the first, only what the page itself put there: somebody may type before this is loaded.
const first = document.activeElement;
if (first && first.value === first.defaultValue) whole(first);
// Whoever stands on a link of a part that is drawn anew stands on the same link after it.
let stoodOn = null;
document.addEventListener("htmx:beforeSwap", (event) => {
  const here = document.activeElement;
  stoodOn = here && here.matches("a[href]") && event.detail.target.contains(here) ? here.getAttribute("href") : null;
});
document.addEventListener("htmx:afterSettle", () => {
  if (stoodOn === null || document.activeElement !== document.body) return;
  const same = [...document.querySelectorAll("a[href]")].find((one) => one.getAttribute("href") === stoodOn && one.checkVisibility());
  if (same) same.focus({ preventScroll: true });
  stoodOn = null;
});
// What is proposed anew never takes the place of what somebody has keyed meanwhile.
document.addEventListener("htmx:oobBeforeSwap", (event) => {
  const fields = [...event.detail.target.querySelectorAll("input")];
  if (fields.some((one) => one.type === "text" && one.value !== one.defaultValue)) event.detail.shouldSwap = false;
});
// Where a form was taken, the next one like it begins at its first field that is empty: the next
// bundle of a load is scanned without a tap.
if (document.querySelector(".notice.done") && !document.querySelector("[autofocus]")) {
  const fields = [...document.querySelectorAll("form.keyed input[required]")];
  const empty = fields.find((one) => one.type === "text" && !one.value && one.checkVisibility());
  if (empty) empty.focus({ preventScroll: true });
}
