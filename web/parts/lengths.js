/** Lengths as a person types them: inches with fractions, or millimetres. The text is kept, so that 12 in stay 12 in. */

const MM_PER_INCH = 25.4;
const INCHES = /^(?:(\d+(?:\.\d+)?)(?:\s+|\s*-\s*|$))?(?:(\d+)\s*\/\s*(\d+))?$/; // a space or a dash before the fraction: 15/16 is no 1 5/16
const UNIT = /\s*(inches|in|")$/i;
const MILLIMETRES = /^(\d+(?:\.\d+)?)\s*mm$/i;

/** @param {string} text @returns {number | null} millimetres, or null when it is no length */
export function lengthMm(text) {
  const metric = MILLIMETRES.exec(text.trim());
  if (metric) return Number(metric[1]) || null;
  const found = INCHES.exec(text.trim().replace(UNIT, ""));
  if (!found || (!found[1] && !found[2])) return null;
  const part = found[2] ? Number(found[2]) / Number(found[3]) : 0;
  const inches = Number(found[1] ?? 0) + part;
  return Number.isFinite(inches) && inches > 0 ? inches * MM_PER_INCH : null;
}

/** As it is kept: "8 5/8 in" or "220 mm". @param {string} text a length @returns {string} */
export function lengthText(text) {
  const tidy = text
    .trim()
    .replace(/\s+/g, " ")
    .replace(/\s*\/\s*/, "/");
  if (MILLIMETRES.test(tidy)) return tidy.replace(/\s*mm$/i, " mm");
  return `${tidy.replace(UNIT, "").replace(/\s*-\s*/, " ")} in`;
}

const FINEST = 16; // of an inch, on a common tape measure

/** Millimetres in inches, to the nearest sixteenth: "3 1/16". @param {number} mm @returns {string} */
export function inchesSaid(mm) {
  const parts = Math.round((mm / MM_PER_INCH) * FINEST);
  const whole = Math.floor(parts / FINEST);
  let [top, under] = [parts % FINEST, FINEST];
  while (top && top % 2 === 0) [top, under] = [top / 2, under / 2];
  return [whole || !top ? String(whole) : "", top ? `${top}/${under}` : ""].filter(Boolean).join(" ");
}

/** Three sides as one says them here, and as they are kept. @param {Record<string, any>} good @returns {string} */
export function sidesSaid({ length_mm = 0, width_mm = 0, height_mm = 0 }) {
  const sides = [length_mm, width_mm, height_mm];
  return `${sides.map(inchesSaid).join(" × ")} in (${sides.join(" × ")} mm)`;
}
