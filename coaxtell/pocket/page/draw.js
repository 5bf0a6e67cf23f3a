/* Pairs cut open and halves from outside, as SVG that is built piece by piece: nothing is ever parsed as markup. */
"use strict";

/* An outline told by steps in thousandths of a millimetre as points [z, r] in mm. */
function outlineOf(steps) {
  const found = [];
  let z = 0, r = 0;
  for (let i = 0; i < steps.length; i += 2) {
    z += steps[i];
    r += steps[i + 1];
    found.push([z / 1000, r / 1000]);
  }
  return found;
}

/* The cut faces of a pair where it stops, in the axes of the first half: {role, moving, fill, half, points}. */
function cutFaces(sections, nuts, pair, a, b) {
  const [, stop] = pair, turned = pair[7];
  return [a, b].flatMap((half, side) =>
    sections[half].flatMap(([name, role, moving, fill, above, below]) =>
      [above, below].map((steps, k) => {
        const own = role === "nut" && turned[side] >= 0 ? nuts[turned[side]][k] : steps;
        const sign = k ? -1 : 1;
        const points = outlineOf(own).map(([z, r]) => [side ? stop - z : z, sign * r]);
        return { name, role, moving, fill, side, points };
      }),
    ),
  );
}

/* Where a pair stands in the list of all pairs of `count` halves, and whether it stands there the other way round. */
function pairPlace(i, j, count) {
  const [a, b] = i <= j ? [i, j] : [j, i];
  return [a * count - (a * (a - 1)) / 2 + (b - a), i > j];
}

const SVG = "http://www.w3.org/2000/svg";

function svg(name, attributes, ...children) {
  const found = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) found.setAttribute(key, value);
  found.append(...children);
  return found;
}

function pathOf(points) {
  return `M${points.map(([x, y]) => `${x.toFixed(3)} ${(-y).toFixed(3)}`).join("L")}Z`;
}

/* A pair cut open, with the place that decides marked; `label` says in words what is drawn. */
function drawnPair(faces, decides, label) {
  const all = faces.flatMap((face) => face.points);
  const [low, high] = [Math.min(...all.map((p) => p[0])), Math.max(...all.map((p) => p[0]))];
  const reach = Math.max(...all.map((p) => Math.abs(p[1])));
  const edge = (high - low) / 400, room = (high - low) / 30;
  const box = [low - room, -reach - room, high - low + 2 * room, 2 * (reach + room)];
  const picture = svg("svg", { viewBox: box.join(" "), role: "img", "aria-label": label, class: "cut" });
  for (const face of faces) {
    const metal = face.role !== "insulator";
    picture.append(svg("path", { d: pathOf(face.points), fill: face.fill, stroke: "currentColor", "stroke-width": edge, class: face.side ? "theirs" : "ours", "data-metal": metal }));
  }
  picture.append(svg("line", { x1: box[0], x2: box[0] + box[2], y1: 0, y2: 0, stroke: "currentColor", "stroke-width": edge / 2, "stroke-dasharray": `${8 * edge} ${3 * edge}` }));
  const [, kind, z0, z1, r0, r1] = decides, least = 3 * edge;
  for (const sign of r1 > 0 ? [1, -1] : []) {
    const [x, high] = [Math.min(z0, z1), Math.max(r1 - r0, least)];
    const y = sign > 0 ? -r0 - high : r0;
    picture.append(svg("rect", { x: x - least / 2, y, width: Math.abs(z1 - z0) + least, height: high, class: `decides ${kind}`, "stroke-width": 1.5 * edge }));
  }
  return picture;
}

/* A half from pieces that Python drew: [path, fill, colour of its edge, that edge's width]. */
function drawnHalf(view, label) {
  const picture = svg("svg", { viewBox: view.box, role: "img", "aria-label": label, class: "half" });
  for (const [d, fill, stroke, width] of view.shapes) {
    picture.append(svg("path", { d, fill: fill || "none", "fill-rule": "evenodd", stroke: stroke || "none", "stroke-width": width }));
  }
  return picture;
}

if (typeof module !== "undefined") module.exports = { outlineOf, cutFaces, pairPlace };
