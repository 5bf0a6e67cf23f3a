/* The page's measuring under node: pictures in, card, rim and width of each out. */
const { Photograph } = require(process.argv[2] + "/photo.js"), { greyOf, lensOf, linesOf } = require(process.argv[2] + "/look.js");
const { wanted, given } = JSON.parse(require("fs").readFileSync(0, "utf8"));
const bytes = (text) => new Uint8Array(Buffer.from(text, "base64"));
const made = {
  widths: ({ known, shots }) => shots.map(({ wide, high, grey, marks }) => {
    const photograph = new Photograph(known, { wide, high, grey: Float32Array.from(bytes(grey)) });
    return marks.map(({ corners, face, radius, height, focal }) => {
      const card = photograph.card(corners);
      return { card, width: card && photograph.width(card, face, radius, height, focal), across: card && String(photograph.across(card.corners)) };
    });
  }),
  grey: ({ known, pixels }) => [...greyOf(bytes(pixels), known.grey)],
  lens: ({ known, files }) => files.map((file) => lensOf(bytes(file), known)),
  lines: ({ paths }) => paths.map(linesOf),
};
process.stdout.write(JSON.stringify(made[wanted](given)));
