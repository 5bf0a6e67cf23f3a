/* What was kept on this phone, held against these tables: another page of the same place may have kept other halves. */
"use strict";

/* The state without what names a half, look or band that these tables do not hold: {state, lost}, `lost` the count of what
 * was let go. A site's port keeps its words and loses only its id, which comes back with the tables that know it. */
function knownState(kept, world) {
  let lost = 0;
  const drop = (known) => { if (!known) lost += 1; return known; };
  const holds = (id) => typeof id === "string" && Object.hasOwn(world.index, id);
  const state = { ...kept, port: knownPort(kept.port || {}, world) };
  if (state.asked && !world.engine.byName.has(state.asked)) delete state.asked;
  if (state.turned && !drop(holds(state.turned))) delete state.turned;
  if (state.pair && !drop(Array.isArray(state.pair) && state.pair.length === 2 && state.pair.every(holds))) delete state.pair;
  if (state.run) {
    const run = { ...state.run };
    for (const end of ["reader", "antenna"]) if (run[end] && !drop(holds(run[end]))) delete run[end];
    if (run.band && !Object.hasOwn(world.cables.bands, run.band)) delete run.band;
    state.run = run;
  }
  if (state.site) {
    state.site = (Array.isArray(state.site) ? state.site : []).map((one) => {
      const named = one.record && one.record.candidates && one.record.candidates[0];
      const id = [one.id, named && named.id].find(holds) || "";
      if (one.id) drop(id);
      return { key: newId(), ...one, id, takes: holds(one.takes) ? one.takes : "" };
    });
  }
  if (state.practice) state.practice = knownPractice(state.practice, world.practice.items);
  return { state, lost };
}

/* What was trained, without an answer half given, or just told, to an item that is not the one now asked. */
function knownPractice(done, items) {
  const answers = (done.events || []).filter(({ type }) => type === "answered"), last = answers[answers.length - 1];
  const fits = (place, id) => items[place] && Object.hasOwn(items[place].options, id);
  const told = Boolean(done.told && last && fits(answers.length - 1, last.right));
  return { ...done, events: done.events || [], told, chosen: !told && fits(answers.length, done.chosen) ? done.chosen : "" };
}

/* The port's answers, second looks and terms, without what these tables do not know. */
function knownPort(kept, world) {
  const told = (answers) => Object.fromEntries(Object.entries(answers || {}).filter(([name, answer]) => {
    const feature = world.engine.byName.get(name);
    return feature && answer && (answer.unsure || (feature.seen ? feature.values.includes(answer.saw) : answer.none || answer.read > 0));
  }));
  const { instruments } = world.engine.tables;
  return { ...kept, answers: told(kept.answers), again: told(kept.again), terms: world.limits.terms.filter((one) => (kept.terms || []).includes(one)),
    instrument: instruments.some(({ name }) => name === kept.instrument) ? kept.instrument : instruments[0].name };
}

if (typeof module !== "undefined") module.exports = { knownState };
