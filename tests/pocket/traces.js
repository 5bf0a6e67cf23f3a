/* The page's engine under node: states of answers in, what it thinks of each of them out. */
const { Engine } = require(process.argv[2] + "/engine.js");
const { readTables } = require(process.argv[2] + "/read.js");
Object.assign(globalThis, require(process.argv[2] + "/draw.js"));
const { Port } = require(process.argv[2] + "/port.js");
const input = JSON.parse(require("fs").readFileSync(0, "utf8"));
const engine = new Engine(readTables(input.tables));
const words = new (require(process.argv[2] + "/say.js").Words)(input.texts);
const world = { engine, words, pairs: input.pairs, halves: input.halves, limits: input.limits };

/* Every sentence of the identification. */
function said(port, next) {
  const { name, gender, order } = world.halves[port.first], mates = port.mates(port.first), fit = mates.length ? mates[0].j : null;
  const alike = port.lookAlikes(fit).map(({ j, verdict, tells }) => [world.halves[j].id, verdict, tells ? tells.name : "", ...(tells ? [port.first, j].map((half) => words.say(world.halves[half].shows[tells.name])) : [])]);
  return [name, gender, order, fit === null ? "" : world.halves[fit].order, next ? words.say(port.why(next)) : "", ...mates.map(({ j, limited }) => [world.halves[j].id, limited]), ...port.restsOn().map((one) => [one.name, port.percent(one.without)]), ...alike];
}

const out = input.states.map((state) => {
  const belief = engine.belief(state), half = engine.ranked(belief)[0];
  const next = engine.reckoned(state), port = Object.assign(new Port(world, state), { instrument: state.instrument });
  return {
    belief: [...belief], orders: [...engine.ofOrders(belief)], first: half, next: next && [next.feature.name, next.again],
    clash: engine.contradiction(state), misfits: engine.misfits(state, half), worn: engine.worn(state, half), told: engine.centreTold(state),
    named: port.named, said: said(port, next),
  };
});
process.stdout.write(JSON.stringify(out));
