/* What is thought of one port: its answers, the next look, the named half, in one state that does not change. */
"use strict";

class Port {
  constructor(world, kept) {
    this.world = world; // {engine, halves, pairs, questions, words}
    this.answers = kept.answers || {};
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

  with(name, answer) {
    const answers = { ...this.answers };
    if (answer === null) delete answers[name];
    else answers[name] = answer;
    return new Port(this.world, { ...this.plain(), answers });
  }

  in(setting, instrument) {
    return new Port(this.world, { answers: this.answers, setting, instrument });
  }

  plain() {
    return { answers: this.answers, setting: this.setting, instrument: this.instrument };
  }

  once(key, make) {
    this.kept = this.kept || {};
    if (!(key in this.kept)) this.kept[key] = make();
    return this.kept[key];
  }

  get belief() {
    return this.once("belief", () => this.world.engine.belief(this.answers, this.setting));
  }

  get order() {
    return this.once("order", () => this.world.engine.ranked(this.belief));
  }

  get first() {
    return this.order[0];
  }

  get orderProbability() {
    const { engine } = this.world;
    return engine.ofOrders(this.belief)[engine.tables.orderOf[this.first]];
  }

  get settled() {
    return this.orderProbability >= this.world.limits.sure && !this.barred;
  }

  /* Whether an answer that does not go with the name, or a centre that nobody has seen, bars it from being settled. */
  get barred() {
    const { engine } = this.world;
    return this.once("barred", () => !engine.centreTold(this.answers) || engine.misfits(this.answers, this.setting, this.first).length > 0);
  }

  get next() {
    return this.once("next", () => this.world.engine.next(this.answers, this.setting, this.off));
  }

  get clash() {
    return this.once("clash", () => this.world.engine.contradiction(this.answers, this.setting));
  }

  /* Why a look comes next: the likeliest pair that it tells apart, as a reason. */
  why(feature) {
    const pair = this.world.engine.toldApart(feature, this.answers, this.setting);
    if (!pair) return ["why.quickest", { seconds: feature.seconds }];
    const [one, two] = pair.map((half) => this.world.halves[half]);
    return ["why.narrows", {
      seconds: feature.seconds, one: one.name, one_shows: one.shows[feature.name], two: two.name, two_shows: two.shows[feature.name],
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
      .filter((name) => !this.answers[name].unsure)
      .map((name) => ({ name, without: engine.belief(this.with(name, null).answers, this.setting)[this.first] }))
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
      .map((one) => ({ ...one, verdict: fit === null ? "" : pairs.verdicts[this.pairWith(one.j, fit).pair[0]] }))
      .sort((a, b) => compare([a.p < limits.possible, harm(a.verdict), -a.p, halves[a.j].id], [b.p < limits.possible, harm(b.verdict), -b.p, halves[b.j].id]))
      .slice(0, limits.mostAlike)
      .map((one) => ({ ...one, tells: engine.telling(this.setting, first, one.j) }));
  }

  percent(p) {
    if (p > 0.995) return this.world.words.say("sure.over");
    return this.world.words.say(p >= 0.01 ? ["sure.percent", { percent: 100 * p }] : "sure.under");
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
      if (answer.read !== undefined) return { type: "read", value: answer.read, plus_minus: answer.off, typed: answer.typed || "" };
      return { type: answer.none ? "not there" : "not sure" };
    };
    return {
      setting: this.setting,
      instrument: this.instrument,
      answers: Object.fromEntries(this.given.map((name) => [name, saved(this.answers[name])])),
      candidates: this.order.map((half) => ({ id: halves[half].id, probability: this.belief[half] })),
      state: this.settled ? "settled" : "not settled",
      order_probability: this.orderProbability,
      name: halves[this.first].name,
      port_words: halves[this.first].order,
      fit_words: fit ? halves[fit.j].order : "",
    };
  }
}

function compare(a, b) {
  for (let i = 0; i < a.length; i++) {
    if (a[i] < b[i]) return -1;
    if (a[i] > b[i]) return 1;
  }
  return 0;
}

if (typeof module !== "undefined") module.exports = { Port };
