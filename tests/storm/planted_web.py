"""Known mistakes put into the browser's store: one place of one module reads otherwise. Each must be caught."""

from __future__ import annotations

Mistake = dict[str, str]


def _in(file: str, was: str, becomes: str) -> Mistake:
    return {"file": f"store/{file}", "was": was, "is": becomes}


WEB_PLANTED: dict[str, Mistake] = {
    "the share not lowered with the entry": _in("log.js", 'tx.objectStore("keep").put(share, "share"),', ""),
    "acknowledged before it is stored": _in("database.js", "await tx.done;\n    if (began", "if (began"),
    "an undo written twice": _in("log.js", '...undone.map((entry) => tx.objectStore("log").put(entry)),', ""),
    "two windows write the same number": _in(
        "log.js", "|| keep.head.seq + 1 !== first.seq || keep.head.hash !== first.operation.before", ""
    ),
    "the cursor moved without the rows": _in(
        "exchange.js", ".map(({ store, key, value }) => tx.objectStore(store).put(value, key));", ".slice(0, 0);"
    ),
    "a refusal not heard": _in("exchange.js", 'told.set(id, { state: "refused", why, remedy });', ";"),
    "what the house says of the share believed, though it is older": _in("fresh.js", "Math.max(units, both[good] ?? 0)", "units"),
    "rows laid twice": _in("known.js", "(entry.position ?? 0) > (cursor ?? 0)", "(entry.position ?? 0) >= (cursor ?? 0)"),
    "a restored house not noticed": _in("exchange.js", "if (marks.epoch !== null && answer.epoch !== marks.epoch) {", "if (false) {"),
    "what was kept apart is never offered again by the browser": _in(
        "removed.js", "if (!epoch || known.marks.offered_in === epoch)", "if (epoch)"
    ),
    "a sentence ended twice": _in("log.js", "for (const entry of entries) await spoken(tx, entry);", ""),
}

WEB_NEEDED: dict[str, tuple[str, ...]] = {
    "a restored house not noticed": ("restore",),
    "what was kept apart is never offered again by the browser": ("lose", "restore"),
}
"""Rare troubles that a run must have for the mistake to show; the others need none."""
