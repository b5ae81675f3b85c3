// How long a step still takes. It goes by the clock of whoever wrote the page, so it has gone on when the telephone wakes.
"use strict";
for (const timer of document.querySelectorAll("[data-until]")) {
  const words = timer.dataset;
  const ahead = Number(words.now) - Date.now();
  const left = document.createElement("output");
  left.setAttribute("aria-live", "off");
  let ticking = null;
  const show = () => {
    const seconds = Math.ceil((Number(words.until) - Date.now() - ahead) / 1000);
    if (seconds > 0) {
      left.textContent = Math.floor(seconds / 60) + ":" + String(seconds % 60).padStart(2, "0");
      return;
    }
    clearInterval(ticking);
    document.removeEventListener("visibilitychange", show);
    // Said aloud once, and felt where the device can.
    timer.setAttribute("role", "status");
    timer.textContent = words.over;
    timer.classList.add("over");
    if (navigator.vibrate) navigator.vibrate([400, 200, 400]);
  };
  if (Number(words.until) > Date.now() + ahead) {
    timer.prepend(left);
    show();
    ticking = setInterval(show, 500);
    document.addEventListener("visibilitychange", show);
  }
}
