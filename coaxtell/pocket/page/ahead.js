/* Thinking ahead while a question is read. */
"use strict";

/* While the question is read: what would follow from each of its answers, the likeliest first, so that none waits for it.
 * In slices, and a finger that lands stops it, that its touch be answered at once. */
const SLICE_MS = 5;
function thinkAhead() {
  if (state.view !== "name" || state.asked || !world.pairs) return;
  const own = port, look = own.next;
  if (!look || !look.feature.seen) return;
  const idle = window.requestIdleCallback || ((then) => setTimeout(then, 50)), { name, offered } = look.feature;
  const chance = (value) => world.halves.reduce((sum, half, j) => sum + (half.first[name] === value ? own.belief[j] : 0), 0);
  const likely = offered.map((saw) => [chance(saw), { saw }]).sort((a, b) => b[0] - a[0]).map(([, answer]) => answer);
  const thought = (function* () { for (const answer of [...likely, { unsure: true }]) yield* own.with(name, answer, look.again).thinking(); })();
  world.thought = thought;
  const step = () => {
    const began = performance.now();
    do {
      if (thought !== world.thought || own !== port || document.documentElement.dataset.busy || thought.next().done) return;
    } while (performance.now() - began < SLICE_MS);
    idle(step);
  };
  idle(step);
}

addEventListener("pointerdown", () => { world.thought = null; }, { capture: true, passive: true });
for (const end of ["pointerup", "pointercancel"]) addEventListener(end, () => { if (port && world.pairs && !document.documentElement.dataset.busy) thinkAhead(); }, { passive: true });
