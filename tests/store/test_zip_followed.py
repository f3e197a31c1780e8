"""Under *Your honey house* a ZIP is written at once; town and state that follow from it are one entry more, and one undo takes back all."""

from __future__ import annotations

from typing import Any

import pytest

from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
BOARD = """
  const { gzipSync } = await import('node:zlib');
  const list = gzipSync('54843\\tHayward\\tWI\\n968\\tDuluth\\tMN');
  let comes = null;
  globalThis.fetch = async (address) => {
    if (!String(address).includes('built')) throw new TypeError('there is no main computer here');
    if (address.endsWith('manifest.json')) return new Response(JSON.stringify({ zips: 'zips.gz' }));
    if (asked.late) await new Promise((come) => { comes = come; });
    return asked.list === false ? new Response('', { status: 503 }) : new Response(list);
  };
  const log = () => db.read(['log'], (tx) => tx.objectStore('log').getAll());
  const wrote = async () => (await log()).map(({ operation: { kind, rows = [] } }) => [kind, ...rows.map(({ id, value }) => [id, value])]);
  const place = () => ['zip', 'city', 'state'].map((key) => known.view.setting(key, ''));
  const screen = new Screen('house-board');
  await settled(screen);
  const outcome = (lines) => lines.filter((line) => line.startsWith('Written') || line.includes('undo'));
"""
ZIP_FIELD = 1


def rows(**settings: str) -> list[Json]:
    """The house as it stands, with these words for its place."""
    return [{**row, "value": settings[row["id"]]} if row["table"] == "setting" and row["id"] in settings else row for row in ROWS]


@pytest.mark.parametrize(("city", "state", "followed", "words"), [
    ("", "", [["city", "Duluth"], ["state", "MN"]], "Written down, with Duluth, MN."),
    ("Proctor", "", [["state", "MN"]], "Written down, with MN."),
    ("", "MN", [["city", "Duluth"]], "Written down, with Duluth."),
    ("Proctor", "MN", [], "Written down."),
])  # fmt: skip
def test_town_and_state_where_none_is_written_follow_in_one_entry_and_one_undo_takes_back_all(
    city: str, state: str, followed: list[list[str]], words: str
) -> None:
    body = f"""{BOARD}
      screen.fill('input', '55811', {ZIP_FIELD});
      const done = outcome(await settled(screen));
      const [entries, then] = [await wrote(), place()];
      screen.touch('undo');
      await settled(screen);
      return [done, entries, then, place(), (await wrote()).slice(entries.length).map(([kind]) => kind)];"""
    done, entries, then, after, undone = drawn_in_page("rooms/settings/house-board.js", body, {}, rows(zip="", city=city, state=state))
    assert done == [words, "[undo for 10 more minutes]"]
    assert entries == [["set_house", ["zip", "55811"]], *([["set_house", *followed]] if followed else [])]
    assert then == ["55811", city or "Duluth", state or "MN"]
    assert after == ["", city, state]
    assert undone == ["undo"] * len(entries)


def test_where_the_list_is_not_to_be_had_the_zip_stands_written_alone() -> None:
    body = f"""{BOARD}
      screen.fill('input', '55811', {ZIP_FIELD});
      return [outcome(await settled(screen)), await wrote()];"""
    told = drawn_in_page("rooms/settings/house-board.js", body, {"list": False}, rows(zip="", city="", state=""))
    assert told == [["Written down.", "[undo for 10 more minutes]"], [["set_house", ["zip", "55811"]]]]


def test_a_zip_that_was_typed_over_while_the_list_came_leads_to_no_town() -> None:
    """The list that comes late is asked for the ZIP that stands."""
    body = f"""{BOARD}
      screen.fill('input', '55811', {ZIP_FIELD});
      await settled(screen);
      screen.fill('input', '54843', {ZIP_FIELD});
      await settled(screen);
      const before = await wrote();
      comes();
      await settled(screen);
      return [before, (await wrote()).slice(before.length), place()];"""
    before, after, then = drawn_in_page("rooms/settings/house-board.js", body, {"late": True}, rows(zip="", city="", state=""))
    assert before == [["set_house", ["zip", "55811"]], ["set_house", ["zip", "54843"]]]
    assert (after, then) == ([["set_house", ["city", "Hayward"], ["state", "WI"]]], ["54843", "Hayward", "WI"])


def test_a_zip_typed_as_it_stands_writes_only_what_is_missing() -> None:
    body = f"""{BOARD}
      screen.fill('input', '55811', {ZIP_FIELD});
      await settled(screen);
      return [await wrote(), place()];"""
    told = drawn_in_page("rooms/settings/house-board.js", body, {}, rows(zip="55811", city="", state="MN"))
    assert told == [[["set_house", ["city", "Duluth"]]], ["55811", "Duluth", "MN"]]
