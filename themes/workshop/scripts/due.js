// How due work stands on the reader's own day: a manual built long ago must not call fine what is overdue by now.
// The rule is that of the program (`standing_on`, `time_left`, `span`, `percent`, `_urgency`); the rows carry the days
// that it needs.
(() => {
  "use strict";
  const DAY = 86400000;
  const ORDER = ["overdue", "never done", "due soon", "unknown", "fine"];

  const number = (iso) => {
    const [year, month, day] = iso.split("-").map(Number);
    return Math.round(Date.UTC(year, month - 1, day) / DAY);
  };
  const iso = (now) =>
    [String(now.getFullYear()).padStart(4, "0"), now.getMonth() + 1, now.getDate()]
      .map((part) => String(part).padStart(2, "0"))
      .join("-");

  const standing = (today, row) => {
    if (row.due && today >= number(row.due)) return "overdue";
    if (row.soon && today >= number(row.soon)) return "due soon";
    return row.otherwise;
  };
  const span = (days) => {
    if (days <= 90) return `${days} day${days === 1 ? "" : "s"}`;
    if (days <= 730) return `${Math.floor((days * 48) / 1461)} months`;
    return `${Math.floor((days * 4) / 1461)} years`;
  };
  const timeLeft = (days) => {
    if (days === 0) return "due today";
    return days > 0 ? `${span(days)} left` : `${span(-days)} over`;
  };
  // How much is used, as a fraction of whole numbers.
  const used = (today, data) => {
    const [start, p, q, r] = data.split(" ");
    const days = BigInt(Math.max(today - number(start), 0));
    return [BigInt(p) + BigInt(q) * days, BigInt(r)];
  };
  const percent = (today, data) => {
    const [above, below] = used(today, data);
    return `${(above * 100n) / below}\u202f%`;
  };

  // The most urgent first: by how it stands, then by its day, then what is used the most of the limit that bites.
  const bitten = (row, today) => {
    const data = row.querySelector(".due-share [data-used]")?.dataset.used;
    return data ? used(today, data) : [0n, 1n];
  };
  const moreUrgent = (today) => (one, other) => {
    const rank = ORDER.indexOf(one.dataset.standing) - ORDER.indexOf(other.dataset.standing);
    const days = (one.dataset.due ? number(one.dataset.due) : Infinity) - (other.dataset.due ? number(other.dataset.due) : Infinity);
    const [[a, b], [c, d]] = [bitten(one, today), bitten(other, today)];
    return rank || days || Number(c * b > a * d) - Number(c * b < a * d);
  };

  const updateRow = (row, today) => {
    const stands = standing(today, row.dataset);
    row.dataset.standing = stands;
    row.querySelector(".due-standing").textContent = stands;
    const left = row.querySelector(".due-left");
    if (left) left.textContent = timeLeft(number(row.dataset.due) - today);
    for (const share of row.querySelectorAll("[data-used]")) share.textContent = percent(today, share.dataset.used);
    if ("hideFine" in row.dataset) row.hidden = stands === "fine";
    return stands;
  };

  const updateBoard = (board, today, words) => {
    const counts = new Map(ORDER.map((stands) => [stands, 0]));
    const rows = [...board.querySelectorAll(".due-row")];
    for (const row of rows) {
      const stands = updateRow(row, today);
      counts.set(stands, counts.get(stands) + 1);
    }
    for (const row of rows.sort(moreUrgent(today))) row.parentElement.append(row);
    const said = [...counts].filter(([, count]) => count).map(([stands, count]) => `${count} ${stands}`);
    board.querySelector(".due-counts").textContent = said.join(", ");
    const time = board.querySelector(".due-today");
    time.textContent = words;
    time.setAttribute("datetime", words);
  };

  const updateChart = (chart, today) => {
    const { start, left, right, perDay } = chart.dataset;
    const at = (day) => Math.min(Math.max(Number(left) + (day - number(start)) * Number(perDay), Number(left)), Number(right));
    for (const bar of chart.querySelectorAll(".due-over")) {
      const due = number(bar.dataset.due);
      bar.setAttribute("x", at(due).toFixed(1));
      bar.setAttribute("width", Math.max(at(today) - at(due), 0).toFixed(1));
    }
    const moved = at(today) - at(number(chart.dataset.today));
    for (const mark of chart.querySelectorAll(".due-today-line, .due-today-head")) {
      mark.setAttribute("transform", `translate(${moved.toFixed(1)} 0)`);
    }
  };

  const words = iso(new Date());
  const today = number(words);
  for (const board of document.querySelectorAll(".due-board")) {
    // A clock that lies before the build is wrong: the page stays as it was built.
    if (today > number(board.dataset.on)) updateBoard(board, today, words);
  }
  for (const chart of document.querySelectorAll(".due-timeline")) {
    if (today > number(chart.dataset.today)) updateChart(chart, today);
  }
})();
