"""On which days a parcel may be promised to go."""

from __future__ import annotations

from goods.in_node import in_node

SATURDAY = "2026-11-28"


def test_while_no_mailing_days_are_named_a_parcel_never_goes_on_a_sunday() -> None:
    days = in_node("parts/words.js", "here.mailingDays(...asked)", [SATURDAY, [], 8, 0])
    assert days == ["2026-11-28", "2026-11-30", "2026-12-01", "2026-12-02", "2026-12-03", "2026-12-04", "2026-12-05", "2026-12-07"]
    assert in_node("parts/words.js", "here.mailingDays(...asked)", [SATURDAY, [], 1, 1]) == ["2026-11-30"]


def test_named_mailing_days_are_all_there_is() -> None:
    days = in_node("parts/words.js", "here.mailingDays(...asked)", [SATURDAY, ["Mon", "Wed"], 3, 0])
    assert days == ["2026-11-30", "2026-12-02", "2026-12-07"]
