/* The page's engine under node: states of answers in, what it thinks of each of them out. */
const { Engine } = require(process.argv[2] + "/engine.js");
const { readTables } = require(process.argv[2] + "/read.js");
const input = JSON.parse(require("fs").readFileSync(0, "utf8"));
const engine = new Engine(readTables(input.tables));
const out = input.states.map(({ answers, setting, off, half }) => {
  const belief = engine.belief(answers, setting);
  const next = engine.next(answers, setting, off);
  return { belief: [...belief], orders: [...engine.ofOrders(belief)], next: next && next.name, misfits: engine.misfits(answers, setting, half).sort(), clash: engine.contradiction(answers, setting) };
});
process.stdout.write(JSON.stringify(out));
