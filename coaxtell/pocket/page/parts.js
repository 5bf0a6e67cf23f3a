/* What every view is made of: words by their codes, cautions, lists to choose from, halves as pictures. */
"use strict";

const t = (code, values) => world.words.say([`pocket.${code}`, values || {}]);
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

const title = (code) => h("h1", { tabindex: "-1" }, t(code));

/* A reason in the page's language, and where that is another one in English too. */
function inLanguages(reason) {
  const own = world.words.say(reason), english = world.inEnglish ? world.inEnglish.say(reason) : own;
  return english === own ? [own] : [own, english];
}

/* An element that says a reason; in another language with the English beside it. */
function spoken(what, reason, attributes) {
  return inBoth(what, attributes, ...inLanguages(reason));
}

const inBoth = (what, attributes, own, english) => h(what, attributes, own, english && english !== own ? h("span", { lang: "en" }, english) : null);

const caution = (reason) => spoken("p.caution", reason);

const ours = (code, values) => [`pocket.${code}`, values || {}];

/* Names as reasons, so that each language calls them by its own. */
const nameReason = (name) => ["names.one", { name }];
const anyOf = ([first, ...rest]) => rest.reduce((told, one, k) => (k < rest.length - 1 ? ["names.comma", { first: told, next: one }] : ["names.or", { first: told, last: one }]), first);

const reasonsOf = (places) => places.map((place) => world.pairs.reasons[place]);
const said = (places) => reasonsOf(places).map((reason) => world.words.say(reason));

/* A list to choose from; where the choice draws the view anew, the keys stay on the list. */
function pick(label, values, value, onchange) {
  const options = values.map(([key, words]) => h("option", { value: key, selected: key === value }, words));
  const choose = (event) => {
    onchange(event.target.value);
    const same = [...document.querySelectorAll("main label")].find((one) => one.firstChild.textContent === label);
    if (same && !event.target.isConnected && !state.asked) same.querySelector("select").focus();
  };
  return h("label", {}, label, h("select", { onchange: choose }, options));
}

/* A field to type into: what is refused, by the code that `refusal` gives, is said under it and not taken. */
function field(label, attributes, on, refusal, take) {
  const refused = h("p.harm", { role: "alert" });
  const typed = ({ target: { value } }) => {
    const code = refusal(value);
    refused.textContent = code ? t(code) : "";
    if (!code) take(value);
  };
  return [h("label", {}, label, h("input", { type: "text", ...attributes, [on]: typed })), refused];
}

/* Names and places: any signs but those that no file can carry. */
const refusedName = (text) => (/[\p{Cc}\p{Cs}\p{Zl}\p{Zp}]/u.test(text) ? "refused_sign" : null);

function pickHalf(label, id, onchange) {
  const everyday = world.ports.length ? world.ports : world.everyday;
  const ids = [...new Set([...everyday, ...world.halves.map((half) => half.id)])];
  const named = ids.map((one) => [one, world.halves[world.index[one]].name]);
  return pick(label, id ? named : [["", t("choose")], ...named], id, onchange);
}

/* A half as a picture, drawn once and copied then. */
function viewOf(half, view) {
  if (!world.pictures) return null;
  const told = world.pictures[half][view];
  told.drawn = told.drawn || drawnHalf(told, world.halves[half].name);
  return told.drawn.cloneNode(true);
}
