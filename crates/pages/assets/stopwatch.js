// A stopwatch beside each flow: tap, tap, litres. Without it one types "500 mL in 71 s".
"use strict";
for (const field of document.querySelectorAll("[data-fill]")) {
  const input = field.querySelector("input");
  const words = field.dataset;
  const button = document.createElement("button");
  button.type = "button";
  button.className = "stopwatch";
  button.textContent = words.start;
  const shown = document.createElement("output");
  let started = null;
  let timer = null;
  const seconds = () => ((performance.now() - started) / 1000).toFixed(1);
  button.addEventListener("click", () => {
    if (started === null) {
      started = performance.now();
      button.textContent = words.stop;
      timer = setInterval(() => { shown.textContent = seconds() + " s"; }, 200);
      return;
    }
    const took = seconds();
    clearInterval(timer);
    started = null;
    button.textContent = words.again;
    shown.textContent = took + " s";
    const volume = input.value.replace(/\s+in\s.*$/, "").trim() || "1 L";
    input.value = volume + " in " + took + " s";
    input.focus();
    input.setSelectionRange(0, volume.length);
  });
  field.append(button, shown);
}
