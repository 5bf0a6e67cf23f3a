/* What to think of a port and what to look at next: the arithmetic of the Python engine, on the tables that it wrote.
 *
 * Nothing here knows a connector, a threshold or a word: all of that comes with the tables. Arrays of two axes (level
 * of care, half) lie flat, half last; those of three (level, half, outcome) outcome last. Answers are
 * {saw: value}, {read: size, off: plus-minus}, {none: true} or {unsure: true}, by feature. A state is {answers, again,
 * terms, setting, off}: `again` holds the answers of second looks, `off` is how far a reading may be off, null where
 * nothing is at hand to measure with.
 */
"use strict";

class Engine {
  constructor(tables) {
    this.tables = tables;
    this.count = tables.ids.length;
    this.levels = tables.care.length;
    this.features = tables.features;
    this.byName = new Map(this.features.map((feature) => [feature.name, feature]));
    this.kept = new Map();
  }

  once(key, make) {
    if (!this.kept.has(key)) this.kept.set(key, make());
    return this.kept.get(key);
  }

  prior(setting) {
    return this.tables.settings[setting].prior;
  }

  /* The answers a feature may get with the likelihood of each: {names, wide, table}. */
  outcomes(feature, setting, off) {
    const key = feature.seen ? `${feature.name} ${setting}` : `${feature.name} ${off}`;
    return this.once(key, () => (feature.seen ? this.seenOutcomes(feature, setting) : this.cells(feature, off)));
  }

  seenOutcomes(feature, setting) {
    const wide = feature.values.length;
    const table = Float64Array.from(feature.table);
    const others = feature.outside && feature.outside.settings[setting];
    if (others) {
      for (let level = 0; level < this.levels; level++) {
        for (const half of feature.outside.halves) {
          for (let k = 0; k < wide; k++) table[(level * this.count + half) * wide + k] = others[level * wide + k];
        }
      }
    }
    return { names: feature.values, wide, table };
  }

  /* How people of one level of care misread a feature: its shares of mistakes, and the spread of a reading. */
  misreading(feature, level, off) {
    const [gross, overlooked, phantom, hand] = feature.misread[level];
    return { gross, overlooked, phantom, spread: Math.hypot(off / Math.sqrt(3), hand) };
  }

  density(offset, spread) {
    const scale = (spread * Math.sqrt(3)) / Math.PI;
    const tail = Math.exp(-Math.abs(offset / scale));
    return tail / (scale * (1 + tail) ** 2);
  }

  sizesOf(feature, half) {
    const draws = this.tables.draws;
    return feature.sizes.subarray(feature.rows[half] * draws, (feature.rows[half] + 1) * draws);
  }

  /* The cells that readings may fall in, for planning: first that there is no such part. */
  cells(feature, off) {
    const { reach, spreads } = this.tables.cells;
    const usual = this.misreading(feature, this.levels >> 1, off);
    const width = spreads * usual.spread;
    const found = new Set();
    for (const size of feature.sizes) {
      const cell = Math.floor(size / width);
      for (let step = -reach; step < reach + 2; step++) found.add(cell + step);
    }
    const edges = [...found].sort((a, b) => a - b).map((cell) => cell * width);
    const borders = [feature.least, ...edges.filter((e) => e > feature.least && e < feature.most), feature.most];
    const all = Math.log(feature.most / feature.least);
    const even = borders.slice(1).map((high, k) => (Math.log(high) - Math.log(borders[k])) / all);
    const wide = even.length + 1;
    const table = new Float64Array(this.levels * this.count * wide);
    const wrong = this.anywhereOfAll(feature, borders, even);
    for (let level = 0; level < this.levels; level++) {
      const m = this.misreading(feature, level, off);
      const curve = new Curve(borders, m.spread);
      for (let half = 0; half < this.count; half++) {
        const row = (level * this.count + half) * wide, shares = wrong[half];
        if (feature.rows[half] < 0) {
          table[row] = 1 - m.phantom;
          for (let k = 0; k < shares.length; k++) table[row + 1 + k] = m.phantom * shares[k];
          continue;
        }
        const under = curve.below(this.sizesOf(feature, half));
        table[row] = m.overlooked;
        for (let k = 0; k < shares.length; k++) {
          const right = under[k + 1] - under[k];
          table[row + 1 + k] = (1 - m.overlooked) * ((1 - m.gross) * right + m.gross * shares[k]);
        }
      }
    }
    return { names: null, wide, table };
  }

  /* The outcomes of a look after other answers: who feels for what he believes to see says so in part, whatever is
   * there, and who looks again says in part what he said before. */
  planned(feature, answers, setting, off, again) {
    const found = this.outcomes(feature, setting, off);
    const says = [];
    const before = feature.follows && answers[feature.follows.feature];
    if (before && before.saw !== undefined) says.push([feature.follows.says[before.saw], feature.follows.share]);
    const own = again && answers[feature.name];
    if (own && own.saw !== undefined) says.push([own.saw, feature.again.same]);
    return says.reduce(({ names, wide, table }, [value, share]) => {
      const at = names.indexOf(value);
      return { names, wide, table: table.map((p, i) => (1 - share) * p + (i % wide === at ? share : 0)) };
    }, found);
  }

  /* Density on a half of a reading that is altogether wrong: in part of another place on the same part. */
  anywhere(feature, half, value) {
    const even = 1 / (value * Math.log(feature.most / feature.least)), others = feature.around[half];
    if (!others.length) return even;
    const { share, spread } = this.tables.elsewhere;
    const placed = others.reduce((sum, size) => sum + this.density(value - size, spread), 0) / others.length;
    return (1 - share) * even + share * placed;
  }

  /* Probability of each cell for a reading that is altogether wrong, by half. */
  anywhereOfAll(feature, borders, even) {
    const { share, spread } = this.tables.elsewhere, curve = new Curve(borders, spread);
    return feature.around.map((others) => {
      if (!others.length) return even;
      const under = curve.below(others);
      return even.map((p, k) => (1 - share) * p + share * (under[k + 1] - under[k]));
    });
  }

  /* How likely an answer is on each half, after the other answers: (level, half). */
  likelihood(feature, answer, setting, others) {
    const found = new Float64Array(this.levels * this.count);
    if (answer.unsure) return found.fill(1);
    if (feature.seen) {
      const { names, wide, table } = this.planned(feature, others, setting);
      const at = names.indexOf(answer.saw);
      return found.map((_, i) => table[i * wide + at]);
    }
    for (let level = 0; level < this.levels; level++) {
      const m = this.misreading(feature, level, answer.none ? 0 : answer.off);
      for (let half = 0; half < this.count; half++) {
        const there = feature.rows[half] >= 0;
        found[level * this.count + half] = answer.none ? (there ? m.overlooked : 1 - m.phantom) : this.reading(feature, half, answer, m);
      }
    }
    return found;
  }

  /* Density of a reading on a half, by a person of one level of care. */
  reading(feature, half, { read, off }, m) {
    const anywhere = this.anywhere(feature, half, read);
    if (feature.rows[half] < 0) return m.phantom * anywhere;
    const sizes = this.sizesOf(feature, half);
    let sum = 0;
    for (const size of sizes) sum += this.density(read - size, m.spread);
    return (1 - m.overlooked) * ((1 - m.gross) * (sum / sizes.length) + m.gross * anywhere);
  }

  /* How likely the answer to a second look is on each half, in part a repetition of the first. */
  once_more(feature, answer, { answers, setting }) {
    const fresh = this.likelihood(feature, answer, setting, answers), first = answers[feature.name];
    if (!first || first.unsure || answer.unsure) return fresh;
    let same;
    if (answer.read === undefined) same = Number(answer.saw === first.saw && Boolean(answer.none) === Boolean(first.none));
    else same = first.read === undefined ? 0 : this.density(answer.read - first.read, Math.hypot(answer.off, feature.hand));
    const { same: share } = feature.again;
    return fresh.map((p) => share * same + (1 - share) * p);
  }

  /* What the answers say of a feature that has none of its own: who names a colour has seen a housing. */
  implied(answers) {
    const found = new Map();
    for (const feature of this.features) {
      const answer = answers[feature.name];
      if (!answer || answer.saw === undefined || answer.saw === this.tables.nothing) continue;
      for (const [other, allowed] of Object.entries(feature.where)) {
        if (answers[other] && answers[other].saw !== undefined) continue;
        const both = (found.get(other) || allowed).filter((value) => allowed.includes(value));
        found.set(other, both.length ? both : allowed);
      }
    }
    return found;
  }

  /* Probability of each level of care and half after the answers, summing to one. */
  joint(state) {
    const { answers, again, setting } = state;
    const logs = new Float64Array(this.levels * this.count);
    const prior = this.prior(setting);
    for (let i = 0; i < logs.length; i++) {
      logs[i] = Math.log(this.tables.care[Math.floor(i / this.count)]) + Math.log(prior[i % this.count]);
    }
    const implied = this.implied(answers);
    for (const feature of this.features) {
      const answer = answers[feature.name];
      if (answer) {
        const likely = this.likelihood(feature, answer, setting, answers);
        for (let i = 0; i < logs.length; i++) logs[i] += Math.log(likely[i]);
      }
      if (again[feature.name]) {
        const likely = this.once_more(feature, again[feature.name], state);
        for (let i = 0; i < logs.length; i++) logs[i] += Math.log(likely[i]);
      }
      if (implied.has(feature.name)) {
        const { names, wide, table } = this.outcomes(feature, setting);
        const at = implied.get(feature.name).map((value) => names.indexOf(value));
        for (let i = 0; i < logs.length; i++) logs[i] += Math.log(at.reduce((sum, k) => sum + table[i * wide + k], 0));
      }
    }
    const most = logs.reduce((a, b) => Math.max(a, b));
    const weights = logs.map((log) => Math.exp(log - most));
    const sum = weights.reduce((a, b) => a + b);
    return weights.map((weight) => weight / sum);
  }

  ofHalves(joint) {
    const found = new Float64Array(this.count);
    joint.forEach((p, i) => (found[i % this.count] += p));
    return found;
  }

  belief(state) {
    return this.ofHalves(this.joint(state));
  }

  /* Rounded once, so that no machine tells another last digit. */
  rounded(p) {
    return Math.round(p * this.tables.steps) / this.tables.steps;
  }

  ofOrders(belief) {
    const found = new Float64Array(this.tables.orders);
    belief.forEach((p, half) => (found[this.tables.orderOf[half]] += p));
    return found;
  }

  /* Halves by rounded probability, best first; ties by id. */
  ranked(belief) {
    const { ids } = this.tables, rounded = belief.map((p) => this.rounded(p));
    return [...belief.keys()].sort((i, j) => rounded[j] - rounded[i] || (ids[i] < ids[j] ? -1 : 1));
  }

  hasRoom(answers, feature) {
    return Object.entries(feature.where).every(
      ([other, allowed]) => !answers[other] || answers[other].saw === undefined || allowed.includes(answers[other].saw),
    );
  }

  /* What holds of the port as far as the answers tell: which acts may be proposed. */
  holds({ answers, terms }, belief) {
    const { acts } = this.tables, found = new Set(), { highVoltage: mayBe, precision } = this.delicate({ answers }, belief);
    if (!terms.includes(acts.lookOnly)) acts.seenTo.forEach((need) => found.add(need));
    if (!terms.includes(acts.highVoltage) && (terms.includes(acts.noHighVoltage) || !mayBe)) found.add(acts.noHighVoltage);
    if (!precision) found.add(acts.notPrecision);
    return found;
  }

  /* Whether the port may look like one for high voltage, and whether it may be a precision one: more than so likely. */
  delicate({ answers }, belief, least = this.tables.acts.mayBe) {
    const { acts } = this.tables, coupling = answers[acts.coupling];
    const likely = (halves) => halves.reduce((sum, half) => sum + belief[half], 0) > least;
    return { highVoltage: Boolean(coupling && acts.bayonets.includes(coupling.saw)) || likely(acts.bayonetHalves), precision: likely(acts.precisionHalves) };
  }

  may(feature, { terms, off }, held) {
    if (!feature.seen && off === null) return false;
    return feature.needs.every((need) => held.has(need)) && !(feature.reach && terms.includes(this.tables.acts.noReach));
  }

  /* The looks that are still to be taken, and those that are worth taking once more. */
  openLooks(state, belief) {
    const held = this.holds(state, belief), { answers, again } = state;
    const first = this.features.filter((f) => !answers[f.name] && this.hasRoom(answers, f) && this.may(f, state, held));
    const more = this.tables.secondLooks.filter((name) => answers[name] && answers[name].saw !== undefined && !again[name]);
    return [...first.map((feature) => ({ feature, again: false })), ...more.map((name) => ({ feature: this.byName.get(name), again: true }))];
  }

  secondsOf({ feature, again }) {
    return again && feature.seen ? feature.again.seconds : feature.seconds;
  }

  /* The look to take next, {feature, again}, or null where it is time to stop; as Python told it for how people begin. */
  next(state) {
    return finished(this.nextInSlices(state));
  }

  /* The same in slices of a few milliseconds on a phone, for who thinks ahead while a finger may land. */
  *nextInSlices(state) {
    const { answers, again, terms, setting, off } = state, said = Object.entries(answers);
    if (said.length <= 1 && !Object.keys(again).length && !terms.length) {
      const told = this.tables.begins[[setting, off, ...said.map(([name, { saw }]) => `${name}=${saw}`)].join(" ")];
      if (told) return { feature: this.byName.get(told), again: false };
    }
    return yield* this.reckoning(state);
  }

  /* The same for any state. */
  reckoned(state) {
    return finished(this.reckoning(state));
  }

  *reckoning(state) {
    const joint = this.joint(state), belief = this.ofHalves(joint), { answers, setting, off } = state;
    yield;
    const open = this.openLooks(state, belief);
    if (open.length) {
      const looks = [];
      for (const look of open) {
        looks.push({ ...this.planned(look.feature, answers, setting, this.offOf(look.feature, off), look.again), seconds: this.secondsOf(look) });
        yield;
      }
      const outlook = new Outlook(looks, this.levels, this.tables.orderOf);
      const chosen = yield* outlook.choosing(joint, this.tables.stopping);
      if (chosen !== null) return open[chosen];
    }
    return this.barring(state, belief, open);
  }

  centreTold({ answers, again }) {
    const told = { ...answers, ...again };
    return this.tables.centreTold.some((name) => told[name] && (told[name].saw !== undefined || told[name].read !== undefined));
  }

  /* The look without which the port cannot be named for sure, or null. */
  barring(state, belief, open) {
    if (!Object.keys(state.answers).length) return null;
    if (!this.centreTold(state)) {
      for (const name of this.tables.quickCentre) {
        const quick = open.find((look) => look.feature.name === name && !look.again);
        if (quick) return quick;
      }
    }
    const held = this.holds(state, belief);
    const name = this.misfits(state, this.ranked(belief)[0]).find((one) => !state.again[one] && this.may(this.byName.get(one), state, held));
    return name === undefined ? null : { feature: this.byName.get(name), again: true };
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
    const sizes = new Set([...this.sizesOf(feature, half)].map((size) => Math.round(size * 100) / 100));
    return Math.min(1, density(answer.read) / Math.max(...[...sizes].map(density)));
  }

  /* The answers that count: at a feature looked at twice that of the second look, where it told something. */
  counted({ answers, again }) {
    const second = (name) => (again[name] && !again[name].unsure ? again[name] : answers[name]);
    return Object.fromEntries(Object.keys(answers).map((name) => [name, second(name)]));
  }

  /* The features whose answers, those that count, do not go with a half, the least likely first. */
  misfits(state, half) {
    const odd = [], counted = this.counted(state);
    for (const [name, answer] of Object.entries(counted)) {
      const feature = this.byName.get(name), p = this.ratio(half, feature, answer, state);
      const never = this.tables.secondLooks.includes(name) && (this.fits(feature, answer) || [])[half] === 0;
      if (p < this.tables.unlikely || never) odd.push({ name, p });
    }
    const names = odd.sort((a, b) => a.p - b.p).map(({ name }) => name);
    const agreeing = Object.keys(counted).filter((name) => counted[name].read !== undefined && !names.includes(name));
    return names.filter((name) => !(this.tables.finer[name] || []).some((finer) => agreeing.includes(finer)));
  }

  /* Whether a half looks like one for high voltage, and nobody knows that it is none. */
  mayCarry({ terms }, half) {
    const { acts } = this.tables;
    return terms.includes(acts.highVoltage) && acts.bayonetHalves.includes(half);
  }

  /* What was read so far beyond what parts of a half measure that it is worn or not made to standard. */
  worn(state, half) {
    const answers = this.counted(state);
    return Object.keys(answers).filter((name) => {
      const answer = answers[name], feature = this.byName.get(name);
      if (answer.read === undefined || feature.rows[half] < 0) return false;
      const beyond = this.tables.beyond * this.misreading(feature, this.tables.usual, answer.off).spread;
      const sizes = this.sizesOf(feature, half);
      return answer.read < Math.min(...sizes) - beyond || answer.read > Math.max(...sizes) + beyond;
    });
  }

  offOf(feature, off) {
    return feature.off === undefined ? off : feature.off;
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

  /* Probability of each answer on a half over all levels of care, sizes by the first instrument. */
  usual(feature, setting, half) {
    return this.once(`usual ${feature.name} ${setting} ${half}`, () => this.usualOf(feature, setting, half));
  }

  usualOf(feature, setting, half) {
    const { wide, table } = this.outcomes(feature, setting, this.offOf(feature, this.tables.instruments[0].off));
    const found = new Float64Array(wide);
    for (let level = 0; level < this.levels; level++) {
      const row = (level * this.count + half) * wide;
      for (let k = 0; k < wide; k++) found[k] += this.tables.care[level] * table[row + k];
    }
    return found;
  }

  overlap(feature, setting, i, j) {
    const one = this.usual(feature, setting, i), other = this.usual(feature, setting, j);
    return one.reduce((sum, p, k) => sum + Math.sqrt(p * other[k]), 0);
  }

  /* How alike every half looks to one of them, over all that is seen at a glance. */
  alike(setting, half) {
    return this.once(`alike ${setting} ${half}`, () => this.alikeOf(setting, half));
  }

  alikeOf(setting, half) {
    const found = new Float64Array(this.count).fill(1);
    for (const feature of this.tables.contrast.glance.map((name) => this.byName.get(name))) {
      for (let other = 0; other < this.count; other++) found[other] *= this.overlap(feature, setting, half, other);
    }
    return found;
  }

  /* The one look that tells two halves apart: the quickest that does, else the best; null where none does. */
  telling(setting, i, j) {
    return this.once(`telling ${setting} ${i} ${j}`, () => this.tellingOf(setting, i, j));
  }

  tellingOf(setting, i, j) {
    const { tells, telling } = this.tables.contrast;
    const looks = this.features.map((feature) => ({ feature, share: this.overlap(feature, setting, i, j) }));
    const clear = looks.filter(({ share }) => share <= tells);
    const among = clear.length ? clear : looks;
    const before = (a, b) => (clear.length ? 0 : a.share - b.share) || a.feature.seconds - b.feature.seconds;
    const best = among.reduce((a, b) => (before(a, b) <= 0 ? a : b));
    return clear.length || best.share < telling ? best.feature : null;
  }

  /* The likeliest pair of halves that a feature tells apart: [i, j], or null. */
  toldApart(feature, state) {
    const belief = this.belief(state), rounded = belief.map((p) => this.rounded(p)), { setting } = state;
    const order = [...belief.keys()].sort((i, j) => rounded[j] - rounded[i] || i - j);
    let best = null;
    for (let place = 0; place < 6; place++) {
      for (let other = place + 1; other < 12 && other < order.length; other++) {
        const [i, j] = [order[place], order[other]];
        if (this.tables.orderOf[i] === this.tables.orderOf[j]) continue;
        const weight = belief[i] * belief[j] * (1 - this.overlap(feature, setting, i, j));
        if (best === null || weight > best[0]) best = [weight, i, j];
      }
    }
    return best && best.slice(1);
  }
}

/* Shares of readings that lie below each of some borders, by a logistic curve around each size. */
class Curve {
  constructor(borders, spread) {
    this.borders = borders;
    this.scale = (spread * Math.sqrt(3)) / Math.PI;
    this.reach = 40 * this.scale; // the curve has reached its ends there to the last digit
  }

  /* Mean share below each border: nought at the first, one at the last. */
  below(sizes) {
    const { borders, scale, reach } = this, last = borders.length - 1, found = new Float64Array(last + 1).fill(1);
    let low = Infinity, high = -Infinity;
    for (const size of sizes) [low, high] = [Math.min(low, size), Math.max(high, size)];
    // exp((size - border) / scale) as a product of two, so that the inner loop needs no exponential
    const middle = (low + high) / 2, tails = Float64Array.from(sizes, (size) => Math.exp((size - middle) / scale));
    found[0] = 0;
    for (let k = 1; k < last && borders[k] <= high + reach; k++) {
      const tail = Math.exp((middle - borders[k]) / scale);
      let sum = 0;
      if (borders[k] >= low - reach) for (let i = 0; i < tails.length; i++) sum += 1 / (1 + tail * tails[i]);
      found[k] = sum / tails.length;
    }
    return found;
  }
}

/* What a work in slices comes to. */
function finished(work) {
  for (;;) {
    const { done, value } = work.next();
    if (done) return value;
  }
}

function* combinations(items, count, from = 0) {
  if (count === 0) yield [];
  else for (let i = from; i <= items.length - count; i++) for (const rest of combinations(items, count - 1, i + 1)) yield [items[i], ...rest];
}

/* Looks that can be taken and what they promise, for any set of candidates. Each look has its outcomes in `table`:
 * (level, candidate, outcome), flat. `orderOf` numbers the orders of the candidates from nought. */
class Outlook {
  constructor(looks, levels, orderOf) {
    this.looks = looks;
    this.levels = levels;
    this.count = orderOf.length;
    const numbers = new Map();
    this.order = Int32Array.from(orderOf, (order) => {
      if (!numbers.has(order)) numbers.set(order, numbers.size);
      return numbers.get(order);
    });
    this.orders = numbers.size;
    this.fewFirst = [...looks.keys()].sort((a, b) => looks[a].wide - looks[b].wide);
    this.sums = new Float64Array(this.orders * looks.reduce((most, { wide }) => Math.max(most, wide), 0));
  }

  /* The same looks for some of the candidates. */
  narrowed(keep) {
    const looks = this.looks.map(({ wide, table, seconds }) => {
      const kept = new Float64Array(this.levels * keep.length * wide);
      for (let level = 0; level < this.levels; level++) {
        keep.forEach((candidate, place) => {
          const from = (level * this.count + candidate) * wide;
          kept.set(table.subarray(from, from + wide), (level * keep.length + place) * wide);
        });
      }
      return { wide, table: kept, seconds };
    });
    return new Outlook(looks, this.levels, keep.map((candidate) => this.order[candidate]));
  }

  /* Sums of a joint (level, candidate) by order. */
  byOrder(joint) {
    const found = new Float64Array(this.orders);
    for (let i = 0; i < joint.length; i++) found[this.order[i % this.count]] += joint[i];
    return found;
  }

  uncertainty(joint) {
    const orders = this.byOrder(joint), sum = orders.reduce((a, b) => a + b);
    return -orders.reduce((all, p) => all + plogp(p / sum), 0);
  }

  best(joint) {
    return this.byOrder(joint).reduce((a, b) => Math.max(a, b)) / joint.reduce((a, b) => a + b);
  }

  /* What a look promises after a belief: [gain in bit, probability of the best order after it]. */
  prospect({ wide, table }, joint, before) {
    const { count, orders, sums } = this, end = orders * wide;
    sums.fill(0, 0, end);
    for (let i = 0; i < joint.length; i++) {
      const p = joint[i], from = i * wide;
      if (p > 0) for (let k = 0, to = this.order[i % count] * wide; k < wide; k++) sums[to + k] += p * table[from + k];
    }
    let spread = 0, sure = 0;
    for (let k = 0; k < wide; k++) {
      let all = 0, most = 0;
      for (let at = k; at < end; at += wide) {
        const p = sums[at];
        all += p;
        if (p > most) most = p;
        spread += plogp(p);
      }
      spread -= plogp(all);
      sure += most;
    }
    return [Math.max(before + spread, 0), sure];
  }

  /* Uncertainty of a joint that sums to one [bit]. */
  bits(joint) {
    return -this.byOrder(joint).reduce((all, p) => all + plogp(p), 0);
  }

  *prospects(joint) {
    const before = this.bits(joint), found = [];
    for (const look of this.looks) {
      found.push(this.prospect(look, joint, before));
      yield;
    }
    return found;
  }

  /* The outcomes of a look that are likelier than `faint`: [chance, the belief after it]. */
  after(joint, look, faint) {
    const { wide, table } = this.looks[look], chances = new Float64Array(wide), found = [];
    for (let i = 0; i < joint.length; i++) for (let k = 0; k < wide; k++) chances[k] += joint[i] * table[i * wide + k];
    chances.forEach((chance, k) => {
      if (chance > faint) found.push([chance, joint.map((p, i) => (p * table[i * wide + k]) / chance)]);
    });
    return found;
  }

  /* The place of the look to take next, or null, in slices. */
  *choosing(joint, stopping) {
    const { few, nearEnd, nearlyBest, wrongOrder, tie } = stopping;
    const first = yield* this.prospects(joint), best = this.best(joint), bits = this.uncertainty(joint);
    const seconds = this.looks.map((look) => look.seconds);
    const rate = first.map(([gain], k) => gain / seconds[k]);
    const value = first.map(([, sure], k) => (sure - best) * wrongOrder - seconds[k]);
    if (bits <= few) yield* this.lookAhead(joint, first, rate, value, stopping);
    if (!value.some((v) => v > 0)) return null;
    const least = bits <= nearEnd ? nearlyBest * Math.max(...value) : -Infinity;
    const among = rate.map((r, k) => (value[k] >= least ? r : -Infinity)), most = Math.max(...among);
    return among.findIndex((r) => r >= most * (1 - tie));
  }

  *lookAhead(joint, first, rate, value, stopping) {
    const { tried, faint } = stopping, seconds = this.looks.map((look) => look.seconds);
    const halves = new Float64Array(this.count);
    joint.forEach((p, i) => (halves[i % this.count] += p));
    const keep = [...halves.keys()].filter((candidate) => halves[candidate] > faint);
    const near = this.narrowed(keep);
    const kept = Float64Array.from({ length: this.levels * keep.length }, (_, i) => joint[Math.floor(i / keep.length) * this.count + keep[i % keep.length]]);
    const sum = kept.reduce((a, b) => a + b);
    const small = kept.map((p) => p / sum);
    const order = [...rate.keys()].sort((a, b) => rate[b] - rate[a] || a - b).slice(0, tried);
    for (const look of order) {
      let worthAll = 0, gainAll = 0, secondsAll = 0;
      for (const [chance, next] of near.after(small, look, faint)) {
        const { most, gain, then } = near.second(next, look, stopping);
        yield;
        worthAll += chance * most;
        if (then !== null) {
          gainAll += chance * gain;
          secondsAll += chance * seconds[then];
        }
      }
      value[look] += worthAll;
      // a look that pays by itself keeps its own rate: a poor one must not live on what comes after it
      rate[look] = Math.max(rate[look], (first[look][0] + gainAll) / (seconds[look] + secondsAll));
    }
  }

  /* What follows the look `taken` once it has led to a belief: what the best further look is worth, and the one that
   * tells most per second with its gain, null where that is worth nothing. A look that can neither be worth more than
   * what is found already nor tell more per second, whatever it shows, is not reckoned. */
  second(joint, taken, { wrongOrder }) {
    const before = this.bits(joint), open = (1 - this.best(joint)) * wrongOrder;
    let most = 0, then = null, gain = 0, rate = -Infinity, pays = false;
    if (this.looks.every(({ seconds }) => open - seconds < -ROOM)) return { most, gain, then };
    for (const k of this.fewFirst) {
      const { seconds } = this.looks[k], own = k === taken; // asked once more it says the same
      if (!own && open - seconds < most - ROOM && before / seconds < rate - ROOM) continue;
      const [told, sure] = own ? [0, 0] : this.prospect(this.looks[k], joint, before);
      const worth = own ? 0 : (sure - 1) * wrongOrder + open - seconds;
      most = Math.max(most, worth);
      if (told / seconds > rate || (told / seconds === rate && k < then)) [then, gain, rate, pays] = [k, told, told / seconds, worth > 0];
    }
    return { most, gain, then: pays ? then : null };
  }
}

const ROOM = 1e-9; // for what the last digits do

function plogp(p) {
  return p > 0 ? p * Math.log2(p) : 0;
}

if (typeof module !== "undefined") module.exports = { Engine, Outlook };
