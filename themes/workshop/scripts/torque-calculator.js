// The calculator's formulas: those of the program (VDI 2230), with the tables that the page brings along.
(() => {
  "use strict";
  const page = document.querySelector(".calculator .reckon");
  const source = document.getElementById("calculator-tables");
  if (!page || !source) return;
  const tables = JSON.parse(source.textContent);
  const field = (id) => document.getElementById(id);
  const FOOT = tables.nm["lbf·ft"];

  // A decimal comma is a decimal point; anything that is no plain number is NaN.
  const typed = (id) => {
    const text = field(id).value.trim().replace(",", ".").replace("−", "-");
    return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : NaN;
  };

  const bolt = () => {
    const [d, pitch, d2, ds, arms] = tables.threads[field("thread").value];
    const grade = field("grade").value;
    const step = tables.yields[grade].find(([upTo]) => d <= upTo + 1e-9);
    const friction = tables.austenitic.includes(grade) ? tables.frictionAustenitic : tables.friction;
    const [low, high] = friction[field("condition").value];
    const arm = arms[tables.heads.indexOf(field("head").value)];
    return step ? { pitch, d2, ds, arm, low, high, yieldMpa: step[1] } : null;
  };

  // F = As · 0.9 Rp0.2 / sqrt(1 + 3 (3/2 · d2/ds · (P/(π d2) + 1.155 μ))²), in N
  const preload = ({ pitch, d2, ds, yieldMpa }, mu) => {
    const shear = tables.torsion * d2 / ds * (pitch / (Math.PI * d2) + 1.155 * mu);
    return Math.PI / 4 * ds ** 2 * tables.utilisation * yieldMpa / Math.sqrt(1 + 3 * shear ** 2);
  };

  // M = F (0.16 P + 0.58 d2 μ + DK/2 μ), in N·m
  const torque = (of, mu) => preload(of, mu) * (0.16 * of.pitch + 0.58 * of.d2 * mu + of.arm / 2 * mu) / 1000;

  const places = (nm) => (nm < 10 ? 1 : 0);
  // Pounds are counted from the newton metres that are shown, so that the two agree on paper.
  const pounds = (nm) => Number(nm.toFixed(places(nm))) / FOOT;
  const newtonMetres = (nm) => `${nm.toFixed(places(nm))} N·m (${pounds(nm).toFixed(places(pounds(nm)))} lbf·ft)`;
  const range = (low, high, unit) => `${low.toFixed(places(low))}–${high.toFixed(places(low))} ${unit}`;

  // What is shown is rounded; the exact value goes with it, for whoever reads the page by program.
  const show = (id, text, ...exact) => {
    const output = field(id);
    output.textContent = text;
    output.dataset.exact = exact.join(" ");
  };

  const reckonBolt = () => {
    const of = bolt();
    if (!of) {
      for (const id of ["band", "clamp", "least"]) show(id, "this class is not made in that size");
      return null;
    }
    const [low, high] = [torque(of, of.low), torque(of, of.high)];
    const [most, least] = [preload(of, of.low), preload(of, of.high)];
    show("band", `${range(low, high, "N·m")} (${range(pounds(low), pounds(high), "lbf·ft")})`, low, high);
    show("clamp", `${(least / 1000).toPrecision(3)}–${(most / 1000).toPrecision(3)} kN`, least, most);
    show("least", newtonMetres(tables.lowShare * low), tables.lowShare * low);
    return { low, high };
  };

  const judged = (nm, band) => {
    if (!band || !(nm > 0)) return "";
    if (nm > band.high) return "More than the bolt above takes, whatever its threads are like.";
    if (nm < tables.lowShare * band.low) return "Hardly clamps the bolt above.";
    if (nm > band.low) return "For the bolt above it fits while the threads are rough, and is too much where they run smoothly.";
    return `Fits the bolt above: ${(100 * nm / band.low).toPrecision(2)} % of what brings it to 90 % of yield in smooth threads.`;
  };

  const reckonUnits = (band) => {
    const nm = typed("amount") * tables.nm[field("unit").value];
    for (const output of document.querySelectorAll("output[data-unit]")) {
      const value = nm / tables.nm[output.dataset.unit];
      output.textContent = value > 0 ? String(Number(value.toPrecision(4))) : "–";
      output.dataset.exact = String(value);
    }
    field("judged").textContent = judged(nm, band);
    return nm;
  };

  // T · L / (L + E cos θ)
  const reckonSetting = (nm) => {
    const [handle, adapter, angle] = ["handle", "adapter", "angle"].map(typed);
    const reach = handle + adapter * Math.cos(angle * Math.PI / 180);
    if (!(nm > 0 && handle > 0 && adapter >= 0 && Number.isFinite(angle))) return show("setting", "–");
    if (reach <= 0) return show("setting", "the adapter reaches back to the grip");
    const setting = nm * handle / reach;
    return show("setting", `${setting.toPrecision(3)} N·m (${(setting / FOOT).toPrecision(3)} lbf·ft)`, setting);
  };

  const reckon = () => reckonSetting(reckonUnits(reckonBolt()));
  page.addEventListener("input", reckon);
  page.hidden = false;
  reckon();
})();
