/* The part of a photo that is seen: zoomed and moved by the viewBox of one svg, and a loupe that shows a point larger. */

const LOUPE = 3;
const CLOSEST = 0.125;

export class View {
  constructor(stage, loupe) {
    [this.stage, this.loupe] = [stage, loupe];
    [this.width, this.height] = [Number(stage.dataset.width), Number(stage.dataset.height)];
    this.whole();
  }

  get box() {
    return this.stage.getBoundingClientRect();
  }

  /* Pixels of the photo in one pixel of the screen. */
  get scale() {
    return this.w / this.box.width;
  }

  get h() {
    return (this.w * this.box.height) / this.box.width;
  }

  get widest() {
    const { width, height } = this.box;
    return Math.max(this.width, (this.height * width) / height);
  }

  whole() {
    this.w = this.widest;
    [this.x, this.y] = [(this.width - this.w) / 2, (this.height - this.h) / 2];
    this.show();
  }

  show() {
    const keep = (at, seen, whole) => (seen >= whole ? (whole - seen) / 2 : Math.min(Math.max(at, 0), whole - seen));
    this.x = keep(this.x, this.w, this.width);
    this.y = keep(this.y, this.h, this.height);
    this.stage.setAttribute("viewBox", `${this.x} ${this.y} ${this.w} ${this.h}`);
  }

  /* Point of the photo under a place on the screen. */
  at(clientX, clientY) {
    const { left, top } = this.box;
    return [this.x + (clientX - left) * this.scale, this.y + (clientY - top) * this.scale];
  }

  inside([x, y]) {
    return [Math.min(Math.max(x, 0), this.width), Math.min(Math.max(y, 0), this.height)];
  }

  /* Nearer or farther by a factor, with a point of the photo staying where it is on the screen. */
  zoom(factor, [px, py] = [this.x + this.w / 2, this.y + this.h / 2]) {
    const w = Math.min(Math.max(this.w * factor, this.box.width * CLOSEST), this.widest);
    const share = w / this.w;
    [this.x, this.y, this.w] = [px - (px - this.x) * share, py - (py - this.y) * share, w];
    this.show();
  }

  pan(dx, dy) {
    [this.x, this.y] = [this.x - dx * this.scale, this.y - dy * this.scale];
    this.show();
  }

  /* Bring a point into sight. */
  follow([px, py]) {
    const rim = 24 * this.scale;
    this.x = Math.min(Math.max(this.x, px + rim - this.w), px - rim);
    this.y = Math.min(Math.max(this.y, py + rim - this.h), py - rim);
    this.show();
  }

  /* Show a point larger, in the upper corner that is farther from it. */
  magnify([px, py]) {
    this.loupe.removeAttribute("hidden");
    const side = this.loupe.getBoundingClientRect().width;
    const seen = side * Math.max(Math.min(this.scale / LOUPE, 1), CLOSEST);
    this.loupe.setAttribute("viewBox", `${px - seen / 2} ${py - seen / 2} ${seen} ${seen}`);
    this.loupe.classList.toggle("at-right", (px - this.x) / this.w < 0.5);
    const [arm, gap] = [seen / 2, seen / 24];
    const cross = this.loupe.querySelectorAll(".cross");
    for (const line of cross) {
      line.setAttribute(
        "d",
        `M${px - arm} ${py}H${px - gap}M${px + gap} ${py}H${px + arm}` +
          `M${px} ${py - arm}V${py - gap}M${px} ${py + gap}V${py + arm}`,
      );
    }
  }

  putLoupeAway() {
    this.loupe.setAttribute("hidden", "");
  }
}
