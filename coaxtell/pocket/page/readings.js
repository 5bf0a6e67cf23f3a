/* What becomes of a size's readings when another is told, as the desk says it (identifier/words.py). */
"use strict";

/* The texts of what becomes of a reading beside a photograph's, and beside one by hand. */
const BESIDE_PHOTO = {
  apart: "photo_apart", both: "photo_both", before_finer: "photo_before_finer", now_finer: "photo_now_finer", anew: "photo_anew",
  excluded: "photo_excluded", third: "photo_third",
};
const BESIDE_HAND = { apart: "hand_apart", excluded: "hand_excluded", anew: "hand_anew" };

/* {stays, apart, said} of a reading told to a port: whether nothing changes by it, whether it and one before exclude each other, and
 * the sentences; null where nothing is to be said. */
function otherReadings(port, name, now, again) {
  const { excludes } = world.engine, like = (one) => (other) => one.read === other.read && one.off === other.off && Boolean(one.photo) === Boolean(other.photo);
  const was = port.readings(name);
  if (now.read === undefined || !was.length || was.some(like(now)) || !(now.photo || was.length > 1 || was[0].photo)) return null;
  const after = port.with(name, now, again), kept = after.readings(name), pair = after.apart.includes(name) ? kept : [];
  const gone = was.filter((one) => !kept.some(like(one))), taken = kept.some(like(now)), finer = (one) => one.off < now.off && !excludes(one, now);
  const codes = [], also = (code, one) => codes.push([code, one]);
  let instead = null;
  if (taken && pair.length) also("apart", pair.find((one) => !like(now)(one)));
  else if (!taken) also(pair.length && pair.every((one) => !excludes(one, now)) ? "both" : "before_finer", kept.filter(finer).pop() || kept[0]);
  else if (now.photo) {
    instead = [...was].reverse().find((one) => !excludes(one, now));
    if (now.off < instead.off) also("now_finer", instead);
    else if (gone.includes(instead)) also("anew", instead);
  }
  for (const one of gone) if (one !== instead) also(now.photo && !one.photo ? "third" : excludes(one, now) ? "excluded" : "anew", one);
  const size = ({ read, off }) => t("photo_typed", { mm: read, off }), told = (one) => (one.photo ? t("by_photograph", { typed: size(one) }) : size(one));
  const said = codes.map(([code, one]) => t((now.photo ? BESIDE_PHOTO : BESIDE_HAND)[code], { before: told(one), now: size(now) })).join(" ");
  return said ? { stays: !taken && !gone.length, apart: taken && pair.length > 0, said } : null;
}
