"""A half-made sentence that is ended or put on hold while this window reads everything anew: what was read before counts no more."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import WEB
from store.in_page import in_page

BEGUN = """
  const { sentences } = here, { load, heldOf } = await import(asked.known), { listeners } = await import(asked.status);
  const draft = (units) => ({ person: 'ann', lines: [{ good: 'bar', units }], amends: null });
  const rows = () => db.read(['sentences'], (tx) => tx.objectStore('sentences').getAll());
  const drawn = [];
  listeners.add(() => drawn.push(heldOf('bar')));
  sentences.write(draft(30));
  await sentences.settled();"""
ASKED = {"known": (WEB / "store/known.js").as_uri(), "status": (WEB / "store/status.js").as_uri()}


def told(script: str) -> Any:
    """What the script returns, once a sentence for thirty bars was begun and kept."""
    return in_page("store/sentences.js", f"(async () => {{{BEGUN}{script}}})()", ASKED)


@pytest.mark.parametrize("more", ["", "sentences.write(draft(20));"])
def test_what_is_dropped_while_everything_is_read_holds_nothing_any_more(more: str) -> None:
    """Nor does the screen that is drawn last say so."""
    held, kept, last = told(f"""
      {more}
      const reading = load();
      await sentences.drop();
      await reading;
      await new Promise((told) => setTimeout(told)); // listeners hear of it once the turn is over
      return [heldOf('bar'), (await rows()).length, drawn.at(-1)];""")
    assert (held, kept, last) == (0, 0, 0)


def test_what_is_put_on_hold_while_everything_is_read_is_as_it_was_left() -> None:
    held, owner, kept = told("""
      sentences.write(draft(20));
      const reading = load();
      await sentences.park();
      await reading;
      const [row] = [...known.sentences.values()];
      return [heldOf('bar'), row.owner, (await rows()).map(({ draft }) => draft.lines[0].units)];""")
    assert (held, owner, kept) == (20, None, [20])


def test_what_the_database_will_not_let_go_is_found_again() -> None:
    """Another window has taken it over meanwhile."""
    held, after = told("""
      const { id } = sentences.mine;
      await db.write(['sentences'], async (tx) => {
        await tx.objectStore('sentences').put({ ...(await tx.objectStore('sentences').get(id)), owner: 'window-b' });
      });
      await sentences.drop();
      const at_once = heldOf('bar');
      await load();
      return [at_once, heldOf('bar')];""")
    assert (held, after) == (0, 30)


def test_where_another_is_there_no_more_the_one_on_the_screen_stays_in_hand() -> None:
    went, same, held, owned = told("""
      const before = sentences.mine.id;
      const went = await sentences.open('gone by now');
      const [row] = await rows();
      return [went, sentences.mine?.id === before, heldOf('bar'), row.owner !== null];""")
    assert (went, same, held, owned) == (False, True, 30, True)


def test_where_another_is_there_no_more_and_none_is_in_hand_none_is_taken_up() -> None:
    went, mine = told("""
      await sentences.drop();
      return [await sentences.open('gone by now'), sentences.mine];""")
    assert (went, mine) == (False, None)


def test_what_another_window_has_taken_over_is_let_go_and_that_is_said() -> None:
    """The change made here is not laid over what is written there."""
    mine, taken_away, kept = told("""
      const { id } = sentences.mine;
      await db.write(['sentences'], async (tx) => {
        await tx.objectStore('sentences').put({ ...(await tx.objectStore('sentences').get(id)), owner: 'window-b' });
      });
      sentences.write(draft(20));
      await sentences.settled();
      return [sentences.mine, sentences.taken_away, (await rows()).map(({ owner, draft }) => [owner, draft.lines[0].units])];""")
    assert (mine, taken_away, kept) == (None, True, [["window-b", 30]])
