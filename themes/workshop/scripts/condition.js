// Conditions over choices: read from the data of a page, and asked whether they hold.
(() => {
  "use strict";

  // A condition in Polish notation, as conditions.py writes it: "&2 flush=true !1 cooling=keel-cooler".
  const parse = (tokens) => {
    const token = tokens.shift();
    if (token === "?") return [token];
    if (!"&|!".includes(token[0])) {
      const place = token.indexOf("=");
      return ["=", token.slice(0, place), token.slice(place + 1)];
    }
    return [token[0], ...Array.from({ length: Number(token.slice(1)) }, () => parse(tokens))];
  };

  // 1 and 0 stand for always and never; nothing at all is always.
  const read = (given) => {
    if (given === 0) return ["|"];
    return typeof given === "string" && given ? parse(given.split(" ")) : ["&"];
  };

  // true, false, or null where the choices made so far do not decide it.
  const holds = ([kind, ...rest], choices) => {
    if (kind === "?") return null;
    if (kind === "=") return rest[0] in choices ? choices[rest[0]] === rest[1] : null;
    const answers = rest.map((part) => holds(part, choices));
    if (kind === "!") return answers[0] === null ? null : !answers[0];
    const decisive = kind === "|";
    if (answers.includes(decisive)) return decisive;
    return answers.includes(null) ? null : !decisive;
  };

  globalThis.Condition = { read, holds };
})();
