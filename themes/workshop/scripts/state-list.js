// How a state of the work is shown: what is not in service, and what must not be done so.
(() => {
  "use strict";

  // An element with attributes, and children that are elements or text.
  const made = (name, attributes = {}, ...children) => {
    const element = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) {
      if (typeof value === "function") element.addEventListener(key, value);
      else if (value === true) element.setAttribute(key, "");
      else if (value !== false) element.setAttribute(key, value);
    }
    element.append(...children);
    return element;
  };

  // groups: as WorkState gives them. numbers: of the steps, by their places. linked: whether names lead to their pages.
  const list = (groups, rules, numbers, { linked = false } = {}) => {
    const name = ({ title, href }) => (linked ? made("a", { href }, title) : title);
    const thing = (each) => made(
      "span", {}, name(each), each.perhaps ? ", on some machines" : "", " ",
      ...(each.by < 0 ? [] : [made("b", {}, numbers[each.by])]),
    );
    const rows = groups.map(({ label, things }) => made(
      "div", {}, made("dt", {}, label), made("dd", {}, ...things.flatMap((each) => [thing(each), " "])),
    ));
    const key = "The number in the box is the step that left it so, and stands on its bag or tag.";
    const state = rows.length
      ? [made("dl", { class: "pause-state" }, ...rows), made("p", { class: "sub" }, key)]
      : [made("p", {}, "Everything is in service.")];
    return [...state, ...rules.map(([order, because]) => made("p", { class: "pause-rule" }, made("strong", {}, order), " ", because))];
  };

  globalThis.StateList = { made, list };
})();
