/* What a typed weight says: its grams, how far it is from the last, and whether it looks like a slip. */

/* The number of a text, null where it is none. A comma before exactly three figures marks thousands. */
export function number(text) {
  const plain = text.trim().replace(/[ '’\u00a0\u202f](?=\d{3}(\D|$))/g, "");
  if (!/^\d*[.,]?\d*([.,]\d+)*$/.test(plain) || !/\d/.test(plain)) return null;
  if (/^\d{1,3}(,\d{3})+(\.\d+)?$/.test(plain)) return Number(plain.replaceAll(",", ""));
  const value = Number(plain.replace(",", "."));
  return Number.isFinite(value) ? value : null;
}

/* A value as it is written out: thousands marked, at most two figures after the point. */
export function shown(value) {
  return new Intl.NumberFormat("en-GB", { maximumFractionDigits: 2 }).format(value);
}

/* Whether a weight can follow upon the last one; the bounds of each animal come from the records. */
export function fits(grams, { low_g: low, high_g: high }) {
  return (low === null || grams >= low) && (high === null || grams <= high);
}

/* What was likely meant by a weight that does not fit: another unit, or figures more or less; null if nothing. */
export function likely(value, unit, tub, units) {
  if (!tub.last_g) return null;
  const other = Object.keys(units).filter((name) => name !== unit).map((name) => ({ value, unit: name }));
  const moved = [10, 0.1, 1000, 0.001].map((by) => ({ value: Number((value * by).toPrecision(12)), unit }));
  const off = (one) => Math.abs(Math.log((one.value * units[one.unit]) / tub.last_g));
  const able = [...other, ...moved].filter((one) => fits(one.value * units[one.unit], tub));
  return able.sort((one, two) => off(one) - off(two))[0] ?? null;
}

/* How far a weight is from the last one, in words. */
export function difference(grams, last) {
  const by = Math.round(grams - last);
  if (by === 0) return "As last time.";
  return `${shown(Math.abs(by))}\u202fg ${by > 0 ? "more" : "less"} than last time.`;
}
