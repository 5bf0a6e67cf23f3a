/* What stands against a name: answers that do not go with a half, that no half gives together, or that are beyond its sizes. */
"use strict";

class Doubts extends Belief {
  centreTold({ answers, again }) {
    const told = { ...answers, ...again };
    return this.tables.centreTold.some((name) => told[name] && (told[name].saw !== undefined || told[name].read !== undefined));
  }

  /* How likely an answer is on a half, over the likeliest one there. */
  ratio(half, feature, answer, { answers, setting }) {
    if (answer.unsure || feature.anyFits) return 1;
    const byCare = (of) => this.tables.care.reduce((sum, share, level) => sum + share * of(level), 0);
    if (feature.seen) {
      const { [feature.name]: _, ...others } = answers;
      const { names, wide, table } = this.planned(feature, others, setting);
      const shown = names.map((_, k) => byCare((level) => table[(level * this.count + half) * wide + k]));
      return shown[names.indexOf(answer.saw)] / Math.max(...shown);
    }
    const there = feature.rows[half] >= 0;
    const none = byCare((level) => { const m = this.misreading(feature, level, 0); return there ? m.overlooked : 1 - m.phantom; });
    if (answer.none) return none / Math.max(none, 1 - none);
    if (!there) return (1 - none) / Math.max(none, 1 - none);
    const density = (read) => byCare((level) => this.reading(feature, half, { read }, this.misreading(feature, level, answer.off)));
    const sizes = new Set([...this.sizesOf(feature, half)].map((size) => Math.round(size * this.tables.sizeSteps) / this.tables.sizeSteps));
    return Math.min(1, density(answer.read) / Math.max(...[...sizes].map(density)));
  }

  /* Whether two readings exclude each other: no size lies within the plus-minus of both. */
  excludes(one, other) {
    return Math.abs(one.read - other.read) > one.off + other.off;
  }

  /* The sizes read twice by readings that exclude each other, one of a photograph at least. */
  apart({ answers, again }) {
    const size = (answer) => Boolean(answer) && answer.read !== undefined;
    return Object.keys(answers).filter((name) => size(answers[name]) && size(again[name]) && Boolean(answers[name].photo || again[name].photo) && this.excludes(answers[name], again[name]));
  }

  /* The answers that count: at a feature looked at twice that of the second look, where it told something; of two readings
   * that exclude each other the finer. */
  counted({ answers, again }) {
    const apart = this.apart({ answers, again });
    const second = (name) => (again[name] && !again[name].unsure && !(apart.includes(name) && answers[name].off <= again[name].off) ? again[name] : answers[name]);
    return Object.fromEntries(Object.keys(answers).map((name) => [name, second(name)]));
  }

  /* The features whose answers, those that count, do not go with a half, the least likely first. */
  misfits(state, half) {
    const odd = [], counted = this.counted(state), apart = this.apart(state);
    for (const [name, answer] of Object.entries(counted)) {
      const feature = this.byName.get(name), p = this.ratio(half, feature, answer, state);
      const never = this.tables.secondLooks.includes(name) && (this.fits(feature, answer) || [])[half] === 0;
      if (p < this.tables.unlikely || never || apart.includes(name)) odd.push({ name, p });
    }
    const names = odd.sort((a, b) => a.p - b.p).map(({ name }) => name);
    const agreeing = Object.keys(counted).filter((name) => counted[name].read !== undefined && !names.includes(name));
    return names.filter((name) => !(this.tables.finer[name] || []).some((finer) => agreeing.includes(finer)));
  }

  /* Whether the port may look like one for high voltage, and nobody knows that it is none. */
  mayCarry(state, belief) {
    return state.terms.includes(this.tables.acts.highVoltage) && this.delicate(state, belief).highVoltage;
  }

  /* What was read so far beyond what parts of a half measure that it is worn or not made to standard. */
  worn(state, half) {
    const answers = this.counted(state), apart = this.apart(state);
    return Object.keys(answers).filter((name) => !apart.includes(name)).filter((name) => {
      const answer = answers[name], feature = this.byName.get(name);
      if (answer.read === undefined || feature.rows[half] < 0) return false;
      const beyond = this.tables.beyond * this.misreading(feature, this.tables.usual, answer.off).spread;
      const sizes = this.sizesOf(feature, half);
      return answer.read < Math.min(...sizes) - beyond || answer.read > Math.max(...sizes) + beyond;
    });
  }

  /* Which halves truly give an answer, read without a mistake; null where it fits them all. */
  fits(feature, answer) {
    if (answer.unsure || feature.anyFits) return null;
    const found = new Uint8Array(this.count);
    if (feature.seen) {
      const at = feature.values.indexOf(answer.saw);
      return found.map((_, half) => (feature.fits[half][at] === "1" ? 1 : 0));
    }
    const reach = this.tables.readingReach * this.misreading(feature, this.tables.usual, answer.off || 0).spread;
    return found.map((_, half) => {
      const there = feature.rows[half] >= 0;
      if (answer.none) return there ? 0 : 1;
      if (!there) return 0;
      const sizes = this.sizesOf(feature, half);
      let low = Infinity, high = -Infinity;
      for (const size of sizes) [low, high] = [Math.min(low, size), Math.max(high, size)];
      return low - reach <= answer.read && answer.read <= high + reach ? 1 : 0;
    });
  }

  /* The answers that no half gives together, and the one most likely misread: {features, misread}, or null. */
  contradiction(state) {
    const answers = this.counted(state), { setting } = state;
    // in the order of the features, as the smallest clash is looked for in it
    const said = Object.keys(answers).filter((name) => !answers[name].unsure);
    const fitting = new Map(said.map((name) => [name, this.fits(this.byName.get(name), answers[name])]));
    const clash = (names) => names.length > 0 && !this.someFit(names.map((name) => fitting.get(name)));
    if (!clash(said)) return null;
    const misread = this.mostLikelyMisread(said, answers, setting, clash);
    for (let count = 1; count <= said.length; count++) {
      const clashes = [...combinations(said, count)].filter(clash);
      if (clashes.length) return { features: clashes.find((c) => c.includes(misread)) || clashes[0], misread };
    }
    return null;
  }

  someFit(masks) {
    for (let half = 0; half < this.count; half++) if (masks.every((mask) => mask === null || mask[half])) return true;
    return false;
  }

  mostLikelyMisread(said, answers, setting, clash) {
    const others = Object.fromEntries(said.map((name) => [name, answers[name]]));
    const rows = new Map(said.map((name) => [name, this.likelihood(this.byName.get(name), answers[name], setting, others)]));
    const prior = this.prior(setting);
    const surprise = (name) => {
      const own = rows.get(name);
      let sum = 0, expected = 0;
      for (let i = 0; i < own.length; i++) {
        let others = this.tables.care[Math.floor(i / this.count)] * prior[i % this.count];
        for (const [other, row] of rows) if (other !== name) others *= row[i];
        sum += others;
        expected += others * own[i];
      }
      return expected / sum / own.reduce((a, b) => Math.max(a, b));
    };
    const mending = said.filter((name) => !clash(said.filter((other) => other !== name)));
    const among = mending.length ? mending : said;
    const surprises = among.map(surprise);
    return among[surprises.indexOf(Math.min(...surprises))];
  }
}

function* combinations(items, count, from = 0) {
  if (count === 0) yield [];
  else for (let i = from; i <= items.length - count; i++) for (const rest of combinations(items, count - 1, i + 1)) yield [items[i], ...rest];
}

if (typeof module !== "undefined") module.exports = { Doubts };
