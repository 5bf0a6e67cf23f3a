/* On the page: ports of random answers, and what Cable, message and lists order for each. */

const SETTLED = { coupling: { saw: "thread-outside" }, centre: { saw: "pin" }, "coupling-diameter": { read: 6.3, off: 0.05, typed: "6.3" } };

/* Ports of what is seen on a half, a fifth of it misread, some with a size that may fit nothing; the last one is settled. */
function randomPorts(count) {
  let seed = 11;
  const below = (most) => { seed = (seed * 1103515245 + 12345) % 2147483648; return Math.floor(seed / 65536) % most; };
  const { features } = world.engine, found = [];
  while (found.length < count) {
    const half = below(world.halves.length), answers = {};
    for (let look = 0; look < 1 + below(5); look++) {
      const feature = features[below(features.length)], value = world.halves[half].first[feature.name];
      if (feature.seen && value) answers[feature.name] = { saw: below(5) ? value : feature.values[below(feature.values.length)] };
      else if (!feature.seen && below(3) === 0) answers[feature.name] = { read: 1 + below(150) / 10, off: 0.05, typed: "" };
    }
    const one = new Port(world, { answers, terms: [below(5) ? "no-high-voltage" : "high-voltage"] });
    if (one.given.length) found.push(one);
  }
  return [...found, new Port(world, { answers: SETTLED })];
}

/* Of each: whether it is to be held back, and what is ordered for it all the same. */
function orderedFor(count) {
  const other = "n-50-jack", run = { length: "3m", power: "40", want: "1" };
  return randomPorts(count).map((one) => {
    const id = world.halves[one.first].id, fit = one.mates(one.first)[0], words = fit ? world.halves[fit.j].order : "no order";
    const ends = t("ends", { one: "", other: "" }).split(":")[0], cables = [];
    port = one;
    const told = { held: !one.settled || one.worn.length > 0 || one.clash !== null, state: stateReason()[0], message: message().includes(words), file: one.record().fit_words !== "" };
    for (const collected of [false, true]) {
      if (collected) addToSite();
      for (const [reader, antenna] of [[id, other], [other, id]]) {
        go("cable", { run: { ...run, reader, antenna } });
        const said = document.querySelector(".classes").innerText;
        cables.push(said.includes("✓") || said.includes(ends) || said.includes(words));
      }
    }
    told.takes = portsToml().includes("takes =") || state.site[0].takes !== "";
    state.site = [];
    return { ...told, cables };
  });
}
