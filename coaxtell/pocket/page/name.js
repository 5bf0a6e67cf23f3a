/* The view that names a port: the question, the name with all that is said of it, the answers, what is at hand. */
"use strict";

function nameView() {
  const asked = state.asked ? { feature: world.engine.byName.get(state.asked), again: false } : port.next;
  const given = port.given, settled = given.length && world.pairs && !state.asked && port.settled;
  return [
    title("name_title"),
    given.length ? null : caution(ours("before")),
    ...port.terms.map(termReason).filter(Boolean).map(caution),
    world.folder && !isSecureContext ? h("p.quiet", {}, t("plain_http"), " ", h("a", { href: world.folder, download: "" }, world.folder)) : null,
    port.clash ? clashCard() : null,
    settled ? verdictCard() : null, // what is settled stands first, whatever else may be looked at
    asked ? questionCard(asked) : h("section.card", {}, h("h2", {}, t("enough")), h("p", {}, t("enough_why"))),
    given.length && world.pairs && !settled ? (asked ? { later: verdictCard } : verdictCard()) : null,
    given.length && world.pairs ? { later: shortlist } : null,
    given.length ? { later: answersCard } : null,
    { later: settingsCard },
  ];
}

function clashCard() {
  return h("section.card.harm", { role: "alert" }, h("h2", {}, t("clash")), spoken("p", clashReason()),
    port.allows(port.clash.misread) ? h("button", { onclick: () => ask(port.clash.misread) }, t("look_again", { look: lookName(port.clash.misread) })) : null);
}

const lookName = (name) => world.questions[name].noun;

function ask(name) {
  change({ asked: name });
  show(true);
}

const answerWords = (name, answer) => world.words.say(answerReason(name, answer));

function answerReason(name, answer = port.answers[name]) {
  if (answer.unsure) return ours("cannot_tell");
  if (answer.none) return ours("nothing");
  if (answer.saw === undefined) return answer.photo ? ours("by_photograph", { typed: answer.typed }) : sizeReason(name, answer);
  return nameReason((world.questions[name].answers || {})[answer.saw] || answer.saw);
}

/* A size as it was typed, with its unit where none was. */
function sizeReason(name, { read, typed = String(read) }) {
  const found = world.grammar.read(typed);
  if (found.refused || found.unit) return nameReason(typed);
  return ours(world.engine.byName.get(name).off === undefined ? "millimetres" : "threads", { size: typed });
}

/* What follows from what was said of the port, where it is energised or may carry high voltage. */
function termReason(term) {
  const { lookOnly, highVoltage } = world.engine.tables.acts;
  if (term === lookOnly) return ["need.from_afar_live", {}];
  if (term !== highVoltage) return null;
  return port.mayCarry ? ours("high_voltage") : ["need.from_afar_kilovolts", {}];
}

/* That nothing is held beside the port, where that may not be done and it is not said already. */
const afarReasons = () => port.fromAfar.filter((code) => !port.terms.some((term) => (termReason(term) || [])[0] === code)).map((code) => [code, {}]);

function questionCard(look) {
  const { feature, again } = look, { how, otherwise } = world.questions[feature.name];
  return h("section.card", { "data-look": feature.name },
    h("h2", {}, again ? `${t("once_more")} ` : "", port.ask(feature)),
    feature.needs.length ? actsCautions() : null,
    feature.beside ? afarReasons().map(caution) : null,
    h("p", {}, (again && otherwise) || how),
    state.asked ? null : h("p.quiet", {}, world.words.say(port.why(look))), // of one he chose himself it would not be true
    feature.seen ? ways(look) : shot && shot.feature === feature.name && shot.answers === port.answers ? shotCard(look) : measuring(look),
    h("button.way.plain", { onclick: () => answered(feature.name, { unsure: true }, again) }, t("cannot_tell")));
}

/* What must hold before the port is touched, for what it may be as far as the answers tell. */
function actsCautions() {
  const { highVoltage, precision } = world.engine.delicate(port.state, port.belief, world.limits.possible);
  return ["pocket.before", highVoltage && "need.no_high_voltage", precision && "need.own_gauge", "caution.site"].filter(Boolean).map((code) => caution(world.acts[code] || code));
}

/* The answers of a look that is seen, each with the likeliest half that shows it. */
function ways({ feature, again }) {
  const now = (again ? port.again : port.answers)[feature.name], texts = world.questions[feature.name];
  return feature.offered.map((value) => {
    const shown = exampleOf(feature, value);
    const art = texts.mm ? thing(texts.mm[value], Math.max(...feature.offered.map((v) => texts.mm[v]))) : shown === null ? null : viewOf(shown, texts.sideways.includes(value) ? "side" : "face");
    return h("button.way", { "aria-pressed": String(Boolean(now && now.saw === value)), onclick: () => answered(feature.name, { saw: value }, again) }, art, h("span", {}, capital(texts.answers[value])));
  });
}

function exampleOf(feature, value) {
  if (feature.unseen) return null;
  const found = port.order.find((half) => world.halves[half].first[feature.name] === value);
  return found === undefined ? null : found;
}

function thing(mm, largest) {
  const picture = svg("svg", { viewBox: `${-largest / 2} ${-largest / 2} ${largest} ${largest}`, "aria-hidden": "true", class: "half" });
  picture.append(svg("circle", { r: mm / 2 - largest / 60, fill: "none", stroke: "currentColor", "stroke-width": largest / 30 }));
  return picture;
}

/* Why a size is not taken: in the desk's words where the page has been given them. */
function refusal({ refused, ...values }) {
  const code = `refused.${refused}`;
  return code in world.words.texts ? world.words.say([code, values]) : t(`refused_${refused}`);
}

/* A size as it is typed: {read, off, typed} or {refused}. */
function readSize(feature, text) {
  const { limits } = world, threads = feature.off !== undefined;
  return world.grammar.reading(text, { threads, off: threads ? feature.off : port.off === null ? world.engine.tables.instruments[0].off : port.off, gaugeOff: limits.gaugeOff, least: threads ? limits.fewest : limits.smallest, most: threads ? limits.most : limits.largest, finest: threads ? limits.finestCount : limits.finest });
}

function measuring({ feature, again }) {
  const threads = feature.off !== undefined;
  const now = (again ? port.again : port.answers)[feature.name];
  const field = h("input", { type: "text", inputmode: "text", autocomplete: "off", value: (now && now.typed) || "", "aria-describedby": "refused", "aria-label": port.ask(feature) });
  const refused = h("p.harm", { id: "refused", role: "alert" });
  const take = (event) => {
    event.preventDefault();
    const found = readSize(feature, field.value);
    if (found.refused) refused.textContent = refusal(found);
    else answered(feature.name, now && now.photo && now.typed === found.typed ? now : found, again);
  };
  return [
    h("form.row", { onsubmit: take }, field, h("button", { type: "submit" }, t("take"))),
    h("p.quiet", {}, t(threads ? "type_threads" : "type_size", { instrument: t(`instrument_${port.instrument}`) })),
    refused,
    threads || !world.pairs ? null : h("button.way.plain", { onclick: () => { shot = { feature: feature.name, answers: port.answers, level: "unknown", mm: "", refused: "" }; show(); } }, t("photo_measure")),
    h("button.way.plain", { onclick: () => answered(feature.name, { none: true }, again) }, t("nothing")),
  ];
}

function verdictCard() {
  const half = world.halves[port.first], mates = port.mates(port.first), fit = mates.length ? mates[0].j : null;
  const alike = port.lookAlikes(fit), ordered = port.orderable && fit !== null;
  const first = [kilovolts(), gaugeAlone(), gaugeReason(fit), wornReason(), photographedReason(), harmReason(fit), ordered ? LIVE : null, unmeasuredReason(), unsureReason(port.first)].filter(Boolean);
  const details = state.open ? named(half, mates, fit, alike, first) : [];
  return h("section.card.named", { "data-half": half.id },
    h("h2", {}, h("span", { "data-name": "" }, half.name), ` · ${port.percent(port.belief[port.first])}`),
    spoken("p", stateReason(), { "data-state": port.named }),
    viewOf(port.first, "face"), viewOf(port.first, "side"),
    ordered ? h("p.order", {}, t("order", { words: world.halves[fit].order })) : null,
    ...first.map(caution),
    h("button", { "aria-expanded": String(Boolean(state.open)), onclick: () => { change({ open: !state.open }); show(); } }, t(state.open ? "less" : "more")),
    ...details,
    h("div.row", {},
      h("button", { onclick: () => go("turn", { turned: half.id }) }, t("turn_it")),
      h("button", { onclick: () => addToSite() }, t("add")),
      h("button", { onclick: () => send() }, t("send")),
      h("button", { onclick: () => sendPicture() }, t("picture"))));
}

/* All the rest; `told` are the cautions that stand above it already. */
function named(half, mates, fit, alike, told) {
  const codes = told.map((reason) => reason[0]);
  return [
    h("p", {}, capital(half.gender) + "."),
    h("h3", {}, t("rests")),
    h("ul", {}, port.restsOn().map(({ name, without }) => h("li", {}, `${lookName(name)}: ${answerWords(name, port.counts[name])} `, h("span.quiet", {}, t("without", { sure: port.percent(without) }))))),
    h("h3", {}, t("mates")),
    h("ul", {}, mates.length ? mates.map(({ j, limited }) => h("li", {}, h("button.link", { onclick: () => go("together", { pair: [half.id, world.halves[j].id] }) }, world.halves[j].name), limited ? ` ${t("limited")}` : "")) : h("li", {}, t("mates_nothing"))),
    h("h3", {}, t("port_words")),
    h("p", {}, half.order),
    alike.length ? h("h3", {}, t("alike")) : null,
    h("ul", {}, alike.map(({ j, p, verdict, tells, gauged }) => h("li", {},
      h("button.link", { onclick: () => go("together", { pair: [world.halves[j].id, fit === null ? half.id : world.halves[fit].id] }) }, world.halves[j].name),
      ` ${port.percent(p)}. `, fit === null ? "" : t("alike_would", { mate: world.halves[fit].name, verdict: verdictName(verdict) }), " ",
      tells ? world.words.say(tellsReason({ j, tells, gauged })) : t("tells_nothing")))),
    half.polarity === "reverse" ? h("p.quiet", {}, world.words.say("caution.reverse")) : null,
    ...(fit === null ? [] : reasonsOf(port.pairWith(port.first, fit).pair[3]).filter(([code]) => !codes.includes(code)).map(caution)),
  ];
}

function shortlist() {
  const few = port.order.slice(0, world.limits.shortlist).filter((half, place) => place === 0 || port.belief[half] >= world.limits.worthShowing);
  const widest = Math.max(...few.map((half) => Number(world.pictures[half].face.box.split(" ")[2])));
  return h("section.card", {}, h("h2", {}, t("shortlist")), h("ul.short", {}, few.map((half) => {
    const wide = Number(world.pictures[half].face.box.split(" ")[2]), picture = viewOf(half, "face");
    picture.style.width = picture.style.height = `${(72 * wide) / widest}px`;
    return h("li", {}, h("span.frame", {}, picture), h("span", {}, world.halves[half].name, h("br"), port.percent(port.belief[half])));
  })));
}

function answersCard() {
  const left = world.engine.openLooks(port.state, port.belief).filter(({ again }) => !again).map(({ feature }) => feature);
  return h("section.card", {}, h("h2", {}, t("answers")),
    h("ul.given", {}, port.given.map((name) => h("li", {}, h("span", {}, lookName(name), ": ", h("b", {}, answerWords(name)), port.again[name] ? [h("br"), againWords(name)] : null),
      port.allows(name) ? h("button", { onclick: () => ask(name), "aria-label": t("change_one", { look: lookName(name) }) }, t("change")) : null,
      h("button", { onclick: () => answered(name, null), "aria-label": t("withdraw_one", { look: lookName(name) }) }, t("withdraw"))))),
    pick(t("another_look"), [["", t("choose")], ...left.map((feature) => [feature.name, lookName(feature.name)])], "", (name) => name && ask(name)),
    h("button", { onclick: beginAgain }, t("begin_again")));
}

/* Another port; until the next act the answers to this one can be had back. */
function beginAgain() {
  const [before, { asked, open }] = [port, state];
  const back = () => { port = before; change({ port: port.plain(), asked, open }); show(true); };
  port = anotherPort();
  change({ port: port.plain(), asked: null, open: false });
  show(true);
  canUndo(t("begun_again"), back);
}

const anotherPort = () => port.in({ answers: {}, again: {}, terms: [] });

function settingsCard() {
  const settings = Object.keys(world.engine.tables.settings).map((key) => [key, world.settings[key]]);
  const instruments = world.engine.tables.instruments.map(({ name }) => [name, t(`instrument_${name}`)]);
  const now = (changes) => { port = port.in(changes); change({ port: port.plain(), asked: null }); show(); };
  const terms = world.limits.terms.map((term) => h("label.check", {}, h("input", { type: "checkbox", checked: port.terms.includes(term),
    onchange: (event) => now({ terms: world.limits.terms.filter((one) => (one === term ? event.target.checked : port.terms.includes(one))) }) }), t(`term_${term.replaceAll("-", "_")}`))).flatMap((label, k) => [label, ...[world.limits.terms[k]].filter((term) => port.terms.includes(term)).map(termReason).filter(Boolean).map(caution)]);
  return h("section.card", {}, pick(t("where"), settings, port.setting, (setting) => now({ setting })), pick(t("at_hand"), instruments, port.instrument, (instrument) => now({ instrument })), ...terms);
}
