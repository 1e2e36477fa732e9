// What is tapped at the bench is kept on this device until the server has it. Without this script all forms go plainly.
(() => {
"use strict";
const script = document.currentScript;
const base = new URL(".", script.src);
const person = script.dataset.person;
const secure = location.protocol === "https:";
const TIMEOUT = 20000, TURN = 4000, SHORTEST = 2000, LONGEST = 60000, DAY = 86400000, SOON = 600; // milliseconds
const SLOWEST = 16; // bytes in one
const word = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
const tab = sessionStorage.tab ||= word();
const soon = (wait) => { clearTimeout(timer); timer = setTimeout(go, wait); };
let pause = SHORTEST, timer, running, again, signedOut, leaving;
let newest = ""; // the act that was tapped last on this page
let sent = null; // what was tapped on an earlier page, and where its answer leads

// ---- what is kept ----

const opened = new Promise((done, fail) => {
  const asked = indexedDB.open("bench", 1);
  asked.onupgradeneeded = () => {
    const make = (store, by) => asked.result.createObjectStore(store, by);
    make("acts", {keyPath: "n", autoIncrement: true}).createIndex("id", "id", {unique: true});
    make("refused", {keyPath: "id"});
    make("drafts");
    make("turn");
  };
  asked.onsuccess = () => done(asked.result);
  asked.onerror = () => fail(asked.error);
});

async function kept(store, work) {
  const all = (await opened).transaction(store, "readwrite", {durability: "strict"});
  const asked = work(all.objectStore(store));
  return new Promise((done, fail) => {
    all.oncomplete = () => done(asked.result);
    all.onabort = () => fail(all.error);
  });
}

const every = (store) => kept(store, (s) => s.getAll());

// One tab sends at a time; one that was killed loses its turn after some seconds.
const turn = (long) => kept("turn", (s) => {
  const said = {result: false}, asked = s.get("now"), now = Date.now();
  asked.onsuccess = () => {
    const {whose, until} = asked.result || {whose: tab};
    said.result = whose === tab || until < now || until > now + TURN;
    if (said.result) s.put({whose: tab, until: now + long}, "now");
  };
  return said;
});
const myTurn = () => turn(TURN);
const endTurn = () => turn(-1);

const others = new BroadcastChannel("bench");
others.onmessage = ({data}) => {
  if (data.id === newest && data.to) leave(data.to);
  else show();
};

function leave(to) {
  leaving = true; // what else waits is sent by the page that comes
  location.assign(to);
}

// ---- sending: in order, by whoever said it, each until it is answered ----

const fetched = (to, more, bytes = 0) => fetch(new URL(to, base), {
  ...more, headers: {"X-Bench": "1"}, redirect: "error", cache: "no-store",
  signal: AbortSignal.timeout(TIMEOUT + bytes / SLOWEST),
});

function meaning(answer) {
  const to = answer.headers.get("X-Bench-To");
  if (answer.status === 401 || answer.status === 403 || /(^|\/)sign(\?|$)/.test(to)) return "wait";
  if (answer.status === 408 || answer.status === 429 || answer.status >= 500) return "later";
  return answer.ok ? "done" : "refused";
}

async function send(act) {
  const asked = await fetched("token");
  if (asked.status !== 200) return {is: meaning(asked) === "later" ? "later" : "wait", sign: asked.ok};
  const token = await asked.json();
  if (token.person !== act.who) return {is: "wait"};
  const body = new FormData();
  for (const {name, value, file, type} of act.fields) body.append(name, file === undefined ? value : new File([value], file, {type}));
  body.set("id", act.id);
  body.set("form", token.form);
  const minutes = Math.floor((Date.now() - act.at) / 60000);
  if (minutes > 0) body.set("ago", minutes + Number(body.get("ago")));
  const bytes = act.fields.reduce((sum, {value}) => sum + (value.byteLength || 0), 0);
  const answer = await fetched(act.to, {method: "POST", body: act.parts ? body : new URLSearchParams(body)}, bytes);
  const is = meaning(answer), to = answer.headers.get("X-Bench-To");
  return {is, to: to ? new URL(to, act.to).href : act.page, page: is === "refused" ? await answer.text() : ""};
}

const oldest = async () => (await every("acts")).find((each) => each.who === person);

async function round() {
  while (!leaving && await oldest()) {
    if (!await myTurn()) return soon(1000);
    const act = await oldest(); // another tab may have sent what was there before
    if (!act) return;
    const beat = setInterval(myTurn, TURN / 4);
    const said = await send(act).catch(() => ({is: "later"})).finally(() => clearInterval(beat));
    signedOut = said.is === "wait";
    if (signedOut) { // until somebody signs in, which opens a page
      if (said.sign && act.id === newest) askPin(act);
      return;
    }
    if (said.is === "later") {
      soon(pause);
      pause = Math.min(2 * pause, LONGEST);
      return;
    }
    pause = SHORTEST;
    await answered(act, said);
  }
}

async function go() {
  clearTimeout(timer);
  again = true;
  if (running) return;
  running = true;
  try {
    while (again) {
      again = false;
      await round();
      await endTurn();
    }
  } finally {
    running = false;
    show();
  }
}

const toSign = () => `${base}sign?next=${encodeURIComponent(location.href.slice(base.href.length))}`;

// Whoever was idle for too long tells the PIN, and is led on from there as if nothing had been between.
function askPin(act) {
  sessionStorage.asked = act.id;
  leave(toSign());
}

async function answered(act, said) {
  const here = act.id === newest || act.id === sessionStorage.asked, done = said.is === "done";
  if (said.is === "refused" && !(here && swap(said.page, act.to))) await putAside(act, said.page);
  await kept("acts", (s) => s.delete(act.n));
  others.postMessage({id: act.id, to: done ? said.to : ""});
  if (done && here) leave(said.to);
  else if (done) sent = {says: act.says, to: said.to};
  show();
}

async function putAside(act, page) {
  const told = new DOMParser().parseFromString(page, "text/html");
  const why = (told.querySelector("[role=alert] .told") || told.querySelector("main p") || told.body).textContent.trim();
  await kept("refused", (s) => s.put({...act, why}));
  const typed = act.fields.filter((each) => each.file === undefined).map(({name, value}) => [name, value, true]);
  await kept("drafts", (s) => s.put({at: Date.now(), typed}, `${act.who} ${new URL(act.to).pathname}`));
}

// The page that says why, with what was typed, in place of this one.
function swap(html, address) {
  const page = new DOMParser().parseFromString(html, "text/html"), main = page.querySelector("main");
  if (!main) return false;
  newest = "";
  document.querySelector("main").replaceWith(document.adoptNode(main));
  document.title = page.title;
  history.replaceState(null, "", address);
  scrollTo(0, 0);
  return true;
}

// ---- what is typed and tapped ----

const addressOf = (form) => new URL(form.getAttribute("action") || "", location.href);
const draftOf = (form) => `${person} ${addressOf(form).pathname}`;
const fieldsOf = (form) => [...form.elements].filter((e) => e.name && !/^(hidden|password|file|submit|button)$/.test(e.type));
const ticked = (e) => /^(radio|checkbox)$/.test(e.type);

addEventListener("input", ({target}) => {
  const form = target.form;
  if (!form?.hasAttribute("data-act")) return;
  const typed = fieldsOf(form).map((e) => [e.name, e.value, !ticked(e) || e.checked]);
  kept("drafts", (s) => s.put({at: Date.now(), typed}, draftOf(form))).catch(() => {});
});

async function restore(form) {
  const draft = await kept("drafts", (s) => s.get(draftOf(form)));
  for (const [name, value, on] of draft?.at > Date.now() - DAY ? draft.typed : []) {
    const field = fieldsOf(form).find((e) => e.name === name && (!ticked(e) || e.value === value));
    const [what, was] = field && ticked(field) ? ["checked", on] : ["value", value];
    if (!field || field.dataset.told || field[what] === was) continue;
    field[what] = was;
    (field.closest("details") || {}).open = true;
  }
}

const disable = (form, off) => form.querySelectorAll("button").forEach((each) => { each.disabled = off; });

function plainly(form, button) {
  form.dataset.plain = "yes";
  form.requestSubmit(button);
}

addEventListener("submit", async (event) => {
  const form = event.target, button = event.submitter;
  if (form.dataset.plain) return;
  if (addressOf(form).pathname === `${base.pathname}leave`) {
    event.preventDefault();
    await Promise.allSettled([kept("drafts", (s) => s.clear()), away()]);
    plainly(form, button);
  } else if (person && form.hasAttribute("data-act")) {
    event.preventDefault();
    if (!form.dataset.kept) await keep(form, button);
  }
});

const renew = (form) => form.elements.id.value = word();
const words = ({who, to, fields}) => JSON.stringify([who, to, fields]);

// Kept once where it is tapped twice, and as another act where it says something else; a photo always does.
function add(store, act, form) {
  const asked = store.index("id").get(act.id);
  asked.onsuccess = () => {
    const before = asked.result;
    if (before && !act.parts && words(before) === words(act)) return;
    if (before) act.id = renew(form);
    store.add(act);
  };
  return asked;
}

async function keep(form, button) {
  const told = new FormData(form);
  if (button?.name) told.append(button.name, button.value);
  form.dataset.kept = "yes";
  const act = {
    id: told.get("id"), who: person, to: addressOf(form).href, page: location.href, at: Date.now(), fields: [],
    parts: form.getAttribute("enctype") === "multipart/form-data",
    says: `${document.title}: ${button?.textContent.trim() || ""}`,
  };
  try {
    for (const [name, value] of told) {
      if (name === "id" || name === "form") continue;
      if (!(value instanceof File)) act.fields.push({name, value});
      else if (value.size) act.fields.push({name, value: await value.arrayBuffer(), file: value.name, type: value.type});
    }
    await kept("acts", (s) => add(s, act, form));
  } catch {
    return plainly(form, button); // nothing can be kept here
  }
  newest = act.id;
  disable(form, true);
  kept("drafts", (s) => s.delete(draftOf(form))).catch(() => {});
  setTimeout(show, SOON + 50);
  go();
}

// ---- what is said ----

const made = (name, text, kind) => Object.assign(document.createElement(name), {textContent: text, className: kind || ""});
const link = (text, href) => Object.assign(made("a", text), {href});
const waiting = (count) => `${count} ${count === 1 ? "waits" : "wait"}`;

function tap(says, does) {
  const button = made("button", says, "small");
  button.type = "button";
  button.onclick = async () => { await does(); show(); };
  return button;
}

const putAway = (store, key) => tap("Put away", () => kept(store, (s) => s.delete(key)));

async function show() {
  const acts = await every("acts"), aside = (await every("refused")).filter((each) => each.who === person);
  const own = acts.filter((each) => each.who === person && each.at < Date.now() - SOON);
  const box = made("section", "", "echo");
  box.id = "queue";
  box.setAttribute("role", "status");
  if (own.length) sayWaiting(box, own);
  for (const who of new Set(acts.map((each) => each.who))) {
    const count = acts.filter((each) => each.who === who).length;
    if (who !== person) box.append(made("p", `${waiting(count)} until ${who} signs in here`, "told"));
  }
  for (const act of aside) {
    box.append(made("p", `Not recorded: ${act.says}. ${act.why}`, "alarm"), link("Look at it", act.to), " ", putAway("refused", act.id));
  }
  if (sent) {
    box.append(made("p", `Sent: ${sent.says}`, "told"), link("Look at what comes next", sent.to));
  }
  document.getElementById("queue")?.remove();
  if (box.hasChildNodes()) document.querySelector("header")?.after(box);
}

function sayWaiting(box, own) {
  const more = made("details", "");
  more.append(made("summary", "What waits"));
  for (const act of own) more.append(made("p", act.says), putAway("acts", act.n));
  box.append(made("p", `${waiting(own.length)} ${signedOut ? `until ${person} signs in here` : "for the connection"}`, "told"));
  const opens = secure
    ? "Pages that were opened before open without a connection too."
    : "This address is plain http: without a connection no other page opens.";
  box.append(made("p", `It is kept on this device. ${opens}`));
  if (signedOut) box.append(link("Sign in", toSign()));
  const form = document.querySelector("form[data-kept]");
  if (form) box.append(tap("Tell another one on this page", () => anew(form)));
  box.append(more);
}

function anew(form) {
  delete form.dataset.kept;
  newest = "";
  renew(form);
  disable(form, false);
}

// ---- https: pages without a connection ----

async function away() {
  if (!secure) return;
  for (const name of await caches.keys()) await caches.delete(name);
  for (const each of await navigator.serviceWorker.getRegistrations()) await each.unregister();
}

async function without() {
  if (!secure || !person || !navigator.serviceWorker) return;
  await navigator.serviceWorker.register(new URL("worker.js", base));
  if (navigator.serviceWorker.controller) return;
  const pages = await caches.open("bench"); // this one came before the worker
  await pages.addAll([location.origin + location.pathname, script.src, ...[...document.querySelectorAll("link[rel=stylesheet]")].map((e) => e.href)]);
}

async function begin() {
  const forms = document.querySelectorAll("form[data-act]");
  if (document.getElementById("old")) forms.forEach(renew); // something may have been told on this page before
  for (const form of forms) await restore(form);
  if (person) go();
  else show();
}

for (const back of ["online", "focus"]) addEventListener(back, () => person && go());
addEventListener("pagehide", endTurn);
addEventListener("pageshow", (event) => event.persisted && location.reload());
begin().catch(() => {});
without().catch(() => {});
})();
