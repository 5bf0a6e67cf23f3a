/* What is thought of one port: its answers, the next look, the named half, in one state that does not change. */
"use strict";

class Port {
  constructor(world, kept) {
    this.world = world; // {engine, halves, pairs, questions, words}
    this.answers = kept.answers || {};
    this.again = kept.again || {}; // answers of second looks
    this.terms = kept.terms || []; // what was said of the port and the place
    this.setting = kept.setting in world.engine.tables.settings ? kept.setting : "any";
    this.instrument = kept.instrument || world.engine.tables.instruments[0].name;
  }

  get off() {
    const known = this.world.engine.tables.instruments.find((one) => one.name === this.instrument);
    return (known || this.world.engine.tables.instruments[0]).off;
  }

  get given() {
    return Object.keys(this.answers);
  }

  /* As the engine reads it. */
  get state() {
    return { answers: this.answers, again: this.again, terms: this.terms, setting: this.setting, off: this.off };
  }

  /* With an answer, at the first look or at a second; null takes both back. */
  with(name, answer, again) {
    return this.once(`with ${JSON.stringify([name, answer, again])}`, () => this.withOther(name, answer, again));
  }

  withOther(name, answer, again) {
    const answers = { ...this.answers }, second = { ...this.again };
    if (answer !== null && answer.photo) this.pictured(name, answer, again, answers, second);
    else {
      if (answer === null) delete answers[name];
      else if (!again) answers[name] = answer;
      if (answer === null || !again) delete second[name];
      else second[name] = answer;
    }
    const inOrder = (told) => Object.fromEntries(this.world.engine.features.map((f) => f.name).filter((one) => told[one]).map((one) => [one, told[one]]));
    return new Port(this.world, { ...this.plain(), answers: inOrder(answers), again: inOrder(second) });
  }

  /* Lays a photograph's reading among the answers, as the desk does (identifier/answers.py): never in the place of a finer one;
   * where the two exclude each other both are kept, and another photograph takes the place of the one that it excludes. */
  pictured(name, shot, again, answers, second) {
    const { engine } = this.world;
    if (this.apart.includes(name)) {
      const both = [answers[name], second[name]], excluded = both.filter((one) => one.photo && engine.excludes(one, shot)).pop();
      if (!excluded) return this.besideBoth(name, shot, answers, second);
      answers[name] = both.find((one) => one !== excluded);
      delete second[name];
    }
    const before = engine.counted({ answers, again: second })[name], size = before && before.read !== undefined;
    if (size && engine.excludes(before, shot)) [answers[name], second[name]] = [before, shot];
    else if (!size || before.off >= shot.off) (again || second[name] ? second : answers)[name] = shot;
  }

  /* It goes with the photograph of the two: beside a reading by hand that it excludes the finer photograph is kept. */
  besideBoth(name, shot, answers, second) {
    const [hand, photo] = second[name].photo ? [answers[name], second[name]] : [second[name], answers[name]];
    if (!hand.photo && this.world.engine.excludes(hand, shot) && photo.off >= shot.off) [answers[name], second[name]] = [hand, shot];
  }

  /* The readings of a size that are kept, the first look's first. */
  readings(name) {
    return [this.answers[name], this.again[name]].filter((one) => one && one.read !== undefined);
  }

  in(changes) {
    return new Port(this.world, { ...this.plain(), ...changes });
  }

  plain() {
    return { answers: this.answers, again: this.again, terms: this.terms, setting: this.setting, instrument: this.instrument };
  }

  once(key, make) {
    this.kept = this.kept || {};
    if (!(key in this.kept)) this.kept[key] = make();
    return this.kept[key];
  }

  get belief() {
    return this.once("belief", () => this.world.engine.belief(this.state));
  }

  get order() {
    return this.once("order", () => this.world.engine.ranked(this.belief));
  }

  get first() {
    return this.order[0];
  }

  get orderProbability() {
    const { engine } = this.world;
    return engine.rounded(engine.ofOrders(this.belief)[engine.tables.orderOf[this.first]]);
  }

  get misfits() {
    return this.once("misfits", () => this.world.engine.misfits(this.state, this.first));
  }

  get apart() {
    return this.once("apart", () => this.world.engine.apart(this.state));
  }

  /* The answers that count. */
  get counts() {
    return this.once("counts", () => this.world.engine.counted(this.state));
  }

  get worn() {
    return this.once("worn", () => this.world.engine.worn(this.state, this.first));
  }

  get mayCarry() {
    return this.world.engine.mayCarry(this.state, this.belief);
  }

  /* What is said first of a look that has one hold something beside the port: codes, none where that may be done. */
  get fromAfar() {
    return this.world.engine.fromAfar(this.state, this.belief);
  }

  get centreTold() {
    return this.world.engine.centreTold(this.state);
  }

  /* One of the three states: settled, order fits all, not settled. */
  get named() {
    return this.once("named", () => {
      const [settled, fitsAll, notSettled] = this.world.limits.states;
      if (!this.centreTold || this.mayCarry || this.misfits.length) return notSettled;
      if (this.orderProbability >= this.world.limits.sure) return settled;
      return this.fitsAll() ? fitsAll : notSettled;
    });
  }

  get settled() {
    return this.named !== this.world.limits.states[2];
  }

  /* Whether anything is ordered for it: its name is settled, and nothing asks to look at the port again before. */
  get orderable() {
    return this.settled && !this.worn.length && !this.clash;
  }

  /* Whether what is to be ordered joins every half that is still possible. */
  fitsAll() {
    const fit = this.mates(this.first)[0], { possible, sure, joined } = this.world.limits;
    if (!fit) return false;
    const open = [...this.belief.keys()].filter((half) => this.belief[half] >= possible);
    const joins = open.every((half) => joined.includes(this.world.pairs.verdicts[this.pairWith(half, fit.j).pair[0]]));
    return joins && open.reduce((sum, half) => sum + this.belief[half], 0) >= sure;
  }

  /* What it may be beside what it is called, and the order fits. */
  get others() {
    return this.order.slice(1).filter((half) => this.belief[half] >= this.world.limits.possible);
  }

  get next() {
    return this.once("next", () => this.world.engine.next(this.state));
  }

  /* Thinks of the next look, the contradiction and the name in slices, so that they are there at once when asked for. */
  *thinking() {
    if (!this.kept || !("next" in this.kept)) {
      const next = yield* this.world.engine.nextInSlices(this.state);
      this.once("next", () => next);
    }
    this.clash;
    yield;
    this.named;
    yield;
  }

  /* Whether a look may be taken, or taken anew, at this port. */
  allows(name) {
    const { engine } = this.world, held = this.once("held", () => engine.holds(this.state, this.belief));
    return engine.allowed(engine.byName.get(name), this.state, held);
  }

  get clash() {
    return this.once("clash", () => this.world.engine.contradiction(this.state));
  }

  /* Why a look comes next: the likeliest pair that it tells apart, as a reason. */
  why({ feature, again }) {
    if (feature.mated) return ["why.mated", {}];
    const half = this.world.halves[this.first], seconds = this.world.engine.secondsOf({ feature, again });
    if (again && this.misfits.includes(feature.name)) return ["why.misfit", { name: half.name, shows: half.shows[feature.name] }];
    const pair = this.world.engine.toldApart(feature, this.state);
    if (!pair) return ["why.quickest", { seconds }];
    const [one, two] = pair.map((half) => this.world.halves[half]);
    return ["why.narrows", {
      seconds, one: one.name, one_shows: one.shows[feature.name], two: two.name, two_shows: two.shows[feature.name],
    }];
  }

  /* The question of a look in the words that go with the answers so far. */
  ask(feature) {
    const { ask, after } = this.world.questions[feature.name];
    const coupling = this.answers.coupling && this.answers.coupling.saw;
    return (coupling && after[coupling]) || ask;
  }

  pairWith(half, other) {
    const [place, turned] = pairPlace(half, other, this.world.halves.length);
    return { pair: this.world.pairs.pairs[place], turned };
  }

  /* Halves that mate with one, best first. */
  mates(half) {
    return this.world.engine.once(`mates ${this.setting} ${half}`, () => this.matesOf(half));
  }

  matesOf(half) {
    const { halves, engine, limits } = this.world, own = halves[half], prior = engine.prior(this.setting);
    const found = halves.flatMap((other, j) => {
      const { pair } = this.pairWith(half, j);
      const verdict = this.world.pairs.verdicts[pair[0]];
      if (!limits.joined.includes(verdict)) return [];
      return [{ j, limited: verdict !== limits.joined[0], key: [verdict !== limits.joined[0], other.family !== own.family, other.ohm !== own.ohm, -prior[j], other.id] }];
    });
    return found.sort((a, b) => compare(a.key, b.key));
  }

  /* What each answer holds up: the named half's probability if it were taken back. */
  restsOn() {
    const { engine } = this.world;
    return this.given
      .filter((name) => !this.counts[name].unsure)
      .map((name) => ({ name, without: engine.rounded(engine.belief(this.with(name, null).state)[this.first]) }))
      .sort((a, b) => a.without - b.without);
  }

  /* Halves that look like the named one, or are still possible, and what becomes of them with the part ordered. */
  lookAlikes(fit) {
    const { engine, halves, limits, pairs } = this.world, { orderOf } = engine.tables, first = this.first;
    const near = engine.alike(this.setting, first);
    const harm = (verdict) => (limits.harm.includes(verdict) ? limits.harm.indexOf(verdict) : limits.harm.length);
    return halves
      .map((other, j) => ({ j, p: this.belief[j] }))
      .filter(({ j, p }) => orderOf[j] !== orderOf[first] && (near[j] >= limits.near || p >= limits.possible))
      .map((one) => ({ ...one, p: engine.rounded(one.p), verdict: fit === null ? "" : pairs.verdicts[this.pairWith(one.j, fit).pair[0]] }))
      .sort((a, b) => compare([a.p < limits.possible, harm(a.verdict), -a.p, halves[a.j].id], [b.p < limits.possible, harm(b.verdict), -b.p, halves[b.j].id]))
      .slice(0, limits.mostAlike)
      .map((one) => ({ ...one, tells: engine.telling(this.setting, first, one.j) }))
      .map((one) => ({ ...one, gauged: one.tells !== null && engine.gauged(one.tells, first, one.j) }));
  }

  percent(p) {
    return this.world.words.say(sureOf(p, this.world.limits));
  }

  typed(name) {
    const answer = this.answers[name];
    if (answer.saw !== undefined) return answer.saw;
    if (answer.read !== undefined) return answer.typed || String(answer.read);
    return answer.none ? "none" : "not-sure";
  }

  /* The identification as `coaxtell identify --save` writes it: `cable`, `plan` and the window open it. */
  record() {
    const { halves } = this.world, fit = this.mates(this.first)[0];
    const saved = (answer) => {
      if (answer.saw !== undefined) return { type: "saw", value: answer.saw };
      if (answer.read !== undefined) return { type: "read", value: answer.read, plus_minus: answer.off, typed: answer.photo ? `${answer.typed} ${this.world.photo.typedBy}` : answer.typed || "" };
      return { type: answer.none ? "not there" : "not sure" };
    };
    return {
      format: this.world.marks.record,
      tables: this.world.marks.tables,
      setting: this.setting,
      instrument: this.instrument,
      answers: Object.fromEntries(this.given.map((name) => [name, saved(this.answers[name])])),
      again: Object.fromEntries(Object.keys(this.again).map((name) => [name, saved(this.again[name])])),
      terms: this.terms,
      state: this.named,
      candidates: this.order.map((half) => ({ id: halves[half].id, probability: this.world.engine.rounded(this.belief[half]) })),
      order_probability: this.orderProbability,
      name: halves[this.first].name,
      port_words: halves[this.first].order,
      fit_words: fit && this.orderable ? halves[fit.j].order : "",
    };
  }
}

/* A chance as a reason. */
function sureOf(p, { sureOver, sureUnder }) {
  if (p > sureOver) return ["sure.over", {}];
  return p >= sureUnder ? ["sure.percent", { percent: 100 * p }] : ["sure.under", {}];
}

function compare(a, b) {
  for (let i = 0; i < a.length; i++) {
    if (a[i] < b[i]) return -1;
    if (a[i] > b[i]) return 1;
  }
  return 0;
}

if (typeof module !== "undefined") module.exports = { Port, compare };
