/* What a run loses on a class, and whether that is as wanted: the desk's arithmetic, without its law. */
"use strict";

function lossPerLength(cable, mhz) {
  if (cable.k) return cable.k[0] * Math.sqrt(mhz) + cable.k[1] * mhz;
  const at = Math.max(cable.rows.findIndex(([f]) => f >= mhz), 0) || (cable.rows[0][0] >= mhz ? 0 : cable.rows.length - 1);
  const [low, high] = [cable.rows[Math.max(at, 1) - 1], cable.rows[Math.max(at, 1)]];
  return low[1] * (mhz / low[0]) ** (Math.log(high[1] / low[1]) / Math.log(high[0] / low[0]));
}

const FITTING = { end: null, chain: [], joints: 1, adapters: 0, jumpers: 0, reflects: 0, returns: null, limited: [] };

/* The power that a class carries [W]: it falls as the loss, and with it the heat, rises; endless where none is known. */
const ratingOf = (cable, mhz, { ratedAt }) => (cable.watts === null ? Infinity : (cable.watts * lossPerLength(cable, ratedAt)) / lossPerLength(cable, mhz));

const wattsOf = (dbm) => 10 ** (dbm / 10) / 1000;

/* A run on a class: loss and how far it may be off, what of both is not the cable's own, what arrives, by how much it is
 * short at worst [dB, dBm]; why it cannot be made, and whether it is as wanted: null where nobody can say. A side is null
 * where its port is not known: one that fits as it is then counts. */
function runOn(cables, cable, sides, { mhz, metres, celsius, power, want, bend, outdoor }) {
  const { joint, adapter, jumper, readerReflects, antennaReflects, antennaAtWorst, mostReflects } = cables;
  const [near, far] = sides.map((side) => side || FITTING), count = (key) => near[key] + far[key];
  const stopped = (reflects) => -10 * Math.log10(1 - reflects ** 2);
  const parts = [[count("joints"), joint], [count("adapters"), adapter], [count("jumpers"), jumper]];
  const printed = (lossPerLength(cable, mhz) * metres) / cables.perLength, warmer = celsius - cables.celsius;
  const long = printed * (1 + warmer * cables.warmth[0]), longOff = long * cable.off + printed * Math.abs(warmer) * cables.warmth[1];
  const all = parts.reduce((sum, [many, [db]]) => sum + many * db, long) + stopped(antennaReflects) + stopped(near.reflects) + stopped(far.reflects);
  const both = -20 * Math.log10(1 - Math.min((readerReflects + near.reflects) * (antennaReflects + far.reflects), mostReflects));
  const off = parts.reduce((sum, [many, [, db]]) => sum + many * db, longOff) + stopped(antennaAtWorst) - stopped(antennaReflects) + both;
  const arrives = power === null ? null : power - all, known = !sides.includes(null);
  const noEnd = sides.map((side) => side !== null && side.end === null), tight = bend !== null && bend < cable.bend[0], noJacket = outdoor && !cable.outdoor;
  const rating = ratingOf(cable, mhz, cables), hot = power !== null && wattsOf(power) > rating;
  const cannot = tight || noJacket || hot || noEnd.includes(true);
  const short = arrives === null || want === null || !known ? null : want - (arrives - off);
  return { all, off, fixed: all + off - long - longOff, joints: count("joints"), adapters: near.chain.length + far.chain.length, arrives, short, noEnd, tight, noJacket, hot, rating, cannot, meets: short === null || cannot ? null : short <= cables.met };
}

if (typeof module !== "undefined") module.exports = { runOn, ratingOf, wattsOf };
