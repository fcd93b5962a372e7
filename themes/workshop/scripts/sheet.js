// The sheet ticks. Everything that is filled in is kept at once; nothing leaves this browser unless it is saved as a file.
(() => {
  "use strict";
  const { Sheet } = window;
  const holder = document.getElementById("sheet-data");
  const form = document.querySelector(".sheet-form");
  if (!holder || !form) return;
  const data = JSON.parse(holder.textContent);
  const sheet = document.querySelector(".sheet");
  const key = Sheet.keyOf(data);

  for (const body of document.querySelectorAll(".sheet .step-body")) {
    const note = Sheet.made("details", { class: "step-note" }, Sheet.made("summary", {}, "Note"), Sheet.made("textarea", { rows: 2, "aria-label": "Note on this step" }));
    body.append(note);
  }
  const steps = [...document.querySelectorAll(".sheet .step")].map((section, place) => Sheet.fieldsOf(section, data.steps[place]));
  for (const { number, ticks } of steps) {
    ticks.forEach((tick, place) => tick.setAttribute("aria-label", `Step ${number}${ticks.length > 1 ? `, time ${place + 1}` : ""} done`));
  }
  const closing = [...document.querySelectorAll("[data-close]")];
  const laid = [...document.querySelectorAll("[data-lay]")];
  const layName = (box) => box.closest("label").textContent.trim();
  const said = (place, className) => {
    let line = place.querySelector(`:scope > .${className}`);
    if (!line) place.append(line = Sheet.made("p", { class: className, role: "status" }));
    return line;
  };

  let id = "", rounds = [], kept = true, undone = [], last = null;

  // What is filled in

  const radios = (name) => form.querySelector(`input[name="${name}"]:checked`)?.value;
  const chosen = () => {
    const choices = {};
    for (const code of Object.keys(data.choices)) { const value = radios(code); if (value) choices[code] = value; }
    for (const step of steps) {
      if (!step.outcome) continue;
      choices[step.outcome] = Sheet.verdictOf(step) ?? "true";
    }
    return choices;
  };
  const isDone = (step, choices) => globalThis.Condition.holds(step.when, choices) !== false;

  const record = () => {
    const choices = chosen();
    const filled = steps.filter((step) => isDone(step, choices)).map((step) => [step.key, Sheet.collect(step)]);
    const close = Object.fromEntries(closing.map((input) => [input.dataset.close, input.value.trim()]));
    const asked = Object.entries(data.choices).filter(([code]) => radios(code));
    const value = (word) => (word === "true" ? true : word === "false" ? false : word);
    return {
      record: id, [data.kind]: data.subject, logbook: data.logbook || radios("logbook") || "",
      revision: data.revision, fingerprint: data.fingerprint, state: "paused", saved: "",
      choices: Object.fromEntries(asked.map(([code, name]) => [name, value(radios(code))])),
      steps: Object.fromEntries(filled.filter(([, step]) => step)),
      rounds, ...close,
    };
  };

  // Beside the record: what lies on the bench is nobody's history, but it is kept here as well.
  const state = () => ({ ...record(), bench: laid.filter((box) => box.checked).map(layName) });
  const keep = (now, undo) => { kept = Sheet.save(key, { ...now, undo }); };

  const apply = (wanted) => {
    id = wanted?.record ?? "";
    rounds = wanted?.rounds ?? [];
    for (const step of steps) Sheet.fill(step, wanted?.steps?.[step.key]);
    for (const input of closing) input.value = wanted?.[input.dataset.close] ?? "";
    for (const box of laid) box.checked = (wanted?.bench ?? []).includes(layName(box));
    for (const radio of form.querySelectorAll('input[name="logbook"]')) radio.checked = radio.value === wanted?.logbook;
    for (const [code, name] of Object.entries(data.choices)) {
      for (const radio of form.querySelectorAll(`input[name="${code}"]`)) {
        const given = wanted?.choices?.[name];
        radio.checked = given === undefined ? radio.defaultChecked : String(given) === radio.value;
      }
    }
    show();
  };

  // How it stands

  const openSteps = (choices) => steps.filter((step) => isDone(step, choices) && Sheet.lacks(step).length);
  const closeLacks = () => closing.filter((input) => input.dataset.close !== "note" && !input.value.trim());

  const flag = (step) => {
    for (const box of step.readings) {
      const faults = Sheet.readings(box).filter(({ input, read }) => {
        const wrong = Boolean(read && (read.fault || !read.good));
        if (wrong) input.setAttribute("aria-invalid", "true"); else input.removeAttribute("aria-invalid");
        return wrong;
      });
      const limits = box.querySelector(".stage-main")?.textContent ?? "";
      said(box, "said").textContent = faults.length ? faults[0].read.fault ?? `Outside its limits: ${limits}.` : "";
    }
    for (const box of step.runDowns) {
      const scale = Sheet.scale(box.dataset.scale);
      for (const row of box.querySelectorAll("tbody tr")) {
        const typed = row.querySelector("input").value;
        const read = typed.trim() ? Sheet.readTyped(typed, scale) : null;
        const found = read && !read.fault ? Sheet.sums(read, box.dataset.adds) : [];
        row.querySelectorAll("output").forEach((output, place) => { output.textContent = found[place] ?? ""; });
        said(box, "said").textContent = read?.fault ?? "";
      }
    }
    const twice = Sheet.lacks(step).includes("the signature of a second person");
    if (twice) said(step.section, "step-said").textContent = "Two roles, one name: a second person signs.";
  };

  // The head of every printed page has a line for the serial number, until the machine is chosen.
  const { running: headed } = document.documentElement.dataset;
  const head = () => {
    const machine = form.querySelector('input[name="logbook"]:checked')?.closest("label").textContent.trim();
    document.documentElement.dataset.running = machine ? headed.replace(/[^\n]* · serial _+/, () => machine) : headed;
  };

  function show() {
    const choices = chosen();
    head();
    const open = openSteps(choices);
    for (const step of steps) {
      step.section.hidden = !isDone(step, choices);
      if (step.branch) step.branch.hidden = Sheet.verdictOf(step) !== "false";
      step.section.classList.toggle("is-done", !Sheet.lacks(step).length);
      step.section.classList.toggle("is-next", step === open[0]);
      step.note.closest("details").classList.toggle("is-written", Boolean(step.note.value));
      said(step.section, "step-said").textContent = "";
      flag(step);
    }
    const count = steps.filter((step) => isDone(step, choices)).length;
    const ahead = open.filter((step) => steps.indexOf(step) < lastTicked(choices)).map((step) => step.number);
    const skipped = ahead.length ? ` Still open above: ${ahead.slice(0, 5).join(", ")}${ahead.length > 5 ? " …" : ""}.` : "";
    const next = open.length ? `Next is step ${open[0].number}.` : closeLacks().length ? "Fill in what goes into the logbook." : "Finished: save the record.";
    strip.where.textContent = `${count - open.length} of ${count} steps finished. ${next}${skipped}${kept ? "" : " This browser keeps nothing: save the record before you close it."}`;
    strip.undo.disabled = !undone.length;
  }
  const lastTicked = (choices) => steps.findLastIndex((step) => isDone(step, choices) && step.ticks.some((tick) => tick.checked));

  // Changes

  // What has been changed since the last time can be taken back, after a reload too.
  const remember = () => {
    const now = state();
    undone = Sheet.latest([...undone, Sheet.change(last, now)]);
    last = now;
    keep(last, undone);
  };

  const changed = () => {
    if (!id) id = Sheet.newId();
    remember();
    show();
  };

  const stepOf = (element) => steps.find((step) => step.section === element.closest(".step"));

  const goBack = (from) => {
    const target = steps.findIndex((step) => step.key === from.goBack);
    const here = steps.indexOf(from);
    for (const step of steps.slice(target, here + 1)) {
      const filled = Sheet.collect(step);
      const read = Object.fromEntries(Object.entries(filled?.readings ?? {}).filter(([, typed]) => typed.some(Boolean)));
      if (Object.keys(read).length) rounds = [...rounds, { step: step.key, readings: read }];
      Sheet.fill(step, { note: filled?.note });
    }
    Sheet.news(steps[target].section, `Back at step ${steps[target].number}. The readings until now are in the record; measure again.`);
    goTo(steps[target]);
  };

  const goTo = (step) => {
    step.section.scrollIntoView({ block: "center" });
    (step.section.querySelector("input") ?? step.section).focus({ preventScroll: true });
  };

  form.addEventListener("change", (event) => {
    const step = stepOf(event.target);
    const isTick = step?.ticks.includes(event.target);
    if (isTick && event.target.checked) {
      const refused = Sheet.refusals(step);
      if (refused.length) {
        event.target.checked = false;
        show();
        said(step.section, "step-said").textContent = `Not ticked: ${refused.join("; ")}.`;
        return;
      }
    }
    if (step) step.at = new Date().toISOString().slice(0, 19) + "Z";
    if (event.target.name === "logbook") {
      for (const pair of event.target.dataset.choices.split(" ").filter(Boolean)) {
        const [code, value] = pair.split("=");
        const radio = [...form.querySelectorAll(`input[name="${code}"]`)].find((each) => each.value === value);
        if (radio) radio.checked = true;
      }
    }
    if (step?.ticks.includes(event.target) && event.target.checked && step.goBack) goBack(step);
    // A reading that goes out of its limits takes the tick away that stood on it.
    else if (step && !isTick && Sheet.refusals(step).length) for (const tick of step.ticks) tick.checked = false;
    changed();
    if (event.target.name === "logbook") offerPaused();
  });
  // While typing: flag at once, keep at once; one undo for the whole word.
  form.addEventListener("input", (event) => {
    if (event.target.matches('input[type="checkbox"], input[type="radio"]')) return;
    if (!id) id = Sheet.newId();
    const now = state();
    keep(now, Sheet.latest([...undone, Sheet.change(last, now)]));
    show();
  });
  form.addEventListener("submit", (event) => event.preventDefault());

  // The strip

  const undo = () => {
    if (!undone.length) return;
    last = Sheet.takenBack(last, undone.at(-1));
    undone = undone.slice(0, -1);
    keep(last, undone);
    apply(last);
  };

  const pause = () => {
    const choices = chosen();
    const [next] = openSteps(choices);
    const index = next ? steps.indexOf(next) : steps.length;
    const { WorkState } = globalThis;
    const known = WorkState.file(), numbers = steps.map((step) => step.number);
    const { running, stamp } = document.documentElement.dataset;
    const words = next?.section.querySelector(".doings, .instruction")?.cloneNode(true);
    for (const mark of words?.querySelectorAll(".callout-mark") ?? []) mark.remove();
    Sheet.now({
      who: `${running.replace("\n", ", ")}. ${stamp}. ${new Date().toLocaleString(document.documentElement.lang)}.`,
      before: next?.number ?? "",
      state: known && { groups: WorkState.before(known, index, choices), rules: WorkState.rules(known, index, choices), numbers },
      next: next ? `step ${next.number}, ${words?.textContent.trim() ?? ""}` : "",
    });
  };

  const saveRecord = () => {
    if (!id) id = Sheet.newId();
    const finished = !openSteps(chosen()).length && !closeLacks().length;
    Sheet.download({ ...record(), state: finished ? "finished" : "paused", saved: new Date().toISOString().slice(0, 19) + "Z" });
  };

  const takeOver = (wanted) => {
    apply(wanted);
    remember();
    show();
    offerPaused();
  };

  const offerOld = (old, from) => {
    const same = Sheet.carriedOver(old, data);
    const all = Object.keys(old.steps).length, still = Object.keys(same.steps).length;
    Sheet.news(
      form,
      `${from} was filled in on another print, fingerprint ${old.fingerprint}; this one is ${data.fingerprint}. The work has changed since: that print is outdated. Of ${all} steps filled in there, ${still} have the same words here.`,
      ["Carry those over", () => takeOver({ ...same, revision: data.revision, fingerprint: data.fingerprint })],
      ["Save the old record", () => Sheet.download(old)],
    );
  };

  const opened = (text) => {
    try { return JSON.parse(text); } catch { return null; }
  };

  const open = (found) => {
    const wrong = Sheet.misfit(found, data);
    if (wrong) Sheet.news(form, wrong);
    else if (found.fingerprint !== data.fingerprint) offerOld(found, "This record");
    else takeOver(found);
  };

  const offerPaused = () => Sheet.offerPaused(form, last, open);

  const anew = () => {
    if (last.record) Sheet.save(`${key}|put by`, last);
    takeOver(null);
    Sheet.news(form, "The sheet is empty. What was filled in can be had back.", ["Have it back", undo]);
  };

  const next = () => {
    const [first] = openSteps(chosen());
    if (first) goTo(first);
    else (closeLacks()[0] ?? strip.element.querySelector("button")).focus();
  };

  const strip = Sheet.strip({ next, undo, pause, save: saveRecord, open: (text) => open(opened(text)), anew });
  sheet.append(strip.element);
  const here = Sheet.load(key);
  apply(here);
  last = state();
  undone = Array.isArray(here?.undo) ? here.undo : [];
  strip.undo.disabled = !undone.length;
  for (const [, old] of Sheet.otherPrints(data)) offerOld(old, "Something");
  offerPaused();
})();
