// Looks through the manual's index, which find-index.js brings. Forgives one slip of the finger in a word.
(() => {
  "use strict";
  const form = document.querySelector(".finder");
  const input = document.getElementById("wanted");
  const list = document.getElementById("found");
  const status = document.getElementById("found-count");
  if (!form || !globalThis.manualIndex) return;

  const MOST = 40;
  // What a word weighs by where it stands: whole, as the beginning of a longer one, with a slip.
  const TITLE = [10, 7, 3], NUMBER = [9, 4, 0], MARKS = [8, 4, 0], ABOUT = [4, 2.5, 1.5], TEXT = [2, 1, 0.5];
  const FIELDS = [TITLE, NUMBER, MARKS, ABOUT, TEXT];
  const KINDS = { procedure: 3, machine: 2, sheet: -1 };

  // N·m and Nm, M8×1.25 and M8x1.25, a decimal comma and a point are the same.
  const plain = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase()
    .replace(/[·⋅]/g, "").replace(/×/g, "x").replace(/(\d),(?=\d)/g, "$1.").replace(/(\d) (?=n ?m\b)/g, "$1");
  const split = (text) => plain(text).split(/[^\p{L}\p{N}.]+/u).map((word) => word.replace(/^\.+|\.+$/g, "")).filter(Boolean);

  // Every word of the manual, and where it stands: entry and field in one number.
  const words = new Map();
  const note = (text, entry, field) => {
    if (!text) return;
    for (const word of split(text)) {
      const places = words.get(word);
      const place = entry * 8 + field;
      if (!places) words.set(word, [place]);
      else if (places.at(-1) !== place) places.push(place);
    }
  };
  const entries = globalThis.manualIndex.map(([title, number, kind, href, where, marks, about, text], entry) => {
    note(title, entry, 0);
    note(number, entry, 1);
    note(kind, entry, 1);
    note(where, entry, 3);
    note(marks, entry, 2);
    note(about, entry, 3);
    note(text, entry, 4);
    return { title, number, kind, href, where, whole: plain(title) };
  });
  globalThis.manualIndex = null;
  const vocabulary = [...words.keys()];

  // Whether two words differ by at most one letter added, dropped, changed or swapped with its neighbour.
  const nearly = (one, other) => {
    if (Math.abs(one.length - other.length) > 1) return false;
    let at = 0;
    while (at < one.length && one[at] === other[at]) at += 1;
    const rest = one.slice(at), left = other.slice(at);
    return rest.slice(1) === left.slice(1) || rest.slice(1) === left || rest === left.slice(1) ||
      (rest[0] === left[1] && rest[1] === left[0] && rest.slice(2) === left.slice(2));
  };
  const isWords = /^\p{L}+$/u;
  const slipped = (word, other) => {
    if (word.length < 4 || other.length < word.length - 1 || !isWords.test(word)) return false;
    if (word[0] !== other[0] && word[1] !== other[1] && word[0] !== other[1] && word[1] !== other[0]) return false;
    // A long word counts as begun, too: someone is still typing.
    return nearly(word, other) || (word.length > 4 && [-1, 0, 1].some((by) => nearly(word, other.slice(0, word.length + by))));
  };

  // For each entry the best that the word weighs in it.
  const weights = (word) => {
    const best = new Float32Array(entries.length);
    for (const other of vocabulary) {
      const how = other === word ? 0 : other.startsWith(word) ? 1 : slipped(word, other) ? 2 : -1;
      if (how < 0) continue;
      for (const place of words.get(other)) {
        const weight = FIELDS[place & 7][how], entry = place >> 3;
        if (weight > best[entry]) best[entry] = weight;
      }
    }
    return best;
  };

  const find = (typed) => {
    const wanted = split(typed).map(weights);
    if (!wanted.length) return [];
    const phrase = plain(typed.trim());
    const found = [];
    entries.forEach((entry, place) => {
      let sum = 0;
      for (const best of wanted) {
        if (!best[place]) return;
        sum += best[place];
      }
      if (entry.whole === phrase) sum += 20;
      else if (entry.whole.startsWith(phrase)) sum += 8;
      found.push([sum + (KINDS[entry.kind] ?? 0), place]);
    });
    return found.sort((one, other) => other[0] - one[0] || one[1] - other[1]).map(([, place]) => entries[place]);
  };

  const piece = (name, text) => {
    const span = document.createElement("span");
    span.className = name;
    span.textContent = text;
    return span;
  };

  const row = (entry) => {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = entry.href;
    const about = entry.where ? `${entry.kind}, ${entry.where}` : entry.kind;
    link.append(piece("section-number", entry.number), " ", piece("found-title", entry.title), " ", piece("sub", about));
    item.append(link);
    return item;
  };

  const look = () => {
    const found = find(input.value);
    list.replaceChildren(...found.slice(0, MOST).map(row));
    if (!input.value.trim()) status.textContent = "";
    else if (!found.length) status.textContent = "Nothing has that name.";
    else if (found.length > MOST) status.textContent = `${found.length} found, the nearest ${MOST} shown`;
    else status.textContent = `${found.length} found`;
  };

  // Up and down walk from the box through the list and back; Enter in the box takes the first.
  const links = () => [...list.querySelectorAll("a")];
  form.parentElement.addEventListener("keydown", (event) => {
    const stops = [input, ...links()];
    const at = stops.indexOf(document.activeElement);
    if (event.key === "ArrowDown") stops[Math.min(at + 1, stops.length - 1)].focus();
    else if (event.key === "ArrowUp") stops[Math.max(at - 1, 0)].focus();
    else if (event.key === "Escape") { input.value = ""; look(); input.focus(); }
    else return;
    event.preventDefault();
  });
  input.addEventListener("input", look);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const [first] = links();
    if (first) location.href = first.href;
  });
  form.hidden = false;
  input.focus();
  if (input.value) look();
})();
