// What the ticking sheet adds to the page: the strip along its foot, news above the work, and the panel of the moment.
window.Sheet ??= {};

(() => {
  "use strict";

  const { made, list } = globalThis.StateList;
  const button = (words, click, more = {}) => made("button", { type: "button", click, ...more }, words);

  const strip = (acts) => {
    const where = made("p", { role: "status", "aria-live": "polite" });
    const undo = button("Undo", acts.undo, { disabled: true });
    const file = made("input", { type: "file", accept: ".json,application/json", change: () => {
      const [chosen] = file.files;
      if (chosen) chosen.text().then(acts.open);
      file.value = "";
      more.open = false;
    } });
    const more = made(
      "details", { class: "strip-more" }, made("summary", {}, "More"),
      made("label", { class: "open-record" }, "Open a record", file),
      button("Start anew", () => { more.open = false; acts.anew(); }),
    );
    const element = made(
      "div", { class: "sheet-strip", role: "region", "aria-label": "Where the work stands" },
      where,
      button("Next", acts.next), undo, button("Pause", acts.pause), button("Save", acts.save, { title: "Save the record as a file" }), more,
    );
    return { element, where, undo };
  };

  // News above the work: words, and buttons of [words, act]. Each closes it.
  const news = (place, words, ...acts) => {
    const box = made("div", { class: "sheet-news", role: "status" }, made("p", {}, words));
    for (const [said, act] of [...acts, ["Close", () => {}]]) box.append(button(said, () => { box.remove(); act(); }));
    place.before(box);
    return box;
  };

  const LOST = "What is off, loose, parted or drained cannot be told here: the script file that lies beside this sheet is missing, or comes from another build. Go by the printed pause sheets and by the tags.";

  // The panel of the present state; `who` is what heads a printed one; `state` null where none is known.
  const now = ({ who, before, state, next }) => {
    const root = document.documentElement;
    const close = () => { panel.close(); };
    const print = () => {
      root.classList.add("prints-now");
      panel.classList.add("is-printed");
      window.print();
      root.classList.remove("prints-now");
      panel.classList.remove("is-printed");
    };
    const panel = made(
      "dialog", { class: "now", "aria-labelledby": "now-head", close: () => panel.remove() },
      made("h2", { id: "now-head" }, before ? `Paused before step ${before}` : "Nothing is left to do"),
      made("p", {}, who),
      ...(state ? list(state.groups, state.rules, state.numbers) : [made("p", {}, LOST)]),
      ...(next ? [made("p", {}, made("b", {}, "Next: "), next)] : []),
      button("Print this", print), button("Close", close),
    );
    document.body.append(panel);
    panel.showModal();
  };

  Object.assign(window.Sheet, { made, strip, news, now });
})();
