/* The width of a marked face in a photograph with a bank card beside it: the arithmetic of Python's room `photo`.
 *
 * A picture is {wide, high, grey}, its brightness row by row. Points are [x, y], in pixels (the middle of the first at
 * 0, 0) or in millimetres of the card's plane; maps are nine numbers row by row. No size and no threshold stands here:
 * `known` is what Python exports.
 */
"use strict";

class Photograph {
  constructor(known, { wide, high, grey }) {
    Object.assign(this, { known, wide, high, grey });
  }

  /* Brightness between pixels, beyond the picture that of its border. */
  at(x, y) {
    const { wide, high, grey } = this, px = Math.min(Math.max(x, 0), wide - 1), py = Math.min(Math.max(y, 0), high - 1);
    const left = Math.min(Math.floor(px), wide - 2), top = Math.min(Math.floor(py), high - 2), u = px - left, v = py - top;
    const from = top * wide + left;
    return (grey[from] * (1 - u) + grey[from + 1] * u) * (1 - v) + (grey[from + wide] * (1 - u) + grey[from + wide + 1] * u) * v;
  }

  /* The card near four dragged corners: {corners, toMm, fromMm, cornerPx, pxPerMm}; null where no straight sides lie there. */
  card(corners) {
    const guess = ordered(corners);
    for (const reaches of this.known.reaches) {
      const found = this.fitted(guess, reaches);
      if (found) return found;
    }
    return null;
  }

  fitted(guess, reaches) {
    let sides;
    for (const share of reaches) {
      const apart = guess.flatMap((one, i) => guess.slice(0, i).map((other) => distance(one, other)));
      if (Math.min(...apart) < this.known.leastApart) return null;
      sides = guess.map((start, i) => {
        const end = guess[(i + 1) % 4];
        return this.side(start, end, Math.max(this.known.leastReach, share * distance(start, end)));
      });
      if (sides.includes(null)) return null;
      guess = sides.map((side, i) => meeting(sides[(i + 3) % 4], side, this.known.leastMeeting));
      if (guess.includes(null)) return null;
    }
    const { long, short, cornerPx } = this.known;
    const spread = mean(sides.map(({ scatter, points }) => scatter / Math.sqrt(Math.max(points - 2, 1))));
    const plain = [[0, 0], [long, 0], [long, short], [0, short]];
    const lengths = guess.map((one, i) => distance(one, guess[(i + 1) % 4]));
    const pxPerMm = ((lengths[0] + lengths[2]) / 2 / long + (lengths[1] + lengths[3]) / 2 / short) / 2;
    return { corners: guess, toMm: projection(guess, plain), fromMm: projection(plain, guess), cornerPx: Math.max(cornerPx[0], cornerPx[1] * spread), pxPerMm };
  }

  /* The straight edge near the line between two points, looked for `reach` px to either side. */
  side(start, end, reach) {
    const { profiles, cornerShare, sideStep, sideBlur, strongSide, fewestPoints, equal } = this.known;
    const length = distance(start, end), along = [(end[0] - start[0]) / length, (end[1] - start[1]) / length];
    const steps = range(-reach, reach + sideStep / 2, sideStep), kernel = gauss(sideBlur[1], sideBlur[0]);
    const edges = Array.from({ length: profiles }, (_, i) => {
      const part = cornerShare + (i * (1 - 2 * cornerShare)) / (profiles - 1);
      const place = [start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1])];
      const line = steps.map((step) => this.at(place[0] - step * along[1], place[1] + step * along[0]));
      const slope = gradient(blurred(line, kernel)).map(Math.abs);
      const best = highest(slope, equal), edge = steps[best] + sideStep * crest(slope, best);
      return { at: slope[best], point: [place[0] - edge * along[1], place[1] + edge * along[0]] };
    });
    const least = strongSide[0] * percentile(edges.map(({ at }) => at), strongSide[1]);
    const points = edges.filter(({ at }) => at > least).map(({ point }) => point);
    return points.length < fewestPoints ? null : this.line(points, length);
  }

  /* A line through most of the points, those far from it let go. */
  line(points, length) {
    const { tries, onLine, leastSpan, fewestOnLine, leastPart, mostBow } = this.known;
    const limit = Math.max(onLine[0], onLine[1] * length);
    let best = [];
    for (const [one, two] of tries) {
      const from = points[Math.floor(one * points.length)], to = points[Math.floor(two * points.length)];
      const span = [to[0] - from[0], to[1] - from[1]], size = Math.hypot(...span);
      if (size < leastSpan * length) continue;
      const near = points.filter(([x, y]) => Math.abs((x - from[0]) * -span[1] + (y - from[1]) * span[0]) / size < limit);
      if (near.length > best.length) best = near;
    }
    if (best.length < Math.max(fewestOnLine, Math.floor(points.length / leastPart))) return null;
    const point = [0, 1].map((axis) => mean(best.map((one) => one[axis])));
    const away = best.map(([x, y]) => [x - point[0], y - point[1]]);
    const [xx, xy, yy] = [([x]) => x * x, ([x, y]) => x * y, ([, y]) => y * y].map((of) => away.reduce((sum, one) => sum + of(one), 0));
    const turn = Math.atan2(2 * xy, xx - yy) / 2, along = [Math.cos(turn), Math.sin(turn)];
    const scatter = Math.sqrt(mean(away.map(([x, y]) => (y * along[0] - x * along[1]) ** 2)));
    return scatter > mostBow * length ? null : { point, along, scatter, points: best.length };
  }

  /* How wide the card's sides are across [px], by the second sharpest: what is blurred shows no rim where it truly is. */
  across(corners) {
    return corners.map((start, i) => this.sideAcross(start, corners[(i + 1) % 4])).sort((a, b) => a - b)[1];
  }

  sideAcross(start, end) {
    const { profiles, cornerShare, sideStep, blurReach, blurNear } = this.known;
    const length = distance(start, end), along = [(end[0] - start[0]) / length, (end[1] - start[1]) / length];
    const steps = range(-blurReach, blurReach + sideStep / 2, sideStep);
    const slopes = Array.from({ length: profiles }, (_, i) => {
      const part = cornerShare + (i * (1 - 2 * cornerShare)) / (profiles - 1);
      const place = [start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1])];
      return gradient(steps.map((step) => this.at(place[0] - step * along[1], place[1] + step * along[0])));
    });
    // what most places share is the side's own edge: noise and print differ from place to place
    const slope = steps.map((_, k) => Math.abs(percentile(slopes.map((line) => line[k]), 50)));
    const top = slope.reduce((best, n, k) => (Math.abs(steps[k]) <= blurNear && (best < 0 || n > slope[best]) ? k : best), -1);
    if (slope[top] <= 0) return Infinity;
    let first = top, last = top;
    while (first >= 0 && slope[first] >= slope[top] / 2) first -= 1;
    while (last < slope.length && slope[last] >= slope[top] / 2) last += 1;
    return sideStep * (last - first - 1);
  }

  /* The rim near a marked circle [px], in the card's plane: {centre, diameter, scatter, other, share, fromMark, spread};
   * null where no edge runs round there. */
  rim(card, centre, radius) {
    const { rays, rounds } = this.known;
    const spots = [centre, [centre[0] + radius, centre[1]], [centre[0], centre[1] + radius]].map((one) => mapped(one, card.toMm));
    const marked = Math.sqrt(distance(spots[1], spots[0]) * distance(spots[2], spots[0]));
    let middle = spots[0], size = marked, found;
    for (let round = 0; round < rounds; round++) {
      const polar = this.polar(card.fromMm, middle, size), [ring, other] = this.ring(polar, marked);
      found = this.circle(polar, ring, other, size);
      if (!found) return null;
      [middle, size] = [found.centre, found.diameter / 2];
    }
    const spread = (2 * found.scatter) / Math.sqrt(Math.max((found.share * rays) / 4, 1));
    return { ...found, fromMark: Math.abs(found.diameter - 2 * marked), spread };
  }

  /* How steeply brightness changes outwards: {slope: by direction and radius, radii, middle, out}. */
  polar(fromMm, middle, size) {
    const { rays, reach, polarStep, polarBlur } = this.known;
    const turns = Array.from({ length: rays }, (_, i) => (i * 2 * Math.PI) / rays), out = turns.map((turn) => [Math.cos(turn), Math.sin(turn)]);
    const pxPerMm = distance(mapped([middle[0] + size, middle[1]], fromMm), mapped(middle, fromMm)) / size;
    const step = Math.min(polarStep[0] / pxPerMm, (reach * size) / polarStep[1]);
    // rounded first: no last digit decides on one place more
    const radii = Array.from({ length: Math.ceil(Math.round((2 * reach * size * 1e6) / step) / 1e6) }, (_, i) => (1 - reach) * size + step * i);
    const lines = out.map(([x, y]) => radii.map((r) => this.at(...mapped([middle[0] + x * r, middle[1] + y * r], fromMm))));
    const along = lines.map((line) => blurred(line, gauss(polarBlur[0]))), kernel = gauss(polarBlur[1]), half = kernel.length >> 1;
    const smooth = along.map((line, i) => line.map((_, k) => kernel.reduce((sum, weight, j) => sum + weight * along[mirrored(i + j - half, rays)][k], 0)));
    return { slope: smooth.map((line) => gradient(line).map(Math.abs)), radii, middle, out };
  }

  /* The ring that most directions share near the marked radius, and how far other rings would put it [mm]. */
  ring({ slope, radii }, marked) {
    const { mark, rays, cap, floor: below, ringBlur } = this.known;
    const most = percentile(slope.flat(), cap);
    const shared = radii.map((_, k) => slope.reduce((sum, line) => sum + Math.min(line[k], most), 0) / rays);
    const common = blurred(shared, gauss(ringBlur)), floor = percentile(common, below);
    const weight = common.map((n, k) => Math.max(n - floor, 0) * Math.exp(-0.5 * ((radii[k] / marked - 1) / mark) ** 2));
    const peaks = [...weight.keys()].slice(1, -1).filter((k) => weight[k] >= weight[k - 1] && weight[k] >= weight[k + 1] && weight[k] > 0);
    if (!peaks.length) return [marked, mark * marked];
    const all = peaks.reduce((sum, k) => sum + weight[k], 0), best = radii[peaks.reduce((one, k) => (weight[k] > weight[one] ? k : one))];
    return [best, Math.sqrt(peaks.reduce((sum, k) => sum + (weight[k] / all) * (radii[k] - best) ** 2, 0))];
  }

  /* The circle through the edges near a ring: least squares, those that stray let go, until none strays. */
  circle({ slope, radii, middle, out }, ring, other, size) {
    const { rays, leastShare, band, strongRim, stray, straySpreads, leastStray, strayRounds, sane, equal } = this.known;
    const step = radii[1] - radii[0], width = Math.max(band[0] * step, band[1] * size);
    const near = radii.map((r) => Math.exp(-0.5 * ((r - ring) / width) ** 2));
    const edges = slope.map((line, i) => {
      const best = highest(line.map((n, k) => n * near[k]), equal), r = radii[best] + step * crest(line, best);
      return { peak: line[best], point: [middle[0] + out[i][0] * r, middle[1] + out[i][1] * r] };
    });
    const least = strongRim[0] * percentile(edges.map(({ peak }) => peak), strongRim[1]);
    const points = edges.filter(({ peak }) => peak > least).map(({ point }) => point);
    if (points.length < rays * leastShare) return null;
    let limit = stray * width, [centre, radius] = leastSquares(points), kept, scatter;
    for (let round = 0; round < strayRounds; round++) {
      const off = points.map((one) => distance(one, centre) - radius), usual = percentile(off, 50);
      kept = points.filter((_, i) => Math.abs(off[i] - usual) < limit);
      if (kept.length < rays * leastShare) return null;
      [centre, radius] = leastSquares(kept);
      scatter = Math.sqrt(mean(kept.map((one) => (distance(one, centre) - radius) ** 2)));
      limit = Math.max(Math.min(limit, straySpreads * scatter), leastStray);
    }
    if (!(radius > sane[0] * size && radius < sane[1] * size)) return null;
    return { centre, diameter: 2 * radius, scatter, other: 2 * other, share: kept.length / rays };
  }

  /* The width of the face near a marked circle: {mm, plusMinus, parts, rim}; null where no rim is found, {far} where the
   * face would be too near to the camera, {on} where the rim lies on the card. `height` is that of the face above the card and its spread [mm], `focal` the
   * lens on a frame 36 mm wide [mm] or null. */
  width(card, centre, radius, [up, upSpread], focal) {
    const { known } = this;
    const [lens, lensOff] = focal === null ? [known.mainLens, known.lensSpread] : [focal, known.lensSpread / 2];
    const far = ((lens / known.frame) * Math.max(this.wide, this.high)) / card.pxPerMm, farSpread = lensOff * far;
    if (up >= known.nearest * far) return { far };
    const rim = this.rim(card, centre, radius);
    if (!rim) return null;
    const [x, y] = rim.centre;
    if (x > 0 && x < known.long && y > 0 && y < known.short) return { on: true };
    const mm = (rim.diameter * (far - up)) / far;
    const away = distance(rim.centre, known.middle) / known.long;
    const parts = {
      card: (mm * (card.cornerPx / card.pxPerMm) * (1 + 2 * away)) / known.long,
      rim: rim.spread,
      ring: rim.other,
      mark: known.mark * mm * Math.max(0, 1 - rim.share / known.clear) + 0.5 * Math.max(0, rim.fromMark - known.mark * mm),
      edge: Math.hypot(known.edge[0], known.edge[1] / card.pxPerMm),
      height: (mm * upSpread) / far + (Math.abs(up) * mm * farSpread) / far ** 2,
    };
    return { mm, plusMinus: known.spreads * Math.sqrt(Object.values(parts).reduce((sum, part) => sum + part ** 2, 0)), parts, rim };
  }
}

const distance = ([x, y], [u, v]) => Math.hypot(x - u, y - v);
const mean = (numbers) => numbers.reduce((sum, n) => sum + n, 0) / numbers.length;
const range = (from, to, step) => Array.from({ length: Math.ceil((to - from) / step) }, (_, i) => from + i * step);

/* Four corners clockwise on the picture, a long side first. */
function ordered(corners) {
  const middle = [0, 1].map((axis) => mean(corners.map((one) => one[axis])));
  const turn = ([x, y]) => Math.atan2(y - middle[1], x - middle[0]);
  const found = [...corners].sort((a, b) => turn(a) - turn(b)), sides = found.map((one, i) => distance(one, found[(i + 1) % 4]));
  return sides[0] + sides[2] >= sides[1] + sides[3] ? found : [...found.slice(1), found[0]];
}

/* Where two lines meet; null where they hardly do. */
function meeting(one, two, least) {
  const det = one.along[1] * two.along[0] - one.along[0] * two.along[1];
  if (Math.abs(det) < least) return null;
  const [x, y] = [two.point[0] - one.point[0], two.point[1] - one.point[1]];
  const t = (y * two.along[0] - x * two.along[1]) / det;
  return [one.point[0] + t * one.along[0], one.point[1] + t * one.along[1]];
}

function mapped([x, y], m) {
  const below = m[6] * x + m[7] * y + m[8];
  return [(m[0] * x + m[1] * y + m[2]) / below, (m[3] * x + m[4] * y + m[5]) / below];
}

/* The map that takes four points to four others. */
function projection(from, to) {
  const [plain, goal] = [evened(from), evened(to)];
  const rows = plain.points.flatMap(([x, y], i) => {
    const [u, v] = goal.points[i];
    return [[x, y, 1, 0, 0, 0, -x * u, -y * u, u], [0, 0, 0, x, y, 1, -x * v, -y * v, v]];
  });
  const [a, b, c, d, e, f, g, h] = solved(rows), { middle: [x, y], size } = plain;
  // the map between the even points, taken back to those of the goal and out of the others
  const back = (row, k) => row.map((n, i) => n * goal.size + goal.middle[k] * [g, h, 1][i]);
  const found = [back([a, b, c], 0), back([d, e, f], 1), [g, h, 1]].flatMap(([p, q, r]) => [p / size, q / size, r - (p * x + q * y) / size]);
  return found.map((n) => n / found[8]);
}

/* Points about nought and no farther than one from it, so that no sum loses digits. */
function evened(points) {
  const middle = [0, 1].map((axis) => mean(points.map((one) => one[axis])));
  const size = Math.max(...points.flatMap((one) => one.map((n, axis) => Math.abs(n - middle[axis]))));
  return { points: points.map((one) => one.map((n, axis) => (n - middle[axis]) / size)), middle, size };
}

/* The numbers that fulfil linear equations, each a row with its right side last. */
function solved(rows) {
  const n = rows.length;
  for (let k = 0; k < n; k++) {
    const best = [...rows.keys()].slice(k).reduce((one, i) => (Math.abs(rows[i][k]) > Math.abs(rows[one][k]) ? i : one));
    [rows[k], rows[best]] = [rows[best], rows[k]];
    for (let i = k + 1; i < n; i++) {
      const share = rows[i][k] / rows[k][k];
      for (let j = k; j <= n; j++) rows[i][j] -= share * rows[k][j];
    }
  }
  const found = Array(n);
  for (let k = n - 1; k >= 0; k--) {
    let left = rows[k][n];
    for (let j = k + 1; j < n; j++) left -= rows[k][j] * found[j];
    found[k] = left / rows[k][k];
  }
  return found;
}

/* Centre and radius of the circle through points: a linear fit, then steps that make the distances themselves least. */
function leastSquares(points) {
  const fit = (rows) => solved([0, 1, 2].map((i) => [0, 1, 2, 3].map((j) => rows.reduce((sum, row) => sum + row[i] * row[j], 0))));
  const shift = [0, 1].map((axis) => mean(points.map((one) => one[axis]))); // near nought the sums lose no digits
  const near = points.map(([x, y]) => [x - shift[0], y - shift[1]]);
  const half = fit(near.map(([x, y]) => [x, y, 1, x * x + y * y]));
  let centre = [half[0] / 2, half[1] / 2], radius = Math.sqrt(Math.max(half[2] + centre[0] ** 2 + centre[1] ** 2, 1e-9));
  for (let round = 0; round < 3; round++) {
    const step = fit(near.map((one) => {
      const far = distance(one, centre);
      return [(centre[0] - one[0]) / far, (centre[1] - one[1]) / far, -1, radius - far];
    }));
    [centre, radius] = [[centre[0] + step[0], centre[1] + step[1]], radius + step[2]];
  }
  return [[centre[0] + shift[0], centre[1] + shift[1]], radius];
}

/* Weights of a bell curve that sum to one. */
function gauss(sigma, size) {
  const count = size || Math.round(8 * sigma + 1) | 1, middle = (count - 1) / 2;
  const found = Array.from({ length: count }, (_, i) => Math.exp(-((i - middle) ** 2) / (2 * sigma * sigma)));
  const sum = found.reduce((a, b) => a + b);
  return found.map((n) => n / sum);
}

/* A place beyond an end, mirrored at the end. */
function mirrored(i, count) {
  if (count === 1) return 0;
  while (i < 0 || i >= count) i = i < 0 ? -i : 2 * (count - 1) - i;
  return i;
}

function blurred(line, kernel) {
  const half = kernel.length >> 1, count = line.length;
  return line.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < kernel.length; j++) {
      const at = i + j - half;
      sum += kernel[j] * line[at >= 0 && at < count ? at : mirrored(at, count)];
    }
    return sum;
  });
}

function gradient(line) {
  const last = line.length - 1;
  return line.map((_, i) => (i === 0 ? line[1] - line[0] : i === last ? line[last] - line[last - 1] : (line[i + 1] - line[i - 1]) / 2));
}

/* The highest place, both ends left out; of equally high ones the first. */
function highest(line, equal) {
  let most = -Infinity;
  for (let i = 1; i < line.length - 1; i++) if (line[i] > most) most = line[i];
  return line.findIndex((n, i) => i > 0 && n >= most * (1 - equal));
}

/* How far the crest of a curve lies from its highest place, in steps. */
function crest(line, at) {
  const [before, here, after] = [line[at - 1], line[at], line[at + 1]], bend = before - 2 * here + after;
  return bend < -1e-9 ? Math.max(-1, Math.min(1, (0.5 * (before - after)) / bend)) : 0;
}

/* The number below which so many in a hundred lie, between neighbours in proportion. */
function percentile(numbers, share) {
  const sorted = Float64Array.from(numbers).sort(), at = ((sorted.length - 1) * share) / 100, low = Math.floor(at);
  return low + 1 < sorted.length ? sorted[low] + (at - low) * (sorted[low + 1] - sorted[low]) : sorted[low];
}

if (typeof module !== "undefined") module.exports = { Photograph, mapped };
