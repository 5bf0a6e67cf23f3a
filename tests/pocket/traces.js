/* The page's engine under node: states of answers in, what it thinks of each of them out. */
const { Engine } = require(process.argv[2] + "/engine.js");
const { readTables } = require(process.argv[2] + "/read.js");
Object.assign(globalThis, require(process.argv[2] + "/draw.js"));
const { Port } = require(process.argv[2] + "/port.js");
const input = JSON.parse(require("fs").readFileSync(0, "utf8"));
const engine = new Engine(readTables(input.tables));
const world = { engine, pairs: input.pairs, halves: input.halves, limits: input.limits };
const out = input.states.map((state) => {
  const belief = engine.belief(state), half = engine.ranked(belief)[0];
  const next = engine.reckoned(state);
  return {
    belief: [...belief], orders: [...engine.ofOrders(belief)], first: half, next: next && [next.feature.name, next.again],
    clash: engine.contradiction(state), misfits: engine.misfits(state, half), worn: engine.worn(state, half), told: engine.centreTold(state),
    named: Object.assign(new Port(world, state), { instrument: state.instrument }).named,
  };
});
process.stdout.write(JSON.stringify(out));
