/* The view of a site: ports collected with place and photograph, and handed over as lists. */
"use strict";

function addToSite() {
  const half = world.halves[port.first], fit = port.mates(port.first)[0];
  const found = { key: newId(), id: half.id, count: 1, where: "", takes: fit && port.orderable ? world.halves[fit.j].id : "", sure: port.orderProbability, settled: port.settled, named: port.named, doubts: doubts(), record: port.record(), at: new Date().toISOString(), photo: "" };
  port = anotherPort();
  changeSite((site) => [...site, found]);
  go("site", { port: port.plain(), asked: null, open: false });
}

function siteView() {
  const found = state.site || [];
  // by its own key: a photograph may still be read while ports are removed
  const edit = ({ key }, changes) => changeSite((site) => site.map((one) => (one.key === key ? { ...one, ...changes } : one)));
  return [title("site_title"),
    ...field(t("site_name"), { value: state.siteName || "" }, "oninput", refusedName, (siteName) => change({ siteName })),
    found.length ? null : h("p", {}, t("site_empty")),
    ...found.map((one) => h("section.card", {}, h("h2", {}, siteName(one)),
      one.id ? null : caution(ours("site_unknown")),
      ...toldOf(one).map(caution),
      ...field(t("place"), { value: one.where }, "oninput", refusedName, (where) => edit(one, { where })),
      ...field(t("count"), { inputmode: "numeric", value: String(one.count) }, "oninput", refusedCount, (count) => edit(one, { count: Number(count) })),
      h("label", {}, t("photo"), h("input", { type: "file", accept: "image/*", capture: "environment", onchange: (event) => photographed(one, event.target.files[0], edit) })),
      one.photo ? h("img", { src: one.photo, alt: t("photo") }) : null,
      h("button", { onclick: () => removed(one) }, t("remove")))),
    found.length ? h("div.row", {}, h("button", { onclick: () => handOver("ports.toml", "text/plain", portsToml()) }, "ports.toml"), h("button", { onclick: () => handOver("ports.csv", "text/csv", portsCsv()) }, "CSV")) : null,
    ...removedOnes(state.removed || [])];
}

/* The ports that were removed, the last one first. */
const removedOnes = (gone) => (gone.length ? [h("h2", {}, t("removed_title")), h("p.quiet", {}, t("removed_why", { most: world.limits.removed })), h("ul.given", {}, gone.map((one) => h("li", {},
  h("span", {}, [siteName(one), one.where].filter(Boolean).join(", ")), h("button", { "aria-label": t("put_back_one", { name: siteName(one) }), onclick: () => putBack(one) }, t("put_back")))))] : []);

/* Takes a port off the site; it stands among the removed ones, from where it comes back to where it stood. */
function removed(one) {
  const place = state.site.findIndex(({ key }) => key === one.key), others = (list) => (list || []).filter(({ key }) => key !== one.key);
  changeSite((site) => others(site), (gone) => [{ ...one, place }, ...others(gone)].slice(0, world.limits.removed));
  show();
  canUndo(t("removed", { name: siteName(one) }), () => putBack(one));
}

function putBack({ key }) {
  takeAnew();
  const { place, ...one } = (state.removed || []).find((other) => other.key === key) || {};
  if (one.key) changeSite((site) => (site.some((other) => other.key === key) ? site : [...site.slice(0, place), one, ...site.slice(place)]), (gone) => gone.filter((other) => other.key !== key));
  letStand();
  show();
}

/* A count is a whole number that every file holds as it is. */
const refusedCount = (text) => (/^\s*\d+\s*$/.test(text) && Number(text) >= 1 && Number.isSafeInteger(Number(text)) ? null : "refused_count");

/* What stood against a port of the site when it was added; of one that an older page kept only whether it was settled. */
const doubtsOf = ({ doubts, settled, sure }) => (doubts ? doubts.map(sayable) : settled ? [] : [ours("unsettled", { sure: sureOf(sure, world.limits) })]);
const sayable = (reason) => (world.words.says(reason) && (!world.inEnglish || world.inEnglish.says(reason)) ? reason : ours("unsaid"));

/* Whether nothing is ordered for a port of the site before it is looked at again; an older page may have kept what it takes
 * all the same. */
function heldBack(one) {
  const { states, holding } = world.limits;
  return !states.slice(0, 2).includes(namedOf(one)) || toldOf(one).some(([code]) => holding.includes(code));
}

/* How far the name of a port of the site was settled; an older page kept only whether it was. */
const namedOf = ({ named, settled }) => (named === undefined && settled ? world.limits.states[0] : named);

/* Which port of the site it is, in a sentence. */
const whereOf = ({ where }) => (where.trim() ? ours("port_at", { place: where }) : ours("port_of_site"));

const takesOf = (one) => (heldBack(one) ? "" : one.takes);

/* What was kept of a port's identification, as far as it is sound: what was said of it, and its halves with their chances. */
const termsOf = ({ record }) => (record && Array.isArray(record.terms) ? record.terms : []);
const likelyOf = ({ record }) => (record && Array.isArray(record.candidates) ? record.candidates : []).flatMap((one) => (one && Object.hasOwn(world.index, one.id) ? [[world.index[one.id], one.probability]] : []));

/* All that is to be known of a port of the site: what stood against it, and that it is energised and the caution of high
 * voltage where an older page kept none. */
function toldOf(one) {
  const { lookOnly } = world.engine.tables.acts, live = termReason(lookOnly);
  const told = doubtsOf(one), place = one.id ? world.index[one.id] : -1, mate = place < 0 ? null : port.mates(place)[0];
  const own = place < 0 || told.some(([code]) => code === world.limits.kilovolts) ? null : kilovoltsOf(place, one.takes ? world.index[one.takes] : mate ? mate.j : place);
  const first = termsOf(one).includes(lookOnly) && !told.some(([code]) => code === live[0]) ? [live] : [];
  return [...first, ...told, ...(own ? [own] : [])];
}

/* What the lists say of it: all that, and before the part that it takes what is to be known before joining. */
const remarksOf = (one) => [...toldOf(one), ...(takesOf(one) ? [LIVE] : [])].flatMap(inLanguages).map((text) => text.replace(/[\s\u0000-\u001f\u007f]+/g, " "));

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
  const blocks = state.site.map((one) => (one.id ? [`[[port]]`, `id = ${quoted(one.id)}`, `count = ${one.count}`, ...remarksOf(one).map((remark) => `# ${remark}`), one.where ? `where = [${quoted(one.where)}]` : "", takesOf(one) ? `takes = ${quoted(takesOf(one))}` : ""].filter(Boolean).join("\n") : `# ${quoted(siteName(one))}, ${one.count}, ${quoted(one.where)}`));
  return [`site = ${quoted(state.siteName || "")}`, ...blocks].join("\n\n") + "\n";
}

function portsCsv() {
  // a cell that a table program could take for a formula is told to be text
  const cell = (value) => { const text = String(value); return `"${(/^[=+\-@\t\r]/.test(text) ? "'" : "") + text.replaceAll('"', '""')}"`; };
  const rows = state.site.map((one) => [one.id, siteName(one), one.count, one.where, takesOf(one), one.named || world.limits.states[one.settled ? 0 : 2], one.sure.toFixed(3), one.at, remarksOf(one).join(" ")]);
  return "\ufeff" + [["id", "name", "count", "where", "takes", "state", "sure", "time", "remarks"], ...rows].map((row) => row.map(cell).join(",")).join("\r\n") + "\r\n";
}
