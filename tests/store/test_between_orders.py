"""What may happen only while nobody's order is taken, where a browser has no locks to share."""

from __future__ import annotations

from store.in_page import in_page

ASKED = """{
  Object.defineProperty(navigator, 'locks', { value: undefined, configurable: true });
  const done = [];
  const free = await here.betweenOrders(async () => { done.push('between'); });
  here.takingOrder(true);
  const taken = await here.betweenOrders(async () => { done.push('during'); });
  return [free, taken, done];
}"""


def test_a_new_version_waits_for_the_order_in_this_window() -> None:
    assert in_page("store/turn.js", ASKED) == [True, False, ["between"]]
