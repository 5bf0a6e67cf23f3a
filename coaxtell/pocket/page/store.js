/* What is kept on this phone: the port and the views in one text, the ports of the site in another, each of their
 * photographs in one of its own, so that no act writes more than it changed. */
"use strict";

const KEPT = "coaxtell pocket", SITE = `${KEPT} site`, PHOTO = `${KEPT} photo `;

/* The text that was kept on this phone, by this page or by another of the same place, or in this tab alone; null where none
 * is. */
function stored(where = "localStorage", name = KEPT) {
  try {
    return window[where].getItem(name);
  } catch {
    return null;
  }
}

/* What a kept text says: nothing where there is none, null where it cannot be read. */
function recall(text) {
  try {
    return text === null ? {} : JSON.parse(text) || {};
  } catch {
    return null;
  }
}

/* Whether it could be kept: a store may be full or locked, and the page still works. */
function keep(text, where = "localStorage", name = KEPT) {
  try {
    window[where].setItem(name, text);
    return true;
  } catch {
    return false;
  }
}

/* What each tab has for itself: which port it names, and where it is in that. */
const tabsOwn = ({ view, port, asked, open }) => ({ view, port, asked, open });

const storedTexts = () => ({ own: stored(), site: stored("localStorage", SITE) });

/* What the texts say together, and whether one of them is damaged. A store of before holds the site in the text of the views. */
function recallAll({ own, site }) {
  const plain = (one) => (one !== null && typeof one === "object" && !Array.isArray(one) ? one : null);
  const kept = plain(recall(own)), apart = plain(recall(site)), all = { ...kept };
  for (const part of ["site", "removed"]) {
    const lists = [apart && apart[part], kept && kept[part]].filter(Boolean);
    const whole = lists.filter(Array.isArray).map(pictured);
    if (lists.length) all[part] = whole.length > 1 ? whole.map((list) => list.filter(Boolean)).reduce((first, then) => joined(first, then, "key")) : whole[0] || lists[0];
  }
  return { all, damaged: !kept || !apart };
}

const holdsSite = (text) => Boolean((recall(text) || {}).site);

/* Ports with their photographs; `world.photos` has those that are kept, by the key of their port: {name, text}. */
function pictured(list) {
  return list.map((one) => {
    if (one === null || typeof one !== "object" || typeof one.photoKept !== "string") return one;
    const { photoKept: name, ...port } = one, known = world.photos.get(port.key);
    const text = known && known.name === name ? known.text : stored("localStorage", PHOTO + name) || "";
    if (text) world.photos.set(port.key, { name, text });
    return { ...port, photo: text };
  });
}

/* Takes over what another page of this phone has added to the site or trained since this one last read or wrote; what
 * could not be kept here goes with it. */
function takeAnew() {
  const texts = storedTexts(), before = world.stored, changed = (part) => texts[part] !== null && texts[part] !== before[part];
  if (!changed("own") && !changed("site")) return;
  world.stored = texts;
  const known = knownState(recallAll(texts).all, world), { site, removed, siteName, practice } = known.state;
  if (!world.unsaved) {
    state = { ...state, siteName, practice };
    if (changed("site") || holdsSite(texts.own)) siteIs({ site, removed }, !known.lost && !known.damaged);
    return;
  }
  // photographs of which the other page's text says nothing, it may have let go
  for (const [key, { name }] of world.photos) if (!(texts.site || "").includes(name)) world.photos.delete(key);
  const own = state.practice || practice, events = [own, practice].map((one) => (one ? [...(one.earlier || []), ...one.events] : []));
  const more = joined(...events, "id").slice(events[0].length);
  state = { ...state, site: joined(state.site || [], site || [], "key"), practice: own && { ...own, earlier: [...(own.earlier || []), ...more] } };
}

/* The site is as it is kept; one of which something was let go, or that is kept as before, is written anew at the next act. */
function siteIs({ site, removed }, whole) {
  state = { ...state, site, removed };
  world.kept = whole && !holdsSite(world.stored.own) ? { site, removed } : {};
}

/* Keeps the state on this phone; says where it keeps nothing more, as long as that is so. */
function keepState() {
  keep(JSON.stringify(tabsOwn(state)), "sessionStorage");
  const apart = (list) => list && null, before = world.stored.own;
  const text = JSON.stringify({ ...state, site: apart(state.site), removed: apart(state.removed) });
  let sites = keepSite(), own = keep(text);
  if (own && !sites) sites = keepSite(); // a store of before gave back the room that the site took in it
  if (!(own && sites) && (state.removed || []).length) { // what was removed makes room for what was not
    state = { ...state, removed: [] };
    sweep();
    sites = keepSite();
    own = keep(text);
  }
  if (own) world.stored.own = text;
  if (own && !sites && holdsSite(before) && keep(before)) world.stored.own = before;
  world.unsaved = !own || !sites;
  const note = document.querySelector("body > .full");
  if (!world.unsaved && note) note.remove();
  if (world.unsaved && !note) document.querySelector("main").before(h("p.caution.told.full", { role: "alert" }, t("not_kept")));
}

const allPorts = () => [...(state.site || []), ...(state.removed || [])];

/* Whether the site is kept as it is: its photographs first, then the list that names them; only what changed is written. Where a
 * photograph finds no room, the list is kept with what stood there before. */
function keepSite() {
  const { site, removed } = state, added = [];
  if (site === world.kept.site && removed === world.kept.removed) return true;
  const known = (one) => (world.photos.get(one.key) || {}).text === one.photo;
  const refused = allPorts().filter((one) => one.photo && !known(one)).filter((one) => {
    const name = newId(), done = keep(one.photo, "localStorage", PHOTO + name);
    if (done) added.push([one.key, world.photos.get(one.key)]);
    if (done) world.photos.set(one.key, { name, text: one.photo });
    return !done;
  });
  // a store of before goes on holding its photographs until all of them are kept apart
  const without = !holdsSite(world.stored.own);
  let all = !refused.length, listed = (all || without) && keepList();
  if (!listed) {
    // no other page knows of these, and may let them go
    for (const [key, before] of added) {
      forget(world.photos.get(key).name);
      if (before) world.photos.set(key, before);
      else world.photos.delete(key);
    }
    all = false;
    listed = added.length > 0 && without && keepList();
  }
  if (listed) {
    world.kept = all ? { site, removed } : {};
    sweep();
  }
  return all;
}

/* Whether the list of the site is kept; it names the photographs that are. */
function keepList() {
  const bare = ({ photo, ...one }) => ({ ...one, photo: "", ...(photo && world.photos.has(one.key) ? { photoKept: world.photos.get(one.key).name } : {}) });
  const text = JSON.stringify({ site: state.site && state.site.map(bare), removed: state.removed && state.removed.map(bare) });
  const done = keep(text, "localStorage", SITE);
  if (done) world.stored.site = text;
  return done;
}

/* Lets go of the photographs that no port has any more. */
function sweep() {
  const named = new Set(allPorts().flatMap((one) => (one.photo && world.photos.has(one.key) ? [world.photos.get(one.key).name] : [])));
  try {
    for (const name of Object.keys(localStorage)) if (name.startsWith(PHOTO) && !named.has(name.slice(PHOTO.length))) localStorage.removeItem(name);
  } catch {
    // a store that is locked holds none
  }
}

const forget = (name) => localStorage.removeItem(PHOTO + name);
