/* The identification as a file, as a picture and as text. */
"use strict";

async function send() {
  const half = world.halves[port.first].id;
  await handOver(`${half}.json`, "application/json", JSON.stringify(port.record(), null, 1) + "\n");
  const text = document.querySelector(".sent") || document.querySelector(".named").appendChild(h("textarea.sent", { readonly: true, rows: "6", "aria-label": t("message") }));
  text.value = message();
}

/* The identification as a picture: the port face on and from the side, and all that is said of it, however long. */
async function sendPicture() {
  const half = world.halves[port.first], canvas = h("canvas", { width: "1080", height: "1080" });
  const drawing = canvas.getContext("2d"), font = (head) => (drawing.font = `${head ? "bold 40" : "32"}px sans-serif`);
  const lines = message().split("\n").flatMap((text, k) => {
    font(k === 0);
    return inLines(text, (line) => drawing.measureText(line).width < 1000).map((line) => [line, k === 0]);
  });
  canvas.height = Math.max(1080, 590 + 46 * lines.length);
  drawing.fillStyle = "#ffffff";
  drawing.fillRect(0, 0, 1080, canvas.height);
  for (const [k, view] of ["face", "side"].entries()) {
    const picture = viewOf(port.first, view), image = new Image();
    picture.setAttribute("width", "480");
    picture.setAttribute("height", "480");
    image.src = `data:image/svg+xml,${encodeURIComponent(new XMLSerializer().serializeToString(picture))}`;
    await image.decode();
    drawing.drawImage(image, 40 + 520 * k, 40, 480, 480);
  }
  drawing.fillStyle = "#14181a";
  lines.forEach(([line, head], k) => {
    font(head);
    drawing.fillText(line, 40, 590 + 46 * k);
  });
  const png = await new Promise((done) => canvas.toBlob(done, "image/png"));
  await handOver(`${half.id}.png`, "image/png", png);
}

/* A text in lines that fit, its words kept whole. */
function inLines(text, fits) {
  const lines = [];
  for (const word of text.split(" ")) {
    const longer = lines.length ? `${lines[lines.length - 1]} ${word}` : "";
    if (longer && fits(longer)) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}
