// The bench page: what is entered waits in this device's store until the book has it.
// An entry is kept before it is sent, with a key of its own and the moment it was tapped, so that
// nothing is lost without a network and nothing is posted twice.

const main = document.querySelector("main");
const said = document.getElementById("said");
const waiting = document.getElementById("waiting");
const screen = main.dataset.screen;
const [DAY, EVERY, REFRESH] = [24 * 3600 * 1000, 15000, 60000]; // milliseconds; EVERY: to send
const MOMENT = new Intl.DateTimeFormat([], { dateStyle: "medium", timeStyle: "short" });

// --- the store: one row an entry, in the order of the taps ---

let opened;
function store() {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("bench", 1);
    request.onupgradeneeded = () =>
      request.result.createObjectStore("entries", { keyPath: "id", autoIncrement: true });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opened;
}

async function inStore(mode, act) {
  const transaction = (await store()).transaction("entries", mode, { durability: "strict" });
  const request = act(transaction.objectStore("entries"));
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = () => reject(transaction.error);
  });
}

const entries = () => inStore("readonly", (rows) => rows.getAll());
const keep = (entry) => inStore("readwrite", (rows) => rows.put(entry));
const drop = (id) => inStore("readwrite", (rows) => rows.delete(id));

function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(18));
  return btoa(String.fromCharCode(...bytes)).replaceAll("+", "-").replaceAll("/", "_");
}

// --- sending: first in, first out ---

let sending = false;
async function send() {
  if (sending) return;
  sending = true;
  let changed = false;
  try {
    for (;;) {
      const next = (await entries()).find((entry) => entry.state === "waiting");
      if (!next || !(await sent(next))) break;
      changed = true;
    }
  } finally {
    sending = false;
  }
  await list();
  if (changed) await load();
}

// Send one entry; false where there is no use in sending the next one now.
async function sent(entry) {
  const body = new FormData();
  for (const [name, value] of Object.entries(entry.fields)) body.set(name, value);
  if (entry.photo) body.set("photo", entry.photo, "photo.jpg");
  body.set("key", entry.key);
  body.set("tapped", entry.tapped);
  body.set("sent", Date.now());
  let answer, words;
  try {
    answer = await fetch(`/post/${entry.act}`, { method: "POST", body });
    words = await answer.text();
  } catch {
    say("No connection: the entry is kept here and sent later.");
    return false;
  }
  if (answer.ok) {
    await drop(entry.id);
    say(words);
    return true;
  }
  if (answer.status !== 409 && answer.status !== 422) {
    trouble(answer.status, words);
    return false;
  }
  await keep({ ...entry, state: answer.status === 409 ? "asked" : "refused", words });
  return true;
}

function trouble(status, words) {
  if (status === 401) {
    const isNew = !forgetFacts() && !main.dataset.shown;
    const link = Object.assign(line("a", isNew ? "Pair it" : "Pair it again"), { href: "/pair" });
    say(isNew ? "Pair this device first: the code stands at the desk. "
      : "This device is not paired any more; what waits here stays. ");
    said.append(link);
    if (!main.dataset.shown) main.lastElementChild.textContent = "";
  } else {
    say(`Kept here and sent later. ${status < 500 || status === 503 ? words : ""}`);
  }
}

const say = (words) => (said.textContent = words);

// --- what waits, what is asked, what was not taken ---

async function list() {
  const rows = await entries();
  const parts = [
    part("waiting", (count) => `${count} waiting to be sent`, rows),
    part("asked", () => "Is this right?", rows),
    part("refused", () => "Not taken", rows),
  ].flat();
  const oldest = rows.find((row) => row.state === "waiting");
  if (oldest && Date.now() - oldest.tapped > DAY) {
    parts.push(line("p", "Something waits here for more than a day. Open the page in the shop."));
  }
  waiting.replaceChildren(...parts);
  waiting.hidden = !rows.length;
}

function part(state, title, rows) {
  const mine = rows.filter((row) => row.state === state);
  if (!mine.length) return [];
  const items = document.createElement("ul");
  items.append(...mine.map(item));
  return [line("h2", title(mine.length)), items];
}

function item(entry) {
  const row = line("li", `${entry.label}, tapped ${MOMENT.format(entry.tapped)}. `);
  row.append(line("span", entry.words));
  const buttons = document.createElement("div");
  if (entry.state === "asked") buttons.append(choice("Yes, it is right", () => again(entry)));
  buttons.append(choice("Drop it", () => drop(entry.id).then(list)));
  row.append(buttons);
  return row;
}

function again(entry) {
  const fields = { ...entry.fields, sure: "1" };
  return keep({ ...entry, fields, state: "waiting", words: "" }).then(send);
}

function line(tag, words) {
  return Object.assign(document.createElement(tag), { textContent: words });
}

function choice(words, act) {
  return Object.assign(line("button", words), { type: "button", onclick: act });
}

// --- the facts of the screen ---

const query = () =>
  location.hash ? `?job=${encodeURIComponent(decodeURIComponent(location.hash.slice(1)))}` : "";
const stored = () => `facts:${screen}${query()}`;

async function load() {
  let answer, words;
  try {
    answer = await fetch(`/facts/${screen}${query()}`);
    words = await answer.text();
  } catch {
    const before = localStorage.getItem(stored());
    if (before && !main.dataset.shown) show(before);
    if (!before) main.lastElementChild.textContent = "No connection, and nothing is kept here yet.";
    return;
  }
  if (!answer.ok) {
    if (answer.status === 401) trouble(401, words);
    else say(words);
    return;
  }
  localStorage.setItem(stored(), words);
  show(words);
}

// The server wrote these words and escaped every name in them; no script in them would run.
function show(words) {
  const focused = document.activeElement?.id;
  main.innerHTML = words;
  main.dataset.shown = "1";
  for (const form of main.querySelectorAll("form[id]")) fill(form);
  if (focused) document.getElementById(focused)?.focus();
}

function forgetFacts() {
  const kept = Object.keys(localStorage).filter((name) => name.startsWith("facts:"));
  for (const name of kept) localStorage.removeItem(name);
  return kept.length;
}

// --- forms: drafts, and what a tap makes of them ---

const draft = (form) => `draft:${screen}:${form.id}`;

function fill(form) {
  const fields = JSON.parse(localStorage.getItem(draft(form)) ?? "{}");
  for (const [name, value] of Object.entries(fields)) {
    const field = form.elements[name];
    if (field) field.value = value;
  }
}

function note(form) {
  if (!form?.id) return;
  const fields = Object.fromEntries([...new FormData(form)].filter(([, value]) => value.trim?.()));
  localStorage.setItem(draft(form), JSON.stringify(fields));
}

const spoken = (field) => field.selectedOptions?.[0].textContent ?? field.value;

let lastTap = ["", 0];
async function tapped(form) {
  const sent = [...new FormData(form)];
  const fields = Object.fromEntries(sent.filter(([, value]) => typeof value === "string"));
  const file = sent.map(([, value]) => value).find((value) => value.size);
  const { number, ...rest } = fields; // the how-manieth part: a double tap on its mark is one
  const same = `${form.dataset.act} ${JSON.stringify(rest)}`;
  if (lastTap[0] === same && Date.now() - lastTap[1] < 1000) return; // a double tap is one
  lastTap = [same, Date.now()];
  const named = ["job", "what", "material", "part", "duration", "quantity", "sizes"];
  const words = named.map((name) => form.elements[name]).filter((field) => field?.value);
  const details = form.id ? `: ${words.map(spoken).join(", ")}` : "";
  const entry = {
    key: newKey(), act: form.dataset.act, fields, label: form.dataset.label + details,
    tapped: Date.now(), state: "waiting", words: "", photo: null,
  };
  const written = form.id && localStorage.getItem(draft(form));
  if (number) count(form);
  if (form.id) {
    localStorage.removeItem(draft(form));
    form.reset(); // at once: what is typed from now on is the next entry
  }
  try {
    if (file) entry.photo = await smaller(file);
    await keep(entry);
  } catch {
    if (written) localStorage.setItem(draft(form), written);
    const unread = file && !entry.photo;
    const why = unread ? "cannot read that picture; save it as JPEG" : "has no space left";
    say(`Nothing was entered: this device ${why}.`);
    await load();
    return;
  }
  await list();
  await send();
}

// A photo drawn anew: upright, smaller, and without where and when it was taken.
async function smaller(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, 1600 / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [picture.width * scale, picture.height * scale];
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.8));
}

function count(form) {
  const { number } = form.elements;
  form.querySelector("strong").textContent = `${number.value} of ${form.dataset.of}`;
  number.value = Number(number.value) + 1;
  form.querySelector("button").disabled = number.value > Number(form.dataset.of);
}

document.addEventListener("submit", (event) => {
  if (!event.target.dataset.act) return;
  event.preventDefault();
  tapped(event.target);
});
document.addEventListener("input", (event) => note(event.target.form));
document.addEventListener("click", (event) => {
  const part = event.target.closest("[data-part]")?.dataset.part;
  const forms = part ? [...event.target.closest("section").querySelectorAll("form")] : [];
  forms.find((form) => form.dataset.mark === part)?.querySelector("button").click();
  const pick = event.target.closest("[data-into]");
  if (!pick) return;
  document.getElementById(pick.dataset.into).value = pick.dataset.text;
  note(pick.form);
});

// --- begin ---

if (screen) {
  addEventListener("hashchange", load);
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => document.hidden || send().then(load));
  setInterval(send, EVERY);
  setInterval(() => main.contains(document.activeElement) || load(), REFRESH);
  load();
  send();
} else if (location.hash.length > 1) {
  document.getElementById("code").value = location.hash.slice(1);
  document.getElementById("name").focus();
}
