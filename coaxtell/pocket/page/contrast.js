/* How alike halves look, and what tells them apart. */
"use strict";

class Contrast extends Doubts {
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
    const looks = this.features.map((feature) => ({ feature, gauged: this.gauged(feature, i, j) }))
      .filter(({ feature, gauged }) => !feature.mated && !(gauged && feature.name === this.tables.acts.wood))
      .map((look) => ({ ...look, share: this.overlap(look.feature, setting, i, j) }));
    const clear = looks.filter(({ share }) => share <= tells);
    const among = clear.length ? clear : looks;
    const before = (a, b) => (clear.length ? a.gauged - b.gauged : a.share - b.share) || a.feature.seconds - b.feature.seconds;
    const best = among.reduce((a, b) => (before(a, b) <= 0 ? a : b));
    return clear.length || best.share < telling ? best.feature : null;
  }

  /* Whether one of two halves is a precision port, and a look goes into the face of the first: its maker's gauge alone may. */
  gauged({ inFace }, i, j) {
    return inFace.includes(i) && [i, j].some((half) => this.tables.acts.precisionHalves.includes(half));
  }

  /* The likeliest pair of halves that a feature tells apart: [i, j], or null. */
  toldApart(feature, state) {
    const belief = this.belief(state), rounded = belief.map((p) => this.rounded(p)), { setting } = state;
    const order = [...belief.keys()].sort((i, j) => rounded[j] - rounded[i] || i - j);
    let best = null;
    const [likeliest, others] = this.tables.toldApart, { tie } = this.tables.stopping;
    for (let place = 0; place < likeliest; place++) {
      for (let other = place + 1; other < others && other < order.length; other++) {
        const [i, j] = [order[place], order[other]];
        if (this.tables.orderOf[i] === this.tables.orderOf[j]) continue;
        const weight = belief[i] * belief[j] * (1 - this.overlap(feature, setting, i, j));
        if (best === null || weight > best[0] * (1 + tie)) best = [weight, i, j]; // of equally likely pairs the first
      }
    }
    return best && best.slice(1);
  }
}

if (typeof module !== "undefined") module.exports = { Contrast };
