/* What speaks against a class on a run though it can be made, and the order that the classes stand in: the desk's own. */
"use strict";

/* What is not sensible, as [code, values], in the desk's order; `ports` are places of halves, null where one is not known. */
function againstSense(cables, { top, carries }, cable, ports, sides, { mhz, metres, power }) {
  const found = [], known = ports.flatMap((port, at) => (port === null ? [] : [[port, sides[at], at]]));
  for (const [port, side, at] of known) {
    if (side.end !== null && carries[port] !== null && cable.mm > carries[port] && !side.chain.length) found.push(["heavy", { at, port, cable_mm: cable.mm, limit_mm: carries[port] }]);
  }
  const onTheWay = [...known.map(([port]) => port), ...known.flatMap(([, { chain, end }]) => [...chain.flat(), ...(end === null ? [] : [end])])];
  const slow = [...new Set(onTheWay)].filter((half) => top[half] !== null && top[half] < mhz);
  if (slow.length) found.push([slow.length > 1 ? "slow_several" : "slow_one", { halves: slow, top_mhz: Math.min(...slow.map((half) => top[half])), mhz }]);
  if (metres > cables.longest) found.push(["long", { longest_m: cables.longest, length_m: metres }]);
  const least = Math.min(...cables.classes.map((one) => ratingOf(one, mhz, cables))), watts = power === null ? 0 : wattsOf(power);
  if (cable.watts === null && watts > least) found.push(["unrated", { power_w: watts, least_w: least }]);
  return found;
}

/* What a run is held to: a wish, or where none is given, or no cable meets it, the loss that is usual [dB]. */
function targetOf({ usual }, runs, { power, want }) {
  const wished = power !== null && want !== null, least = Math.min(...runs.map(({ fixed }) => fixed));
  const beyond = wished && power - least < want;
  return { wished, beyond, most: wished && !beyond ? power - want : usual };
}

/* The runs, best first: what can be made, misses least, needs fewest adapters, is sensible, then the thinnest class. Each
 * has its `cable` and what is `against` it, and gets what it is `over` [dB]. */
function ranked({ met }, target, runs) {
  const over = ({ all, off }) => { const by = all + off - target.most; return by > met ? by - (target.beyond ? met : 0) : 0; };
  const key = (run) => [run.cannot, Number(run.over.toFixed(2)), run.adapters, run.against.length, run.cable.mm, run.all + run.off, run.cable.name];
  return runs.map((run) => ({ ...run, over: over(run) })).sort((a, b) => compare(key(a), key(b)));
}

if (typeof module !== "undefined") module.exports = { againstSense, targetOf, ranked };
