"""A screen hears of news as long as it is looked at, and nothing once it is left: no listener, no clock and no question stays behind."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import WEB
from screens.kinds_of_rows import TODAY
from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
PAGE = (WEB.parent / "tests/screens/page.mjs").as_uri()
SCREENS: dict[str, list[tuple[str, Json]]] = {
    "bench": [
        ("bench-room", {"path": []}), ("day-papers", {"day": TODAY, "orders": []}),
        ("lot-deck", {"pick": {"good": "bar", "lot": None, "units": 1}}),
        ("parcel-board", {"order": "o1"}), ("pack-deck", {"order": "o3"}), ("learnt-weight", {"good": "bar"}), ("scale-deck", {}),
    ],
    "melt": [("melt-room", {"path": []}), ("pour-deck", {}), ("wax-here", {}), ("extract-deck", {}), ("step-deck", {"from": "cappings"})],
    "shelf": [("shelf-room", {"path": []}), ("good-board", {"good": "bar"}), ("count-walk", {}), ("labels-board", {"good": "bar"})],
    "settings": [
        ("settings-room", {"path": []}), ("device-board", {}), ("late-board", {}), ("backup-said", {}), ("trust-said", {}),
        ("heat-board", {}), ("prices-board", {}), ("devices-board", {}), ("first-walk", {"path": ["name"]}), ("people-board", {}),
    ],
}  # fmt: skip
LOOKED_AT = """
  const [{ change }, { listeners }] = [await module('store/status.js'), await import(asked.page)];
  const clocks = new Map();
  let hands = 0;
  globalThis.setInterval = (work, ms) => (clocks.set((hands += 1), [work, ms]), hands);
  globalThis.clearInterval = (hand) => clocks.delete(hand);
  const told = [];
  for (const [tag, given] of asked.screens) {
    const kind = customElements.get(tag).prototype;
    const own = Object.getOwnPropertyDescriptor(kind, 'requestUpdate');
    const { requestUpdate } = kind;
    let times = 0;
    kind.requestUpdate = function (...how) {
      times += Number(!how.length);
      return requestUpdate.apply(this, how);
    };
    const before = JSON.stringify(listeners());
    const screen = new Screen(tag, given);
    await settled(screen);
    times = 0;
    change({});
    await settled(screen);
    const heard = times > 0;
    const ticks = [...clocks.values()].map(([work, ms]) => ((times = 0), work(), [ms, times]));
    screen.leave();
    await settled(new Screen('', { template: [] }));
    times = 0;
    change({});
    await settled(new Screen('', { template: [] }));
    told.push([tag, heard, ticks, times, clocks.size, JSON.stringify(listeners()) === before]);
    if (own) Object.defineProperty(kind, 'requestUpdate', own);
    else delete kind.requestUpdate;
  }
  return told;"""


@pytest.mark.parametrize("room", SCREENS)
def test_a_screen_hears_of_news_until_it_is_left(room: str) -> None:
    told = drawn_in_page(f"rooms/{room}/{room}-room.js", LOOKED_AT, {"screens": SCREENS[room], "page": PAGE}, ROWS)
    second = {"pour-deck": [[1000, 1]]}
    assert told == [[tag, True, second.get(tag, []), 0, 0, True] for tag, _ in SCREENS[room]]


@pytest.mark.parametrize(("how", "said"), [
    ("", "2 orders printed from this device. No label for A-1: no address No label for A-3: no address"),
    ("screen.touch('stop')", "Stopped after 1 order; they are printed. No label for A-1: no address"),
    ("screen.leave()", None),
])  # fmt: skip
def test_a_days_papers_are_worked_out_until_somebody_stops_them_or_goes(how: str, said: str | None) -> None:
    """What is on its way then is printed; the next order is not asked about any more."""
    body = f"""const {{ askAlso }} = await module('kernel/work.js');
      const slips = [];
      let times = 0;
      askAlso({{ inReach: () => true, ask: (name) => new Promise((come) => {{
        const answer = {{ html: '<body>paper</body>', slip: '<body>slip</body>', label: null, no_label: 'no address', parcels: [] }};
        if (name === 'documents.gathering' || (times += 1) > 1) come({{ answer }});
        else slips.push(() => come({{ answer }}));
      }}) }});
      const orders = ['o1', 'o3'].map((id) => known.view.orders.get(id));
      const screen = new Screen('day-papers', {{ day: '2027-07-24', orders }});
      await settled(screen);
      screen.touch('print all papers of the day');
      const told = [await settled(screen)];
      {how};
      slips.forEach((come) => come());
      return [...told, await settled({how.startswith("screen.leave") and "new Screen('', { template: [] })" or "screen"}), times];"""
    before, after, times = drawn_in_page("rooms/bench/bench-room.js", body, None, ROWS)
    assert before == ["working out every parcel …", "[stop]"]
    assert times == (1 if how else 2) and (said is None or said in after), after
