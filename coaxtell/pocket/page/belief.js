/* What to think of a port and what to look at next: the arithmetic of the Python engine, on the tables that it wrote.
 *
 * Nothing here knows a connector, a threshold or a word: all of that comes with the tables. Arrays of two axes (level
 * of care, half) lie flat, half last; those of three (level, half, outcome) outcome last. Answers are
 * {saw: value}, {read: size, off: plus-minus}, {none: true} or {unsure: true}, by feature. A state is {answers, again,
 * terms, setting, off}: `again` holds the answers of second looks, `off` is how far a reading may be off, null where
 * nothing is at hand to measure with.
 */
"use strict";

class Belief {
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

  /* How likely the answer to a second look is on each half, in part a repetition of the first; what a photograph gave a
   * calliper does not repeat, nor the other way round. */
  once_more(feature, answer, { answers, setting }) {
    const fresh = this.likelihood(feature, answer, setting, answers), first = answers[feature.name];
    if (!first || first.unsure || answer.unsure || Boolean(first.photo) !== Boolean(answer.photo)) return fresh;
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

if (typeof module !== "undefined") module.exports = { Belief, Curve };
