"""An order that the device cannot write down is told in words, to be copied: where the order was not what was wrong, in no other error."""

from __future__ import annotations

from goods.in_node import WEB
from screens.rows import ROWS
from store.in_page import in_page

ASK = """(async () => {
  const { HouseError } = await import(asked);
  const draft = (units) => ({ person: { name: 'Nils' }, way: 'pick_up', lines: [{ good: 'bar', units }] });
  const real = IDBDatabase.prototype.transaction;
  const tried = async (units, trouble) => {
    if (trouble) IDBDatabase.prototype.transaction = () => { throw trouble; };
    const told = await here.promise(draft(units)).catch((error) => error);
    IDBDatabase.prototype.transaction = real;
    return [told.kind ?? null, told.text ?? null];
  };
  const full = new HouseError('full', 'No room.', '');
  const told = [await tried(3, full), await tried(3, new TypeError('odd')), await tried(-1)];
  crypto.randomUUID = () => { throw new TypeError('odd'); };
  return [...told, await tried(3)];
})()"""


def test_the_order_is_told_in_words_when_only_the_device_is_to_blame() -> None:
    full, shut, wrong, odd = in_page("store/acts.js", ASK, (WEB / "store/trouble.js").as_uri(), ROWS)
    assert full[0] == "full" and "3 wax bars" in full[1] and "Nils" in full[1]
    assert shut == ["storage", full[1]]
    assert odd == [None, None] and wrong == ["draft", ""]
