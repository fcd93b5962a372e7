// The kind of light that the reader chose, before the page is drawn. Kept in the browser only.
(() => {
  "use strict";
  let light = null;
  try { light = localStorage.getItem("manual-light"); } catch { /* a browser may forbid it: then nothing is kept */ }
  if (["day", "night", "bench"].includes(light)) document.documentElement.dataset.light = light;
})();
