/* What was kept on this phone, held against these tables: another page of the same place may have kept other halves, and
 * a store may be damaged. */
"use strict";

/* The state without what names a half, look or band that these tables do not hold, and without what is damaged: {state,
 * lost, damaged}, the counts of what was let go. A site's port keeps its words and loses only its id, which comes back with
 * the tables that know it. */
function knownState(kept, world) {
  let lost = 0, damaged = 0;
  const drop = (known) => { if (!known) lost += 1; return known; };
  const sound = (known) => { if (!known) damaged += 1; return known; };
  const holds = (id) => typeof id === "string" && Object.hasOwn(world.index, id);
  const plain = (one) => one !== null && typeof one === "object" && !Array.isArray(one);
  const object = (one) => (one === undefined || one === null || !sound(plain(one)) ? null : one);
  const list = (one) => (one === undefined || one === null || !sound(Array.isArray(one)) ? [] : one);
  const state = { ...(object(kept) || {}) };
  state.port = knownPort(object(state.port) || {}, world, { object, list, sound });
  if (state.asked && !world.engine.byName.has(state.asked)) delete state.asked;
  if (state.turned && !drop(holds(state.turned))) delete state.turned;
  if (state.pair && !drop(Array.isArray(state.pair) && state.pair.length === 2 && state.pair.every(holds))) delete state.pair;
  if (state.siteName !== undefined && !sound(typeof state.siteName === "string")) delete state.siteName;
  if (state.life && !sound(plain(state.life) && state.life.perMm > 0)) delete state.life;
  if (state.run) {
    const run = { ...object(state.run) };
    for (const [key, value] of Object.entries(run)) if (!sound(typeof value === (key === "outdoor" ? "boolean" : "string"))) delete run[key];
    for (const end of ["reader", "antenna"]) if (run[end] && !drop(holds(run[end]))) delete run[end];
    if (run.band && !Object.hasOwn(world.cables.bands, run.band)) delete run.band;
    state.run = run;
  }
  for (const part of ["site", "removed"]) if (state[part]) {
    const reasons = (told) => (Array.isArray(told) ? told.filter((one) => sound(Array.isArray(one) && typeof one[0] === "string" && plain(one[1]))) : undefined);
    state[part] = list(state[part]).filter((one) => sound(plain(one))).map((one) => {
      const { candidates } = plain(one.record) ? one.record : {}, named = Array.isArray(candidates) && candidates[0];
      const id = [one.id, named && named.id].find(holds) || "";
      if (one.id) drop(id);
      const sure = sound(typeof one.sure === "number") ? one.sure : 0, count = sound(one.count >= 1) ? one.count : 1;
      const [where, photo] = [one.where, one.photo].map((text) => (sound(typeof text === "string") ? text : ""));
      return { key: newId(), ...one, id, takes: holds(one.takes) ? one.takes : "", sure, count, where, photo, doubts: reasons(one.doubts), ...(part === "removed" ? { place: one.place >= 0 ? one.place : 0 } : {}) };
    });
  }
  if (state.practice) {
    const done = { ...object(state.practice) };
    done.events = list(done.events).filter((one) => sound(plain(one)));
    if (done.person !== undefined && !sound(typeof done.person === "string")) delete done.person;
    done.earlier = list(done.earlier).filter((one) => sound(plain(one)));
    state.practice = knownPractice(done, world.practice);
  }
  return { state, lost, damaged };
}

/* What was trained, without an answer half given, or just told, to an item that is not the one now asked. The answers of
 * another day's page stay, as earlier ones. */
function knownPractice(done, { items, dated }) {
  if (done.dated !== dated) return { dated, person: done.person || "", events: [], earlier: [...done.earlier, ...done.events] };
  const answers = done.events.filter(({ type }) => type === "answered"), last = answers[answers.length - 1];
  const fits = (place, id) => items[place] && Object.hasOwn(items[place].options, id);
  const told = Boolean(done.told && last && fits(answers.length - 1, last.right));
  return { ...done, person: done.person || "", told, chosen: !told && fits(answers.length, done.chosen) ? done.chosen : "" };
}

/* What two pages of one phone have of the same list, by what names each of its entries; one's own first. */
function joined(own, others, key) {
  const known = new Set(own.map((one) => one[key]));
  return [...own, ...others.filter((one) => !known.has(one[key]))];
}

/* The port's answers, second looks and terms, without what these tables do not know. */
function knownPort(kept, world, { object, list, sound }) {
  const known = ([name, answer]) => {
    const feature = world.engine.byName.get(name);
    if (!feature || !sound(answer !== null && typeof answer === "object")) return false;
    if (answer.unsure) return true;
    if (feature.seen) return feature.values.includes(answer.saw);
    return answer.none || sound(answer.read > 0 && answer.off > 0);
  };
  const typed = ([name, answer]) => [name, answer.read > 0 && typeof answer.typed !== "string" ? { ...answer, typed: String(answer.read) } : answer];
  const told = (answers) => Object.fromEntries(Object.entries(object(answers) || {}).filter(known).map(typed));
  const { instruments } = world.engine.tables, terms = list(kept.terms);
  return { ...kept, answers: told(kept.answers), again: told(kept.again), terms: world.limits.terms.filter((one) => terms.includes(one)),
    instrument: instruments.some(({ name }) => name === kept.instrument) ? kept.instrument : instruments[0].name };
}

if (typeof module !== "undefined") module.exports = { knownState };
