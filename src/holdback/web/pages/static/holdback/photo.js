/* Mark a photo: with a finger, a mouse or the keyboard.

   A finger that goes down shows a loupe and sets a mark where it is lifted; moved slowly, the mark goes a fifth of the
   way, so that it can be set finer than a finger is wide. Two fingers zoom and move the photo. */

import { BODY, Marks, SCALE, curve } from "./photo_marks.js";
import { View } from "./photo_view.js";

const FINGER = 26;
const NEAR = 10;
const SLOW = 0.25;
const FINE = 0.2;
const LOOKED = 250;
const SVG = "http://www.w3.org/2000/svg";

function make(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

class Tool {
  constructor(form) {
    this.form = form;
    this.stage = form.querySelector(".photo-stage > svg.photo-seen");
    this.view = new View(this.stage, form.querySelector(".photo-loupe"));
    this.marks = new Marks(JSON.parse(form.elements.marks.value || "[]"));
    this.pointers = new Map();
    this.cursor = null;
    this.held = null;
    this.listen();
    this.changed({ isQuiet: true });
  }

  listen() {
    const { stage, form } = this;
    stage.addEventListener("pointerdown", (event) => this.down(event));
    stage.addEventListener("pointermove", (event) => this.moved(event));
    stage.addEventListener("pointerup", (event) => this.up(event));
    stage.addEventListener("pointercancel", (event) => this.up(event, true));
    stage.addEventListener("keydown", (event) => this.key(event));
    stage.addEventListener("blur", () => this.leave());
    stage.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    form.addEventListener("click", (event) => this.press(event));
    form.addEventListener("change", (event) => this.chosen(event));
    form.addEventListener("input", (event) => event.target.name === "length" && this.tell());
    form.addEventListener("keydown", (event) => this.staysHere(event));
    new ResizeObserver(() => this.resized()).observe(stage);
  }

  /* ---- pointers ---------------------------------------------------------------------------------------------- */

  down(event) {
    if (event.button > 0) return;
    event.preventDefault();
    this.stage.focus({ preventScroll: true });
    this.cursor = null;
    this.stage.setPointerCapture(event.pointerId);
    this.pointers.set(event.pointerId, { x: event.clientX, y: event.clientY, at: event.timeStamp });
    this.since = event.timeStamp;
    if (this.pointers.size === 1) this.take(this.view.at(event.clientX, event.clientY), FINGER);
    else this.letGo(true);
  }

  /* Take hold of a mark near a point, or set one there. */
  take(point, within) {
    const { marks, view } = this;
    const found = marks.near(point, within * view.scale);
    marks.remember();
    this.held = found ?? marks.add(view.inside(point), view.scale);
    this.isNew = !found;
    if (!this.held) {
      marks.forget();
      this.say("Both ends are set. Drag one of them, or press Once more to mark it again.");
      return;
    }
    this.shown();
  }

  moved(event) {
    const before = this.pointers.get(event.pointerId);
    if (!before) return;
    const [dx, dy] = [event.clientX - before.x, event.clientY - before.y];
    if (this.pointers.size > 1) this.pinch(event, before);
    else if (this.held) this.drag(event, before, dx, dy);
    Object.assign(before, { x: event.clientX, y: event.clientY, at: event.timeStamp });
  }

  drag(event, before, dx, dy) {
    const { view, held } = this;
    const speed = Math.hypot(dx, dy) / Math.max(event.timeStamp - before.at, 1);
    const gear = event.pointerType !== "mouse" && speed < SLOW ? FINE : 1;
    const [x, y] = held.trace.points[held.index];
    const step = view.scale * gear;
    // Who lifts the finger at once has not looked through the loupe: the mark is as coarse as the finger.
    const known = event.timeStamp - this.since > LOOKED ? step : view.scale;
    this.marks.move(held, view.inside([x + dx * step, y + dy * step]), known);
    this.shown();
  }

  pinch(event, before) {
    const others = [...this.pointers].filter(([id]) => id !== event.pointerId).map(([, place]) => place);
    const other = others[0];
    const was = Math.hypot(before.x - other.x, before.y - other.y);
    const now = Math.hypot(event.clientX - other.x, event.clientY - other.y);
    this.view.pan((event.clientX - before.x) / 2, (event.clientY - before.y) / 2);
    if (now > 0) this.view.zoom(was / now, this.view.at((event.clientX + other.x) / 2, (event.clientY + other.y) / 2));
    this.draw();
  }

  up(event, isOff = false) {
    this.pointers.delete(event.pointerId);
    if (this.held && this.pointers.size === 0) this.letGo(isOff);
  }

  /* Leave the mark that is held where it is; `isOff` takes the whole move back. */
  letGo(isOff) {
    if (!this.held) return;
    this.held = null;
    this.view.putLoupeAway();
    if (isOff) this.marks.undo();
    else if (this.isNew) this.marks.goOn();
    this.changed();
  }

  wheel(event) {
    event.preventDefault();
    this.view.zoom(event.deltaY > 0 ? 1.2 : 1 / 1.2, this.view.at(event.clientX, event.clientY));
    this.draw();
  }

  /* ---- keyboard ---------------------------------------------------------------------------------------------- */

  key(event) {
    const arrow = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    const deeds = { Enter: "set", " ": "set", Backspace: "undo", "+": "nearer", "-": "farther", "0": "whole" };
    if (event.ctrlKey || event.metaKey || event.altKey || !(arrow || deeds[event.key])) return;
    event.preventDefault();
    if (arrow) this.step(arrow, event.shiftKey ? 1 : 10);
    else if (deeds[event.key] === "set") this.set();
    else this.deed(deeds[event.key]);
  }

  step([dx, dy], pixels) {
    const { view } = this;
    const from = this.cursor ?? [view.x + view.w / 2, view.y + view.h / 2];
    this.cursor = view.inside([from[0] + dx * pixels * view.scale, from[1] + dy * pixels * view.scale]);
    if (this.held) this.marks.move(this.held, this.cursor, view.scale);
    view.follow(this.cursor);
    this.shown();
  }

  /* Set a mark at the cross, take one up from under it, or put down the one that is carried. */
  set() {
    if (!this.cursor) {
      this.step([0, 0], 0);
      this.say("Move the cross with the arrows, then press Enter.");
      return;
    }
    if (this.held) {
      this.letGo(false);
    } else {
      this.take(this.cursor, NEAR);
      if (this.held && !this.isNew) {
        this.cursor = this.held.trace.points[this.held.index];
        this.say("The mark is taken up. Carry it with the arrows, put it down with Enter.");
        this.shown();
        return;
      }
      this.letGo(false);
    }
    this.shown();
  }

  leave() {
    if (this.held && this.pointers.size === 0) this.letGo(false);
    this.cursor = null;
    this.view.putLoupeAway();
    this.draw();
  }

  /* Enter in a field must not send marks that are not ready. */
  staysHere(event) {
    if (event.key === "Enter" && event.target.matches("input")) event.preventDefault();
  }

  /* ---- buttons and choices ----------------------------------------------------------------------------------- */

  press(event) {
    const button = event.target.closest("button[data-deed]");
    if (button) this.deed(button.dataset.deed);
  }

  deed(name) {
    const { marks, view } = this;
    if (name === "undo" && marks.undo()) this.changed();
    if (name === "again" && marks.again()) this.changed();
    const middle = this.cursor ?? marks.current()?.points.at(-1);
    if (name === "nearer") view.zoom(1 / 1.5, middle);
    if (name === "farther") view.zoom(1.5, middle);
    if (name === "whole") view.whole();
    this.draw();
  }

  chosen(event) {
    if (event.target.name === "part") {
      this.marks.kind = event.target.value;
      this.draw();
      this.sayNext();
    } else {
      this.showLength();
      this.tell();
    }
  }

  showLength() {
    const isTyped = this.form.elements.object.value === this.form.dataset.ruler;
    for (const field of this.form.querySelectorAll(".typed-length")) field.hidden = !isTyped;
  }

  /* ---- what is shown and said -------------------------------------------------------------------------------- */

  resized() {
    if (this.lastWidth && this.view.w < this.lastWidest) this.view.show();
    else this.view.whole();
    [this.lastWidth, this.lastWidest] = [this.view.box.width, this.view.widest];
    this.draw();
  }

  /* Redraw with the loupe over the mark in hand or the cross. */
  shown() {
    const point = this.held ? this.held.trace.points[this.held.index] : this.cursor;
    if (point) this.view.magnify(point);
    this.draw();
  }

  changed({ isQuiet = false } = {}) {
    const { form, marks } = this;
    form.elements.marks.value = JSON.stringify(marks.sent());
    for (const radio of form.querySelectorAll("input[name=part]")) radio.checked = radio.value === marks.kind;
    this.showLength();
    this.draw();
    this.sayNext();
    if (!isQuiet) this.tell();
  }

  tell() {
    this.form.dispatchEvent(new Event("marked"));
  }

  say(text) {
    this.form.querySelector(".photo-say").textContent = text;
  }

  sayNext() {
    const { marks } = this;
    const trace = marks.current();
    const count = trace?.points.length ?? 0;
    const times = marks.ofKind(marks.kind).filter((one) => marks.isDone(one)).length;
    const name = marks.kind === SCALE ? "scale" : marks.kind;
    if (marks.kind === BODY && count) {
      this.say(count < 2 ? "Go on along the back, towards the vent." : `${count} marks. Go on to the vent; more marks in a bend.`);
    } else if (count === 1) {
      this.say(`Now the other end of the ${name}.`);
    } else if (marks.isFull(trace)) {
      this.say(`The ${name} is marked${times > 1 ? ` ${times} times` : ""}. Drag a mark to mend it.`);
    } else {
      this.say(
        {
          [SCALE]: "Touch one end of the scale.",
          "head width": "Touch one side of the head, where it is widest.",
          "head length": "Touch the tip of the snout.",
          [BODY]: "Touch the tip of the snout, then along the middle of the back to the vent.",
        }[marks.kind],
      );
    }
  }

  draw() {
    const { view, marks } = this;
    const radius = 9 * view.scale;
    const group = this.stage.querySelector(".photo-marks");
    group.replaceChildren();
    for (const trace of marks.traces) {
      const kinds = ["trace", trace.kind === SCALE ? "scale" : "animal", trace.kind === marks.kind ? "here" : "other"];
      const part = make("g", { class: kinds.join(" ") });
      const line = trace.kind === BODY ? curve(trace.points) : trace.points;
      if (line.length > 1) {
        const d = `M${line.map(([x, y]) => `${x} ${y}`).join("L")}`;
        part.append(make("path", { class: "trace-halo", d }), make("path", { class: "trace-line", d }));
      }
      for (const [cx, cy] of trace.points) {
        part.append(make("circle", { class: "mark-halo", cx, cy, r: radius }));
        part.append(make("circle", { class: "mark-ring", cx, cy, r: radius }));
        part.append(make("circle", { class: "mark-dot", cx, cy, r: view.scale }));
      }
      group.append(part);
    }
    this.drawCursor();
    const [undo, again] = ["undo", "again"].map((name) => this.form.querySelector(`[data-deed=${name}]`));
    undo.disabled = !marks.canUndo;
    again.disabled = !marks.current() || !marks.isDone(marks.current());
  }

  drawCursor() {
    const lines = this.stage.querySelectorAll(".cursor path");
    const arm = 16 * this.view.scale;
    const [x, y] = this.cursor ?? [0, 0];
    const d = this.cursor ? `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}` : "M0 0";
    for (const line of lines) line.setAttribute("d", d);
  }
}

/* A chosen photo is sent at once: there is nothing else to fill in. */
function send(field) {
  if (!field?.files.length) return;
  field.form.querySelector("[data-sending]").hidden = false;
  field.form.requestSubmit();
}

document.addEventListener("change", (event) => event.target.matches("input[type=file][data-send]") && send(event.target));
// It may have been chosen before this file was loaded; after a reload the browser may have kept it, and nothing is sent.
const isFresh = performance.getEntriesByType("navigation")[0]?.type === "navigate";
if (isFresh) send(document.querySelector("input[type=file][data-send]"));

const form = document.getElementById("mark");
if (form) new Tool(form);
