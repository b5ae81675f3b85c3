// Keeps what is typed into a form until it is sent, so that a page loaded anew loses nothing. In this tab only; what stands
// in a field as the page came is not kept, and a field with `data-unkept` is filled in knowingly each time.
"use strict";
const PREFIX = "typed ";
const stored = (act) => {
  // A browser may refuse to keep anything: then the form works as it does without a script.
  try { return act(window.sessionStorage); } catch { return null; }
};
for (const form of document.querySelectorAll("form[data-keep]")) {
  const key = PREFIX + form.dataset.keep;
  const kept = new Map(JSON.parse(stored((storage) => storage.getItem(key)) ?? "[]"));
  const isBox = (field) => field.type === "checkbox";
  const fields = [...form.elements].filter(
    (field) => field.name && field.dataset.unkept === undefined && !["hidden", "file", "submit", "radio"].includes(field.type),
  );
  const name = (field) => (isBox(field) ? `${field.name} ${field.value}` : field.name);
  for (const field of fields) {
    const value = kept.get(name(field));
    if (value === undefined) continue;
    if (isBox(field)) field.checked = value;
    else field.value = value;
  }
  const keep = () => {
    for (const field of fields) {
      const [value, before] = isBox(field)
        ? [field.checked, field.defaultChecked]
        : [field.value, field.defaultValue];
      if (value !== before || kept.has(name(field))) kept.set(name(field), value);
    }
    if (kept.size) stored((storage) => storage.setItem(key, JSON.stringify([...kept])));
  };
  for (const event of ["input", "change"]) form.addEventListener(event, keep);
  // A stopwatch fills a field in without typing.
  window.addEventListener("pagehide", keep);
  document.addEventListener("visibilitychange", keep);
}
for (const over of document.querySelectorAll("[data-kept]")) {
  stored((storage) => storage.removeItem(PREFIX + over.dataset.kept));
}
