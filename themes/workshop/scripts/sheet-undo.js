// What was done on the sheet, so that it can be taken back: for each change only what stood there before, the latest
// last. It is kept with the ticks, so it must stay small.
window.Sheet ??= {};

(() => {
  "use strict";
  const MOST_CHANGES = 200;
  const MOST_LETTERS = 100_000;

  const isSame = (one, other) => JSON.stringify(one) === JSON.stringify(other);

  // What `after` must be given to be as `before`; null stands for what was not there.
  const differing = (before = {}, after = {}) => Object.fromEntries(
    [...new Set([...Object.keys(before), ...Object.keys(after)])]
      .filter((name) => !isSame(before[name], after[name]))
      .map((name) => [name, before[name] ?? null]),
  );
  const given = (after = {}, back = {}) => Object.fromEntries(
    Object.entries({ ...after, ...back }).filter(([name, value]) => !(name in back) || value !== null),
  );

  // One change between two states of the sheet, and the state from before it.
  const change = (before, after) => {
    const { steps: stood, ...rest } = before, { steps: stands, ...now } = after;
    return { ...differing(rest, now), steps: differing(stood, stands) };
  };
  const takenBack = (after, { steps, ...rest }) => ({ ...given(after, rest), steps: given(after.steps, steps) });

  // The latest of many changes: as many as can be kept, the last one in any case.
  const latest = (changes) => {
    let letters = 0, first = changes.length;
    while (first > 0 && changes.length - first < MOST_CHANGES) {
      letters += JSON.stringify(changes[first - 1]).length;
      if (letters > MOST_LETTERS && first < changes.length) break;
      first -= 1;
    }
    return changes.slice(first);
  };

  Object.assign(window.Sheet, { change, takenBack, latest });
})();
