/* What the queue of this phone looks like to the keeper: the line on top, what waits, whether the page opens offline. */

import { shown } from "./rounds_weight.js";

const SHOWN = 3;

export function counted(count, one, many) {
  return `${count} ${count === 1 ? one : many}`;
}

function element(name, words, kind = "") {
  const made = document.createElement(name);
  made.textContent = words;
  if (kind) made.className = kind;
  return made;
}

/* What an entry says, in a few words. */
export function told({ deeds }) {
  const { weight, meal, signs, shed, note, photo } = deeds;
  const value = weight && Number(weight.typed);
  const parts = [
    weight && `${Number.isFinite(value) ? shown(value) : weight.typed}\u202f${weight.unit}`,
    meal,
    signs?.length && "a sign",
    shed && `shed ${shed}`,
    note && "a note",
    photo && "a photo",
  ];
  return parts.filter(Boolean).join(", ");
}

/* The line on top: why nothing goes up, since when, and how much waits. */
export function sayLine(sender, waits) {
  const line = document.getElementById("offline");
  const time = sender.since?.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  const them = `${counted(waits, "entry waits", "entries wait")} on this phone`;
  const why = {
    network: `No network since ${time}. ${waits ? `${them} and will go up once, in order.` : "Go on: what is typed waits on this phone."}`,
    silent: `No answer since ${time} from the computer that holds the records. ${them} and will go up once, in order.`,
    shut: `This phone is no longer let in. ${them}. Open Holdback anew with the address that “holdback serve” prints, then come back to Rounds.`,
    unread: `The computer that holds the records could not read what was sent. ${them}. Load this page anew.`,
    fault: `The computer that holds the records could not take it. ${them}; it is tried again every half minute.`,
  }[sender.trouble];
  line.hidden = !why;
  if (why && line.textContent.trim() !== why) line.firstElementChild.textContent = why;
}

/* The entries of this phone: how many wait, the last ones, and those that were not simply kept. */
export function sayQueue(entries) {
  const waiting = entries.filter((entry) => entry.state === "waiting");
  const photos = entries.filter((entry) => entry.state !== "waiting" && entry.photo);
  const done = entries.filter((entry) => entry.state === "done").length;
  const say = document.getElementById("queue-say");
  const parts = [
    waiting.length ? `${counted(waiting.length, "entry waits", "entries wait")} on this phone and will go up once, in order.` : "Nothing waits on this phone.",
    photos.length && `${counted(photos.length, "photo waits", "photos wait")}.`,
    done && `${counted(done, "entry is", "entries are")} kept in the records.`,
  ];
  const words = parts.filter(Boolean).join(" ");
  if (say.textContent !== words) say.textContent = words;
  const list = document.getElementById("queue");
  list.replaceChildren(...waiting.slice(-SHOWN).reverse().map(row));
  const more = document.getElementById("queue-more");
  more.hidden = waiting.length <= SHOWN;
  more.textContent = `${waiting.length - SHOWN} more. Nothing is lost if you close this page.`;
  const odd = entries.filter((entry) => entry.state === "asked" || entry.state === "refused");
  const asked = document.getElementById("queue-asked");
  asked.hidden = !odd.length;
  asked.querySelector("ul").replaceChildren(...odd.slice(-10).reverse().map(askedRow));
}

function row(entry) {
  const made = element("li", "");
  made.append(element("span", entry.label), element("span", told(entry), "num"));
  return made;
}

function askedRow(entry) {
  const made = element("li", "");
  made.append(element("b", entry.label), ` ${entry.said}`);
  return made;
}

/* Keep this page in the browser where it can be; say so, or say why not. */
export async function keepPage(where, label) {
  const say = document.getElementById("kept-say");
  if (!isSecureContext || !("serviceWorker" in navigator)) {
    document.getElementById("insecure").hidden = false;
    return;
  }
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data?.kept) say.textContent = label ? "This round also opens without a network." : "This page also opens without a network.";
  });
  try {
    await navigator.serviceWorker.register(where.worker, { scope: where.rounds });
    const { active } = await navigator.serviceWorker.ready;
    active.postMessage({ keep: location.href.split("#")[0] });
    await navigator.storage?.persist?.();
  } catch {
    say.textContent = "The browser could not keep this page, so it opens with a network only. What is typed waits on this phone all the same.";
  }
}
