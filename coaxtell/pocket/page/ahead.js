/* What goes on while a question is read: a finger that lands is shown at once, and what its answer would lead to is thought
 * of before. */
"use strict";

const SLICE_MS = 3, CLICK_MS = 300;

/* What is thought of now: {own: the port, work, waits}; and what a finger lies on, null where none does. */
let thought = null, touched = null;

/* What would follow from each answer of the question, the likeliest first, so that none waits for it. In slices, and a
 * finger that lands holds it up, that its touch be answered at once. */
function thinkAhead() {
  if (state.view !== "name" || state.asked || !world.pairs) return;
  const own = port, look = own.next;
  if (!look || !look.feature.seen) return;
  if (!thought || thought.own !== own) thought = { own, work: answersOf(own, look), waits: false };
  const mine = thought, idle = window.requestIdleCallback || ((then) => setTimeout(then, 50));
  const wait = () => {
    if (!mine.waits) idle(step);
    mine.waits = true;
  };
  const step = () => {
    const began = performance.now();
    mine.waits = false;
    do {
      if (touched || mine !== thought || own !== port || document.documentElement.dataset.busy || mine.work.next().done) return;
    } while (performance.now() - began < SLICE_MS);
    wait();
  };
  wait();
}

function* answersOf(own, { feature: { name, offered }, again }) {
  const chance = (value) => world.halves.reduce((sum, half, j) => sum + (half.first[name] === value ? own.belief[j] : 0), 0);
  const likely = offered.map((saw) => [chance(saw), { saw }]).sort((a, b) => b[0] - a[0]).map(([, answer]) => answer);
  for (const answer of [...likely, { unsure: true }]) yield* own.with(name, answer, again).thinking();
}

/* A finger lands on something: the button under it is framed at once; it is filled when it is taken. */
function landed({ target }) {
  lifted();
  touched = target.closest("button") || target;
  touched.classList.add("touched");
}

function lifted() {
  if (touched) touched.classList.remove("touched");
  touched = null;
}

/* No touch any more, or one that slid away or began to scroll: the thinking goes on. */
function letGo() {
  lifted();
  if (port && !document.documentElement.dataset.busy) thinkAhead();
}

addEventListener("pointerdown", landed, { capture: true, passive: true });
addEventListener("click", lifted, { capture: true, passive: true });
addEventListener("pointercancel", letGo, { passive: true });
// a click comes behind it, and would wait for a picture that is drawn in between
addEventListener("pointerup", () => setTimeout(letGo, CLICK_MS), { passive: true });
