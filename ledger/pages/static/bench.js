// The bench page: what is entered waits in this device's store until the book has it.
// An entry is kept before it is sent, with a key of its own and the moment it was tapped, so that
// nothing is lost without a network and nothing is posted twice.

const find = (one) => document.querySelector(one);
const [main, said, waiting] = ["main", "#said", "#waiting"].map(find);
const { screen } = main.dataset;
// Milliseconds: EVERY to send again, PATIENCE for an answer, GATHER taps of a sheet as one entry.
const [DAY, EVERY, REFRESH, PATIENCE, GATHER] = [24 * 3600000, 15000, 60000, 30000, 20000];
const MOMENT = new Intl.DateTimeFormat([], { dateStyle: "medium", timeStyle: "short" });
const say = (words) => (said.textContent = words);

// --- the store: one row an entry, in the order of the taps ---

const store = new Promise((resolve, reject) => Object.assign(indexedDB.open("bench", 1), {
  onupgradeneeded: ({ target }) =>
    target.result.createObjectStore("entries", { keyPath: "id", autoIncrement: true }),
  onsuccess: ({ target }) => resolve(target.result),
  onerror: ({ target }) => reject(target.error),
}));

async function inStore(mode, act) {
  const transaction = (await store).transaction("entries", mode, { durability: "strict" });
  const request = act(transaction.objectStore("entries"));
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = () => reject(transaction.error);
  });
}

const entries = () => inStore("readonly", (rows) => rows.getAll());
const keep = (entry) => inStore("readwrite", (rows) => rows.put(entry));
const drop = (id) => inStore("readwrite", (rows) => rows.delete(id));

// Change the first entry that is picked, in one transaction; whether there was one.
async function change(pick, make) {
  let found;
  await inStore("readwrite", (rows) => Object.assign(rows.getAll(), {
    onsuccess: ({ target }) => (found = target.result.find(pick)) && rows.put(make(found)),
  }));
  return Boolean(found);
}

const isGathering = ({ state }) => state === "gathering";
const isWaiting = ({ state }) => state === "waiting" || state === "gathering";
const close = () => change(isGathering, (entry) => ({ ...entry, state: "waiting" }));

const newKey = () => btoa(String.fromCharCode(...crypto.getRandomValues(new Uint8Array(18))))
  .replaceAll("+", "-").replaceAll("/", "_");

// --- sending: first in, first out ---

let [sending, wanted] = [false, false];
async function send() {
  wanted = true; // while it is sending, the network may come back: it tries once more at the end
  if (sending) return;
  sending = true;
  let changed = false;
  try {
    while (wanted) {
      wanted = false;
      for (let next; (next = await first()) && (await sent(next)); ) changed = true;
    }
  } finally {
    sending = false;
  }
  await list();
  if (changed) await load();
}

// What is gathered is closed before it is sent: no tap is added to an entry that is on its way.
async function first() {
  const next = (await entries()).find(isWaiting);
  if (!next || !isGathering(next)) return next;
  return Date.now() >= next.until && (await close()) ? first() : null;
}

// Send one entry; false where there is no use in sending the next one now.
async function sent(entry) {
  const body = new FormData();
  const { key, tapped, fields } = entry;
  Object.entries({ ...fields, key, tapped, sent: Date.now() }).forEach((one) => body.set(...one));
  if (entry.photo) body.set("photo", entry.photo, "photo.jpg");
  let answer, words;
  try {
    const signal = AbortSignal.timeout(PATIENCE);
    answer = await fetch(`/post/${entry.act}`, { method: "POST", body, signal });
    words = await answer.text();
  } catch {
    return void say("No connection: the entry is kept here and sent later.");
  }
  const state = { 409: "asked", 422: "refused" }[answer.status];
  if (!answer.ok && !state) return void trouble(answer.status, words);
  await (state ? keep({ ...entry, state, words }) : drop(entry.id));
  say({ asked: "A question stands on top.", refused: `Not taken: ${words}` }[state] ?? words);
  return true;
}

function trouble(status, words) {
  if (status !== 401) return say(`Kept for later. ${status < 500 || status === 503 ? words : ""}`);
  const isNew = !localStorage.length && !main.dataset.shown;
  localStorage.clear(); // the facts of all screens
  say(isNew ? "Pair this device first: the code stands at the desk. "
    : "This device is not paired any more; what waits here stays. ");
  said.append(Object.assign(line("a", isNew ? "Pair it" : "Pair it again"), { href: "/pair" }));
  if (!main.dataset.shown) main.lastElementChild.textContent = "";
}

// --- what waits, what is asked, what was not taken ---

async function list() {
  const rows = await entries();
  for (const box of waiting.querySelectorAll("[data-states]")) {
    const mine = rows.filter(({ state }) => box.dataset.states.split(" ").includes(state));
    box.hidden = !mine.length;
    box.querySelector("b").textContent = mine.length;
    box.querySelector("ul").replaceChildren(...mine.map(item));
  }
  waiting.lastElementChild.hidden = !(Date.now() - rows.find(isWaiting)?.tapped > DAY);
  waiting.hidden = !rows.length;
}

function item(entry) {
  const { label, fields: { parts = "" }, words, tapped } = entry;
  const row = line("li", `${label} ${parts}, tapped ${MOMENT.format(tapped)}. ${words} `);
  const buttons = line("div", "");
  if (entry.state === "asked") buttons.append(choice("Yes, it is right", () => again(entry)));
  if (entry.draft && entry.words) buttons.append(choice("Change it", () => rewrite(entry)));
  buttons.append(choice("Drop it", () => drop(entry.id).then(list).then(load)));
  row.append(buttons);
  return row;
}

const again = ({ fields, ...entry }) =>
  keep({ ...entry, fields: { ...fields, sure: "1" }, state: "waiting", words: "" }).then(send);

// Back into its form, from which it is entered as a new one; only a photo is to be chosen anew.
function rewrite({ id, draft, fields, path }) {
  localStorage.setItem(draft, JSON.stringify(fields));
  drop(id).then(() => location.assign(path));
}

const line = (tag, words) => Object.assign(document.createElement(tag), { textContent: words });
const choice = (words, act) =>
  Object.assign(line("button", words), { type: "button", onclick: act });

// --- the facts of the screen ---

async function load() {
  const job = encodeURIComponent(decodeURIComponent(location.hash.slice(1)));
  const address = `/facts/${screen}${job && `?job=${job}`}`;
  try {
    const answer = await fetch(address);
    const words = await answer.text();
    if (answer.status === 401) trouble(401, words);
    else if (!answer.ok) say(words);
    else localStorage.setItem(address, show(words));
  } catch {
    const before = localStorage.getItem(address);
    if (before && !main.dataset.shown) show(before);
    if (!before) main.lastElementChild.textContent = "No connection, and nothing is kept here yet.";
  }
}

// The server wrote these words and escaped every name in them; no script in them would run.
function show(words) {
  const focused = document.activeElement?.id;
  main.innerHTML = words;
  main.dataset.shown = "1";
  main.querySelectorAll("form[id]").forEach(fill);
  countWaiting();
  if (focused) document.getElementById(focused)?.focus();
  return words;
}

// --- forms: drafts, and what a tap makes of them ---

const draft = (form) => `draft:${screen}:${form.id}`;
const open = (lines) => (lines.hidden = lines.disabled = false);

function fill(form) {
  const fields = JSON.parse(localStorage.getItem(draft(form)) ?? "{}");
  for (const field of [...form.elements].filter(({ name }) => fields[name])) {
    field.value = fields[field.name];
    if (field.matches("[disabled] *")) open(field.closest("fieldset"));
  }
}

function note(form) {
  const fields = form?.id && [...new FormData(form)].filter(([, value]) => value.trim?.());
  if (fields) localStorage.setItem(draft(form), JSON.stringify(Object.fromEntries(fields)));
}

const NAMED = ["job", "what", "material", "part", "duration", "quantity", "sizes", "supplier"];

let lastTap = ["", 0];
async function tapped(form) {
  const given = [...new FormData(form)];
  const fields = Object.fromEntries(given.filter(([, value]) => typeof value === "string"));
  const file = given.map(([, value]) => value).find((value) => value.size);
  const { parts, ...rest } = fields; // the how-manieth part: a double tap on its mark is one
  const same = `${form.dataset.label}${form.dataset.mark} ${JSON.stringify(rest)}`;
  if (lastTap[0] === same && Date.now() - lastTap[1] < 1000) return; // a double tap is one
  lastTap = [same, Date.now()];
  const named = NAMED.map((name) => form.elements[name]).filter((field) => field?.value);
  const words = named.map((field) => field.selectedOptions?.[0].textContent ?? field.value);
  const entry = {
    key: newKey(), act: form.dataset.act, fields, path: location.pathname,
    label: form.dataset.label + (form.id && `: ${words.join(", ")}`),
    tapped: lastTap[1], until: lastTap[1] + GATHER, state: parts ? "gathering" : "waiting",
    words: "", photo: null, draft: form.id && draft(form), sheet: form.dataset.sheet,
  };
  if (parts) count(form);
  if (form.id) {
    localStorage.removeItem(draft(form));
    form.reset(); // at once: what is typed from now on is the next entry
  }
  try {
    if (file) entry.photo = await smaller(file);
    await keepTapped(entry);
    if (parts) setTimeout(send, GATHER);
  } catch {
    if (form.id) localStorage.setItem(draft(form), JSON.stringify(fields));
    const why = file && !entry.photo ? "cannot read that picture; save it as JPEG" : "is full";
    say(`Nothing was entered: this device ${why}.`);
    return load();
  }
  return list().then(send);
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

// --- the cut plan: taps of one sheet are gathered until any other tap; each counts at once ---

const keepTapped = (entry) => inStore("readwrite", (rows) => Object.assign(rows.getAll(), {
  onsuccess({ target }) {
    const [open, { sheet, fields: { parts } }] = [target.result.find(isGathering), entry];
    const isSame = open?.sheet === sheet && parts;
    if (isSame) open.fields.parts += `\n${parts}`;
    else if (open) open.state = "waiting";
    if (open) rows.put(open);
    if (!isSame) rows.put(entry);
  },
}));

function count(form) {
  const { elements: { parts }, dataset: { mark, of } } = form;
  const number = Number(parts.value.split(" ").pop());
  parts.value = `${mark} ${number + 1}`;
  form.querySelector("strong").textContent = `${number} of ${of}`;
  form.querySelector("button").disabled = number >= of;
  form.closest("section").querySelector(`.part[data-part="${CSS.escape(mark)}"]`)
    ?.classList.replace("part", "cut");
}

async function countWaiting() {
  const forms = [...main.querySelectorAll("form[data-mark]")];
  for (const { sheet, fields } of (await entries()).filter(isWaiting)) {
    for (const part of fields.parts?.split("\n") ?? []) {
      const isNext = (form) => form.dataset.sheet === sheet && form.elements.parts.value === part;
      forms.filter(isNext).forEach(count);
    }
  }
}

document.addEventListener("submit", (event) => {
  if (event.target.dataset.act) tapped(event.target, event.preventDefault());
});
document.addEventListener("input", (event) => note(event.target.form));
document.addEventListener("click", (event) => {
  const part = event.target.closest("[data-part]")?.dataset.part;
  const named = `[data-mark="${CSS.escape(part)}"] button`;
  if (part) event.target.closest("section").querySelector(named)?.click();
  const more = event.target.closest("[data-more]")?.form.querySelector("fieldset[hidden]");
  if (more) open(more) || more.querySelector("input").focus();
  const pick = event.target.closest("[data-into]");
  if (pick) note(Object.assign(find(`#${pick.dataset.into}`), { value: pick.dataset.text }).form);
});

if (screen) {
  addEventListener("hashchange", load);
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () =>
    document.hidden ? close().then(send) : send().then(load));
  setInterval(send, EVERY);
  setInterval(() => main.contains(document.activeElement) || load(), REFRESH);
  load();
  close().then(send);
} else if (location.hash.length > 1) {
  document.getElementById("code").value = location.hash.slice(1);
  document.getElementById("name").focus();
}
