// What is not in service before a step, under the choices made so far: looked up in the script file that lies beside the
// sheet (manualState). Knows no rules of its own.
(() => {
  "use strict";
  const { read, holds } = globalThis.Condition;
  const ORDER = ["Off", "Loose", "Parted", "Drained", "Isolated", "In place", "Holds"];

  // The file, where it came with this very page; else null: an older state would be worse than none.
  const file = () => {
    const found = globalThis.manualState;
    return found && document.documentElement.dataset.stamp.endsWith(` ${found.fingerprint}`) ? found : null;
  };

  // Which things are disturbed, or rules armed, before step `index`: [which, since which step, true or, where the
  // choices do not decide it, null].
  const upTo = (moments, index, choices) => {
    const now = new Map();
    for (const [step, which, when] of moments) {
      if (step > index) break;
      const so = holds(read(when), choices);
      if (so === false) now.delete(which);
      else now.set(which, [now.get(which)?.[0] ?? step, so]);
    }
    return [...now].map(([which, [since, so]]) => [which, since, so]);
  };

  // [{ label, things: [{ title, href, by, perhaps }] }]: what is not in service before step `index`. `by` is the place
  // of the step that left the thing so, -1 where it was so at the beginning.
  const before = (state, index, choices) => {
    const groups = new Map(ORDER.map((label) => [label, []]));
    for (const [which, since, so] of upTo(state.moments, index, choices).sort((one, other) => one[1] - other[1])) {
      const [label, title, href] = state.things[which];
      groups.get(label).push({ title, href, by: since - 1, perhaps: so === null });
    }
    return [...groups].filter(([, things]) => things.length).map(([label, things]) => ({ label, things }));
  };

  // What must not be done before step `index`: [order, reason].
  const rules = (state, index, choices) => upTo(state.armed, index, choices).map(([which]) => state.rules[which]);

  // Which inspections must have failed for step `index` to be done; null where it is not done under these choices.
  const failed = (state, index, choices) => {
    const [when, ways] = state.ways[index] ?? [1, [[]]];
    return ways.find((codes) => holds(read(when), { ...choices, ...outcomes(state, codes) }) !== false) ?? null;
  };

  // Every inspection with its outcome: good, but for these.
  const outcomes = (state, codes) =>
    Object.fromEntries(Object.keys(state.outcomes).map((code) => [code, String(!codes.includes(code))]));

  globalThis.WorkState = { file, before, rules, failed, outcomes };
})();
