// What was filled in, kept in this browser: one record for each print of a sheet, told apart by revision and
// fingerprint. Also out to a file, and in from one.
window.Sheet ??= {};

(() => {
  "use strict";
  const LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ";

  const newId = () => {
    const drawn = crypto.getRandomValues(new Uint32Array(8));
    const letters = [...drawn].map((number) => LETTERS[number % LETTERS.length]).join("");
    return `${letters.slice(0, 4)}-${letters.slice(4)}`;
  };

  const sheetOf = (data) => `sheet|${data.manual}|${data.kind}|${data.subject}|`;
  const keyOf = (data) => `${sheetOf(data)}${data.revision}|${data.fingerprint}`;

  const load = (key) => {
    try { return JSON.parse(localStorage.getItem(key)); } catch { return null; }
  };

  const put = (key, kept) => {
    try { localStorage.setItem(key, JSON.stringify(kept)); return true; } catch { return false; }
  };

  // Whether it could be kept. Where there is no room for all, what was filled in goes before what can be undone.
  const save = (key, kept) => put(key, kept) || put(key, { ...kept, undo: [] });

  // Records of other prints of this sheet: [key, record].
  const otherPrints = (data) => {
    try {
      return Object.keys(localStorage)
        .filter((key) => key.startsWith(sheetOf(data)) && key !== keyOf(data) && !key.endsWith("|put by"))
        .map((key) => [key, load(key)])
        .filter(([, record]) => record && Object.keys(record.steps ?? {}).length);
    } catch { return []; }
  };

  // As a file, without what this browser alone keeps with it.
  const download = ({ undo, bench, ...record }) => {
    const name = `${record.job ?? record.procedure}-${(record.on || record.saved).slice(0, 10)}-${record.record}.json`;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([`${JSON.stringify(record, null, 1)}\n`], { type: "application/json" }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  };

  // What is wrong with a file that should be a record of this sheet, in words; empty where nothing is.
  const misfit = (record, data) => {
    if (!record?.record || !record.fingerprint || !record.steps || typeof record.steps !== "object") {
      return "This file is no record of a sheet.";
    }
    const subject = record.job ?? record.procedure;
    if (record[data.kind] !== data.subject) return `This is the record of another sheet: ${subject}.`;
    if (data.logbook && record.logbook !== data.logbook) return `This record is of another machine: ${record.logbook}.`;
    return "";
  };

  // The part of a record that holds for this print too: the steps whose own words are the same.
  const carriedOver = (record, data) => {
    const marks = new Map(data.steps.map(([key, , mark]) => [key, mark]));
    const same = Object.entries(record.steps).filter(([key, step]) => step.mark && marks.get(key) === step.mark);
    return { ...record, steps: Object.fromEntries(same) };
  };

  Object.assign(window.Sheet, { newId, keyOf, load, save, otherPrints, download, misfit, carriedOver });
})();
