// The boxes on the page: what is in them as a record, and a record put back into them.
window.Sheet ??= {};

(() => {
  "use strict";
  const { scale, readTyped } = window.Sheet;

  const own = (section, selector) => [...section.querySelectorAll(selector)].filter((each) => each.closest(".step") === section);
  const texts = (holder) => [...holder.querySelectorAll("input")].map((input) => input.value);
  const put = (inputs, values = []) => inputs.forEach((input, place) => { input.value = values[place] ?? ""; });

  // One step's boxes, found once.
  const fieldsOf = (section, [key, number, mark]) => ({
    section, key, number, mark,
    ticks: own(section, ".step-number input"),
    verdicts: own(section, ".verdict input"),
    readings: own(section, ".reading"),
    runDowns: own(section, ".run-down"),
    written: own(section, "[data-written]"),
    signs: own(section, "[data-role]"),
    note: own(section, ".step-note textarea")[0],
    branch: own(section, ".branch")[0],
    outcome: section.dataset.outcome ?? "",
    byReading: "byReading" in section.dataset,
    goBack: section.dataset.goBack ?? "",
    when: globalThis.Condition.read(section.dataset.when),
    at: "",
  });

  const isFilled = (step) => step.done?.some(Boolean) || step.accepted != null || step.note
    || [...Object.values(step.readings ?? {}), ...Object.values(step["run-down"] ?? {})].flat().some(Boolean)
    || step.written?.some(Boolean) || Object.values(step.signed ?? {}).some(Boolean);

  const collect = (fields) => {
    const chosen = fields.verdicts.find((input) => input.checked);
    const step = { done: fields.ticks.map((tick) => tick.checked) };
    if (fields.verdicts.length) step.accepted = chosen ? chosen.value === "true" : null;
    if (fields.readings.length) step.readings = Object.fromEntries(fields.readings.map((box) => [box.dataset.box, texts(box)]));
    if (fields.runDowns.length) step["run-down"] = Object.fromEntries(fields.runDowns.map((box) => [box.dataset.fastener, texts(box)]));
    if (fields.written.length) step.written = fields.written.map((input) => input.value);
    if (fields.signs.length) step.signed = Object.fromEntries(fields.signs.map((input) => [input.dataset.role, input.value]));
    if (fields.note?.value) step.note = fields.note.value;
    if (!isFilled(step)) return null;
    return { ...step, ...(fields.at && { at: fields.at }), mark: fields.mark };
  };

  const fill = (fields, step = {}) => {
    fields.ticks.forEach((tick, place) => { tick.checked = Boolean(step.done?.[place]); });
    for (const input of fields.verdicts) input.checked = String(step.accepted) === input.value;
    for (const box of fields.readings) put(box.querySelectorAll("input"), step.readings?.[box.dataset.box]);
    for (const box of fields.runDowns) put(box.querySelectorAll("input"), step["run-down"]?.[box.dataset.fastener]);
    put(fields.written, step.written);
    for (const input of fields.signs) input.value = step.signed?.[input.dataset.role] ?? "";
    if (fields.note) {
      fields.note.value = step.note ?? "";
      fields.note.closest("details").open = Boolean(step.note);
    }
    fields.at = step.at ?? "";
  };

  // Each reading of a box: { input, typed, read }, `read` null where nothing is typed or nothing can be judged.
  const readings = (box) => [...box.querySelectorAll("input")].map((input) => ({
    input,
    typed: input.value.trim(),
    read: box.dataset.scale && input.value.trim() ? readTyped(input.value, scale(box.dataset.scale)) : null,
  }));

  // "true" or "false" as the step decides its choice; null where it does not yet.
  const verdictOf = (fields) => {
    if (!fields.byReading) return fields.verdicts.find((input) => input.checked)?.value ?? null;
    const all = fields.readings.filter((box) => box.dataset.scale).flatMap(readings);
    if (all.some(({ read }) => read && !read.fault && !read.good)) return "false";
    return all.every(({ read }) => read && !read.fault) ? "true" : null;
  };

  // What keeps a step from being ticked, in words.
  const refusals = (fields) => {
    const found = [];
    for (const box of fields.readings) {
      const title = box.querySelector(".plate-head").lastChild.textContent.trim();
      for (const { typed, read } of readings(box)) {
        if (!typed) { found.push(`the reading of ${title} is missing`); break; }
        if (read?.fault) { found.push(`the reading of ${title} cannot be read`); break; }
        if (read && !read.good && !fields.byReading) { found.push(`${title} is outside its limits`); break; }
      }
    }
    if (fields.verdicts.length && verdictOf(fields) === null) found.push("say whether it is good or not");
    return found;
  };

  const sameTwice = (signs) => {
    const names = signs.map((input) => input.value.trim().toLowerCase()).filter(Boolean);
    return new Set(names).size < names.length;
  };

  // What a step lacks to be finished, in words; empty where it is.
  const lacks = (fields) => [
    ...(fields.ticks.every((tick) => tick.checked) ? [] : ["the tick"]),
    ...refusals(fields),
    ...(fields.runDowns.flatMap(texts).every(Boolean) ? [] : ["the run-down torque"]),
    ...(fields.written.every((input) => input.value.trim()) ? [] : ["what was found"]),
    ...fields.signs.filter((input) => !input.value.trim()).map((input) => `the signature of the ${input.dataset.role}`),
    ...(sameTwice(fields.signs) ? ["the signature of a second person"] : []),
  ];

  Object.assign(window.Sheet, { fieldsOf, collect, fill, readings, verdictOf, refusals, lacks });
})();
