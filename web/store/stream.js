/** @file The house's whisper that there is something new: server-sent events, read by fetch so that the key goes along. */

import { knock } from './doors.js';

const LINE_MAX = 65_536;

/**
 * Listens until the house ends the stream (it does so by itself within a minute), the line breaks or `signal` aborts.
 * @param {string} token
 * @param {AbortSignal} signal
 * @param {() => void} onNews
 */
export async function listen(token, signal, onNews) {
  const response = await knock('/api/stream', { token, signal, wait_s: 90 });
  const type = response.headers.get('Content-Type') ?? '';
  if (!type.startsWith('text/event-stream') || !response.body) return;
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = '';
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const lines = (rest + value).split(/\r\n|\n|\r/);
    rest = (lines.pop() ?? '').slice(0, LINE_MAX);
    if (lines.some((line) => line.startsWith('data:'))) onNews();
  }
}
