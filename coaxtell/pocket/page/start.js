/* Takes the data apart and begins: first what the first look needs, then the rest while the person reads it. */
"use strict";

const OWN_MARK = "@MARK@", PARTS = @PARTS@;

/* Whether all parts are of one making: a part of another would tell verdicts of other halves. */
const oneMaking = () => document.documentElement.dataset.mark === OWN_MARK && PARTS.every((part) => POCKET.marks[part] === OWN_MARK);

(async () => {
  if (!oneMaking()) {
    const told = document.createElement("p");
    told.className = "caution";
    told.setAttribute("role", "alert");
    told.textContent = document.documentElement.dataset.mixed;
    document.querySelector("main").replaceChildren(told);
    return;
  }
  const text = async (packed) => JSON.parse(new TextDecoder().decode(await inflated(packed)));
  begin({ ...(await text(POCKET.first)), models: POCKET.models, pictured: POCKET.items, folder: POCKET.folder });
  Object.assign(world, await text(POCKET.later));
  orAnew(() => show());
  document.documentElement.dataset.ready = "yes";
  // while the first look is read: what measuring may give, so that no answer waits for it
  for (const feature of world.engine.features) {
    await new Promise((done) => setTimeout(done, 0));
    if (feature.seen || port.off !== null) world.engine.outcomes(feature, port.setting, world.engine.offOf(feature, port.off));
  }
  window.warm = true;
})();
