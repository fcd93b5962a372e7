// Looks through the manual's index, which find-index.js brings. Forgives one slip of the finger in a word.
(() => {
  "use strict";
  const form = document.querySelector(".finder");
  const input = document.getElementById("wanted");
  const list = document.getElementById("found");
  const status = document.getElementById("found-count");
  if (!form || !globalThis.manualIndex) return;

  const MOST = 40;
  const plain = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
  const split = (text) => plain(text).split(/[^\p{L}\p{N}.]+/u).filter(Boolean);

  const entries = globalThis.manualIndex.map(([title, number, kind, href, more]) => ({
    title, number, kind, href,
    whole: plain(title), words: split(title), tags: [...split(number), ...split(kind)], more: split(more),
  }));

  // Whether two words differ by at most one letter added, dropped, changed or swapped with its neighbour.
  const nearly = (one, other) => {
    if (Math.abs(one.length - other.length) > 1) return false;
    let at = 0;
    while (at < one.length && one[at] === other[at]) at += 1;
    const rest = one.slice(at), left = other.slice(at);
    return rest.slice(1) === left.slice(1) || rest.slice(1) === left || rest === left.slice(1) ||
      (rest[0] === left[1] && rest[1] === left[0] && rest.slice(2) === left.slice(2));
  };

  const among = (word, words, whole, begins, slip) => {
    let best = 0;
    for (const other of words) {
      if (other === word) return whole;
      if (other.startsWith(word)) best = Math.max(best, begins);
      else if (slip && word.length > 3 && nearly(word, other)) best = Math.max(best, slip);
    }
    return best;
  };

  const weigh = (entry, wanted, phrase) => {
    let sum = 0;
    for (const word of wanted) {
      const weight = Math.max(
        among(word, entry.words, 10, 7, 3), among(word, entry.tags, 9, 4, 0), among(word, entry.more, 4, 2, 1));
      if (!weight) return 0;
      sum += weight;
    }
    if (entry.whole === phrase) sum += 20;
    else if (entry.whole.startsWith(phrase)) sum += 8;
    if (entry.kind === "procedure") sum += 3;
    if (entry.kind === "machine") sum += 2;
    return sum;
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
    link.append(piece("section-number", entry.number), " ", piece("found-title", entry.title), " ", piece("sub", entry.kind));
    item.append(link);
    return item;
  };

  const look = () => {
    const phrase = plain(input.value.trim());
    const wanted = split(input.value);
    const found = wanted.length
      ? entries.map((entry, place) => [weigh(entry, wanted, phrase), place, entry])
        .filter(([weight]) => weight > 0)
        .sort((one, other) => other[0] - one[0] || one[1] - other[1])
      : [];
    list.replaceChildren(...found.slice(0, MOST).map(([, , entry]) => row(entry)));
    if (!wanted.length) status.textContent = "";
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
