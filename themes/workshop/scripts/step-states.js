// Under each step of a procedure a fold that tells how things stand after it, for the choices that the switches show.
(() => {
  "use strict";
  const { made, list } = globalThis.StateList;
  const { file, before, rules, failed, outcomes } = globalThis.WorkState;
  const state = file();
  if (!state) return;
  const steps = [...document.querySelectorAll(".step")];
  const numbers = steps.map((step) => step.querySelector(".step-number").textContent.trim());
  const form = document.querySelector(".switches");

  const chosen = () => {
    const codes = new Map(Object.entries(state.choices).map(([code, name]) => [name, code]));
    const set = [...(form?.querySelectorAll("input:checked") ?? [])].filter((input) => input.value);
    return Object.fromEntries(set.map((input) => [codes.get(input.name), input.value]));
  };

  const said = (bad) => {
    if (!Object.keys(state.outcomes).length) return "";
    if (!bad.length) return "Taken that every inspection is good.";
    const which = bad.map((code) => state.outcomes[code]);
    const those = which.length > 1 ? `steps ${which.join(" and ")} are` : `step ${which[0]} is`;
    return `Taken that ${those} not good, and every other inspection is.`;
  };

  const fill = (fold, place) => {
    const choices = chosen();
    const bad = failed(state, place, choices);
    const words = bad ? said(bad) : "With these choices this step is not done.";
    const taken = { ...choices, ...outcomes(state, bad ?? []) };
    const shown = bad ? list(before(state, place + 1, taken), rules(state, place + 1, taken), numbers, { linked: true }) : [];
    fold.querySelector(".state-body").replaceChildren(...shown, ...(words ? [made("p", { class: "sub" }, words)] : []));
  };

  const folds = [];
  steps.forEach((step, place) => {
    const body = step.querySelector(":scope > .step-body");
    // From a step that goes back the work is at the other step, which has a fold of its own.
    if (body.querySelector(":scope > .go-back")) return;
    const fold = made(
      "details", { class: "state" },
      made("summary", {}, `How it stands after step ${numbers[place]}`), made("div", { class: "state-body" }),
    );
    fold.addEventListener("toggle", () => { if (fold.open) fill(fold, place); });
    body.append(fold);
    folds.push([fold, place]);
  });
  form?.addEventListener("change", () => {
    for (const [fold, place] of folds) if (fold.open) fill(fold, place);
  });
  for (const line of document.querySelectorAll(".state-elsewhere")) line.hidden = true;
})();
