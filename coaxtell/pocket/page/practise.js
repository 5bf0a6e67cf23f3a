/* The view that trains: the items of the day, answered and handed over. */
"use strict";

function practiseView() {
  const { items, dated } = world.practice, done = { dated, person: "", events: [], earlier: [], ...state.practice };
  const set = (changes, top) => {
    const seen = JSON.stringify(state.practice);
    takeAnew();
    // answered in another page meanwhile: what is asked now is shown first
    if (JSON.stringify(state.practice) === seen) change({ practice: { ...done, ...changes } });
    show(top);
  };
  const answers = done.events.filter(({ type }) => type === "answered"), place = answers.length - (done.told ? 1 : 0), item = items[place];
  const person = field(t("person"), { maxlength: String(world.practice.names.longest), value: done.person }, "onchange", refusedPerson, (name) => set({ person: name }));
  const right = answers.filter((one) => one.right === one.chosen).length;
  if (!item) return [title("practise_title"), h("p", {}, t("practised", { right, all: answers.length })), ...person, ...handOverAll(done, set)];
  const head = [title("practise_title"), h("p.quiet", {}, t("of_items", { at: answers.length + (done.told ? 0 : 1), all: items.length, dated })), h("h2", {}, item.question), ...(item.halves.length ? itemPicture(item, world.pictured[place]) : [])];
  if (done.told) {
    const last = answers[answers.length - 1], ok = last.chosen === last.right, said = item.after[last.chosen] || item;
    return [...head, h("p", { class: ok ? "kept" : "broken", role: "status" }, ok ? `✓ ${t("right")}` : `✗ ${t("wrong", { right: item.options[last.right] })}`),
      h("ul", {}, said.reasons.map((text) => h("li", {}, text))), said.look ? h("p", {}, said.look) : null, ...said.cautions.map((text, k) => inBoth("p.caution", {}, text, said.english[k])), h("button", { onclick: () => set({ told: false }, true) }, t("go_on")), ...handOverAll(done, set)];
  }
  const named = Boolean(done.person.trim()); // the answers need a name first; then they need the room more
  return [...head, ...(named ? [] : [...person, h("p.quiet", {}, t("person_why"))]),
    ...(done.chosen ? item.steps.map((sure) => h("button.way.plain", { onclick: () => set({ events: [...done.events, ...event(done, item, sure)], chosen: "", told: true }) }, t("sure", { sure }))) : Object.entries(item.options).map(([id, words]) => h("button.way", { disabled: !named, onclick: () => set({ chosen: id }) }, capital(words)))),
    done.chosen ? h("button", { onclick: () => set({ chosen: "" }) }, t("back")) : null, ...(named ? person : []), ...(done.earlier.length ? handOverAll(done, set) : [])];
}

/* Why the record would not take a name, as the code of a text, or null. */
function refusedPerson(text) {
  const { unseen, joiners, alphabets } = world.practice.names, name = text.normalize("NFC").trim(), shaped = "[\\p{Lo}\\p{Mn}\\p{Mc}]";
  const signs = new RegExp(`${unseen}|(?<!${shaped})[${joiners}]|[${joiners}](?!${shaped})`, "u");
  if (refusedName(name) || signs.test(name)) return "refused_sign";
  const spelt = alphabets.map((one) => new RegExp(`\\p{Script=${one}}`, "u"));
  return name.split(/\P{L}+/u).some((word) => spelt.filter((one) => one.test(word)).length > 1) ? "refused_alphabets" : null;
}

/* The picture of an item, as the desk draws it. Where none was drawn, its halves face on at one scale with what is seen in
 * words; else the words are for who hears the page. Never a name: that would be the answer. */
function itemPicture({ halves, in_words: told }, drawn) {
  const label = told || t("item_pictured");
  if (drawn) return [h("img.item", { src: `data:image/webp;base64,${drawn}`, alt: label })];
  const wide = (id) => Number(world.pictures[world.index[id]].face.box.split(" ")[2]), widest = Math.max(...halves.map(wide));
  const frame = h("div.items", { role: "img", "aria-label": label }, halves.map((id) => {
    const face = viewOf(world.index[id], "face");
    face.style.width = face.style.height = `${(9 * wide(id)) / widest}rem`;
    face.setAttribute("aria-hidden", "true");
    face.removeAttribute("aria-label");
    face.removeAttribute("role");
    return face;
  }));
  return [frame, told ? h("p", {}, told) : null];
}

/* The events of an answer, the first of a sitting with its start: another name begins another sitting. */
function event(done, item, sure) {
  const time = new Date().toISOString(), person = done.person.normalize("NFC").trim().replace(/\s+/g, " ");
  const [last] = done.events.filter(({ type }) => type === "started").slice(-1);
  const start = last && last.person === person ? last : { type: "started", id: newId(), time, person, mode: "practice" };
  const number = done.events.filter(({ sitting }) => sitting === start.id).length + 1;
  const one = { type: "answered", id: newId(), time, person, sitting: start.id, number, ...item.event, chosen: done.chosen, sure };
  return number === 1 ? [start, one] : [one];
}

/* Hands over every answer that is kept, those of earlier pages first; these stay until the person lets them go. */
function handOverAll(done, set) {
  const all = [...done.earlier, ...done.events], earlier = done.earlier.filter(({ type }) => type === "answered").length;
  if (!all.length) return [];
  const hand = async () => { if (await handOver("answers.json", "application/json", JSON.stringify(all, null, 1) + "\n") !== false && earlier) set({ handed: true }); };
  return [
    earlier ? h("p", {}, t("earlier_kept", { count: earlier })) : null,
    h("div.row", {}, h("button", { onclick: hand }, t("answers_out")), earlier && done.handed ? h("button", { onclick: () => set({ earlier: [], handed: false }) }, t("earlier_remove")) : null),
  ];
}
