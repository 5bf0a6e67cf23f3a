/* What is said of the named port: the same doubts on the screen and in whatever is handed over. */
"use strict";

/* How far the port is named; a doubt says what it is. */
function stateReason() {
  const [settled, fitsAll] = world.limits.states;
  if (port.settled && port.clash) return ours("settled_clash", { misread: lookName(port.clash.misread) });
  if (port.named === settled) return ours("settled");
  if (port.named === fitsAll) return ours("fits_all");
  if (port.mayCarry) return ours("high_voltage");
  if (port.apart.length) return apartReason();
  if (port.clash) return ours("clashing");
  if (!port.centreTold) return ours("centre_untold");
  if (port.misfits.length) return ours("misfits", { looks: looksNamed(port.misfits) });
  return ours("unsettled", { sure: sureOf(port.orderProbability, world.limits) });
}

/* The readings of one size that exclude each other. */
const apartReason = () => ours("apart", { said: { list: port.apart.map((name) => ours("said_both", { look: nameReason(lookName(name)), one: answerReason(name), other: answerReason(name, port.again[name]) })) } });

/* What was measured in a photograph, which is experimental; null where nothing was. */
function photographedReason() {
  const names = port.given.filter((name) => port.counts[name].photo || port.apart.includes(name));
  return names.length ? ours("photographed", { looks: looksNamed(names) }) : null;
}

const looksNamed = (names) => ({ list: names.map((name) => nameReason(lookName(name))) });

/* Which answers no connector gives together, and the one to look at again. */
function clashReason() {
  const { features, misread } = port.clash;
  return ours("clash_why", { said: { list: features.map((name) => ours("said_one", { look: nameReason(lookName(name)), answer: answerReason(name, port.counts[name]) })) }, misread: lookName(misread) });
}

const wornReason = () => (port.worn.length ? ours("worn", { looks: looksNamed(port.worn) }) : null);

/* That the part to be ordered damages what the port may be instead; null where it damages none of it. */
function harmReason(fit) {
  const harm = fit === null ? [] : port.lookAlikes(fit).filter(({ verdict }) => world.limits.harm[0] === verdict);
  return harm.length ? ours("harm", { others: anyOf(harm.map(({ j }) => nameReason(world.halves[j].name))), mate: world.halves[fit].name }) : null;
}

/* What looks like the named half and has no sizes, so that no answer leads to it; not where the coupling was seen to be another. */
function unmeasuredReason() {
  const seen = port.counts.coupling?.saw;
  const names = (world.unmeasured[world.halves[port.first].id] || []).filter(([, held]) => !seen || !held || held === seen).map(([name]) => name);
  return names.length ? ours("unmeasured", { names: anyOf(names.map(nameReason)) }) : null;
}

/* That it is not known what becomes of a half with others. */
const unsureReason = (half) => (world.unsure || {})[world.halves[half].id] || null;

/* What the port may be beside what it is called. */
function insteadReason() {
  const { shortlist, possible } = world.limits;
  const others = port.order.slice(1, shortlist).filter((half) => port.belief[half] >= possible);
  return others.length ? ours("instead", { others: anyOf(others.map((half) => ours("one_sure", { name: world.halves[half].name, sure: sureOf(port.belief[half], world.limits) }))) }) : null;
}

/* The caution of high voltage, in what is joined to what: of two halves one looks like a port for that. */
const kilovoltsOf = (half, fit) => reasonsOf(port.pairWith(half, fit).pair[3]).find(([code]) => code === world.limits.kilovolts) || null;

/* The same of the port that is named: it, or what goes onto it, looks so, or it may be one that does as far as its answers
 * tell; null where that is ruled out, and where the state of the name says more. */
function kilovolts() {
  const { first, state, belief } = port, mate = port.mates(first)[0];
  if (port.mayCarry) return null;
  return kilovoltsOf(first, mate ? mate.j : first) || (world.engine.delicate(state, belief).highVoltage ? world.kilovolts : null);
}

/* What tells the named half from a look-alike. */
function tellsReason({ j, tells, gauged }) {
  const { shows } = world.halves[port.first];
  return ours(gauged ? "tells_gauged" : "tells", { look: nameReason(lookName(tells.name)), here: shows[tells.name], there: world.halves[j].shows[tells.name] });
}

/* That nothing but its maker's own gauge touches or enters its face, where it may be a precision port; else null. */
const gaugeAlone = () => (world.engine.delicate(port.state, port.belief).precision ? world.acts["need.own_gauge"] : null);

/* What would settle a port where only the maker's own gauge tells it from what it may be instead; else null. */
function gaugeReason(fit) {
  const rival = port.settled ? null : port.lookAlikes(fit).find(({ p }) => p >= world.limits.possible);
  return rival && rival.gauged ? tellsReason(rival) : null;
}

/* What is to be known before it is joined to what was ordered. */
const LIVE = ["caution.live", {}];

/* All that stands against the name or the joining, as reasons: that it is energised, then the state of the name. */
function doubts() {
  const mate = port.mates(port.first)[0], open = port.named !== world.limits.states[0] || port.clash;
  const { lookOnly } = world.engine.tables.acts;
  return [
    port.terms.includes(lookOnly) ? termReason(lookOnly) : null,
    open ? stateReason() : null, kilovolts(), gaugeAlone(), gaugeReason(mate ? mate.j : null), port.clash ? clashReason() : null, open ? insteadReason() : null,
    wornReason(), photographedReason(), harmReason(mate ? mate.j : null), unmeasuredReason(), unsureReason(port.first),
  ].filter(Boolean);
}

/* The port in words to send: the name, what stands against it with its English, what to order, every answer with its second
 * look. */
function message() {
  const half = world.halves[port.first], mate = port.mates(port.first)[0];
  const order = !port.orderable ? [] : mate ? [t("order", { words: world.halves[mate.j].order }), ...inLanguages(LIVE)] : [t("mates_nothing")];
  const seen = (name) => [`${lookName(name)}: ${answerWords(name)}`, ...(port.again[name] ? [againWords(name)] : [])];
  return [`${half.name} (${half.id}), ${port.percent(port.orderProbability)}`, ...doubts().flatMap(inLanguages), ...order, ...port.given.flatMap(seen), world.inEnglish ? t("unreviewed") : ""].filter(Boolean).join("\n");
}

const againWords = (name) => `${t("once_more")} ${lookName(name)}: ${answerWords(name, port.again[name])}`;
