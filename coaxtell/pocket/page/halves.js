/* The views of halves: a model that turns, two brought together, and one at life size. */
"use strict";

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
  const decides = ours("decides", { what: reasonsOf([pair[6][0]])[0] });
  const signs = { [world.limits.joined[0]]: "✓", [world.limits.joined[1]]: "✓", [world.limits.harm[0]]: "✗" };
  return [title("together_title"),
    pickHalf(t("one_half"), a, (id) => go("together", { pair: [id, b] })),
    pickHalf(t("other_half"), b, (id) => go("together", { pair: [a, id] })),
    h("section.card", { class: `card ${verdict === world.limits.harm[0] ? "harm" : ""}`, "data-verdict": verdict },
      h("h2", {}, `${signs[verdict] || "–"} ${howSure(pair)}`),
      h("p.quiet", { "data-sure": "" }, said(pair[9]).join(" ")),
      drawnPair(faces, pair[6], t("pair_drawn", { a: world.halves[one].name, b: world.halves[other].name, verdict: verdictName(verdict) })),
      pair[6][1] === "harm" ? spoken("p.harm", decides) : h("p", {}, world.words.say(decides)),
      h("ul", {}, said(pair[2]).map((text) => h("li", {}, text))),
      h("h3", {}, t("rules")), h("ul.rules", {}, rules),
      ...reasonsOf(pair[3]).map(caution))];
}

const screenNow = () => `${screen.width}x${screen.height}@${devicePixelRatio}/${(window.visualViewport && visualViewport.scale) || 1}`;

/* Why the port is not held against a half at life size: what was said of it, or that the half looks like one for high voltage. */
function whyAfar(half) {
  const { acts } = world.engine.tables, told = port.given.length || port.terms.length ? port.fromAfar : [];
  const alike = acts.bayonetHalves.includes(half) && !port.terms.includes(acts.noHighVoltage) ? [acts.afar[acts.noHighVoltage]] : [];
  return [...new Set([...told, ...alike])];
}

function lifeView() {
  const id = state.turned || world.halves[port.first].id, half = world.index[id], card = world.limits.card;
  const known = state.life && state.life.screen === screenNow() ? state.life : null;
  const perMm = known ? known.perMm : 96 / world.grammar.perMm("in");
  // whoever zooms with two fingers, or turns the phone, no longer sees true size: it is drawn, and asked, anew
  const seen = screenNow(), looked = () => { if (screenNow() !== seen) show(); };
  const views = [[window, "resize"], [window.visualViewport, "resize"], [matchMedia(`(resolution: ${devicePixelRatio}dppx)`), "change"], [document, "pointerdown"]].filter(([one]) => one);
  for (const [one, type] of views) one.addEventListener(type, looked);
  world.stop = () => { for (const [one, type] of views) one.removeEventListener(type, looked); };
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
  const afar = whyAfar(half);
  if (!known || state.setting_scale) {
    return [title("life_title"), h("p", {}, t(state.life && !known ? "scale_again" : "scale_how")), frame, h("label", {}, t("card_side"), slider),
      h("button", { onclick: () => { change({ life: { screen: screenNow(), perMm: slider.value / card }, setting_scale: false }); show(true); } }, t("scale_set"))];
  }
  return [title("life_title"), pickHalf(t("half"), id, (one) => go("life", { turned: one })), caution(ours("before")), ...(afar.length ? afar.map((code) => caution([code, {}])) : [h("p", {}, t("hold_against"))]),
    h("div.true", {}, picture("face"), picture("side")),
    h("button", { onclick: () => { change({ setting_scale: true }); show(true); } }, t("scale_anew"))];
}
