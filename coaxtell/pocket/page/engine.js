/* What to look at next, and what may be proposed at all. */
"use strict";

class Engine extends Contrast {
  hasRoom(answers, feature) {
    return Object.entries(feature.where).every(
      ([other, allowed]) => !answers[other] || answers[other].saw === undefined || allowed.includes(answers[other].saw),
    );
  }

  /* What holds of the port as far as the answers tell: which acts may be proposed. */
  holds({ answers, again, terms }, belief) {
    const { acts } = this.tables, found = new Set(), { highVoltage: mayBe, precision } = this.delicate({ answers, again }, belief);
    if (!terms.includes(acts.lookOnly)) acts.seenTo.forEach((need) => found.add(need));
    if (!terms.includes(acts.highVoltage) && (terms.includes(acts.noHighVoltage) || !mayBe)) found.add(acts.noHighVoltage);
    if (!precision) found.add(acts.notPrecision);
    return found;
  }

  /* Whether the port may look like one for high voltage, and whether it may be a precision one: more than so likely. */
  delicate({ answers, again }, belief, least = this.tables.acts.mayBe) {
    const { acts } = this.tables;
    const likely = (halves) => halves.reduce((sum, half) => sum + belief[half], 0) > least;
    return { highVoltage: this.couplingsSeen(answers, again).some((one) => acts.bayonets.includes(one)) || likely(acts.bayonetHalves), precision: likely(acts.precisionHalves) };
  }

  /* Why nothing is held beside the port, as codes of texts; none where it may be. */
  fromAfar(state, belief) {
    const held = this.holds(state, belief), { afar } = this.tables.acts;
    return Object.keys(afar).filter((need) => !held.has(need)).map((need) => afar[need]);
  }

  /* What the port was seen to be held by, at the first look and at the second. */
  couplingsSeen(answers, again) {
    return [answers, again].map((told) => told[this.tables.acts.coupling]).filter((one) => one && one.saw !== undefined).map(({ saw }) => saw);
  }

  may(feature, state, held) {
    if (!feature.seen && state.off === null) return false;
    return this.allowed(feature, state, held);
  }

  /* Whether what a look takes may be done to the port, whatever there is to measure with. */
  allowed(feature, { answers, again, terms }, held) {
    if (feature.mated && !terms.includes(this.tables.acts.mated)) return false;
    return this.needs(feature, answers, again).every((need) => held.has(need)) && !(feature.reach && terms.includes(this.tables.acts.noReach));
  }

  /* What must hold before a look: what is measured in the mouth touches, and where nobody saw what holds the port it may. */
  needs({ within, needs }, answers, again) {
    const seen = this.couplingsSeen(answers, again), inside = within.length && (!seen.length || seen.some((one) => within.includes(one)));
    return inside ? this.tables.acts.touching : needs;
  }

  /* The looks that are still to be taken, and those that are worth taking once more. */
  openLooks(state, belief) {
    const held = this.holds(state, belief), { answers, again } = state;
    const room = this.features.filter((f) => this.hasRoom(answers, f) && this.may(f, state, held)), first = room.filter(({ name }) => !answers[name]);
    const seen = this.tables.secondLooks.map((name) => this.byName.get(name)).filter(({ name }) => answers[name] && answers[name].saw !== undefined);
    const more = [...seen, ...room.filter(({ name }) => answers[name] && answers[name].photo)].filter(({ name }) => !again[name]);
    return [...first.map((feature) => ({ feature, again: false })), ...more.map((feature) => ({ feature, again: true }))];
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
    const open = this.openLooks(state, belief), mated = open.find(({ feature }) => feature.mated);
    if (mated) return mated; // the face is seen after that
    if (open.length) {
      const looks = [];
      for (const look of open) {
        looks.push({ ...this.planned(look.feature, answers, setting, this.offOf(look.feature, off), look.again), seconds: this.secondsOf(look) });
        yield;
      }
      const outlook = new Outlook(looks, this.levels, this.tables.orderOf);
      const chosen = yield* outlook.choosing(joint, this.stoppingAfter(state));
      if (chosen !== null) return open[chosen];
    }
    return this.barring(state, belief, open);
  }

  /* By what looks are weighed: where a size that counts was measured in a photograph, a wrong order counts more. */
  stoppingAfter(state) {
    const { stopping } = this.tables, pictured = Object.values(this.counted(state)).some(({ photo }) => photo);
    return pictured ? { ...stopping, wrongOrder: stopping.wrongOrder * stopping.pictured } : stopping;
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

  offOf(feature, off) {
    return feature.off === undefined ? off : feature.off;
  }
}

/* What a work in slices comes to. */
function finished(work) {
  for (;;) {
    const { done, value } = work.next();
    if (done) return value;
  }
}

if (typeof module !== "undefined") module.exports = { Engine };
