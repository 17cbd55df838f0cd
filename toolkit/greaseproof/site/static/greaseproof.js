// Ticks are kept on this device, under the procedure and the step's own name: they outlive a step that moves.
(() => {
  "use strict";
  const key = (page, tick) => `greaseproof/${page.dataset.procedure}/${tick.dataset.tick}`;
  const store = (() => {
    try { localStorage.setItem("greaseproof", "1"); return localStorage; } catch { return null; }
  })();
  for (const page of document.querySelectorAll("[data-procedure]")) {
    const ticks = [...page.querySelectorAll("[data-tick]")];
    const clear = page.querySelector("[data-clear]");
    const told = () => { if (clear) clear.hidden = !ticks.some((tick) => tick.checked); };
    for (const tick of ticks) {
      tick.checked = store?.getItem(key(page, tick)) === "1";
      tick.addEventListener("change", () => {
        if (tick.checked) store?.setItem(key(page, tick), "1"); else store?.removeItem(key(page, tick));
        told();
      });
    }
    clear?.addEventListener("click", () => {
      for (const tick of ticks) { tick.checked = false; store?.removeItem(key(page, tick)); }
      told();
    });
    told();
  }
})();
