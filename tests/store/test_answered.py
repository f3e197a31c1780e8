"""What a device says of an exchange: heard, not heard, or turned away with the main computer's own words."""

from __future__ import annotations

from typing import Any

import pytest

from store.in_page import in_page

EXCHANGED = """{
  globalThis.fetch = async () => {
    if (asked.status === 0) throw new TypeError('nobody answers');
    return new Response(JSON.stringify(asked.body), { status: asked.status, headers: { 'Content-Type': 'application/problem+json' } });
  };
  const was_heard = await here.house.exchange();
  const { signal, turnedAway, tooOld } = here.house.status;
  return [was_heard, signal, turnedAway, tooOld];
}"""
PROBLEM = {"detail": "This device is not known.", "remedy": "Add it again."}
TOLD = "This device is not known. Add it again."


@pytest.mark.parametrize(("status", "said"), [
    (0, [None, None]), (401, [TOLD, None]), (403, [TOLD, None]), (426, [None, TOLD]), (503, [None, None]),
])  # fmt: skip
def test_an_exchange_that_fails_says_why_where_somebody_answered(status: int, said: list[Any]) -> None:
    assert in_page("store/house.js", EXCHANGED, {"status": status, "body": PROBLEM}) == [False, "none", *said]
