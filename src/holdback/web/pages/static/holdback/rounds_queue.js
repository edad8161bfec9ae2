/* The entries of this phone, kept in the browser until they are answered, in the order they were made.

   One number goes up with every entry, in all tabs together; a lease says which tab sends. Both are written within
   one transaction of the database, so that two tabs never number or send at once. */

const NAME = "holdback-rounds";
const DAY = 24 * 3600 * 1000;
const LEASE = 20_000;

function asked(request) {
  return new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
}

function ended(transaction) {
  return new Promise((done, failed) => {
    transaction.oncomplete = () => done();
    transaction.onabort = transaction.onerror = () => failed(transaction.error);
  });
}

/* A random mark; `crypto.randomUUID` is not there where the address is not secure. */
export function mark() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/(.{8})(.{4})(.{4})(.{4})(.{12})/, "$1-$2-$3-$4-$5");
}

/* The time by this phone, with its offset. */
export function now(date = new Date()) {
  const offset = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + offset * 60_000).toISOString().slice(0, 23);
  const two = (value) => String(Math.floor(value)).padStart(2, "0");
  return `${local}${offset < 0 ? "-" : "+"}${two(Math.abs(offset) / 60)}:${two(Math.abs(offset) % 60)}`;
}

export class Queue {
  static async open() {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("entries", { keyPath: "number", autoIncrement: true });
      request.result.createObjectStore("known");
    };
    const queue = new Queue();
    queue.base = await asked(request);
    queue.tab = mark();
    queue.device = await queue.deviceMark();
    await queue.forget().catch(() => {}); // no room: what waits goes up all the same
    return queue;
  }

  async deviceMark() {
    const transaction = this.base.transaction("known", "readwrite");
    const known = transaction.objectStore("known");
    let device = await asked(known.get("device"));
    if (!device) known.put((device = mark()), "device");
    await ended(transaction);
    return device;
  }

  /* Keep an entry; it is safe once this is over. */
  async add(entry) {
    const transaction = this.base.transaction("entries", "readwrite");
    const kept = { ...entry, id: mark(), made_at: now(), at: Date.now(), state: "waiting" };
    kept.number = await asked(transaction.objectStore("entries").add(kept));
    await ended(transaction);
    return kept;
  }

  async all() {
    return asked(this.base.transaction("entries").objectStore("entries").getAll());
  }

  async change(number, values) {
    const transaction = this.base.transaction("entries", "readwrite");
    const entries = transaction.objectStore("entries");
    const entry = await asked(entries.get(number));
    if (entry) entries.put({ ...entry, ...values });
    await ended(transaction);
  }

  /* Entries that were answered two days ago are no longer needed here. */
  async forget() {
    const transaction = this.base.transaction("entries", "readwrite");
    const entries = transaction.objectStore("entries");
    for (const entry of await asked(entries.getAll())) {
      const waits = entry.state === "waiting" || entry.photo;
      if (!waits && entry.at < Date.now() - 2 * DAY) entries.delete(entry.number);
    }
    await ended(transaction);
  }

  /* Remember that a round was opened here, the last one first, at most eight. */
  async opened(href, label) {
    const rounds = (await this.rounds()).filter((one) => one.href !== href);
    const transaction = this.base.transaction("known", "readwrite");
    transaction.objectStore("known").put([{ href, label }, ...rounds].slice(0, 8), "rounds");
    await ended(transaction);
  }

  async rounds() {
    return (await asked(this.base.transaction("known").objectStore("known").get("rounds"))) ?? [];
  }

  /* Whether this tab may send; where there is no room to write so, each may: what comes twice is done once. */
  lease() {
    return this.takeLease().catch(() => true);
  }

  /* Another tab that was closed while it sent holds nothing up for long. */
  async takeLease() {
    const transaction = this.base.transaction("known", "readwrite");
    const known = transaction.objectStore("known");
    const held = await asked(known.get("lease"));
    const isMine = !held || held.tab === this.tab || held.until < Date.now();
    if (isMine) known.put({ tab: this.tab, until: Date.now() + LEASE }, "lease");
    await ended(transaction);
    return isMine;
  }

  async release() {
    const transaction = this.base.transaction("known", "readwrite");
    const known = transaction.objectStore("known");
    const held = await asked(known.get("lease"));
    if (held?.tab === this.tab) known.delete("lease");
    await ended(transaction);
  }
}
