/* Keeps the page for where there is no network: all of it on the first visit, from the store ever after. */
"use strict";

const MARK = "coaxtell-@MARK@", FILES = @FILES@;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(MARK).then((cache) => cache.addAll(FILES)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(caches.keys().then((names) => Promise.all(names.filter((name) => name.startsWith("coaxtell-") && name !== MARK).map((name) => caches.delete(name)))).then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || new URL(event.request.url).origin !== location.origin) return;
  event.respondWith(caches.match(event.request, { ignoreSearch: true }).then((kept) => kept || fetch(event.request)));
});
