/* The view of a cable: what a run loses, and which classes do. */
"use strict";

function cableView() {
  const { cables } = world;
  const run = { length: "10m", band: Object.keys(cables.bands)[0], power: "", want: "", bend: "", outdoor: false, reader: port.given.length && port.settled ? world.halves[port.first].id : "", antenna: "", ...(state.run || {}) };
  // only what was chosen is kept: the reader's port goes with the port that is named
  const set = (changes) => { change({ run: { ...state.run, ...changes } }); showAround(); };
  const mm = (unit) => world.grammar.perMm(unit), perM = mm("m"), [shortest, longest] = cables.lengths, [lowest, highest] = cables.levels;
  const level = { scale: (unit) => (/^(dbm)?$/i.test(unit) ? 1 : NaN), least: lowest, most: highest, refused: "no_level" };
  const typed = {
    length: readTyped(run.length, { scale: (unit) => (unit ? mm(unit) / perM : 1), least: shortest, most: longest, refused: "no_run" }) || { refused: "no_run" },
    bend: readTyped(run.bend, { scale: mm, least: shortest * perM, most: longest * perM, refused: "no_bend" }),
    power: readTyped(run.power, level), want: readTyped(run.want, level),
  };
  const value = (key) => (typed[key] && typed[key].value !== undefined ? typed[key].value : null);
  const text = (key, label) => [h("label", {}, label, h("input", { type: "text", value: run[key], autocomplete: "off", onchange: (event) => set({ [key]: event.target.value }) })),
    typed[key] && typed[key].refused ? h("p.harm", { role: "alert" }, t(`refused_${typed[key].refused}`)) : null];
  const unread = Object.values(typed).some((one) => one && one.refused);
  const asked = { mhz: cables.bands[run.band][3], metres: value("length"), power: value("power"), want: value("want"), bend: value("bend"), outdoor: run.outdoor };
  const ports = [run.reader, run.antenna], places = [t("reader_port"), t("antenna_port")];
  const rows = asked.metres === null ? [] : cables.classes.map((cable) => {
    const sides = ports.map((id) => (id ? world.sides.all[world.sides.of[cable.name][world.index[id]]] : null)), found = runOn(cables, cable, sides, asked);
    const doubts = [...cannot(cable, found, places), ...sides.flatMap((side, at) => (side ? remarksOn(side, places[at]) : [])),
      !found.tight && asked.bend !== null && asked.bend < cable.bend[1] ? t("bend_once", { mm: cable.bend[1] }) : ""].filter(Boolean);
    return { cable, sides, doubts, ...found, meets: unread ? null : found.meets, key: [found.cannot, Number(found.meets === false && found.short.toFixed(2)), found.adapters, doubts.length, found.all] };
  }).sort((a, b) => compare(a.key, b.key));
  return [title("cable_title"), pickHalf(places[0], run.reader, (id) => set({ reader: id })), pickHalf(places[1], run.antenna, (id) => set({ antenna: id })),
    ...text("length", t("length")), pick(t("band"), Object.entries(cables.bands).map(([key, [name]]) => [key, world.words.named(name)]), run.band, (band) => set({ band })),
    ...text("power", t("power")), ...text("want", t("want")), asked.want !== null && typed.power === null ? h("p.harm", {}, t("want_no_power")) : null, ...text("bend", t("bend")),
    h("label.check", {}, h("input", { type: "checkbox", checked: run.outdoor, onchange: (event) => set({ outdoor: event.target.checked }) }), t("outdoor")),
    ports.includes("") ? h("p", {}, t("ports_wanted")) : null,
    h("ul.classes", {}, rows.map(classCard)),
    caution(ours("law"))];
}

/* What is typed in a field: null where nothing is, else {value} in the unit that `scale` gives, or {refused: code}. */
function readTyped(typed, { scale, least, most, refused }) {
  if (!typed.trim()) return null;
  const found = world.grammar.read(typed);
  if (found.refused) return { refused: ["thousands", "other_digits"].includes(found.refused) ? found.refused : refused };
  if (found.off !== null) return { refused: "no_plus_minus" };
  const value = found.value * scale(found.unit);
  return !found.bareFraction && value >= least && value <= most ? { value } : { refused };
}

/* A class on the run: a tick or a cross only where it can be made, both ports are known and nothing typed is refused; the
 * words to order the ends by with the first alone. */
const classCard = ({ cable, sides, all, off, joints, arrives, short, meets, cannot, doubts }, place) => h("li.card", { "data-class": cable.name },
  h("b", {}, t("class", { name: cable.name })), " ", t("loss", { db: all, off, joints }), arrives === null ? "" : ` ${t("arrives", { dbm: arrives })}`,
  meets === null ? "" : h("span", { class: meets ? "kept" : "broken" }, ` ${meets ? "✓" : "✗"} ${t(meets ? "meets_want" : "misses_want", { db: short })}`),
  sides.some((side) => side && side.end !== null) ? h("p", {}, t("ends", { one: endOf(sides[0], place), other: endOf(sides[1], place) })) : null,
  ...doubts.map((doubt) => h(cannot && doubt === doubts[0] ? "p.harm" : "p.quiet", {}, doubt)));

const endOf = (side, place) => (side && side.end !== null ? world.halves[side.end][place === 0 ? "order" : "name"] : "?");

/* Why a class cannot be had for the run. */
const cannot = (cable, { tight, noJacket, noEnd }, places) => [tight ? t("too_tight", { mm: cable.bend[0] }) : "", noJacket ? t("not_outdoor") : "",
  ...places.map((place, at) => (noEnd[at] ? t("no_end", { port: place }) : ""))];

/* What stands between a class's end and a port, and how well that joins. */
function remarksOn({ chain, carries, returns, limited }, place) {
  const names = (one, other) => ({ one: world.halves[one].name, other: world.halves[other].name });
  return [chain.length ? t("needs_adapter", { port: place, chain: { list: chain.map(([outer, inner]) => ours("adapter", names(outer, inner))) } }) : "",
    carries === null ? "" : t("needs_jumper", { port: place, mm: carries }),
    ...limited.map(([one, other]) => t("limited_joint", { port: place, pair: t("tab_together"), ...names(one, other) })),
    returns === null ? "" : t("mismatched", { port: place, db: returns })];
}
