/* What looks promise: the one to take next. */
"use strict";

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

if (typeof module !== "undefined") module.exports = { Outlook };
