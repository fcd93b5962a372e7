// Options of a procedure: steps, tools, parts and time follow the switches.
// What only an inspection can tell stays shown.
(() => {
  "use strict";
  const form = document.querySelector(".switches");
  if (!form) return;

  // A condition in Polish notation, as conditions.py writes it: "&2 flush=true !1 cooling=keel-cooler".
  const read = (tokens) => {
    const token = tokens.shift();
    if (token === "?") return [token];
    if (!"&|!".includes(token[0])) return ["=", ...token.split("=")];
    return [token[0], ...Array.from({ length: Number(token.slice(1)) }, () => read(tokens))];
  };

  // true, false, or null where the switches do not decide it.
  const holds = ([kind, ...rest], chosen) => {
    if (kind === "?") return null;
    if (kind === "=") return rest[0] in chosen ? chosen[rest[0]] === rest[1] : null;
    const answers = rest.map((part) => holds(part, chosen));
    if (kind === "!") return answers[0] === null ? null : !answers[0];
    const decisive = kind === "|";
    if (answers.includes(decisive)) return decisive;
    return answers.includes(null) ? null : !decisive;
  };

  const chosen = () => {
    const choices = {};
    for (const input of form.querySelectorAll("input:checked")) {
      if (input.value) choices[input.name] = input.value;
    }
    return choices;
  };

  const conditional = [...document.querySelectorAll("[data-when]")].map((element) => [element, read(element.dataset.when.split(" "))]);
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
