/** @file The house's whisper that there is something new: server-sent events, read by fetch so that the key goes along. */

import { knock } from "./doors.js";

const LINE_MAX = 65_536;
const ENDED_LEAST_MS = 5_000; // the house itself ends a stream after 55 s; one cut off at once is begun again more slowly

/**
 * Listens until the house ends the stream (it does so by itself within a minute), the line breaks or `signal` aborts.
 * @returns {Promise<boolean>} whether it was the house's stream, and not cut off at once; rejects when the line broke
 * @param {string} token
 * @param {AbortSignal} signal
 * @param {() => void} onNews
 */
export async function listen(token, signal, onNews) {
  const response = await knock("/api/stream", { token, signal, wait_s: 90 });
  const type = response.headers.get("Content-Type") ?? "";
  if (!type.startsWith("text/event-stream") || !response.body) {
    await response.body?.cancel();
    return false; // somebody else's page: a captive portal, a proxy
  }
  const begun = performance.now();
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  let heard = false;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return heard || performance.now() - begun > ENDED_LEAST_MS;
    const lines = (rest + value).split(/\r\n|\n|\r/);
    rest = (lines.pop() ?? "").slice(0, LINE_MAX);
    if (lines.some((line) => line.startsWith("data:"))) {
      heard = true;
      onNews();
    }
  }
}
