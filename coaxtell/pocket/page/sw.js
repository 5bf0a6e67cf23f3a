/* Keeps the page for where there is no network: all of it on the first visit, from the store ever after. */
"use strict";

const MARK = "@MARK@", FILES = @FILES@;
const OWN = `coaxtell ${self.registration.scope} `; // another folder of the same server keeps its own

/* A file as the server has it now, past the browser's own store; refused where it is of another making. */
async function fresh(name) {
  const answer = await fetch(new Request(name, { cache: "reload" }));
  if (!answer.ok || !(await answer.clone().text()).includes(MARK)) throw new Error(`${name} is not of ${MARK}`);
  return answer;
}

/* Keeps all files, once each of them is there and of this making: else what was kept before stays. */
async function fill() {
  const answers = await Promise.all(FILES.map(fresh)), store = await caches.open(OWN + MARK);
  await Promise.all(answers.map((answer, k) => store.put(FILES[k], answer)));
  await self.skipWaiting();
}

async function tidy() {
  const others = (await caches.keys()).filter((name) => name.startsWith(OWN) && name !== OWN + MARK);
  await Promise.all(others.map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function answer(request) {
  const store = await caches.open(OWN + MARK);
  return (await store.match(request, { ignoreSearch: true })) || fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(fill()));
self.addEventListener("activate", (event) => event.waitUntil(tidy()));
self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || new URL(event.request.url).origin !== location.origin) return;
  event.respondWith(answer(event.request));
});
