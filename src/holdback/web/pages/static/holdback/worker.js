/* Keep the pages of rounds and the files they need, for when there is no network. `KEPT` is set by the server: the
   version of the files, the files, and where the rounds are. Nothing else is kept, and nothing that is sent. */
"use strict";

const FILES = `rounds-files-${KEPT.version}`;
const PAGES = "rounds-pages";
const PATIENCE = 5_000;
const MOST = 12;

let isOutdated = false;

const NOT_HERE = `<!doctype html><html lang="en"><meta charset="utf-8"><title>Not on this phone</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="${KEPT.files[0]}"><link rel="stylesheet" href="${KEPT.files[1]}">
<main class="page"><div class="title"><h1>No network</h1><p class="lede">This page was not opened on this phone before,
so it cannot be opened now. <a href="${KEPT.rounds}">Rounds that are on this phone</a></p></div></main></html>`;

addEventListener("install", (event) => event.waitUntil(install()));
addEventListener("activate", (event) => event.waitUntil(activate()));
addEventListener("message", (event) => event.waitUntil(told(event)));
addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (KEPT.files.includes(url.pathname)) event.respondWith(file(request));
  else if (request.mode === "navigate" && isRound(url)) event.respondWith(page(request));
});

function isRound(url) {
  return url.pathname === KEPT.rounds || url.pathname === `${KEPT.rounds}go/`;
}

async function install() {
  const files = await caches.open(FILES);
  await files.addAll(KEPT.files.map((name) => new Request(name, { cache: "reload" })));
  await skipWaiting();
}

async function activate() {
  for (const name of await caches.keys()) {
    if (name.startsWith("rounds-files-") && name !== FILES) await caches.delete(name);
  }
  await clients.claim();
}

/* A page that was loaded before this worker was there asks to be kept. */
async function told(event) {
  const address = event.data?.keep;
  if (!address || !isRound(new URL(address))) return;
  const pages = await caches.open(PAGES);
  if (!(await pages.match(address))) await pages.add(new Request(address, { credentials: "same-origin" }));
  event.source?.postMessage({ kept: address });
}

/* The file that is kept; where the last page was made for other files, the one that belongs to it. */
async function file(request) {
  const files = await caches.open(FILES);
  const kept = await files.match(request, { ignoreSearch: true });
  if (kept && !isOutdated) return kept;
  return fetch(request, { cache: "no-cache" }).catch(() => kept ?? Response.error());
}

/* The page as it is now; the one that is kept where no answer comes in time. */
async function page(request) {
  const pages = await caches.open(PAGES);
  try {
    const answer = await Promise.race([fetch(request), late()]);
    const version = answer.headers.get("Rounds-Files");
    if (version) isOutdated = version !== KEPT.version;
    if (answer.ok && !answer.redirected) {
      await pages.put(request.url, answer.clone());
      for (const old of (await pages.keys()).slice(0, -MOST)) await pages.delete(old);
    }
    return answer;
  } catch {
    isOutdated = false;
    const kept = await pages.match(request.url);
    return kept ?? new Response(NOT_HERE, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
  }
}

function late() {
  return new Promise((_, failed) => setTimeout(() => failed(new Error("no answer in time")), PATIENCE));
}
