/* A picture on which a card's corners and a face are marked: seen from near or far, moved by finger, by mouse and by key. */
"use strict";

const TURNS = 96, LINE = 2;

class PictureView {
  /* `marks` are the four corners and the circle [px of the picture]; `changed` is told when one was moved. */
  constructor(canvas, picture, marks, changed) {
    Object.assign(this, { canvas, picture, marks, changed });
    this.chosen = 0;
    this.zoom = 1;
    this.lines = []; // [points in px, colour]
    this.listen();
  }

  get chosenPoint() {
    return this.chosen < 4 ? this.marks.corners[this.chosen] : this.marks.face;
  }

  choose(chosen) {
    this.chosen = chosen;
    this.middle = [...this.chosenPoint];
    this.draw();
  }

  /* Screen pixels of the canvas to one of the picture. */
  get scale() {
    const { canvas, picture } = this;
    return this.zoom * Math.min(canvas.width / picture.width, canvas.height / picture.height);
  }

  /* What lies in the middle of the canvas: all of the picture from afar, near to what was chosen. */
  get corner() {
    const { canvas, picture, scale } = this, size = [picture.width, picture.height], room = [canvas.width, canvas.height];
    const middle = this.middle || size.map((n) => n / 2);
    return [0, 1].map((axis) => {
      const seen = room[axis] / scale;
      return seen >= size[axis] ? (size[axis] - seen) / 2 : Math.min(Math.max(middle[axis] - seen / 2, 0), size[axis] - seen);
    });
  }

  move(to, done) {
    const { picture } = this, inside = [Math.min(Math.max(to[0], 0), picture.width - 1), Math.min(Math.max(to[1], 0), picture.height - 1)];
    if (this.chosen < 4) this.marks.corners[this.chosen] = inside;
    else {
      this.marks.face = inside;
      this.marks.placed = true; // a circle that nobody put anywhere lies on no rim
    }
    this.draw();
    if (done) this.changed();
  }

  draw() {
    const { canvas, picture } = this, ratio = window.devicePixelRatio || 1;
    const [wide, high] = [canvas.clientWidth, canvas.clientHeight].map((n) => Math.max(1, Math.round(n * ratio)));
    if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
    const { scale, corner } = this, on = canvas.getContext("2d"), style = getComputedStyle(canvas);
    on.setTransform(scale, 0, 0, scale, -corner[0] * scale, -corner[1] * scale);
    on.clearRect(corner[0], corner[1], wide / scale, high / scale);
    on.drawImage(picture, 0, 0);
    on.setTransform(1, 0, 0, 1, 0, 0);
    const at = ([x, y]) => [(x + 0.5 - corner[0]) * scale, (y + 0.5 - corner[1]) * scale];
    const line = (points, colour, width) => {
      on.beginPath();
      points.forEach((point, k) => on[k ? "lineTo" : "moveTo"](...at(point)));
      on.closePath();
      for (const [stroke, extra] of [["#ffffff", 2], [colour, 0]]) {
        on.strokeStyle = stroke;
        on.lineWidth = (width + extra) * ratio;
        on.stroke();
      }
    };
    const { corners, face, radius } = this.marks, colour = (name) => style.getPropertyValue(name).trim();
    const action = colour("--mark");
    for (const [points, name] of this.lines) line(points, colour(name), LINE / 2);
    line(corners, action, LINE / 2);
    line(circlePoints(face, radius), action, LINE);
    [...corners, face].forEach((point, k) => {
      const [x, y] = at(point), size = (k === this.chosen ? 12 : 6) * ratio;
      for (const [stroke, width] of [["#ffffff", 4], [action, 2]]) {
        on.beginPath();
        on.moveTo(x - size, y);
        on.lineTo(x + size, y);
        on.moveTo(x, y - size);
        on.lineTo(x, y + size);
        on.strokeStyle = stroke;
        on.lineWidth = width * ratio;
        on.stroke();
      }
    });
  }

  /* A drag moves what is chosen by as much, so that no finger lies on it; a tap puts it there; two fingers zoom. */
  listen() {
    const { canvas } = this, down = new Map();
    let moved = 0, apart = 0, two = false;
    const spot = (event) => [event.clientX, event.clientY], ratio = () => (window.devicePixelRatio || 1) / this.scale;
    canvas.addEventListener("pointerdown", (event) => {
      canvas.setPointerCapture(event.pointerId);
      if (!down.size) [moved, two] = [0, false];
      down.set(event.pointerId, spot(event));
      apart = 0;
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = down.get(event.pointerId), now = spot(event);
      if (!before) return;
      down.set(event.pointerId, now);
      if (down.size === 2) {
        two = true;
        const [p, q] = [...down.values()], far = Math.hypot(p[0] - q[0], p[1] - q[1]);
        if (apart) this.near((this.zoom * far) / apart);
        apart = far;
        return;
      }
      const step = [now[0] - before[0], now[1] - before[1]];
      moved += Math.hypot(...step);
      if (moved > 6 && !two) this.move(this.chosenPoint.map((n, axis) => n + step[axis] * ratio()), false);
    });
    canvas.addEventListener("pointerup", (event) => {
      down.delete(event.pointerId);
      if (two || down.size) return;
      const box = canvas.getBoundingClientRect(), { corner } = this;
      if (moved <= 6) this.move([event.clientX - box.left, event.clientY - box.top].map((n, axis) => corner[axis] + n * ratio() - 0.5), true);
      else this.changed();
    });
    canvas.addEventListener("pointercancel", (event) => down.delete(event.pointerId));
    canvas.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (step) this.move(this.chosenPoint.map((n, axis) => n + step[axis] * ratio() * (event.shiftKey ? 1 : 5)), true);
      else if (event.key === "+" || event.key === "-") this.near(this.zoom * (event.key === "+" ? 1.5 : 1 / 1.5));
      else return;
      event.preventDefault();
    });
  }

  near(zoom) {
    this.zoom = Math.min(Math.max(zoom, 1), 16);
    this.middle = [...this.chosenPoint];
    this.draw();
  }
}

function circlePoints([x, y], radius) {
  return Array.from({ length: TURNS }, (_, k) => [x + radius * Math.cos((2 * Math.PI * k) / TURNS), y + radius * Math.sin((2 * Math.PI * k) / TURNS)]);
}

/* The closed lines of a path that Python drew, as points: straight ones, and circles told as two arcs. */
function linesOf(path) {
  return path.split("M").slice(1).map((part) => {
    const numbers = part.match(/-?\d+(?:\.\d+)?/g).map(Number);
    if (part.includes("a")) return circlePoints([numbers[0] + numbers[2], numbers[1]], numbers[2]);
    return Array.from({ length: numbers.length >> 1 }, (_, k) => [numbers[2 * k], numbers[2 * k + 1]]);
  });
}

/* Width and height of a picture file [px], read before its pixels are; throws where it is no picture. */
async function sizeOf(file) {
  const image = new Image(), url = URL.createObjectURL(file);
  try {
    await new Promise((done, fail) => Object.assign(image, { onload: done, onerror: fail, src: url }));
    return [image.naturalWidth, image.naturalHeight];
  } finally {
    URL.revokeObjectURL(url);
  }
}

/* Why a picture file is not opened, as the code of a text, or null: what is too large would take the phone's memory. */
async function refusedPicture(file, known, leastSide) {
  try {
    const [wide, high] = await sizeOf(file);
    if (wide * high > known.mostMegapixels * 1e6) return "photo_large";
    return Math.min(wide, high) < leastSide ? "photo_small" : null;
  } catch {
    return "photo_unread";
  }
}

/* A picture file as it was held, no larger than is measured in: {canvas, picture: {wide, high, grey}, focal [mm] or null}. */
async function photographOf(file, known) {
  const focal = lensOf(new Uint8Array(await file.slice(0, 262144).arrayBuffer()), known);
  const bitmap = await createImageBitmap(file);
  let shrink = 1;
  while ((bitmap.width * bitmap.height) / shrink ** 2 > known.pixels) shrink *= 2;
  const [wide, high] = [Math.floor(bitmap.width / shrink), Math.floor(bitmap.height / shrink)];
  const canvas = h("canvas", { width: String(wide), height: String(high) }), on = canvas.getContext("2d", { willReadFrequently: true });
  on.drawImage(bitmap, 0, 0, wide, high);
  bitmap.close();
  return { canvas, picture: { wide, high, grey: greyOf(on.getImageData(0, 0, wide, high).data, known.grey) }, focal };
}

/* Brightness of pixels of red, green, blue and opacity. */
function greyOf(pixels, [red, green, blue, halvings]) {
  const found = new Float32Array(pixels.length / 4), half = 1 << (halvings - 1);
  for (let i = 0, k = 0; k < found.length; i += 4, k++) found[k] = (red * pixels[i] + green * pixels[i + 1] + blue * pixels[i + 2] + half) >> halvings;
  return found;
}

/* The focal length on a frame 36 mm wide that a JPEG states [mm], or null: the one thing that is read of what it says. */
function lensOf(bytes, { lensTag, exifTag, lenses }) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    for (let at = 2; view.getUint16(at) !== 0xffda; at += 2 + view.getUint16(at + 2)) {
      if (view.getUint16(at) !== 0xffe1 || view.getUint32(at + 4) !== 0x45786966) continue;
      const from = at + 10, little = view.getUint16(from) === 0x4949;
      const entry = (table, tag) => {
        const count = view.getUint16(table, little);
        for (let k = 0; k < count; k++) if (view.getUint16(table + 2 + 12 * k, little) === tag) return table + 2 + 12 * k;
        return null;
      };
      const exif = entry(from + view.getUint32(from + 4, little), exifTag);
      const lens = exif && entry(from + view.getUint32(exif + 8, little), lensTag), mm = lens && view.getUint16(lens + 8, little);
      return mm >= lenses[0] && mm <= lenses[1] ? mm : null;
    }
  } catch (error) {
    if (!(error instanceof RangeError)) throw error; // a file that ends before what it promises
  }
  return null;
}

if (typeof module !== "undefined") module.exports = { linesOf, greyOf, lensOf };
