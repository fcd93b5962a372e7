// The rail of a procedure: where the reader is, the next step that is signed, print, and keys for all of it.
(() => {
  "use strict";
  const rail = document.querySelector(".rail");
  if (!rail) return;
  const where = rail.querySelector(".rail-where");
  const vitalButton = rail.querySelector(".rail-vital");
  const tabs = [...rail.querySelectorAll("a")].map((tab) => [tab, document.querySelector(tab.hash)?.closest("section")]);
  const every = [...document.querySelectorAll(".step")];
  const number = (step) => step.querySelector(".step-number").textContent.trim();
  const shown = (step) => step.getClientRects().length > 0 || step.closest("details:not([open])");
  const steps = () => every.filter((step) => !step.closest("[hidden]") && shown(step));

  // Where one is: what lies across a line at a fifth of the window.
  const LINE = "-20% 0px -79% 0px";
  const across = new Set();
  let here = null;
  const say = () => {
    const lying = every.filter((step) => across.has(step));
    here = lying.at(-1) ?? null;
    where.textContent = here ? `Step ${number(here)} of ${where.dataset.last}` : "";
    for (const [tab, part] of tabs) {
      if (across.has(part)) tab.setAttribute("aria-current", "location");
      else tab.removeAttribute("aria-current");
    }
    rail.querySelector("[aria-current]")?.scrollIntoView({ block: "nearest", inline: "nearest" });
  };
  const watch = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) {
      if (isIntersecting) across.add(target);
      else across.delete(target);
    }
    say();
  }, { rootMargin: LINE });
  for (const each of [...every, ...tabs.map(([, part]) => part).filter(Boolean)]) watch.observe(each);

  const goTo = (step) => {
    if (!step) return;
    for (let fold = step.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
    step.tabIndex = -1;
    step.focus({ preventScroll: true });
    step.scrollIntoView({ block: "start" });
  };

  // From where the last jump led, or from what is on the line now.
  const from = () => (document.activeElement?.closest?.(".step") ?? here);
  const lies = (step, after) => Boolean(step.compareDocumentPosition(after) & Node.DOCUMENT_POSITION_FOLLOWING);
  const below = (step) => step.getBoundingClientRect().top > innerHeight / 5;
  const next = (some) => some.find((step) => (from() ? step !== from() && lies(from(), step) : below(step)));
  const before = (some) => some.findLast((step) => (from() ? step !== from() && lies(step, from()) : !below(step)));

  const nextStep = () => goTo(next(steps()));
  const lastStep = () => goTo(before(steps()));
  const nextVital = () => {
    const vital = steps().filter((step) => step.classList.contains("vital"));
    goTo(next(vital) ?? vital[0]);
  };
  const turnState = () => {
    const fold = (from() ?? next(steps()))?.querySelector(":scope > .step-body > .state");
    if (!fold) return;
    fold.open = !fold.open;
    fold.querySelector("summary").focus();
  };
  const turnFolds = () => {
    const folds = [...document.querySelectorAll(".fold")];
    const open = folds.some((fold) => !fold.open);
    for (const fold of folds) fold.open = open;
  };

  where.hidden = false;
  if (vitalButton) {
    vitalButton.hidden = false;
    vitalButton.addEventListener("click", nextVital);
    Keys.add("v", "the next vital check; after the last the first", nextVital);
  }
  Keys.add("n", "the next step", nextStep);
  Keys.add("p", "the step before", lastStep);
  if (document.querySelector(".state")) Keys.add("s", "how it stands after this step", turnState);
  if (document.querySelector(".fold")) Keys.add("o", "open or shut all folds", turnFolds);
  for (const [tab, key, words] of [["torques", "t", "torques"], ["bench", "b", "what must be on the bench"]]) {
    const link = rail.querySelector(`a[href="#${tab}"]`);
    if (link) Keys.add(key, words, () => link.click());
  }

  const acts = document.querySelector(".acts");
  const print = document.createElement("button");
  print.type = "button";
  print.textContent = "Print this page";
  print.addEventListener("click", () => globalThis.print());
  acts.append(print);
  acts.hidden = false;
})();
