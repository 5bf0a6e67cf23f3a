/* The page's data under node: pairs placed, models taken apart, reasons said, sizes read. */
const code = process.argv[2], zlib = require("zlib");
const { bytesOf } = require(code + "/read.js"), { Words } = require(code + "/say.js"), { Grammar } = require(code + "/quantity.js");
globalThis.bytesOf = bytesOf;
const { cutFaces, pairPlace } = require(code + "/draw.js"), { modelOf } = require(code + "/turn.js");
const { runOn, ...loss } = require(code + "/loss.js"), { againstSense, targetOf, ranked } = require(code + "/ranking.js");
Object.assign(globalThis, loss);
globalThis.compare = require(code + "/port.js").compare;
const { wanted, given } = JSON.parse(require("fs").readFileSync(0, "utf8"));

function volume({ places, faces }) {
  let sum = 0;
  for (let i = 0; i < faces.length; i += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => places.subarray(3 * faces[i + k], 3 * faces[i + k] + 3));
    sum += a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
  }
  return sum / 6;
}

const made = {
  faces: ({ sections, pairs, asked }) => asked.map(([i, j]) => {
    const [place, turned] = pairPlace(i, j, sections.length);
    return [turned, ...cutFaces(sections, pairs.nuts, pairs.pairs[place], Math.min(i, j), Math.max(i, j)).map(({ points }) => points)];
  }),
  volumes: (models) => models.map((told) => modelOf(told, zlib.inflateRawSync(bytesOf(told.data))).map(volume)),
  words: ({ texts, reasons }) => reasons.map((reason) => new Words(texts).say(reason)),
  // of each run the classes in their order: name, loss, how far it may be off, whether it can be made and is as wanted, what is not sensible
  runs: ({ cables, sides, runs }) => runs.map(({ ports, ...asked }) => {
    const found = cables.classes.map((cable) => {
      const own = ports.map((port) => sides.all[sides.of[cable.name][port]]);
      return { cable, ...runOn(cables, cable, own, asked), against: againstSense(cables, sides, cable, ports, own, asked) };
    });
    return ranked(cables, targetOf(cables, found, asked), found).map(({ cable, all, off, cannot, meets, over, against }) => ({ name: cable.name, all, off, cannot, meets, over, against }));
  }),
  sizes: ({ grammar, typed, ...rest }) => typed.map((text) => new Grammar(grammar).reading(text, rest)),
};
process.stdout.write(JSON.stringify(made[wanted](given)));
