/* The view of a cable: what a run loses, and which classes do. */
"use strict";

function lossPerLength(cable, mhz) {
  if (cable.k) return cable.k[0] * Math.sqrt(mhz) + cable.k[1] * mhz;
  const at = Math.max(cable.rows.findIndex(([f]) => f >= mhz), 0) || (cable.rows[0][0] >= mhz ? 0 : cable.rows.length - 1);
  const [low, high] = [cable.rows[Math.max(at, 1) - 1], cable.rows[Math.max(at, 1)]];
  return low[1] * (mhz / low[0]) ** (Math.log(high[1] / low[1]) / Math.log(high[0] / low[0]));
}

function cableView() {
  const run = { length: "10m", band: Object.keys(world.cables.bands)[0], power: "", want: "", bend: "", outdoor: false, reader: port.given.length && port.settled ? world.halves[port.first].id : "", antenna: "", ...(state.run || {}) };
  // only what was chosen is kept: the reader's port goes with the port that is named
  const set = (changes) => { change({ run: { ...state.run, ...changes } }); showAround(); };
  // what is typed, in the unit that `scale` gives; null where nothing is, not a number where that is none
  const read = (key, scale) => { const found = run[key].trim() ? world.grammar.read(run[key]) : null; return found && (found.refused ? NaN : found.value * scale(found.unit)); };
  const mm = (unit) => world.grammar.perMm(unit), dbm = (unit) => (/^(dbm)?$/i.test(unit) ? 1 : NaN), length = (n) => n > 0, level = (n) => !Number.isNaN(n);
  const typed = { length: read("length", (unit) => (unit ? mm(unit) / mm("m") : 1)), bend: read("bend", mm), power: read("power", dbm), want: read("want", dbm) };
  const text = (key, label, fits, needed) => [h("label", {}, label, h("input", { type: "text", value: run[key], autocomplete: "off", onchange: (event) => set({ [key]: event.target.value }) })),
    fits(typed[key]) || (typed[key] === null && !needed) ? null : h("p.harm", { role: "alert" }, t(fits === level ? "refused_no_level" : "refused_no_length"))];
  const metres = length(typed.length) ? typed.length : NaN, bendMm = length(typed.bend) ? typed.bend : null;
  const [power, want] = [typed.power, typed.want].map((found) => (level(found) ? found : null));
  const mhz = world.cables.bands[run.band][3];
  const fits = (id) => { const mates = id ? port.mates(world.index[id]).filter(({ limited }) => !limited) : []; return mates.length ? mates[0].j : null; };
  const ends = [run.reader, run.antenna].map(fits);
  const rows = world.cables.classes.map((cable) => {
    const db = (lossPerLength(cable, mhz) * metres) / world.cables.perLength;
    const all = db + world.cables.beside, off = db * cable.off + world.cables.besideOff, arrives = power === null ? null : power - all;
    const doubts = [bendMm !== null && bendMm < cable.bend[0] ? t("too_tight", { mm: cable.bend[0] }) : bendMm !== null && bendMm < cable.bend[1] ? t("bend_once", { mm: cable.bend[1] }) : "", run.outdoor && !cable.outdoor ? t("not_outdoor") : "",
      ...ends.map((end) => (end !== null && !cable.ends.some((name) => world.halves[end].family === name || world.halves[end].family.startsWith(`${name} `)) ? t("not_usual", { end: world.halves[end].name }) : ""))].filter(Boolean);
    return { cable, all, off, arrives, doubts, short: arrives === null || want === null ? null : want - (arrives - off) };
  }).filter(({ all }) => Number.isFinite(all)).sort((a, b) => a.doubts.length - b.doubts.length || a.all - b.all);
  return [title("cable_title"), pickHalf(t("reader_port"), run.reader, (id) => set({ reader: id })), pickHalf(t("antenna_port"), run.antenna, (id) => set({ antenna: id })),
    ...text("length", t("length"), length, true), pick(t("band"), Object.entries(world.cables.bands).map(([key, [name]]) => [key, world.words.named(name)]), run.band, (band) => set({ band })),
    ...text("power", t("power"), level), ...text("want", t("want"), level), ...text("bend", t("bend"), length),
    h("label.check", {}, h("input", { type: "checkbox", checked: run.outdoor, onchange: (event) => set({ outdoor: event.target.checked }) }), t("outdoor")),
    h("p", {}, t("ends", { one: ends[0] === null ? "?" : world.halves[ends[0]].order, other: ends[1] === null ? "?" : world.halves[ends[1]].order })),
    h("ul.classes", {}, rows.map(({ cable, all, off, arrives, doubts, short }) => h("li.card", { "data-class": cable.name }, h("b", {}, t("class", { name: cable.name })), " ", t("loss", { db: all, off }), arrives === null ? "" : ` ${t("arrives", { dbm: arrives })}`,
      short === null ? "" : h("span", { class: short <= 0 ? "kept" : "broken" }, ` ${short <= 0 ? "✓" : "✗"} ${t(short <= 0 ? "meets_want" : "misses_want", { db: short })}`), ...doubts.map((doubt) => h("p.quiet", {}, doubt))))),
    caution(ours("law"))];
}
