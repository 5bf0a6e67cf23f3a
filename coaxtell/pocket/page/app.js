/* The page itself: seven views over one state that is kept. Every word comes from the texts that Python wrote. */
"use strict";

const VIEWS = { name: nameView, turn: turnView, together: togetherView, life: lifeView, cable: cableView, practise: practiseView, site: siteView };
const world = {};
let state, port;

const t = (code, values) => world.words.say([`pocket.${code}`, values || {}]);
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

function change(changes) {
  state = { ...state, ...changes };
  keepState();
}

/* Keeps the state on this phone; says where it keeps nothing more, as long as that is so. */
function keepState() {
  const kept = keep(state), note = document.querySelector("body > .full");
  if (kept && note) note.remove();
  if (!kept && !note) document.querySelector("main").before(h("p.caution.told.full", { role: "alert" }, t("not_kept")));
}

/* Takes an answer: said at once that it was taken, drawn once what follows from it is reckoned, kept then. */
async function answered(name, answer, again) {
  const pressed = document.activeElement && document.activeElement.closest("main button");
  if (pressed) pressed.classList.add("taken");
  document.documentElement.dataset.busy = "yes";
  port = port.with(name, answer, again);
  state = { ...state, port: port.plain(), asked: null };
  const own = port;
  await painted();
  // another answer may have come meanwhile: that one is drawn
  if (own === port && document.documentElement.dataset.busy) await showInTurn();
  keepState();
}

/* Once what was changed stands on the screen. */
const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));

/* Draws the view that is open; `top` after another one was opened. */
function show(top) {
  const main = document.querySelector("main");
  delete document.documentElement.dataset.busy;
  main.replaceChildren(...pieces().map((piece) => piece.later ? piece.later() : piece));
  document.querySelectorAll("nav button").forEach((button) => {
    button.setAttribute("aria-current", button.dataset.view === state.view ? "page" : "false");
  });
  if (top) {
    scrollTo(0, 0);
    main.querySelector("h1").focus();
    // with large text the row of views is wider than the screen
    const nav = document.querySelector("nav"), open = nav.querySelector("[aria-current=page]");
    nav.scrollLeft = open.offsetLeft - (nav.clientWidth - open.offsetWidth) / 2;
  }
  thinkAhead();
}

/* Draws the same view anew from its top: what is asked next at once, what stands below it one picture later each. */
async function showInTurn() {
  const main = document.querySelector("main"), all = pieces(), own = port;
  const first = all.findIndex((piece) => piece.later), soon = first < 0 ? all : all.slice(0, first);
  main.replaceChildren(...soon);
  scrollTo(0, 0); // what comes next stands first
  for (const piece of all.slice(soon.length)) {
    await painted();
    if (own !== port || !soon[0].isConnected) return; // something else was drawn meanwhile
    main.append(piece.later());
  }
  delete document.documentElement.dataset.busy;
  thinkAhead();
}

/* What stands in the view that is open, from its top: elements, and below the first screen what draws one `later`. */
function pieces() {
  if (world.stop) world.stop();
  world.stop = null;
  // pairs and pictures are still being taken apart while the first look is read
  const view = world.pairs || state.view === "name" ? VIEWS[state.view] : waitingView;
  const [head, ...rest] = view().filter(Boolean);
  return [head, world.inEnglish ? h("p.quiet", {}, t("unreviewed")) : null, ...rest].filter(Boolean);
}

/* Draws the view anew around its fields, so that none is taken away from under a finger or from the keys. */
function showAround() {
  const main = document.querySelector("main"), called = (one) => one.tagName === "LABEL" && one.firstChild.textContent;
  const standing = new Map([...main.children].filter(called).map((one) => [called(one), one]));
  const drawn = pieces().map((piece) => standing.get(called(piece)) || piece);
  for (const one of [...main.children]) if (!drawn.includes(one)) one.remove();
  drawn.forEach((one, place) => { if (main.children[place] !== one) main.insertBefore(one, main.children[place] || null); });
}

/* While the question is read: what would follow from each of its answers, the likeliest first, so that none waits for it.
 * In slices, and a finger that lands stops it, that its touch be answered at once. */
const SLICE_MS = 5;
function thinkAhead() {
  if (state.view !== "name" || state.asked || !world.pairs) return;
  const own = port, look = own.next;
  if (!look || !look.feature.seen) return;
  const idle = window.requestIdleCallback || ((then) => setTimeout(then, 50)), { name, offered } = look.feature;
  const chance = (value) => world.halves.reduce((sum, half, j) => sum + (half.first[name] === value ? own.belief[j] : 0), 0);
  const likely = offered.map((saw) => [chance(saw), { saw }]).sort((a, b) => b[0] - a[0]).map(([, answer]) => answer);
  const thought = (function* () { for (const answer of [...likely, { unsure: true }]) yield* own.with(name, answer, look.again).thinking(); })();
  world.thought = thought;
  const step = () => {
    const began = performance.now();
    do {
      if (thought !== world.thought || own !== port || document.documentElement.dataset.busy || thought.next().done) return;
    } while (performance.now() - began < SLICE_MS);
    idle(step);
  };
  idle(step);
}

addEventListener("pointerdown", () => { world.thought = null; }, { capture: true, passive: true });
for (const end of ["pointerup", "pointercancel"]) addEventListener(end, () => { if (port && world.pairs && !document.documentElement.dataset.busy) thinkAhead(); }, { passive: true });

const waitingView = () => [h("p", { role: "status" }, t("waiting"))];

/* One sentence over whatever view is open, until another one is opened. */
function tell(code, values) {
  document.querySelectorAll("body > .told:not(.full)").forEach((one) => one.remove());
  document.querySelector("main").before(h("p.caution.told", { role: "alert" }, t(code, values)));
}

function go(view, changes) {
  document.querySelectorAll("body > .told:not(.full)").forEach((one) => one.remove());
  change({ view, ...changes });
  show(true);
}

const title = (code) => h("h1", { tabindex: "-1" }, t(code));

/* A caution; in another language with the English beside it. */
function caution(reason) {
  return inBoth(world.words.say(reason), world.inEnglish && world.inEnglish.say(reason));
}

function inBoth(own, english) {
  return h("p.caution", {}, own, english && english !== own ? h("span", { lang: "en" }, english) : null);
}

const ours = (code, values) => [`pocket.${code}`, values || {}];

/* Names as reasons, so that each language calls them by its own. */
const nameReason = (name) => ["names.one", { name }];
const anyOf = ([first, ...rest]) => rest.reduce((told, one, k) => (k < rest.length - 1 ? ["names.comma", { first: told, next: one }] : ["names.or", { first: told, last: one }]), first);

const reasonsOf = (places) => places.map((place) => world.pairs.reasons[place]);
const said = (places) => reasonsOf(places).map((reason) => world.words.say(reason));

/* A list to choose from; where the choice draws the view anew, the keys stay on the list. */
function pick(label, values, value, onchange) {
  const options = values.map(([key, words]) => h("option", { value: key, selected: key === value }, words));
  const choose = (event) => {
    onchange(event.target.value);
    const same = [...document.querySelectorAll("main label")].find((one) => one.firstChild.textContent === label);
    if (same && !event.target.isConnected && !state.asked) same.querySelector("select").focus();
  };
  return h("label", {}, label, h("select", { onchange: choose }, options));
}

function pickHalf(label, id, onchange) {
  const everyday = world.ports.length ? world.ports : world.everyday;
  const ids = [...new Set([...everyday, ...world.halves.map((half) => half.id)])];
  const named = ids.map((one) => [one, world.halves[world.index[one]].name]);
  return pick(label, id ? named : [["", t("choose")], ...named], id, onchange);
}

/* A half as a picture, drawn once and copied then. */
function viewOf(half, view) {
  if (!world.pictures) return null;
  const told = world.pictures[half][view];
  told.drawn = told.drawn || drawnHalf(told, world.halves[half].name);
  return told.drawn.cloneNode(true);
}

/* ---- name ---------------------------------------------------------------------------------------------------- */

function nameView() {
  const asked = state.asked ? { feature: world.engine.byName.get(state.asked), again: false } : port.next;
  const given = port.given, settled = given.length && world.pairs && !state.asked && port.settled;
  return [
    title("name_title"),
    given.length ? null : caution(ours("before")),
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
  return h("section.card.harm", { role: "alert" }, h("h2", {}, t("clash")), h("p", {}, world.words.say(clashReason())),
    h("button", { onclick: () => ask(port.clash.misread) }, t("look_again", { look: lookName(port.clash.misread) })));
}

const lookName = (name) => world.questions[name].noun;

function ask(name) {
  change({ asked: name });
  show(true);
}

function answerWords(name, answer = port.answers[name]) {
  if (answer.unsure) return t("cannot_tell");
  if (answer.none) return t("nothing");
  if (answer.saw === undefined) return answer.typed;
  return (world.questions[name].answers || {})[answer.saw] || answer.saw;
}

function questionCard(look) {
  const { feature, again } = look, { how, otherwise } = world.questions[feature.name];
  return h("section.card", { "data-look": feature.name },
    h("h2", {}, again ? `${t("once_more")} ` : "", port.ask(feature)),
    feature.needs.length ? actsCautions() : null,
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

/* A size as it is typed: {read, off, typed} or {refused}. */
function readSize(feature, text) {
  const { limits } = world, threads = feature.off !== undefined;
  return world.grammar.reading(text, { threads, off: threads ? feature.off : port.off === null ? world.engine.tables.instruments[0].off : port.off, gaugeOff: limits.gaugeOff, least: threads ? limits.fewest : limits.smallest, most: threads ? limits.most : limits.largest });
}

function measuring({ feature, again }) {
  const threads = feature.off !== undefined;
  const now = (again ? port.again : port.answers)[feature.name];
  const field = h("input", { type: "text", inputmode: "text", autocomplete: "off", value: (now && now.typed) || "", "aria-describedby": "refused", "aria-label": port.ask(feature) });
  const refused = h("p.harm", { id: "refused", role: "alert" });
  const take = (event) => {
    event.preventDefault();
    const found = readSize(feature, field.value);
    if (found.refused) refused.textContent = t(`refused_${found.refused}`);
    else answered(feature.name, found, again);
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
  const alike = port.lookAlikes(fit), ordered = port.settled && fit !== null;
  const first = [wornReason(), harmReason(fit), ...(ordered ? joiningFirst(fit) : []), unmeasuredReason()].filter(Boolean);
  const details = state.open ? named(half, mates, fit, alike, first) : [];
  return h("section.card.named", { "data-half": half.id },
    h("h2", {}, h("span", { "data-name": "" }, half.name), ` · ${port.percent(port.belief[port.first])}`),
    h("p", { "data-state": port.named }, world.words.say(stateReason())),
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
    h("ul", {}, port.restsOn().map(({ name, without }) => h("li", {}, `${lookName(name)}: ${answerWords(name)} `, h("span.quiet", {}, t("without", { sure: port.percent(without) }))))),
    h("h3", {}, t("mates")),
    h("ul", {}, mates.length ? mates.map(({ j, limited }) => h("li", {}, h("button.link", { onclick: () => go("together", { pair: [half.id, world.halves[j].id] }) }, world.halves[j].name), limited ? ` ${t("limited")}` : "")) : h("li", {}, t("mates_nothing"))),
    h("h3", {}, t("port_words")),
    h("p", {}, half.order),
    alike.length ? h("h3", {}, t("alike")) : null,
    h("ul", {}, alike.map(({ j, p, verdict, tells }) => h("li", {},
      h("button.link", { onclick: () => go("together", { pair: [world.halves[j].id, fit === null ? half.id : world.halves[fit].id] }) }, world.halves[j].name),
      ` ${port.percent(p)}. `, fit === null ? "" : t("alike_would", { mate: world.halves[fit].name, verdict: verdictName(verdict) }), " ",
      tells ? t("tells", { look: lookName(tells.name), here: world.words.say(half.shows[tells.name]), there: world.words.say(world.halves[j].shows[tells.name]) }) : t("tells_nothing")))),
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
      h("button", { onclick: () => ask(name), "aria-label": t("change_one", { look: lookName(name) }) }, t("change")),
      h("button", { onclick: () => answered(name, null), "aria-label": t("withdraw_one", { look: lookName(name) }) }, t("withdraw"))))),
    pick(t("another_look"), [["", t("choose")], ...left.map((feature) => [feature.name, lookName(feature.name)])], "", (name) => name && ask(name)),
    h("button", { onclick: () => { port = anotherPort(); change({ port: port.plain(), asked: null, open: false }); show(true); } }, t("begin_again")));
}

const anotherPort = () => port.in({ answers: {}, again: {}, terms: [] });

function settingsCard() {
  const settings = Object.keys(world.engine.tables.settings).map((key) => [key, world.settings[key]]);
  const instruments = world.engine.tables.instruments.map(({ name }) => [name, t(`instrument_${name}`)]);
  const now = (changes) => { port = port.in(changes); change({ port: port.plain(), asked: null }); show(); };
  const terms = world.limits.terms.map((term) => h("label.check", {}, h("input", { type: "checkbox", checked: port.terms.includes(term),
    onchange: (event) => now({ terms: world.limits.terms.filter((one) => (one === term ? event.target.checked : port.terms.includes(one))) }) }), t(`term_${term.replaceAll("-", "_")}`)));
  return h("section.card", {}, pick(t("where"), settings, port.setting, (setting) => now({ setting })), pick(t("at_hand"), instruments, port.instrument, (instrument) => now({ instrument })), ...terms);
}

/* ---- handing over -------------------------------------------------------------------------------------------- */

async function send() {
  const half = world.halves[port.first].id;
  await handOver(`${half}.json`, "application/json", JSON.stringify(port.record(), null, 1) + "\n");
  const text = document.querySelector(".sent") || document.querySelector(".named").appendChild(h("textarea.sent", { readonly: true, rows: "6", "aria-label": t("message") }));
  text.value = message();
}

/* The identification as a picture: the port face on and from the side, and all that is said of it, however long. */
async function sendPicture() {
  const half = world.halves[port.first], canvas = h("canvas", { width: "1080", height: "1080" });
  const drawing = canvas.getContext("2d"), font = (head) => (drawing.font = `${head ? "bold 40" : "32"}px sans-serif`);
  const lines = message().split("\n").flatMap((text, k) => {
    font(k === 0);
    return inLines(text, (line) => drawing.measureText(line).width < 1000).map((line) => [line, k === 0]);
  });
  canvas.height = Math.max(1080, 590 + 46 * lines.length);
  drawing.fillStyle = "#ffffff";
  drawing.fillRect(0, 0, 1080, canvas.height);
  for (const [k, view] of ["face", "side"].entries()) {
    const picture = viewOf(port.first, view), image = new Image();
    picture.setAttribute("width", "480");
    picture.setAttribute("height", "480");
    image.src = `data:image/svg+xml,${encodeURIComponent(new XMLSerializer().serializeToString(picture))}`;
    await image.decode();
    drawing.drawImage(image, 40 + 520 * k, 40, 480, 480);
  }
  drawing.fillStyle = "#14181a";
  lines.forEach(([line, head], k) => {
    font(head);
    drawing.fillText(line, 40, 590 + 46 * k);
  });
  const png = await new Promise((done) => canvas.toBlob(done, "image/png"));
  await handOver(`${half.id}.png`, "image/png", png);
}

/* A text in lines that fit, its words kept whole. */
function inLines(text, fits) {
  const lines = [];
  for (const word of text.split(" ")) {
    const longer = lines.length ? `${lines[lines.length - 1]} ${word}` : "";
    if (longer && fits(longer)) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

function addToSite() {
  const half = world.halves[port.first], fit = port.mates(port.first)[0];
  const found = { key: newId(), id: half.id, count: 1, where: "", takes: fit && port.settled ? world.halves[fit.j].id : "", sure: port.orderProbability, settled: port.settled, named: port.named, doubts: doubts(), record: port.record(), at: new Date().toISOString(), photo: "" };
  port = anotherPort();
  change({ site: [...(state.site || []), found], port: port.plain(), asked: null, open: false });
  go("site");
}

function siteView() {
  const found = state.site || [];
  // by its own key: a photograph may still be read while ports are removed
  const edit = ({ key }, changes) => change({ site: state.site.map((one) => (one.key === key ? { ...one, ...changes } : one)) });
  return [title("site_title"),
    h("label", {}, t("site_name"), h("input", { type: "text", value: state.siteName || "", oninput: (event) => change({ siteName: event.target.value }) })),
    found.length ? null : h("p", {}, t("site_empty")),
    ...found.map((one) => h("section.card", {}, h("h2", {}, siteName(one)),
      one.id ? null : caution(ours("site_unknown")),
      ...doubtsOf(one).map(caution),
      h("label", {}, t("place"), h("input", { type: "text", value: one.where, oninput: (event) => edit(one, { where: event.target.value }) })),
      h("label", {}, t("count"), h("input", { type: "number", min: "1", value: String(one.count), oninput: (event) => edit(one, { count: Math.max(1, Math.round(Number(event.target.value)) || 1) }) })),
      h("label", {}, t("photo"), h("input", { type: "file", accept: "image/*", capture: "environment", onchange: (event) => photographed(one, event.target.files[0], edit) })),
      one.photo ? h("img", { src: one.photo, alt: t("photo") }) : null,
      h("button", { onclick: () => { change({ site: state.site.filter(({ key }) => key !== one.key) }); show(); } }, t("remove")))),
    found.length ? h("div.row", {}, h("button", { onclick: () => handOver("ports.toml", "text/plain", portsToml()) }, "ports.toml"), h("button", { onclick: () => handOver("ports.csv", "text/csv", portsCsv()) }, "CSV")) : null];
}

/* What stood against a port of the site when it was added; of one that an older page kept only whether it was settled. */
const doubtsOf = ({ doubts, settled, sure }) => doubts || (settled ? [] : [ours("unsettled", { sure: sureOf(sure) })]);
const remarksOf = (one) => doubtsOf(one).map((reason) => world.words.say(reason).replace(/[\s\u0000-\u001f\u007f]+/g, " "));

/* Keeps a photograph with its port, where that still stands when the picture is read. */
async function photographed(one, file, edit) {
  const photo = await smaller(file);
  edit(one, { photo });
  if (state.view === "site") show();
}

/* What a port of the site is called; of a half that these tables do not hold, as it was called when it was added. */
const siteName = ({ id, record }) => (id ? world.halves[world.index[id]].name : (record && record.name) || "?");

/* A photograph small enough to be kept with the site. */
async function smaller(file) {
  if (!file) return "";
  const refused = await refusedPicture(file, world.photo, 1);
  if (refused) {
    tell(refused, { most: world.photo.mostMegapixels });
    return "";
  }
  const image = await createImageBitmap(file), scale = Math.min(1, 640 / Math.max(image.width, image.height));
  const canvas = h("canvas", { width: String(Math.round(image.width * scale)), height: String(Math.round(image.height * scale)) });
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  return canvas.toDataURL("image/jpeg", 0.7);
}

const quoted = (text) => JSON.stringify(text).replaceAll("\u007f", "\\u007f");

function portsToml() {
  // a port without an id would be refused on the desk: it stands as a remark
  const blocks = state.site.map((one) => (one.id ? [`[[port]]`, `id = ${quoted(one.id)}`, `count = ${one.count}`, ...remarksOf(one).map((remark) => `# ${remark}`), one.where ? `where = [${quoted(one.where)}]` : "", one.takes ? `takes = ${quoted(one.takes)}` : ""].filter(Boolean).join("\n") : `# ${quoted(siteName(one))}, ${one.count}, ${quoted(one.where)}`));
  return [`site = ${quoted(state.siteName || "")}`, ...blocks].join("\n\n") + "\n";
}

function portsCsv() {
  // a cell that a table program could take for a formula is told to be text
  const cell = (value) => { const text = String(value); return `"${(/^[=+\-@\t\r]/.test(text) ? "'" : "") + text.replaceAll('"', '""')}"`; };
  const rows = state.site.map((one) => [one.id, siteName(one), one.count, one.where, one.takes, one.named || world.limits.states[one.settled ? 0 : 2], one.sure.toFixed(3), one.at, remarksOf(one).join(" ")]);
  return "\ufeff" + [["id", "name", "count", "where", "takes", "state", "sure", "time", "remarks"], ...rows].map((row) => row.map(cell).join(",")).join("\r\n") + "\r\n";
}

/* ---- turn ---------------------------------------------------------------------------------------------------- */

function turnView() {
  const id = state.turned || world.halves[port.first].id, half = world.index[id];
  const canvas = h("canvas.model", { tabindex: "0", role: "img", "aria-label": t("model_of", { name: world.halves[half].name }) });
  const viewer = new Viewer(canvas, world.colours);
  viewer.listen();
  const cut = h("input", { type: "range", min: "0", max: "100", value: "100", oninput: (event) => { viewer.cut = event.target.value / 100; viewer.draw(false); }, onchange: () => viewer.draw() });
  const held = world.models[half];
  const ready = held ? inflated(held.data).then((bytes) => viewer.show(modelOf(held, bytes))) : null;
  const size = () => viewer.draw();
  addEventListener("resize", size);
  world.stop = () => removeEventListener("resize", size);
  world.drawn = ready;
  return [title("turn_title"), pickHalf(t("half"), id, (one) => go("turn", { turned: one })), canvas,
    viewer.gl && held ? null : h("p.harm", {}, t(held ? "no_models" : "left_out")),
    h("div.row", {}, h("button", { onclick: () => viewer.face() }, t("face_on")), h("label.grow", {}, t("cut"), cut)),
    h("p.quiet", {}, t("turn_how")), h("p", {}, capital(world.halves[half].gender) + ".")];
}

/* ---- together ------------------------------------------------------------------------------------------------ */

const verdictName = (verdict) => t(`verdict_${verdict.replace(/[, ]+/g, "_")}`);

/* The verdict; of one that is not known what it probably is. */
function howSure([verdict, , , , , , , , probably]) {
  const told = verdictName(world.pairs.verdicts[verdict]);
  return probably < 0 ? told : world.words.say(["doubt.probably", { verdict: told, probably: verdictName(world.pairs.verdicts[probably]) }]);
}

function togetherView() {
  const fit = port.mates(port.first)[0], own = world.halves[port.first].id;
  const [a, b] = state.pair || [own, fit ? world.halves[fit.j].id : own];
  const [i, j] = [world.index[a], world.index[b]], [place, turned] = pairPlace(i, j, world.halves.length);
  const pair = world.pairs.pairs[place], verdict = world.pairs.verdicts[pair[0]];
  const [one, other] = turned ? [j, i] : [i, j];
  const faces = cutFaces(world.sections, world.pairs.nuts, pair, one, other);
  const rules = pair[4].map((kept, k) => h("li", { class: kept === 0 ? "broken" : "kept" }, `${kept === 1 ? "✓" : kept === 0 ? "✗" : "–"} `, said([pair[5][k]])[0]));
  const signs = { [world.limits.joined[0]]: "✓", [world.limits.joined[1]]: "✓", [world.limits.harm[0]]: "✗" };
  return [title("together_title"),
    pickHalf(t("one_half"), a, (id) => go("together", { pair: [id, b] })),
    pickHalf(t("other_half"), b, (id) => go("together", { pair: [a, id] })),
    h("section.card", { class: `card ${verdict === world.limits.harm[0] ? "harm" : ""}`, "data-verdict": verdict },
      h("h2", {}, `${signs[verdict] || "–"} ${howSure(pair)}`),
      drawnPair(faces, pair[6], t("pair_drawn", { a: world.halves[one].name, b: world.halves[other].name, verdict: verdictName(verdict) })),
      h("p", { class: pair[6][1] === "harm" ? "harm" : "" }, t("decides", { what: said([pair[6][0]])[0] })),
      h("ul", {}, said(pair[2]).map((text) => h("li", {}, text))),
      h("h3", {}, t("rules")), h("ul.rules", {}, rules),
      ...reasonsOf(pair[3]).map(caution))];
}

/* ---- life size ----------------------------------------------------------------------------------------------- */

const screenNow = () => `${screen.width}x${screen.height}@${devicePixelRatio}/${(window.visualViewport && visualViewport.scale) || 1}`;

function lifeView() {
  const id = state.turned || world.halves[port.first].id, half = world.index[id], card = world.limits.card;
  const known = state.life && state.life.screen === screenNow() ? state.life : null;
  const perMm = known ? known.perMm : 96 / 25.4;
  // whoever zooms with two fingers, or turns the phone, no longer sees true size: it is drawn, and asked, anew
  const seen = screenNow(), looked = () => { if (screenNow() !== seen) show(); };
  const views = [window, window.visualViewport].filter(Boolean);
  for (const one of views) one.addEventListener("resize", looked);
  world.stop = () => { for (const one of views) one.removeEventListener("resize", looked); };
  const frame = h("div.bankcard", { role: "img", "aria-label": t("card_drawn") });
  const side = (px) => (frame.style.width = `${px}px`);
  const slider = h("input", { type: "range", min: "150", max: String(Math.min(520, document.querySelector("main").clientWidth - 24)), step: "0.5", value: String(card * perMm), oninput: (event) => side(event.target.value) });
  side(card * perMm);
  const picture = (view) => {
    const found = viewOf(half, view), [, , wide, high] = world.pictures[half][view].box.split(" ").map(Number);
    [found.style.width, found.style.height] = [`${wide * perMm}px`, `${high * perMm}px`];
    found.setAttribute("data-mm", String(wide));
    return found;
  };
  if (!known || state.setting_scale) {
    return [title("life_title"), h("p", {}, t(state.life && !known ? "scale_again" : "scale_how")), frame, h("label", {}, t("card_side"), slider),
      h("button", { onclick: () => { change({ life: { screen: screenNow(), perMm: slider.value / card }, setting_scale: false }); show(true); } }, t("scale_set"))];
  }
  return [title("life_title"), pickHalf(t("half"), id, (one) => go("life", { turned: one })), caution(ours("before")), h("p", {}, t("hold_against")),
    h("div.true", {}, picture("face"), picture("side")),
    h("button", { onclick: () => { change({ setting_scale: true }); show(true); } }, t("scale_anew"))];
}

/* ---- cable --------------------------------------------------------------------------------------------------- */

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
  const typed = { length: read("length", (unit) => (unit ? mm(unit) / 1000 : 1)), bend: read("bend", mm), power: read("power", dbm), want: read("want", dbm) };
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

/* ---- practise ------------------------------------------------------------------------------------------------ */

function practiseView() {
  const { items, dated } = world.practice, done = (state.practice && state.practice.dated === dated && state.practice) || { dated, person: (state.practice || {}).person || "", events: [] };
  const set = (changes) => { change({ practice: { ...done, ...changes } }); show(); };
  const answers = done.events.filter(({ type }) => type === "answered"), place = answers.length - (done.told ? 1 : 0), item = items[place];
  const person = h("label", {}, t("person"), h("input", { type: "text", maxlength: "80", value: done.person, onchange: (event) => set({ person: event.target.value }) }));
  const right = answers.filter((one) => one.right === one.chosen).length;
  if (!item) return [title("practise_title"), h("p", {}, t("practised", { right, all: answers.length })), person, exportButton(done)];
  const head = [title("practise_title"), h("p.quiet", {}, t("of_items", { at: answers.length + (done.told ? 0 : 1), all: items.length, dated })), h("h2", {}, item.question), ...(item.halves.length ? itemPicture(item, world.pictured[place]) : [])];
  if (done.told) {
    const last = answers[answers.length - 1], ok = last.chosen === last.right;
    return [...head, h("p", { class: ok ? "kept" : "broken", role: "status" }, ok ? `✓ ${t("right")}` : `✗ ${t("wrong", { right: item.options[last.right] })}`),
      h("ul", {}, item.reasons.map((text) => h("li", {}, text))), item.look ? h("p", {}, item.look) : null, ...item.cautions.map((text, k) => inBoth(text, item.english[k])), h("button", { onclick: () => { change({ practice: { ...done, told: false } }); show(true); } }, t("go_on")), answers.length ? exportButton(done) : null];
  }
  const named = Boolean(done.person.trim()); // the answers need a name first; then they need the room more
  return [...head, ...(named ? [] : [person, h("p.quiet", {}, t("person_why"))]),
    ...(done.chosen ? item.steps.map((sure) => h("button.way.plain", { onclick: () => set({ events: [...done.events, ...event(done, item, sure)], chosen: "", told: true }) }, t("sure", { sure }))) : Object.entries(item.options).map(([id, words]) => h("button.way", { disabled: !named, onclick: () => set({ chosen: id }) }, capital(words)))),
    done.chosen ? h("button", { onclick: () => set({ chosen: "" }) }, t("back")) : null, named ? person : null];
}

/* The picture of an item, as the desk draws it. Where none was drawn, its halves face on at one scale with what is seen in
 * words; else the words are for who hears the page. Never a name: that would be the answer. */
function itemPicture({ halves, in_words: told }, drawn) {
  const label = told || t("item_pictured");
  if (drawn) return [h("img.item", { src: `data:image/webp;base64,${drawn}`, alt: label })];
  const wide = (id) => Number(world.pictures[world.index[id]].face.box.split(" ")[2]), widest = Math.max(...halves.map(wide));
  const frame = h("div.items", { role: "img", "aria-label": label }, halves.map((id) => {
    const face = viewOf(world.index[id], "face");
    face.style.width = face.style.height = `${(9 * wide(id)) / widest}rem`;
    face.setAttribute("aria-hidden", "true");
    face.removeAttribute("aria-label");
    face.removeAttribute("role");
    return face;
  }));
  return [frame, told ? h("p", {}, told) : null];
}

/* The events of an answer, the first of a sitting with its start. */
function event(done, item, sure) {
  const time = new Date().toISOString(), person = done.person.normalize("NFC").trim().replace(/\s+/g, " ");
  const start = done.events.find(({ type }) => type === "started") || { type: "started", id: newId(), time, person, mode: "practice" };
  const number = done.events.filter(({ type }) => type === "answered").length + 1;
  const one = { type: "answered", id: newId(), time, person, sitting: start.id, number, ...item.event, chosen: done.chosen, sure };
  return number === 1 ? [start, one] : [one];
}

const exportButton = (done) => h("button", { onclick: () => handOver("answers.json", "application/json", JSON.stringify(done.events, null, 1) + "\n") }, t("answers_out"));

/* ---- beginning ----------------------------------------------------------------------------------------------- */

function begin(data) {
  Object.assign(world, data, { words: new Words(data.texts), inEnglish: data.english && new Words(data.english), engine: new Engine(readTables(data.belief)), grammar: new Grammar(data.grammar) });
  world.index = Object.fromEntries(world.halves.map((half, place) => [half.id, place]));
  const found = recall(), kept = knownState(found || {}, world);
  state = { view: "name", ...kept.state };
  if (!Object.hasOwn(VIEWS, state.view)) state.view = "name";
  port = new Port(world, state.port);
  document.querySelector("nav").replaceChildren(...Object.keys(VIEWS).map((view) => h("button", { "data-view": view, onclick: () => go(view) }, t(`tab_${view}`))));
  orAnew(() => show());
  if (!found || kept.damaged) tell("kept_damaged");
  else if (kept.lost) tell("kept_lost");
  if ("serviceWorker" in navigator && location.protocol.startsWith("http") && data.folder) navigator.serviceWorker.register("sw.js").catch(() => {});
}

/* Draws; where what was kept lets nothing be drawn, the page begins anew and says so. */
function orAnew(draw) {
  try {
    draw();
  } catch (error) {
    console.warn(error);
    state = { view: "name" };
    port = new Port(world, {});
    show();
    tell("kept_damaged");
  }
}
