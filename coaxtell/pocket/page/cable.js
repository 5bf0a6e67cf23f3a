/* The view of a cable: what a run loses, and which classes do. */
"use strict";

function cableView() {
  const { cables } = world, celsius = t("celsius", { size: cables.celsius });
  const run = { length: "10m", band: Object.keys(cables.bands)[0], power: "", want: "", bend: "", celsius, outdoor: false, reader: port.given.length && port.settled ? world.halves[port.first].id : "", antenna: "", ...(state.run || {}) };
  // only what was chosen is kept: the reader's port goes with the port that is named
  const set = (changes) => { change({ run: { ...state.run, ...changes } }); showAround(); };
  const typed = readRun(run), value = (key) => (typed[key] && typed[key].value !== undefined ? typed[key].value : null);
  const text = (key, label) => [h("label", {}, label, h("input", { type: "text", value: run[key], autocomplete: "off", onchange: (event) => set({ [key]: event.target.value }) })),
    typed[key] && typed[key].refused ? h("p.harm", { role: "alert" }, t(`refused_${typed[key].refused}`)) : null,
    typed[key] && typed[key].bare ? h("p.quiet", { "data-taken": key }, t("taken", { size: t(typed[key].bare, { size: typed[key].value }) })) : null];
  const unread = Object.values(typed).some((one) => one && one.refused);
  const asked = { mhz: cables.bands[run.band][3], metres: value("length"), celsius: value("celsius"), power: value("power"), want: value("want"), bend: value("bend"), outdoor: run.outdoor };
  const ids = [run.reader, run.antenna], places = [ours("reader_port"), ours("antenna_port")], ports = ids.map((id) => (id ? world.index[id] : null));
  const reckoned = (cable, ports) => {
    const sides = ports.map((port) => (port === null ? null : world.sides.all[world.sides.of[cable.name][port]])), found = runOn(cables, cable, sides, asked);
    return { cable, sides, ports, ...found, meets: unread ? null : found.meets, against: againstSense(cables, world.sides, cable, ports, sides, asked) };
  };
  const others = run.reader === world.halves[port.first].id && port.named === world.limits.states[1] ? port.others : [];
  const able = asked.metres !== null && asked.celsius !== null, runs = able ? cables.classes.map((cable) => ({ ...reckoned(cable, ports), instead: others.map((half) => reckoned(cable, [half, ports[1]])) })) : [];
  const target = targetOf(cables, runs, asked), open = typed.want === null;
  return [title("cable_title"), pickHalf(t("reader_port"), run.reader, (id) => set({ reader: id })),
    others.length ? caution(ours("open_name", { others: anyOf(others.map((half) => nameReason(world.halves[half].name))), named: nameReason(world.halves[port.first].name) })) : null,
    pickHalf(t("antenna_port"), run.antenna, (id) => set({ antenna: id })),
    ...text("length", t("length")), pick(t("band"), Object.entries(cables.bands).map(([key, [name]]) => [key, world.words.named(name)]), run.band, (band) => set({ band })),
    ...text("power", t("power")), ...text("want", t("want")), asked.want !== null && typed.power === null ? h("p.harm", {}, t("want_no_power")) : null, ...text("bend", t("bend")), ...text("celsius", t("temperature", { celsius })),
    h("label.check", {}, h("input", { type: "checkbox", checked: run.outdoor, onchange: (event) => set({ outdoor: event.target.checked }) }), t("outdoor")),
    ids.includes("") ? h("p", {}, t("ports_wanted")) : null,
    ...(able ? heading(cables, target, runs, asked, open) : []),
    h("ul.classes", {}, ranked(cables, target, runs).map((row, place) => classCard(row, place, { places, asked, open }))),
    caution(ours("law"))];
}

/* What the fields of a run hold, each as `readTyped` tells it; a length must stand there, and without a
 * temperature the usual one counts. */
function readRun(run) {
  const { lengths: [shortest, longest], levels: [lowest, highest], celsius: usual, temperatures: [coldest, hottest], fahrenheit: [freezing, perDegree] } = world.cables;
  const mm = (unit) => world.grammar.perMm(unit), perM = mm("m");
  const level = { reads: (value, unit) => (/^(dbm)?$/i.test(unit) ? value : NaN), least: lowest, most: highest, refused: "no_level" };
  const warmth = (value, unit) => (/^°?c?$/i.test(unit) ? value : /^°?f$/i.test(unit) ? (value - freezing) / perDegree : NaN);
  return {
    length: readTyped(run.length, { reads: (value, unit) => value * (unit ? mm(unit) / perM : 1), bare: "metres", least: shortest, most: longest, refused: "no_run" }) || { refused: "no_run" },
    bend: readTyped(run.bend, { reads: (value, unit) => value * mm(unit), bare: "millimetres", least: shortest * perM, most: longest * perM, refused: "no_bend" }),
    power: readTyped(run.power, level), want: readTyped(run.want, level),
    celsius: readTyped(run.celsius, { reads: warmth, bare: "celsius", least: coldest, most: hottest, refused: "no_degree" }) || { value: usual, bare: "celsius" },
  };
}

/* What is typed in a field: null where nothing is, else {value} as `reads` gives it, with what a number without a unit was
 * taken for as the code of a text, or {refused: code}. */
function readTyped(typed, { reads, bare, least, most, refused }) {
  if (!typed.trim()) return null;
  const found = world.grammar.read(typed);
  if (found.refused) return { refused: ["thousands", "other_digits"].includes(found.refused) ? found.refused : refused };
  if (found.off !== null) return { refused: "no_plus_minus" };
  const value = reads(found.value, found.unit);
  return !found.bareFraction && value >= least && value <= most ? { value, bare: found.unit ? null : bare } : { refused };
}

/* What the losses are for, by what the classes stand in their order, and what they are held to
 * where nothing wanted is typed (`open`). */
const heading = ({ warmth, usual }, { beyond }, runs, { mhz, celsius, want }, open) => [
  h("p", {}, t("losses_for", { mhz, celsius, share: 1000 * warmth[0] })),
  runs.every(({ cannot }) => cannot) ? spoken("p.harm", ours("nothing_to_order")) : h("p", {}, t(beyond ? "beyond_any" : "sorted", { want, db: usual }), open ? ` ${t("usual", { db: usual })}` : "")];

/* A class on the run: a tick or a cross only where it can be made, both ports are known and nothing typed is refused, and no
 * tick where it is not sensible or falls short with what the port may be instead; the words to order the ends by with the first
 * alone, and with none that cannot be made. */
function classCard({ cable, sides, ports, all, off, joints, arrives, short, over, meets, against, instead, ...found }, place, { places, asked, open }) {
  const falls = meets ? instead.filter((other) => !other.meets || other.against.length) : [];
  const mark = meets === null || (meets && (against.length || falls.length)) ? null : h("span", { class: meets ? "kept" : "broken" }, ` ${meets ? "✓" : "✗"} ${t(meets ? "meets_want" : "misses_want", { db: short })}`);
  const remarks = [asked.power !== null && cable.watts === null ? t("power_unknown") : "", ...sides.flatMap((side, at) => (side ? remarksOn(side, ports[at], places[at]) : [])), !found.tight && asked.bend !== null && asked.bend < cable.bend[1] ? t("bend_once", { mm: cable.bend[1] }) : ""];
  return h("li.card", { "data-class": cable.name },
    h("b", {}, t("class", { name: cable.name })), " ", t("loss", { db: all, off, joints }), arrives === null ? "" : ` ${t("arrives", { dbm: arrives })}`, mark,
    over && open ? ` ${t("over_usual", { db: over })}` : "",
    ...[...cannot(cable, found, places), ...against.map(([code, values]) => ours("not_sensible", { why: senseReason(code, values, places) })), ...falls.map(fallsReason)].filter(Boolean).map((reason) => spoken("p.harm", reason)),
    !found.cannot && sides.some((side) => side && side.end !== null) ? h("p", {}, t("ends", { one: endOf(sides[0], place), other: endOf(sides[1], place) })) : null,
    ...remarks.filter(Boolean).map((remark) => h("p.quiet", {}, remark)));
}

/* What of a class is not as wanted where the reader's port is another one. */
const fallsReason = ({ ports, meets, short }) => {
  const name = nameReason(world.halves[ports[0]].name);
  return meets === false ? ours("instead_short", { name, db: short }) : ours("instead_not", { name });
};

const endOf = (side, place) => (side && side.end !== null ? world.halves[side.end][place === 0 ? "order" : "name"] : "?");

/* Why a class cannot be had for the run, as reasons. */
const cannot = (cable, { tight, noJacket, hot, rating, noEnd }, places) => [tight && ours("too_tight", { mm: cable.bend[0] }), noJacket && ours("not_outdoor"), hot && ours("too_hot", { watts: rating }),
  ...places.map((place, at) => noEnd[at] && ours("no_end", { port: place }))];

/* Why a class is not sensible, as a reason of the page's words. */
function senseReason(code, { at, port, halves, ...values }, places) {
  const name = (half) => nameReason(world.halves[half].name);
  if (code === "heavy") return ours("heavy", { ...values, port: places[at], name: name(port) });
  return ["long", "unrated"].includes(code) ? ours(code, values) : ours(code, { ...values, halves: halves.map(name).reduce((first, then) => ours("both", { first, then })) });
}

/* What stands between a class's end and a port, and how well that joins. */
function remarksOn({ chain, jumpers, returns, limited }, port, place) {
  const names = (one, other) => ({ one: world.halves[one].name, other: world.halves[other].name });
  return [chain.length ? t("needs_adapter", { port: place, chain: { list: chain.map(([outer, inner]) => ours("adapter", names(outer, inner))) } }) : "",
    jumpers && chain.length ? t("needs_jumper", { port: place, mm: world.sides.carries[port] }) : "",
    ...limited.map(([one, other]) => t("limited_joint", { port: place, pair: t("tab_together"), ...names(one, other) })),
    returns === null ? "" : t("mismatched", { port: place, db: returns })];
}
