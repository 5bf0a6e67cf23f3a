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
  const ends = ports.map(endKnown), held = ends.some(({ holding }) => holding.length);
  const both = ends.map(({ others }, at) => [ports[at], ...others]), instead = both[0].flatMap((reader) => both[1].map((antenna) => [reader, antenna])).slice(1);
  const able = asked.metres !== null && asked.celsius !== null, runs = able ? cables.classes.map((cable) => ({ ...reckoned(cable, ports), instead: instead.map((others) => reckoned(cable, others)) })) : [];
  const target = targetOf(cables, runs, asked), open = typed.want === null;
  return [title("cable_title"), pickHalf(t("reader_port"), run.reader, (id) => set({ reader: id })), ...cautionsAt(ends[0], places[0]),
    pickHalf(t("antenna_port"), run.antenna, (id) => set({ antenna: id })), ...cautionsAt(ends[1], places[1]),
    ...text("length", t("length")), pick(t("band"), Object.entries(cables.bands).map(([key, [name]]) => [key, world.words.named(name)]), run.band, (band) => set({ band })),
    ...text("power", t("power")), ...text("want", t("want")), asked.want !== null && typed.power === null ? h("p.harm", {}, t("want_no_power")) : null, ...text("bend", t("bend")), ...text("celsius", t("temperature", { celsius })),
    h("label.check", {}, h("input", { type: "checkbox", checked: run.outdoor, onchange: (event) => set({ outdoor: event.target.checked }) }), t("outdoor")),
    ids.includes("") ? h("p", {}, t("ports_wanted")) : null,
    ...(able ? heading(cables, target, runs, asked, open) : []),
    h("ul.classes", {}, judged(ranked(cables, target, runs), ports, held).map((row) => classCard(row, { places, asked, open }))),
    caution(ours("law"))];
}

/* The caution of high voltage, of a half and what goes onto it. */
const kilovoltsAt = (half) => { const mate = port.mates(half)[0]; return kilovoltsOf(half, mate ? mate.j : half); };

/* What is known of the half at one end of a run, by the port on the screen and those of the site that are named so or may be:
 * {half, others, told, holding, maybe}; `others` are what it may be with the same order, `told` what stands against it,
 * `holding` the ports for which nothing is ordered, `maybe` those of an open name that are called otherwise and may be it,
 * with their shares. */
function endKnown(half) {
  if (half === null) return { half, others: [], told: [], holding: [], maybe: [] };
  const { possible, states } = world.limits, { bayonetHalves } = world.engine.tables.acts;
  const here = port.given.length || port.mayCarry ? [{ which: ours("port_here"), first: port.given.length ? port.first : null, named: port.named, told: doubts(), held: !port.orderable, likely: port.order.map((one) => [one, port.belief[one]]) }] : [];
  const there = (state.site || []).map((one) => ({ which: whereOf(one), first: one.id ? world.index[one.id] : null, named: namedOf(one), told: toldOf(one), held: heldBack(one), likely: likelyOf(one) }));
  const others = new Set(), told = [], holding = [], maybe = [];
  for (const one of [...here, ...there]) {
    const codes = one.told.map(([code]) => code), live = codes.includes("pocket.high_voltage");
    const may = one.likely.flatMap(([other, p]) => (p >= possible ? [other] : [])), open = one.named === states[1] && one.first === half;
    const otherwise = one.first !== null && one.first !== half && one.named !== states[0] ? one.likely.filter(([other, p]) => other === half && p >= possible) : [];
    maybe.push(...otherwise.map(([, p]) => ours("one_sure", { name: one.which, sure: sureOf(p, world.limits) })));
    if (one.first !== half && !(live && bayonetHalves.includes(half) && may.includes(half))) continue;
    if (open) may.filter((other) => other !== half).forEach((other) => others.add(other));
    told.push(...one.told.filter(([code]) => !(open && ["pocket.fits_all", "pocket.instead"].includes(code))));
    if (one.held) holding.push(one.which);
  }
  const kilovolts = told.some(([code]) => code === world.limits.kilovolts || code === "pocket.high_voltage") ? null : kilovoltsAt(half);
  return { half, others: [...others], told: [...told, kilovolts, unsureReason(half)].filter(Boolean), holding, maybe };
}

/* What stands under the list of an end: all that is told of it once, what it may be instead, which port nothing is ordered for,
 * and which other port may be it. */
function cautionsAt({ half, others, told, holding, maybe }, place) {
  const each = (ports) => ({ list: [...new Map(ports.map((one) => [world.words.say(one), one])).values()] });
  const open = others.length ? [ours("open_name", { others: anyOf(others.map((one) => nameReason(world.halves[one].name))), named: nameReason(world.halves[half].name) })] : [];
  const held = holding.length ? [ours("held_back", { port: place, which: each(holding), named: nameReason(world.halves[half].name) })] : [];
  const too = maybe.length ? [ours("may_be", { chosen: nameReason(world.halves[half].name), ports: each(maybe) })] : [];
  const once = new Map([...told, ...open, ...held, ...too].map((reason) => [world.words.say(reason), reason]));
  return [...once.values()].map(caution);
}

/* The rows with what each `falls` short of where an end is another port, whether it is `ticked`, and the one to `order` by: the
 * first with a tick; where none has, the first, unless it falls short so. Nothing is ticked or ordered for a port that is `held`. */
function judged(rows, ports, held) {
  const found = rows.map((row) => {
    const falls = row.meets ? row.instead.filter((other) => !other.meets || other.against.length) : [];
    return { ...row, falls: falls.map((other) => fallsReason(other, ports)), held, ticked: row.meets === true && !held && !row.against.length && !falls.length };
  });
  const first = found.findIndex(({ ticked }) => ticked), order = first < 0 ? found.findIndex(({ falls }, place) => place === 0 && !falls.length) : first;
  return found.map((row, place) => ({ ...row, order: place === order }));
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
 * tick where it is not sensible or falls short with what a port may be instead; the words to order the ends by with one class
 * alone, and no ends with one that cannot be made. */
function classCard({ cable, sides, ports, all, off, joints, arrives, short, over, meets, against, falls, ticked, order, held, ...found }, { places, asked, open }) {
  const mark = meets === null || (meets && !ticked) ? null : h("span", { class: meets ? "kept" : "broken" }, ` ${meets ? "✓" : "✗"} ${t(meets ? "meets_want" : "misses_want", { db: short })}`);
  const remarks = [asked.power !== null && cable.watts === null ? t("power_unknown") : "", ...sides.flatMap((side, at) => (side ? remarksOn(side, ports[at], places[at]) : [])), !found.tight && asked.bend !== null && asked.bend < cable.bend[1] ? t("bend_once", { mm: cable.bend[1] }) : ""];
  return h("li.card", { "data-class": cable.name },
    h("b", {}, t("class", { name: cable.name })), " ", t("loss", { db: all, off, joints }), arrives === null ? "" : ` ${t("arrives", { dbm: arrives })}`, mark,
    over && open ? ` ${t("over_usual", { db: over })}` : "",
    ...[...cannot(cable, found, places), ...against.map(([code, values]) => ours("not_sensible", { why: senseReason(code, values, places) })), ...falls].filter(Boolean).map((reason) => spoken("p.harm", reason)),
    !found.cannot && !held && sides.some((side) => side && side.end !== null) ? h("p", {}, t("ends", { one: endOf(sides[0], order), other: endOf(sides[1], order) })) : null,
    ...remarks.filter(Boolean).map((remark) => h("p.quiet", {}, remark)));
}

/* What of a class is not as wanted where one of the ports, or both, are other ones than they are called. */
function fallsReason({ ports, meets, short }, named) {
  const other = (half, at) => ours("instead_port", { name: nameReason(world.halves[half].name), port: [ours("reader_port"), ours("antenna_port")][at] });
  const told = ports.flatMap((half, at) => (half === named[at] ? [] : [other(half, at)])).reduce((first, then) => ours("both", { first, then }));
  return meets === false ? ours("instead_short", { ports: told, db: short }) : ours("instead_not", { ports: told });
}

const endOf = (side, order) => (side && side.end !== null ? world.halves[side.end][order ? "order" : "name"] : "?");

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
