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
