/** @file Codes read by the camera, where the browser can: pictures on slips and labels, a carrier's bars. Nothing leaves the device. */

const FORMATS = ["qr_code", "code_128", "data_matrix", "code_39", "itf", "ean_13"];
const LOOK_MS = 150;

/** @typedef {{detect: (source: HTMLVideoElement) => Promise<{rawValue: string}[]>}} Detector */
/** @type {{new (options: {formats: string[]}): Detector, getSupportedFormats: () => Promise<string[]>} | undefined} */
const Barcodes = /** @type {any} */ (globalThis).BarcodeDetector;

export const canScan = () => Boolean(Barcodes && navigator.mediaDevices?.getUserMedia);

/**
 * The first code that comes into sight. Rejects with words when there is no camera, or it may not be used.
 * @param {HTMLVideoElement} video @param {AbortSignal} stop
 * @returns {Promise<string>}
 */
export async function scanned(video, stop) {
  if (!Barcodes) throw new Error("This browser cannot read codes: type what is under it.");
  const can = await Barcodes.getSupportedFormats();
  const detector = new Barcodes({ formats: FORMATS.filter((format) => can.includes(format)) });
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } }).catch(() => {
    throw new Error("The camera may not be used here: type what is under the code.");
  });
  try {
    video.srcObject = stream;
    await video.play();
    while (!stop.aborted) {
      const [found] = await detector.detect(video);
      if (found?.rawValue) return found.rawValue;
      await new Promise((again) => {
        setTimeout(again, LOOK_MS);
      });
    }
    throw new Error("");
  } finally {
    stream.getTracks().forEach((track) => track.stop());
  }
}
