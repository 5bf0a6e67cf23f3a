/* Measuring by photograph: taken or chosen, card and face marked, the width with its plus-minus, halves laid over it.
 *
 * The picture lives as long as the page is open and is never kept, sent or read for where it was taken.
 */
"use strict";

/* What is measured in now: {feature, again, ...}; null where nobody measures by photograph. */
let shot = null;

function shotCard({ feature, again }) {
  const leave = h("button.way.plain", { onclick: () => { shot = null; show(); } }, t("photo_leave"));
  const choose = (label, attributes) => h("label", {}, label, h("input", { type: "file", accept: "image/*", ...attributes, onchange: (event) => openShot(event.target.files[0]) }));
  const head = [caution(ours("photo_caution")), h("p", {}, t("photo_how"))];
  const files = [choose(t("photo_take"), { capture: "environment" }), choose(t("photo_choose"), {}), h("p.harm", { role: "alert" }, shot.refused || "")];
  if (!shot.held) return [...head, ...files, leave];
  const { held, marks } = shot;
  const canvas = h("canvas.shot", { tabindex: "0", role: "img", "aria-label": t("photo_seen") }), told = h("div", { role: "status" });
  const view = new PictureView(canvas, held.canvas, marks, () => measured());
  const steps = [1, 2, 3, 4].map((n) => t("photo_corner", { n })).concat(t("photo_face"));
  const pressed = () => pick.forEach((button, k) => button.setAttribute("aria-pressed", String(k === view.chosen)));
  const pick = steps.map((words, k) => h("button", { onclick: () => { view.choose(k); pressed(); } }, words));
  const size = h("input", { type: "range", min: "0", max: "1000", value: String(ofRadius(marks.radius)), oninput: (event) => { marks.radius = radiusOf(event.target.value); marks.placed = true; view.choose(4); pressed(); }, onchange: () => measured() });
  const near = h("input", { type: "range", min: "1", max: "16", step: "0.1", value: "1", oninput: (event) => view.near(Number(event.target.value)) });
  const height = h("label", { hidden: shot.level !== "" }, t("photo_mm"), h("input", { type: "text", autocomplete: "off", value: shot.mm, onchange: (event) => { shot.mm = event.target.value; measured(); } }));
  const level = h("select", { onchange: (event) => { shot.level = event.target.value; height.hidden = shot.level !== ""; measured(); } }, [...Object.keys(world.photo.heights), ""].map((key) => h("option", { value: key, selected: shot.level === key }, t(`photo_height_${key || "told"}`))));
  const measured = () => told.replaceChildren(...shotTold(feature, again, view).filter(Boolean));
  const drawn = () => view.draw();
  addEventListener("resize", drawn);
  world.stop = () => removeEventListener("resize", drawn);
  queueMicrotask(() => { view.choose(view.chosen); pressed(); measured(); });
  return [...head, canvas, h("div.row.marks", { role: "group", "aria-label": t("photo_mark") }, pick), h("label", {}, t("photo_size"), size), h("label", {}, t("photo_near"), near),
    h("label", {}, t("photo_height"), level), height, told, h("details", {}, h("summary", {}, t("photo_other")), files), leave];
}

/* The slider of the circle goes from a hundredth of the picture's longer side to a half of it, in equal ratios. */
const longest = () => Math.max(shot.held.canvas.width, shot.held.canvas.height);
const radiusOf = (place) => longest() * 0.01 * 50 ** (place / 1000);
const ofRadius = (radius) => Math.round((1000 * Math.log(radius / (0.01 * longest()))) / Math.log(50));

async function openShot(file) {
  if (!file) return;
  const own = Object.assign(shot, { file });
  let held = null, refused = await refusedPicture(file, world.photo, world.photo.leastSide);
  try {
    if (!refused) held = await photographOf(file, world.photo);
  } catch {
    refused = "photo_unread";
  }
  if (shot !== own || own.file !== file) return; // left, or another picture chosen, while this one was read
  Object.assign(shot, { held, refused: refused ? t(refused, { most: world.photo.mostMegapixels }) : "" });
  if (held) {
    const { width, height } = shot.held.canvas;
    shot.marks = { corners: world.photo.corners.map(([x, y]) => [x * width, y * height]), face: [width / 2, 0.8 * height], radius: longest() * world.photo.faceShare, placed: false };
    Object.assign(shot, { level: "unknown", mm: "" }); // how another face stood says nothing of this one
  }
  show();
}

/* The height of the face over the card and its spread [mm]; null where it is no such length. */
function heightOf() {
  if (shot.level) return world.photo.heights[shot.level];
  const { value, unit, refused } = world.grammar.read(shot.mm || ""), mm = refused ? NaN : value * world.grammar.perMm(unit);
  return Math.abs(mm) <= world.photo.highest ? [mm, world.photo.told] : null;
}

/* What the marks measure, said, with the way to take it; the fitted lines go onto the view. */
function shotTold(feature, again, view) {
  const { held, marks } = shot, photograph = new Photograph(world.photo, held.picture), height = heightOf();
  const card = photograph.card(marks.corners), found = card && height && photograph.width(card, marks.face, marks.radius, height, held.focal);
  view.lines = card ? [[card.corners, "--fits"]] : [];
  view.draw();
  if (!height) return [h("p.harm", {}, t("photo_no_height", { most: world.photo.highest }))];
  if (!card) return [h("p.harm", {}, t("photo_no_card"))];
  if (photograph.across(card.corners) > world.photo.blurMost) return [h("p.harm", {}, t("photo_blurred"))];
  if (!marks.placed) return [h("p.harm", {}, t("photo_place"))];
  if (!found) return [h("p.harm", {}, t("photo_no_rim"))];
  if (found.on) return [h("p.harm", {}, t("photo_on_card"))];
  if (found.far) return [h("p.harm", {}, t("photo_too_high", { far: found.far }))];
  const { mm, plusMinus, parts, rim } = found, worst = Object.keys(parts).reduce((a, b) => (parts[b] > parts[a] ? b : a));
  const typed = t("photo_typed", { mm, off: world.photo.unlike * plusMinus }), taken = readSize(feature, typed);
  const before = taken.refused ? null : otherReadings(port, feature.name, { ...taken, photo: true }, again);
  const onto = (points) => points.map(([x, y]) => mapped([rim.centre[0] + (x * rim.diameter) / mm, rim.centre[1] + (y * rim.diameter) / mm], card.fromMm));
  const lay = (half) => { view.lines = [[card.corners, "--fits"], ...(half === "" ? [] : world.pictures[half].face.shapes.flatMap(([path]) => linesOf(path)).map((one) => [onto(one), "--harm"])), [onto(circlePoints([0, 0], mm / 2)), "--fits"]]; view.draw(); };
  const likely = taken.refused ? [] : port.with(feature.name, taken, again).order.slice(0, world.limits.shortlist);
  if (likely.length) lay(String(likely[0]));
  return [
    h("p", { "data-mm": String(mm), "data-off": String(plusMinus) }, h("b", {}, t("photo_width", { mm, off: plusMinus }))),
    h("p.quiet", {}, t("photo_counts", { off: world.photo.unlike * plusMinus })),
    h("p.quiet", {}, t("photo_worst", { part: t(`photo_part_${worst}`) })),
    taken.refused ? h("p.harm", {}, t(`refused_${taken.refused}`)) : pick(t("photo_lay"), [["", t("photo_none")], ...likely.map((half) => [String(half), world.halves[half].name])], String(likely[0]), lay),
    h("p", {}, t("photo_check")),
    h("p.quiet", {}, t("photo_experimental")),
    h("p", {}, h("b", {}, t("photo_mating"))),
    before && h("p.harm", { "data-other": before.apart ? "apart" : before.stays ? "stays" : "goes" }, before.said),
    taken.refused || (before && before.stays) ? null : h("button", { onclick: () => { shot = null; answered(feature.name, { ...taken, photo: true }, again); } }, t("photo_mating_yes")),
  ];
}
