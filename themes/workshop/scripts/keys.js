// Single keys: one table of them for the page, a list on the page that shows them, and a switch that turns them off.
// No key acts while someone types, or together with Ctrl, Alt or the command key.
(() => {
  "use strict";
  const OFF = "manual-keys-off";
  const acts = new Map();
  let box = null;

  const isOff = () => {
    try { return localStorage.getItem(OFF) !== null; } catch { return false; }
  };
  const turn = (on) => {
    try {
      if (on) localStorage.removeItem(OFF);
      else localStorage.setItem(OFF, "1");
    } catch { /* not kept */ }
  };

  const made = (name, words = "", attributes = {}) => {
    const element = document.createElement(name);
    element.textContent = words;
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };

  const row = (key, words) => {
    const line = made("tr");
    const head = made("th", "", { scope: "row" });
    head.append(made("kbd", key));
    line.append(head, made("td", words));
    return line;
  };

  const makeBox = () => {
    const dialog = made("dialog", "", { class: "keys", "aria-labelledby": "keys-title" });
    const table = made("table"), body = made("tbody");
    for (const [key, { words }] of acts) body.append(row(key, words));
    table.append(body);
    const label = made("label", "", { class: "keys-switch" });
    const tick = made("input", "", { type: "checkbox" });
    tick.checked = !isOff();
    tick.addEventListener("change", () => turn(tick.checked));
    label.append(tick, " Single keys act, in the whole manual");
    const close = made("button", "Close", { type: "button" });
    close.addEventListener("click", () => dialog.close());
    dialog.append(made("h2", "Keys on this page", { id: "keys-title" }), table, label, close);
    document.body.append(dialog);
    return dialog;
  };

  const list = () => {
    box ??= makeBox();
    box.querySelector("input").checked = !isOff();
    if (!box.open) box.showModal();
  };

  const add = (key, words, act) => acts.set(key, { words, act });

  addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented || box?.open || isOff()) return;
    if (event.target.closest?.("input, textarea, select, [contenteditable]")) return;
    const found = acts.get(event.key);
    if (!found) return;
    event.preventDefault();
    found.act();
  });

  globalThis.Keys = { add, list };
})();
