// Keeps the page's files, so that it opens without a network, and nothing else: the record
// is not its business.
"use strict";

const KEPT = "hosewright-DIGEST";
const SHARED = "hosewright-shared";
const PATHS = ["FILES"];

addEventListener("install", (event) => {
  // All of them, fresh, or none: half an update is no update.
  const fresh = PATHS.map((path) => new Request(path, { cache: "reload" }));
  event.waitUntil(caches.open(KEPT).then((cache) => cache.addAll(fresh)));
});

addEventListener("activate", (event) => {
  const old = async () => {
    const names = await caches.keys();
    const gone = names.filter((name) => name.startsWith("hosewright-") && ![KEPT, SHARED].includes(name));
    await Promise.all(gone.map((name) => caches.delete(name)));
    await clients.claim();
  };
  event.waitUntil(old());
});

addEventListener("message", ({ data }) => {
  if (data === "take") {
    skipWaiting();
  }
});

/** Another app shares files: they wait for the page, which asks what they are. */
async function shared(request) {
  const files = (await request.formData()).getAll("file").filter((file) => file.size > 0);
  const cache = await caches.open(SHARED);
  await Promise.all(files.map((file, nth) => cache.put(`/shared/${nth}/${encodeURIComponent(file.name)}`, new Response(file))));
  return Response.redirect("/?shared", 303);
}

async function kept(path) {
  const cache = await caches.open(KEPT);
  return (await cache.match(path)) ?? fetch(path);
}

addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== location.origin) {
    return;
  }
  if (request.method === "POST" && pathname === "/shared") {
    event.respondWith(shared(request));
  } else if (request.mode === "navigate") {
    // Every screen is this one page's.
    event.respondWith(kept("/index.html"));
  } else if (PATHS.includes(pathname)) {
    event.respondWith(kept(pathname));
  }
});
