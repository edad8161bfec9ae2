/* Send what waits: in order, once, by one tab at a time; what is not answered waits on. */

const PART = 20;
const PAUSE = 30_000;
const PATIENCE = 15_000;

const ZERO = "00000000-0000-0000-0000-000000000000";

export class Sender {
  constructor(queue, where, changed) {
    this.queue = queue;
    this.where = where;
    this.changed = changed;
    this.isAfresh = true;
    this.trouble = navigator.onLine ? "" : "network";
    this.since = this.trouble ? new Date() : null;
    addEventListener("online", () => this.send());
    addEventListener("offline", () => this.fail("network"));
    setInterval(() => this.waiting().then((waits) => waits && this.send()), PAUSE);
  }

  async waiting() {
    const entries = await this.queue.all();
    return entries.filter((entry) => entry.state === "waiting" || entry.photo).length;
  }

  fail(trouble) {
    if (this.trouble !== trouble) this.since = new Date();
    this.trouble = trouble;
    this.changed();
  }

  /* Send all that waits. A call while another runs is taken up when that one ends. */
  async send() {
    if (this.busy) {
      this.again = true;
      return;
    }
    if (!navigator.onLine) {
      this.fail("network");
      return;
    }
    this.busy = true;
    try {
      do {
        this.again = false;
        if (!(await this.queue.lease())) {
          setTimeout(() => this.send(), 2_000);
          break;
        }
        await this.entries();
        await this.photos();
      } while (this.again);
    } finally {
      this.busy = false;
      await this.queue.release().catch(() => {}); // no room: it runs out by itself
      this.changed();
    }
  }

  /* In parts; where a part is not taken, one by one, so that one that cannot be taken holds up no other.
     The first time what was asked or refused goes along: it is answered as it stands by now. */
  async entries() {
    const states = this.isAfresh ? ["waiting", "asked", "refused"] : ["waiting"];
    const waiting = (await this.queue.all()).filter((entry) => states.includes(entry.state));
    for (let start = 0; start < waiting.length; start += PART) {
      const part = waiting.slice(start, start + PART);
      if (await this.part(part)) continue;
      if (["network", "silent", "shut"].includes(this.trouble)) return;
      const { trouble } = this;
      let taken = 0;
      for (const entry of part.length > 1 ? part : []) taken += Number(await this.part([entry]));
      if (taken < part.length) this.fail(trouble);
    }
    this.isAfresh = false;
  }

  async part(entries) {
    const body = { device: this.queue.device, sent_at: new Date().toISOString(), entries: entries.map(bare) };
    const answer = await this.post(this.where.entries, JSON.stringify(body), { "Content-Type": "application/json" });
    if (!answer) return false;
    const numbers = new Map(entries.map((entry) => [entry.id, entry.number]));
    for (const { id, state, said } of (await answer.json()).entries) {
      await this.queue.change(numbers.get(id), { state, said }).catch(() => {}); // no room: it is sent and answered again
    }
    await this.queue.lease();
    this.changed();
    return true;
  }

  async photos() {
    for (const entry of (await this.queue.all()).filter((one) => one.photo && one.state !== "waiting")) {
      const form = new FormData();
      form.append("file", entry.photo, "photo.jpg");
      const answer = await this.post(this.where.photo.replace(ZERO, entry.id), form, {}, [422, 404]);
      if (!answer) return;
      const lost = answer.ok ? "" : "The photo could not be kept: add it on the animal's page.";
      await this.queue.change(entry.number, { photo: null, ...(lost && { said: lost }) });
      await this.queue.lease();
    }
  }

  /* The answer of the records; null where there is none, and then the reason stands in `trouble`. */
  async post(address, body, headers, also = []) {
    let answer;
    try {
      const signal = AbortSignal.timeout(PATIENCE);
      const token = { "X-CSRFToken": this.token() };
      answer = await fetch(address, { method: "POST", body, headers: { ...headers, ...token }, signal });
    } catch {
      this.fail(navigator.onLine ? "silent" : "network");
      return null;
    }
    if (answer.ok || also.includes(answer.status)) {
      [this.trouble, this.since] = ["", null];
      return answer;
    }
    const isShut = answer.status === 401 || answer.status === 403;
    this.fail(isShut ? "shut" : answer.status === 400 ? "unread" : "fault");
    return null;
  }

  token() {
    const name = `${this.where.cookie}=`;
    const cookie = document.cookie.split("; ").find((part) => part.startsWith(name));
    return cookie ? cookie.slice(name.length) : "";
  }
}

function bare({ id, number, made_at, animal, label, deeds, corrects }) {
  return { id, number, made_at, animal, label, deeds, corrects: corrects ?? null };
}
