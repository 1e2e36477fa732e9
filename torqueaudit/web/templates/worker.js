// Where the connection is lost the last pages of the bench open as they were, and say so. Signing out takes all away.
"use strict";
const NAME = "bench", MOST = 30;
const base = new URL(".", location).pathname;
const FILE = /^bench-[0-9a-f]+\.(css|js)$/, PAGE = /^(bench|job\/|vehicle\/)(?!.*\.pdf$)/;
const below = (url) => url.pathname.slice(base.length);

// What a page asks for belongs to it: the setting for another drag is another page. What was just done does not.
function keyOf(url) {
  const key = new URL(url);
  key.hash = "";
  for (const name of ["done", "read"]) key.searchParams.delete(name);
  return key.href;
}

addEventListener("install", (event) => event.waitUntil(skipWaiting()));
addEventListener("activate", (event) => event.waitUntil(clients.claim()));
addEventListener("fetch", (event) => {
  const asked = event.request, url = new URL(asked.url);
  if (asked.method !== "GET" || url.origin !== location.origin) return;
  if (FILE.test(below(url))) event.respondWith(file(asked));
  else if (asked.mode === "navigate") event.respondWith(page(asked, url));
});

async function file(asked) {
  const pages = await caches.open(NAME), found = await pages.match(asked);
  if (found) return found;
  const answer = await fetch(asked);
  if (answer.ok) await pages.put(asked, answer.clone());
  return answer;
}

async function page(asked, url) {
  let answer;
  try {
    answer = await fetch(asked);
  } catch (error) {
    return await before(url) || Promise.reject(error);
  }
  if (/^sign(\/|$)/.test(below(url))) await caches.delete(NAME);
  else if (answer.ok && PAGE.test(below(url))) await keep(url, answer.clone());
  return answer;
}

async function keep(url, answer) {
  const pages = await caches.open(NAME), key = keyOf(url);
  await pages.delete(key);
  await pages.put(key, answer);
  const all = (await pages.keys()).filter((each) => PAGE.test(below(new URL(each.url))) && !FILE.test(below(new URL(each.url))));
  for (const each of all.slice(0, -MOST)) await pages.delete(each);
}

async function before(url) {
  if (!PAGE.test(below(url)) && below(url)) return null;
  const pages = await caches.open(NAME);
  let found = await pages.match(keyOf(url));
  if (!found && keyOf(url) === url.origin + url.pathname) {
    const all = (await pages.keys()).filter((each) => !FILE.test(below(new URL(each.url))));
    found = all.length ? await pages.match(all[all.length - 1]) : null;
  }
  if (!found) return null;
  const says = `No connection. This is how the page was at ${new Date(found.headers.get("Date")).toLocaleString()}.`;
  const text = (await found.text()).replace("<main>", `<main><p class="alarm" id="old">${says}</p>`);
  return new Response(text, {headers: found.headers});
}
