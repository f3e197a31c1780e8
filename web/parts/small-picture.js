/** A picture out of a file, made small enough to travel with the settings to every device. */

const SIDE_PX = 480; // an inch and a half at the 300 dots of a plain printer
const LONGEST = 120_000; // letters; the papers take no longer one
/** @type {[string, number?][]} the first that is short enough is kept */
const WAYS = [["image/png"], ["image/jpeg", 0.9], ["image/jpeg", 0.6], ["image/jpeg", 0.3]];

/** @param {Blob} file @returns {Promise<string>} a PNG or JPEG as a data address */
export async function smallPicture(file) {
  const whole = await createImageBitmap(file).catch(() => null);
  if (!whole) throw Object.assign(new Error("That file is no picture that can be read."), { remedy: "Choose a PNG or JPEG." });
  const scale = Math.min(1, SIDE_PX / Math.max(whole.width, whole.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(whole.width * scale));
  canvas.height = Math.max(1, Math.round(whole.height * scale));
  const drawn = canvas.getContext("2d");
  if (!drawn)
    throw Object.assign(new Error("This device cannot draw now."), { remedy: "Load the page anew, then choose the picture again." });
  drawn.fillStyle = "#fff"; // what is clear prints as paper
  drawn.fillRect(0, 0, canvas.width, canvas.height);
  drawn.drawImage(whole, 0, 0, canvas.width, canvas.height);
  const made = WAYS.map(([kind, quality]) => canvas.toDataURL(kind, quality));
  return made.find((address) => address.length <= LONGEST) ?? made[made.length - 1];
}
