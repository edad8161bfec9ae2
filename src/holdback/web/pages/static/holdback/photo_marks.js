/* What is marked on a photo: traces of the scale, the head and the body, with a way back for every step.

   A trace is { kind, points: [[x, y], ...], steps: [...] } in pixels of the photo. `steps` holds for each mark how many
   pixels one step of the pointer moved when it was set: it cannot be finer than that. */

export const SCALE = "scale";
export const BODY = "body line";
const NEXT = { [SCALE]: "head width" };

export class Marks {
  #before = [];

  constructor(kept) {
    this.traces = kept.map(({ kind, points, step }) => ({ kind, points, steps: points.map(() => step) }));
    this.kind = kept.length ? "head width" : SCALE;
  }

  ofKind(kind) {
    return this.traces.filter((trace) => trace.kind === kind);
  }

  /* The trace that the next mark belongs to, or that was marked last. */
  current() {
    return this.ofKind(this.kind).at(-1);
  }

  isFull(trace) {
    return Boolean(trace) && trace.kind !== BODY && trace.points.length >= 2;
  }

  isDone(trace) {
    return trace.points.length >= 2;
  }

  remember() {
    this.#before.push(structuredClone({ traces: this.traces, kind: this.kind }));
  }

  /* Take back what `remember` was called before, without a trace of it. */
  forget() {
    this.#before.pop();
  }

  undo() {
    const before = this.#before.pop();
    if (before) Object.assign(this, before);
    return Boolean(before);
  }

  get canUndo() {
    return this.#before.length > 0;
  }

  /* A new mark at the end of the current trace; null where that has both its ends. */
  add(point, step) {
    let trace = this.current();
    if (this.isFull(trace)) return null;
    if (!trace) {
      trace = { kind: this.kind, points: [], steps: [] };
      this.traces.push(trace);
    }
    trace.points.push(point);
    trace.steps.push(step);
    return { trace, index: trace.points.length - 1 };
  }

  move({ trace, index }, point, step) {
    trace.points[index] = point;
    trace.steps[index] = step;
  }

  /* Begin the current part anew, beside what is marked of it already. */
  again() {
    if (!this.current() || !this.isDone(this.current())) return false;
    this.remember();
    this.traces.push({ kind: this.kind, points: [], steps: [] });
    return true;
  }

  /* Once both ends of the first scale are set, the head is next. */
  goOn() {
    const next = NEXT[this.kind];
    if (!next || !this.isFull(this.current()) || this.ofKind(this.kind).length > 1 || this.ofKind(next).length) return;
    this.kind = next;
  }

  /* The mark of the current part that lies nearest to a point, within a distance. */
  near(point, within) {
    let found = null;
    for (const trace of this.ofKind(this.kind)) {
      trace.points.forEach(([x, y], index) => {
        const distance = Math.hypot(x - point[0], y - point[1]);
        if (distance <= within) {
          within = distance;
          found = { trace, index };
        }
      });
    }
    return found;
  }

  /* Finished traces as the form sends them. */
  sent() {
    return this.traces
      .filter((trace) => this.isDone(trace))
      .map(({ kind, points, steps }) => ({ kind, points, step: Math.max(...steps) }));
  }
}

/* Points along a smooth curve through marks: the centripetal Catmull-Rom spline, as the engine measures it. */
export function curve(points, samples = 16) {
  if (points.length < 3) return points;
  const mirror = ([ax, ay], [bx, by]) => [2 * ax - bx, 2 * ay - by];
  const held = [mirror(points[0], points[1]), ...points, mirror(points.at(-1), points.at(-2))];
  const knots = [0];
  for (let i = 1; i < held.length; i += 1) {
    knots.push(knots[i - 1] + Math.sqrt(Math.hypot(held[i][0] - held[i - 1][0], held[i][1] - held[i - 1][1])) || 1e-6);
  }
  const between = (a, b, low, high, at) => {
    const share = (at - low) / (high - low);
    return [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
  };
  const found = [];
  for (let i = 0; i + 3 < held.length; i += 1) {
    const [p, t] = [held.slice(i, i + 4), knots.slice(i, i + 4)];
    for (let sample = 0; sample < samples; sample += 1) {
      const at = t[1] + ((t[2] - t[1]) * sample) / samples;
      const first = [0, 1, 2].map((j) => between(p[j], p[j + 1], t[j], t[j + 1], at));
      const second = [0, 1].map((j) => between(first[j], first[j + 1], t[j], t[j + 2], at));
      found.push(between(second[0], second[1], t[1], t[2], at));
    }
  }
  return [...found, points.at(-1)];
}
