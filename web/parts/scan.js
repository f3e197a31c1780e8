/** @file Codes read by the camera: by the browser itself where it can, else square codes by a library that is fetched only then. Nothing leaves the device. */

const FORMATS = ["qr_code", "code_128", "data_matrix", "code_39", "itf", "ean_13"];
const LOOK_MS = 150;
const LIBRARY = "/lib/jsqr/dist/jsQR.js";

/** What reads one picture of the camera. @typedef {(video: HTMLVideoElement) => Promise<string>} Reader */
/** @typedef {{detect: (source: HTMLVideoElement) => Promise<{rawValue: string}[]>}} Detector */
/** @type {{new (options: {formats: string[]}): Detector, getSupportedFormats: () => Promise<string[]>} | undefined} */
const Barcodes = /** @type {any} */ (globalThis).BarcodeDetector;

/** Cameras are given to secure pages alone. */
export const canScan = () => Boolean(navigator.mediaDevices?.getUserMedia);

/**
 * The first code that comes into sight. Rejects with words when there is no camera, or it may not be used.
 * @param {HTMLVideoElement} video @param {AbortSignal} stop
 * @returns {Promise<string>}
 */
export async function scanned(video, stop) {
  const read = (await ofTheBrowser()) ?? (await ofTheLibrary());
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } }).catch(() => {
    throw new Error("The camera may not be used here: type what is under the code.");
  });
  try {
    video.srcObject = stream;
    await video.play();
    while (!stop.aborted) {
      const found = await read(video);
      if (found) return found;
      await new Promise((again) => {
        setTimeout(again, LOOK_MS);
      });
    }
    throw new Error("");
  } finally {
    stream.getTracks().forEach((track) => track.stop());
  }
}

/** @returns {Promise<Reader | null>} */
async function ofTheBrowser() {
  const can = (await Barcodes?.getSupportedFormats()) ?? [];
  if (!Barcodes || !can.includes("qr_code")) return null;
  const detector = new Barcodes({ formats: FORMATS.filter((format) => can.includes(format)) });
  return async (video) => (await detector.detect(video))[0]?.rawValue ?? "";
}

/** @returns {Promise<Reader>} */
async function ofTheLibrary() {
  const picture = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
  return async (video) => {
    const { videoWidth: width, videoHeight: height } = video;
    if (!picture || !width || !height) return "";
    Object.assign(picture.canvas, { width, height });
    picture.drawImage(video, 0, 0);
    return readSquare(picture.getImageData(0, 0, width, height));
  };
}

/** A square code in a picture, read by the library; "" where there is none. @param {ImageData} picture */
export async function readSquare({ data, width, height }) {
  await import(LIBRARY).catch(() => {
    throw new Error("What reads codes is not on this device yet: type what is under the code.");
  });
  return /** @type {any} */ (globalThis).jsQR(data, width, height)?.data ?? "";
}
