/* The page's engine under node: the first line of the input is what all engines are given; each line after it asks one,
 * by the folder of its code, about states of answers, and gets a line with what it thinks of each of them. */
let input = null;
const known = new Map();

/* The engine of a folder in its world. What the page's other files give stands in the global scope, as on the page. */
function worldOf(code) {
  for (const file of ["draw", "belief", "doubts", "contrast", "outlook"]) Object.assign(globalThis, require(`${code}/${file}.js`));
  if (!known.has(code)) {
    const { Engine } = require(code + "/engine.js"), { Words } = require(code + "/say.js");
    const engine = new Engine(require(code + "/read.js").readTables(structuredClone(input.tables)));
    known.set(code, { engine, words: new Words(input.texts), pairs: input.pairs, halves: input.halves, limits: input.limits, Port: require(code + "/port.js").Port });
  }
  return known.get(code);
}

/* Every sentence of the identification. */
function said({ halves, words }, port, next) {
  const { name, gender, order } = halves[port.first], mates = port.mates(port.first), fit = mates.length ? mates[0].j : null;
  const alike = port.lookAlikes(fit).map(({ j, verdict, tells, gauged }) => [halves[j].id, verdict, gauged, tells ? tells.name : "", ...(tells ? [port.first, j].map((half) => words.say(halves[half].shows[tells.name])) : [])]);
  return [name, gender, order, fit === null ? "" : halves[fit].order, next ? words.say(port.why(next)) : "", ...mates.map(({ j, limited }) => [halves[j].id, limited]), ...port.restsOn().map((one) => [one.name, port.percent(one.without)]), ...alike];
}

function thought(world, state) {
  if (state.tell) {
    const { answers, again, counts, apart } = new world.Port(world, state).with(...state.tell);
    return { answers, again, counts, apart };
  }
  const { engine } = world, belief = engine.belief(state), half = engine.ranked(belief)[0];
  const next = engine.reckoned(state), port = Object.assign(new world.Port(world, state), { instrument: state.instrument });
  return {
    belief: [...belief], orders: [...engine.ofOrders(belief)], first: half, next: next && [next.feature.name, next.again],
    clash: engine.contradiction(state), misfits: engine.misfits(state, half), worn: engine.worn(state, half), told: engine.centreTold(state),
    named: port.named, said: said(world, port, next),
  };
}

require("readline").createInterface({ input: process.stdin }).on("line", (line) => {
  const asked = JSON.parse(line);
  if (!input) input = asked;
  else process.stdout.write(JSON.stringify(asked.states.map((state) => thought(worldOf(asked.code), state))) + "\n");
});
