// Options of a procedure: steps, tools, parts and time follow the switches.
// What only an inspection can tell stays shown.
(() => {
  "use strict";
  const form = document.querySelector(".switches");
  if (!form) return;

  const { read, holds } = globalThis.Condition;

  const chosen = () => {
    const choices = {};
    for (const input of form.querySelectorAll("input:checked")) {
      if (input.value) choices[input.name] = input.value;
    }
    return choices;
  };

  const conditional = [...document.querySelectorAll("[data-when]")].map((element) => [element, read(element.dataset.when)]);
  const timed = [...document.querySelectorAll("[data-minutes]")];
  const time = document.querySelector("#working-time dd");

  const inWords = (minutes) => {
    const hours = Math.floor(minutes / 60), rest = Math.round(minutes % 60);
    return [hours ? `${hours} h` : "", rest || !hours ? `${rest} min` : ""].filter(Boolean).join(" ");
  };

  const follow = () => {
    const choices = chosen();
    for (const [element, condition] of conditional) element.hidden = holds(condition, choices) === false;
    if (!time) return;
    let minutes = 0;
    for (const step of timed) {
      // A branch is only done where an inspection fails: its time comes on top and is not known before.
      if (!step.closest("[hidden], .branch")) minutes += Number(step.dataset.minutes);
    }
    time.textContent = inWords(minutes);
  };

  form.addEventListener("change", follow);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.classList.add("works");
  follow();
})();
