// One reading as somebody types it into a box. Judges exactly as procgen/sheet/reading.py does: a test holds the two
// against each other.
window.Sheet ??= {};

(() => {
  "use strict";
  const TYPED = /^([-+−]?)([0-9]{1,9})(?:[.,]([0-9]{1,9}))?([^]*)$/u;
  const VULGAR = /^([-+−]?)(?:([1-9][0-9]{0,3})[ \t\n\r\u00a0\u2009\u202f]+)?([0-9]{1,4})\/([0-9]{1,2})([^]*)$/u;
  const DENOMINATORS = new Set([2, 3, 4, 6, 8, 16, 32, 64]);
  const SPACES = /^[ \t\n\r\u00a0\u2009\u202f]+|[ \t\n\r\u00a0\u2009\u202f]+$/gu;
  const trimmed = (text) => text.replace(SPACES, "");

  // "5", "25/127" or "-" as a fraction of whole numbers; null for an open end.
  const fraction = (text) => {
    if (text === "-") return null;
    const [above, below = "1"] = text.split("/");
    return [BigInt(above), BigInt(below)];
  };

  // "mm 5 7|in 25/127 35/127"
  const scale = (text) => text.split("|").map((part) => {
    const [unit, low, high] = part.split(" ");
    return { unit: unit.replaceAll("_", " "), low: fraction(low), high: fraction(high) };
  });

  const notMore = ([a, b], [c, d]) => a * d <= c * b;

  const unitOf = (behind, units) => behind === "" ? units[0] : units.find((each) => each.unit === behind);

  const judged = (value, unit) => (!unit.low || notMore(unit.low, value)) && (!unit.high || notMore(value, unit.high));

  // "1 3/8", as on an inch rule.
  const readFraction = (typed, [, sign, whole = "", above, below, behind], units) => {
    const unit = unitOf(trimmed(behind), units);
    if (unit?.unit !== "in") {
      return { fault: `“${typed}” is a fraction, and only inches are read in fractions; type a figure with a point.` };
    }
    if (!DENOMINATORS.has(Number(below)) || !Number(above) || (whole && Number(above) >= Number(below))) {
      return { fault: `“${typed}” is no fraction of an inch rule; type it as 1 3/8 in, or with a point.` };
    }
    const minus = sign === "-" || sign === "−";
    const value = (BigInt(whole) * BigInt(below) + BigInt(above)) * (minus ? -1n : 1n);
    const numeral = `${minus ? "-" : ""}${whole && `${whole} `}${Number(above)}/${Number(below)}`;
    return { numeral, unit: unit.unit, good: judged([value, BigInt(below)], unit), decimals: 0 };
  };

  // { numeral, unit, good, decimals }, or { fault } with words for people.
  const readTyped = (typed, units) => {
    const vulgar = VULGAR.exec(trimmed(typed));
    if (vulgar) return readFraction(typed, vulgar, units);
    const found = TYPED.exec(trimmed(typed));
    const behind = found ? trimmed(found[4]) : "";
    const unit = found && unitOf(behind, units);
    if (!unit) {
      const also = units.slice(1).map((each) => `, or in ${each.unit} with the unit behind it`).join("");
      return { fault: `“${typed}” is no figure; type it in ${units[0].unit}${also}.` };
    }
    const [, sign, whole, decimals = ""] = found;
    if (decimals.length === 3 && typed.includes(",") && whole.length <= 3 && /[1-9]/.test(whole)) {
      return { fault: `“${typed}” can be read as ${whole}${decimals} or as ${whole}.${decimals}; type a point.` };
    }
    const minus = sign === "-" || sign === "−";
    const value = [BigInt(whole + decimals) * (minus ? -1n : 1n), 10n ** BigInt(decimals.length)];
    const numeral = (minus ? "-" : "") + whole + (decimals && `.${decimals}`);
    return { numeral, unit: unit.unit, good: judged(value, unit), decimals: decimals.length };
  };

  // What a run-down torque makes of each figure: "29", "28–32".
  const sums = (reading, adds) => adds.split(" ").map((figure) => {
    const ends = figure.split(":").map((end) => {
      const [above, below] = fraction(end).map(Number);
      const digits = Math.max(reading.decimals, Number.isInteger(above / below) ? 0 : 1);
      return (above / below + Number(reading.numeral)).toFixed(digits);
    });
    return ends[0] === ends[1] ? ends[0] : ends.join("–");
  });

  Object.assign(window.Sheet, { scale, readTyped, sums });
})();
