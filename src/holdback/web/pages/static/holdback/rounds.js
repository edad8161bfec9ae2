/* A round: tub after tub, a number and one tap each. What is kept goes into the queue of this phone first. */

import { small } from "./rounds_photo.js";
import { Queue } from "./rounds_queue.js";
import { Sender } from "./rounds_send.js";
import { counted, keepPage, sayLine, sayQueue, told } from "./rounds_state.js";
import { difference, fits, likely, number, shown } from "./rounds_weight.js";

const LETS_IN = "holdback-rounds-keyboard";

function json(name) {
  return JSON.parse(document.getElementById(name)?.textContent ?? "null");
}

function isToday(time) {
  return new Date(time).toDateString() === new Date().toDateString();
}

/* The tubs as they stand today: a page that is kept from another day knows nothing of this one. */
function asOfToday({ made, tubs }) {
  return isToday(`${made}T00:00`) ? tubs : tubs.map((tub) => ({ ...tub, weighed: "", fed: "" }));
}

/* Animal whose label was scanned; taken out of the address, so that the round is kept and opened again under its own. */
function takeAt() {
  const address = new URL(location.href);
  const at = address.searchParams.get("at");
  if (at === null) return at;
  address.searchParams.delete("at");
  history.replaceState(null, "", address);
  return at;
}

class Round {
  constructor(form, data, queue, keep) {
    Object.assign(this, { form, data: { ...data, tubs: asOfToday(data) }, queue, keep, own: new Map() });
    this.typed = form.elements.typed;
    this.title = document.getElementById("round-title");
    this.listen();
  }

  listen() {
    const { form } = this;
    form.addEventListener("click", (event) => this.press(event));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.next(event.submitter?.value ?? form.querySelector(".btn-main[name=deed]").value);
    });
    form.addEventListener("input", () => this.hint());
    form.addEventListener("keydown", (event) => {
      // Enter keeps the tub only from the weight: in another field it would say that a meal was taken.
      if (event.key === "Enter" && event.target.matches("input") && event.target !== this.typed) event.preventDefault();
    });
    form.elements.keyboard?.addEventListener("change", () => this.keyboard(form.elements.keyboard.checked));
    document.getElementById("round-end").addEventListener("click", (event) => {
      if (event.target.closest("button")) this.show(this.left()[0]);
    });
    if (form.elements.keyboard) this.keyboard(localStorage.getItem(LETS_IN) === "phone");
  }

  /* Either the large keys or the phone's own keyboard. */
  keyboard(isPhone) {
    localStorage.setItem(LETS_IN, isPhone ? "phone" : "keys");
    this.form.elements.keyboard.checked = isPhone;
    this.typed.inputMode = isPhone ? "decimal" : "none";
    this.form.querySelector(".keys").hidden = isPhone;
  }

  /* Entries of this phone that belong to this round, the last of each animal. */
  async begin(at) {
    const entries = (await this.queue.all()).filter((entry) => entry.what === this.what && isToday(entry.at));
    for (const entry of entries) this.own.set(entry.animal, entry);
    const last = this.data.tubs.findIndex((tub) => tub.key === entries.at(-1)?.animal);
    const asked = this.data.tubs.findIndex((tub) => tub.key === at);
    this.show(asked >= 0 ? asked : this.after(last));
  }

  get what() {
    return `${this.data.weigh ? "weigh" : ""}${this.data.feed ? "feed" : ""}`;
  }

  /* What this phone wrote of an animal today; a page that stays open overnight mends nothing of yesterday. */
  ownOf(tub) {
    const own = this.own.get(tub.key);
    return own && isToday(own.at) ? own : undefined;
  }

  isDone(tub) {
    return Boolean(this.ownOf(tub)) || ((!this.data.weigh || tub.weighed) && (!this.data.feed || tub.fed));
  }

  left() {
    return this.data.tubs.map((tub, index) => (this.isDone(tub) ? -1 : index)).filter((index) => index >= 0);
  }

  /* The next tub that is not done; the number of tubs where none comes after. */
  after(index) {
    return this.left().find((one) => one > index) ?? this.data.tubs.length;
  }

  /* ---- what is shown ------------------------------------------------------------------------------------------ */

  show(index) {
    this.index = index;
    const tub = this.data.tubs[index];
    this.form.hidden = !tub;
    document.getElementById("round-end").hidden = Boolean(tub);
    if (tub) this.showTub(tub);
    else this.showEnd();
  }

  showTub(tub) {
    const { form, data } = this;
    const own = this.ownOf(tub);
    const coming = data.tubs[this.after(this.index)];
    const next = coming ? ` · next ${coming.title}` : "";
    this.head(`${data.over} · ${this.index + 1} of ${data.tubs.length}${next}`, tub.title);
    const link = document.createElement("a");
    link.href = tub.url;
    link.textContent = tub.who;
    const last = tub.last ? `Last ${tub.last}` : "No weight yet";
    this.title.querySelector(".lede").replaceChildren(link, `, ${tub.sex}. ${last}${tub.gravid ? ", gravid" : ""}.`);
    const { note = "", shed = "", signs = [] } = own?.deeds ?? {};
    const said = { photo: "", note, shed, sign: signs[0] ?? "" };
    for (const field of form.querySelectorAll("[data-once]")) field.value = said[field.name];
    form.elements.back.disabled = this.index === 0;
    if (this.typed) this.typed.value = own?.deeds.weight?.typed ?? "";
    form.querySelector("details").open = Boolean(note || shed || signs.length);
    this.ask(null);
    this.hint();
    this.typed?.focus({ preventScroll: true });
  }

  showEnd() {
    const { tubs, over } = this.data;
    const left = this.left();
    const done = tubs.length - left.length;
    this.head(over, left.length ? "Through, with some left" : "Through");
    this.title.querySelector(".lede").textContent = `${counted(done, "animal is", "animals are")} written down of ${tubs.length}.`;
    const end = document.getElementById("round-end");
    const names = left.slice(0, 12).map((index) => tubs[index].title);
    end.querySelector("p").textContent = left.length
      ? `Left: ${names.join("; ")}${left.length > 12 ? ` and ${left.length - 12} more` : ""}.`
      : "Nothing is left on this round.";
    end.querySelector("button").hidden = !left.length;
    this.title.querySelector("h1").focus();
  }

  head(over, title) {
    this.title.querySelector(".over").textContent = over;
    this.title.querySelector("h1").textContent = title;
  }

  get tub() {
    return this.data.tubs[this.index];
  }

  /* The line under the number: what is known of the day, how far it is from last time, what a refusal means. */
  hint() {
    const { tub, data, form } = this;
    const own = this.ownOf(tub);
    const parts = [];
    if (own) parts.push(`Written by this phone today: ${told(own)}. What you keep now takes its place.`);
    else if (tub.weighed && data.weigh) parts.push(`Weighed today already: ${tub.weighed}.`);
    if (!own && tub.fed && data.feed) parts.push(`Offered a meal today already: ${tub.fed}.`);
    const grams = this.grams();
    if (grams && tub.last_g) parts.push(difference(grams, tub.last_g));
    if (tub.gravid && data.weigh) parts.push("Marked gravid, so it stays out of her curve.");
    if (tub.refusals && data.feed) parts.push(refused(tub));
    document.getElementById("round-hint").textContent = parts.join(" ");
    const unit = document.getElementById("typed-unit");
    if (unit) unit.textContent = this.unit;
  }

  grams() {
    const value = this.typed ? number(this.typed.value) : null;
    return value === null ? null : value * this.data.grams[this.unit];
  }

  get unit() {
    return this.form.elements.unit?.value ?? "g";
  }

  /* ---- what is done ------------------------------------------------------------------------------------------- */

  press(event) {
    const button = event.target.closest("button[type=button]");
    if (!button) return;
    const { typed } = this;
    if (button.dataset.key) {
      typed.value = button.dataset.key === "erase" ? typed.value.slice(0, -1) : typed.value + button.dataset.key;
      this.ask(null);
      this.hint();
    } else if (button.name === "skip") {
      this.show(this.after(this.index));
    } else if (button.name === "back") {
      this.show(Math.max(0, this.index - 1));
    } else if (button.name === "reading") {
      this.settle(button.value);
    }
  }

  /* Keep what is typed and go on; a number that looks like a slip is asked about first. */
  async next(meal, isSure = false) {
    const { tub, data, form } = this;
    const text = this.typed?.value.trim() ?? "";
    if (text && !(this.grams() > 0)) return this.refuse(`“${text}” is no weight.`);
    const deeds = this.deeds(meal, text, isSure);
    const hasFile = Boolean(form.elements.photo.files.length);
    const says = deeds.weight || deeds.signs || deeds.shed || deeds.note || hasFile || ["taken", "refused"].includes(deeds.meal);
    if (!says && data.weigh) return this.refuse("Type a weight first, or skip.");
    if (text && !isSure && !fits(this.grams(), tub)) {
      return this.ask({ meal, text, meant: likely(number(text), this.unit, tub, data.grams) });
    }
    if (this.isKeeping) return undefined;
    this.isKeeping = true;
    try {
      const photo = hasFile ? await small(form.elements.photo.files[0]) : null;
      if (hasFile && !photo) return this.refuse("This phone cannot read that photo. Choose another, or leave it out.");
      if (photo) deeds.photo = true;
      const corrects = this.ownOf(tub)?.id;
      const entry = { animal: tub.key, deeds, what: this.what, label: `${tub.title} ${tub.who}`, photo, corrects };
      this.own.set(tub.key, await this.keep(entry));
    } catch (error) {
      return this.refuse(`This phone could not keep it (${error.name}). Free some room on it, then try again.`);
    } finally {
      this.isKeeping = false;
    }
    return this.show(this.after(this.index));
  }

  deeds(meal, text, isSure) {
    const { form, data } = this;
    const given = (name) => form.elements[name].value.trim();
    const prey = number(given("prey"));
    const found = {};
    if (text) found.weight = { typed: text, unit: this.unit, ...(isSure && { sure: true }) };
    if (data.feed) found.meal = meal;
    if (data.feed && prey && meal !== "not offered") found.prey_g = prey;
    if (given("note")) found.note = given("note");
    if (given("sign")) found.signs = [given("sign")];
    if (given("shed")) found.shed = given("shed");
    return found;
  }

  refuse(words) {
    document.getElementById("round-hint").textContent = words;
    this.typed?.focus({ preventScroll: true });
  }

  /* Ask which reading is meant; null puts the question away. */
  ask(question) {
    this.question = question;
    const box = document.getElementById("slip");
    box.hidden = !question;
    for (const part of this.form.querySelectorAll(".round-deeds, .bigtwo, #round-hint")) part.hidden = Boolean(question);
    if (!question) return;
    const { meant, text } = question;
    const typed = `${shown(number(text))}\u202f${this.unit}`;
    box.querySelector("b").textContent = this.tub.last ? `${typed}, after ${this.tub.last}` : `${typed} is out of the ordinary`;
    const buttons = meant ? [this.answer(`${shown(meant.value)}\u202f${meant.unit}`, "meant")] : [];
    buttons.push(this.answer(`${typed} is right`, "sure"), this.answer("Type again", "again"));
    box.querySelector(".acts").replaceChildren(...buttons);
    buttons[0].focus();
  }

  answer(words, value) {
    const button = document.createElement("button");
    Object.assign(button, { type: "button", name: "reading", value, textContent: words, className: "btn" });
    return button;
  }

  settle(value) {
    const { meant, meal } = this.question;
    this.ask(null);
    if (value === "again") {
      this.typed.value = "";
      this.hint();
      this.typed.focus({ preventScroll: true });
      return;
    }
    const unit = this.unit;
    if (value === "meant") {
      this.typed.value = String(meant.value);
      this.form.elements.unit.value = meant.unit;
    }
    this.next(meal, true).finally(() => {
      this.form.elements.unit.value = unit;
      if (this.tub) this.hint();
    });
  }
}

function refused({ refusals, gravid }) {
  const times = refusals === 1 ? "Refused last time." : `Refused ${refusals} times in a row.`;
  return gravid ? `${times} Usual when gravid.` : times;
}

/* Rounds that were opened on this phone, for the page where one is chosen. */
async function listRounds(queue) {
  const list = document.getElementById("rounds-here");
  if (!list) return;
  const rounds = await queue.rounds();
  document.getElementById("rounds-here-entry").hidden = !rounds.length;
  list.replaceChildren(
    ...rounds.map(({ href, label }) => {
      const [row, link] = [document.createElement("li"), document.createElement("a")];
      Object.assign(link, { href, textContent: label });
      row.append(link);
      return row;
    }),
  );
}

async function start() {
  const where = json("sending");
  const data = json("tubs");
  let queue;
  try {
    queue = await Queue.open();
  } catch {
    document.getElementById("no-room").hidden = false;
    return;
  }
  const sender = new Sender(queue, where, tell);

  async function tell() {
    const entries = await queue.all();
    sayQueue(entries);
    sayLine(sender, entries.filter((entry) => entry.state === "waiting").length);
  }

  async function keep(entry) {
    const kept = await queue.add(entry);
    tell();
    sender.send();
    return kept;
  }

  const form = document.getElementById("round");
  if (form) {
    const at = takeAt();
    await queue.opened(location.pathname + location.search, data.label).catch(() => {}); // no room: the list can wait
    await new Round(form, data, queue, keep).begin(at);
  }
  await listRounds(queue);
  await tell();
  keepPage(where, data?.label);
  sender.send();
}

start();
