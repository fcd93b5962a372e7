// What every page gets where scripts run: a choice of light, folds that open for print, keys to Find and to their list.
(() => {
  "use strict";
  const root = document.documentElement;

  const lamps = document.querySelector(".lamps");
  if (lamps) {
    const buttons = new Map();
    const show = () => {
      for (const [light, button] of buttons) button.setAttribute("aria-pressed", String(root.dataset.light === light));
    };
    for (const [light, words] of [["day", "Day"], ["night", "Night"], ["bench", "Bench"]]) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = words;
      button.addEventListener("click", () => {
        if (root.dataset.light === light) delete root.dataset.light;
        else root.dataset.light = light;
        try {
          if (root.dataset.light) localStorage.setItem("manual-light", light);
          else localStorage.removeItem("manual-light");
        } catch { /* not kept */ }
        show();
      });
      buttons.set(light, button);
      lamps.append(button);
    }
    const keys = document.createElement("button");
    keys.type = "button";
    keys.textContent = "Keys";
    keys.setAttribute("aria-haspopup", "dialog");
    keys.addEventListener("click", Keys.list);
    lamps.append(keys);
    lamps.setAttribute("role", "group");
    lamps.setAttribute("aria-label", "Light, and keys");
    lamps.hidden = false;
    show();
  }

  const openFoldsAround = (target) => {
    for (let fold = target?.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  };
  const followAnchor = () => {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!target) return;
    openFoldsAround(target);
    target.scrollIntoView();
  };
  addEventListener("hashchange", followAnchor);
  if (location.hash) followAnchor();

  addEventListener("beforeprint", () => {
    for (const fold of document.querySelectorAll("details:not(.state)")) fold.open = true;
  });

  Keys.add("/", "Find", () => { location.href = document.querySelector(".running-find").href; });
  Keys.add("?", "this list", Keys.list);
})();
