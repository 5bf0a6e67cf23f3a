/* Takes the data apart and begins: first what the first look needs, then the rest while the person reads it. */
"use strict";

(async () => {
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
