/* The page itself: seven views over one state that is kept. Every word comes from the texts that Python wrote. */
"use strict";

const VIEWS = { name: nameView, turn: turnView, together: togetherView, life: lifeView, cable: cableView, practise: practiseView, site: siteView };
const world = {};
let state, port;

function change(changes) {
  letStand();
  takeAnew();
  state = { ...state, ...changes };
  keepState();
}

/* Changes the ports of the site, and those that were removed from it, as they are now. */
function changeSite(of, gone = (removed) => removed) {
  takeAnew();
  change({ site: of(state.site || []), removed: gone(state.removed || []) });
}

/* What another page did is seen as soon as this one is told, or looked at again. */
function seenAnew() {
  if (!port) return;
  const shown = () => JSON.stringify([state.siteName, state.practice]), { site, removed } = state, before = shown();
  takeAnew();
  const other = state.site !== site || state.removed !== removed || shown() !== before;
  if ((state.view === "site" || state.view === "practise") && other) show();
}

addEventListener("storage", seenAnew);
for (const seen of ["visibilitychange", "pageshow"]) addEventListener(seen, () => { if (!document.hidden) seenAnew(); });

/* Takes an answer: said at once that it was taken, drawn once what follows from it is reckoned, kept then. */
async function answered(name, answer, again) {
  const pressed = document.activeElement && document.activeElement.closest("main button");
  if (pressed) pressed.classList.add("taken");
  document.documentElement.dataset.busy = "yes";
  letStand();
  const before = port, said = answer !== null && !answer.photo && otherReadings(port, name, answer, again);
  port = port.with(name, answer, again);
  state = { ...state, port: port.plain(), asked: null };
  const own = port;
  if (said) canUndo(said.said, () => { letStand(); port = before; change({ port: port.plain(), asked: null }); show(true); });
  await painted();
  // another answer may have come meanwhile: that one is drawn
  if (own === port && document.documentElement.dataset.busy) await showInTurn();
  takeAnew();
  keepState();
}

/* Once what was changed stands on the screen. */
const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));

/* Draws the view that is open; `top` after another one was opened. */
function show(top) {
  const main = document.querySelector("main"), held = main.contains(document.activeElement) && placeOf(document.activeElement);
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
  } else if (held) (atPlace(main, held) || main.querySelector("h1") || main).focus({ preventScroll: true });
  thinkAhead();
}

/* The words of a control, and whether it opens and closes something: by these it is found again when it is drawn anew. */
function placeOf(one) {
  const label = one.closest("label"), words = one.getAttribute("aria-label") || (label ? (label.firstChild.data || label.textContent) : one.textContent);
  return { words, folds: one.hasAttribute("aria-expanded") };
}

/* The one control at a place; null where it is gone or there are several. */
function atPlace(main, held) {
  const found = [...main.querySelectorAll("button, input, select, textarea")].filter((one) => { const { words, folds } = placeOf(one); return held.folds ? folds : words === held.words; });
  return found.length === 1 ? found[0] : null;
}

/* Draws the same view anew from its top: what is asked next at once, what stands below it one picture later each. */
async function showInTurn() {
  const main = document.querySelector("main"), all = pieces(), own = port;
  const first = all.findIndex((piece) => piece.later), soon = first < 0 ? all : all.slice(0, first);
  main.replaceChildren(...soon);
  scrollTo(0, 0); // what comes next stands first
  const heading = main.querySelector("h2") || main.querySelector("h1"); // is read out first, and the keys go on from it
  heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
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

const waitingView = () => [h("p", { role: "status" }, t("waiting"))];

/* One sentence over whatever view is open, until another one is opened. */
function tell(code, values) {
  document.querySelectorAll("body > .told:not(.full)").forEach((one) => one.remove());
  document.querySelector("main").before(h("p.caution.told", { role: "alert" }, t(code, values)));
}

/* Says what was taken away, with the way back, which stands until the next act. */
function canUndo(said, back) {
  letStand();
  document.querySelector("main").before(h("div.caution.told.undo", { role: "status" }, h("p", {}, said), h("button", { onclick: back }, t("undo"))));
}

const letStand = () => document.querySelectorAll("body > .undo").forEach((one) => one.remove());

function go(view, changes) {
  document.querySelectorAll("body > .told:not(.full)").forEach((one) => one.remove());
  change({ view, ...changes });
  orAnew(() => show(true));
}

function begin(data) {
  Object.assign(world, data, { words: new Words(data.texts), inEnglish: data.english && new Words(data.english), engine: new Engine(readTables(data.belief)), grammar: new Grammar(data.grammar) });
  world.index = Object.fromEntries(world.halves.map((half, place) => [half.id, place]));
  world.photos = new Map();
  world.stored = storedTexts();
  const { all, damaged } = recallAll(world.stored), tab = recall(stored("sessionStorage")) || {};
  const kept = knownState(all, world), own = tab.port ? knownState(tabsOwn(tab), world) : { state: {} };
  state = { view: "name", ...kept.state, ...own.state };
  siteIs(state, !damaged && !kept.lost && !kept.damaged);
  if (!Object.hasOwn(VIEWS, state.view)) state.view = "name";
  port = new Port(world, state.port);
  document.querySelector("nav").replaceChildren(...Object.keys(VIEWS).map((view) => h("button", { "data-view": view, onclick: () => go(view) }, t(`tab_${view}`))));
  orAnew(() => show());
  if (damaged || kept.damaged || own.damaged) tell("kept_damaged");
  else if (kept.lost || own.lost) tell("kept_lost");
  if ("serviceWorker" in navigator && location.protocol.startsWith("http") && data.folder) navigator.serviceWorker.register("sw.js").catch(() => {});
}

/* Draws; where what was kept does not let the view be drawn, the first view with the port, else with none, and says so. The
 * site and what was trained are never let go. */
function orAnew(draw) {
  try {
    draw();
  } catch (error) {
    console.warn(error);
    const { view, site, removed, siteName, practice } = state;
    if (view === "name") port = new Port(world, {});
    state = { view: "name", port: port.plain(), site, removed, siteName, practice };
    if (view === "name") show();
    else orAnew(() => show());
    tell("kept_damaged");
  }
}
