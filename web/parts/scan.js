/** @file Codes read by the camera: by the browser itself where it can, else square codes by a library that is fetched only then. Nothing leaves the device. */

const FORMATS = ["qr_code", "code_128", "data_matrix", "code_39", "itf", "ean_13"];
const LOOK_MS = 150;
const LIBRARY = "/lib/jsqr/dist/jsQR.js";
const BY_HAND = "type what is under the code.";

/** What reads the codes in one picture of the camera. @typedef {(video: HTMLVideoElement) => Promise<string[]>} Reader */
/** @typedef {{detect: (source: HTMLVideoElement) => Promise<{rawValue: string}[]>}} Detector */
/** @typedef {{new (options: {formats: string[]}): Detector, getSupportedFormats: () => Promise<string[]>}} Detectors */

/** Cameras are given to secure pages alone. */
export const canScan = () => Boolean(navigator.mediaDevices?.getUserMedia);

/**
 * The first code that comes into sight. Rejects with words when there is no camera, it may not be used or shows nothing; with none when it was
 * stopped.
 * @param {HTMLVideoElement} video @param {AbortSignal} stop
 * @param {(code: string) => boolean} [wanted] whether it is one to look for; another is passed over
 * @returns {Promise<string>}
 */
export async function scanned(video, stop, wanted = Boolean) {
  const read = await reader();
  const { mediaDevices } = navigator;
  const stream = await mediaDevices
    .getUserMedia({ video: { facingMode: "environment" } })
    .catch(inWords("The camera may not be used here"));
  const dark = () => stream.getTracks().forEach((track) => track.stop());
  stop.addEventListener("abort", dark);
  try {
    if (!stop.aborted) await shown(video, stream);
    while (!stop.aborted) {
      const found = (await read(video)).find(wanted);
      if (found) return found;
      await new Promise((again) => {
        setTimeout(again, LOOK_MS);
      });
    }
    throw new Error("");
  } finally {
    dark();
  }
}

/** @param {string} what stands in the way @returns {() => never} */
const inWords = (what) => () => {
  throw new Error(`${what}: ${BY_HAND}`);
};

/** @param {HTMLVideoElement} video @param {MediaStream} stream */
async function shown(video, stream) {
  video.srcObject = stream;
  await video.play().catch(inWords("The camera shows no picture"));
}

/** The browser's own; from where that gives up, the library. @returns {Promise<Reader>} */
async function reader() {
  let own = await ofTheBrowser().catch(() => null);
  const library = ofTheLibrary();
  return async (video) => {
    try {
      if (own) return await own(video);
    } catch {
      own = null;
    }
    return library(video);
  };
}

/** @returns {Promise<Reader | null>} */
async function ofTheBrowser() {
  const Barcodes = /** @type {{BarcodeDetector?: Detectors}} */ (globalThis).BarcodeDetector;
  const can = (await Barcodes?.getSupportedFormats()) ?? [];
  if (!Barcodes || !can.includes("qr_code")) return null;
  const detector = new Barcodes({ formats: FORMATS.filter((format) => can.includes(format)) });
  return async (video) => (await detector.detect(video)).map(({ rawValue }) => rawValue);
}

/** @returns {Reader} */
function ofTheLibrary() {
  const picture = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
  return async (video) => {
    const { videoWidth: width, videoHeight: height } = video;
    if (!picture || !width || !height) return [];
    Object.assign(picture.canvas, { width, height });
    picture.drawImage(video, 0, 0);
    return [await readSquare(picture.getImageData(0, 0, width, height))];
  };
}

/** A square code in a picture, read by the library; "" where there is none. @param {ImageData} picture */
export async function readSquare({ data, width, height }) {
  await import(LIBRARY).catch(inWords("What reads codes is not on this device yet"));
  try {
    return /** @type {any} */ (globalThis).jsQR(data, width, height)?.data ?? "";
  } catch {
    return inWords("This code cannot be read here")();
  }
}
