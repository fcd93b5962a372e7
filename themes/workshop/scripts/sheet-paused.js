// Records of paused work that came with the manual: offered where the work can go on with them. A procedure's sheet may
// hold one for each machine; once the machine is chosen, only its own is offered.
window.Sheet ??= {};

(() => {
  "use strict";
  const holder = document.getElementById("sheet-kept");
  const records = holder ? JSON.parse(holder.textContent) : [];
  let offered = [];

  const lastTouched = (record) => Object.values(record.steps).map(({ at }) => at ?? "").sort().at(-1) ?? "";
  const isKnown = (record, here) => record.record === here.record && lastTouched(record) <= lastTouched(here);
  const fits = (record, here) => !here.logbook || record.logbook === here.logbook;

  // "Boat One, B-001"; empty where the sheet is for one machine alone, null where it does not know that one.
  const machine = (form, record) => {
    const all = [...form.querySelectorAll('input[name="logbook"]')];
    if (!all.length) return "";
    return all.find((radio) => radio.value === record.logbook)?.closest("label").textContent.trim() ?? null;
  };

  const words = (record, here, name) => {
    const work = name ? `Work on ${name}` : "This work", day = record.saved?.slice(0, 10);
    const stands = record.record === here.record ? `went on elsewhere${day ? `, until ${day}` : ""}` : `pauses${day ? ` since ${day}` : ""}`;
    return [
      `${work} ${stands}; its record came with the manual.`,
      ...(record.note ? [record.note] : []),
      ...(Object.keys(here.steps).length ? ["What is filled in here makes way for it; Undo brings that back."] : []),
    ].join(" ");
  };

  // here: the sheet as it is filled in. goOn: what is done with the record that somebody chooses.
  const offerPaused = (form, here, goOn) => {
    for (const box of offered) box.remove();
    offered = records
      .filter((record) => fits(record, here) && !isKnown(record, here) && machine(form, record) !== null)
      .map((record) => window.Sheet.news(form, words(record, here, machine(form, record)), ["Go on with it", () => goOn(record)]));
  };

  Object.assign(window.Sheet, { offerPaused });
})();
