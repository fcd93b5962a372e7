// Which steps are done under the choices made so far, and what is not in service before a step. Looks up what the page
// brings with it; knows no rules of its own.
window.Sheet ??= {};

(() => {
  "use strict";

  // A condition in Polish notation, as conditions.py writes it: "&2 c0=true !1 c1=keel-cooler".
  const read = (tokens) => {
    const token = tokens.shift();
    if (token === "?" || token === "1") return [token];
    if (!"&|!".includes(token[0])) {
      const place = token.indexOf("=");
      return ["=", token.slice(0, place), token.slice(place + 1)];
    }
    return [token[0], ...Array.from({ length: Number(token.slice(1)) }, () => read(tokens))];
  };

  // true, false, or null where the choices made so far do not decide it.
  const holds = ([kind, ...rest], choices) => {
    if (kind === "1") return true;
    if (kind === "?") return null;
    if (kind === "=") return rest[0] in choices ? choices[rest[0]] === rest[1] : null;
    const answers = rest.map((part) => holds(part, choices));
    if (kind === "!") return answers[0] === null ? null : !answers[0];
    const decisive = kind === "|";
    if (answers.includes(decisive)) return decisive;
    return answers.includes(null) ? null : !decisive;
  };

  // 1 and 0 stand for always and never; nothing at all is always.
  const condition = (given) => {
    if (given === 0) return ["|"];
    return typeof given === "string" && given ? read(given.split(" ")) : ["1"];
  };

  // The last word of each moment up to a step: which things are disturbed, or rules armed, there.
  const upTo = (moments, index, choices) => {
    const last = new Map();
    for (const [step, which, when] of moments) if (step <= index) last.set(which, [step, when]);
    return [...last].filter(([, [, when]]) => holds(condition(when), choices) !== false);
  };

  const ORDER = ["Off", "Loose", "Parted", "Drained", "Isolated", "In place", "Holds"];

  // [{ label, things: [{ title, bag }] }]: what is not in service before step `index`. The bag has the number of the
  // step that took the thing off.
  const stateBefore = (data, index, choices) => {
    const groups = new Map(ORDER.map((label) => [label, []]));
    for (const [which, [step]] of upTo(data.moments, index, choices).sort((a, b) => a[0] - b[0])) {
      const [label, title] = data.things[which];
      groups.get(label).push({ title, bag: step > 0 ? data.steps[step - 1][1] : "" });
    }
    return [...groups].filter(([, things]) => things.length).map(([label, things]) => ({ label, things }));
  };

  const rulesBefore = (data, index, choices) => upTo(data.armed, index, choices).map(([which]) => data.rules[which]);

  Object.assign(window.Sheet, { condition, holds, stateBefore, rulesBefore });
})();
