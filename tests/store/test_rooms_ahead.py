"""The rooms that are fetched ahead of need, and the page as it was before the first of them stands."""

from __future__ import annotations

from typing import Any

from store.in_page import in_page

Json = dict[str, Any]
AHEAD = """(async () => {
  const House = customElements.get('honey-house');
  const rooms = ['shelf', 'bench', 'melt', 'book', 'settings'].map((room) => `${room}-room`);
  const stands = () => rooms.filter((room) => customElements.get(room)).length;
  const settle = async () => { for (let turn = 0; turn < 20; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  const told = [];
  const idle = [];
  if (asked.idle) globalThis.requestIdleCallback = (work) => idle.push(work);
  else {
    const quick = globalThis.setTimeout;
    globalThis.setTimeout = (work, ms, ...given) => (ms === undefined ? idle.push(work) : quick(work, ms, ...given));
  }
  await (await module('store/house.js')).house.start(); // what the store does when it is idle is not meant here
  await settle();
  idle.splice(0);
  for (const kind of asked.workers) {
    const worker = Object.assign(new EventTarget(), { controller: kind === 'serves' ? {} : null });
    Object.assign(navigator, { serviceWorker: kind ? worker : undefined });
    const element = new House();
    let emptied = 0;
    const own = { replaceChildren: () => (emptied += 1), updateComplete: Promise.resolve(), performUpdate() {}, requestUpdate() {} };
    for (const [name, value] of Object.entries(own)) Object.defineProperty(element, name, { value, configurable: true });
    element.connectedCallback();
    await settle();
    const before = idle.length;
    worker.dispatchEvent(new Event('controllerchange'));
    worker.dispatchEvent(new Event('controllerchange'));
    await settle();
    told.push([emptied, before, idle.length, stands()]);
    const works = idle.splice(0);
    if (kind === asked.workers.at(-1)) {
      works.forEach((work) => work());
      for (let turn = 0; turn < 2000 && stands() < rooms.length; turn += 1) await new Promise((later) => setTimeout(later, 1));
      told.push(stands());
    }
  }
  return told;
})()"""


def test_the_other_rooms_are_fetched_once_nothing_else_is_to_be_done_and_the_service_worker_serves_the_page() -> None:
    """At once where there is none or it serves already; where no browser tells when it is idle, with the next turn."""
    for idle in (True, False):
        *told, rooms = in_page("rooms/house.js", AHEAD, {"idle": idle, "workers": ["waits", "serves", ""]})
        assert told == [[1, 0, 1, 0], [1, 1, 1, 0], [1, 1, 1, 0]] and rooms == 5
