"""Do these pieces go into this room? Found, never, or not known within the effort allowed."""

from __future__ import annotations

from dataclasses import dataclass, replace

from honeyhold.packing.exact.bounds import cannot_be, fits_alone
from honeyhold.packing.exact.exhaustive import search_all
from honeyhold.packing.exact.portfolio import Places, places_in
from honeyhold.packing.exact.separation import search_pairs
from honeyhold.packing.heuristic.constructive import construct
from honeyhold.packing.heuristic.many_pieces import pack_many
from honeyhold.packing.heuristic.randomized import construct_randomized
from honeyhold.packing.model.container import Container, Effort, EffortLimitReached, Placement
from honeyhold.packing.model.problem import ItemType, Sides

EXACT_PIECES = 24
FEW_PIECES = 8  # so many are few enough to ask of each two how they are apart
TIDY_ATTEMPTS = 2  # flat and tidy, as most orders go in
ONE_BY_ONE_PIECES = 150  # beyond so many, letting down piece by piece is too slow to be tried
BOUND_STEPS = 250  # what the bounds cost for each turn of each kind, measured in the steps of the searches
FITS, NEVER, UNKNOWN = "fits", "never", "unknown"


@dataclass(frozen=True)
class FitResult:
    """`state` is fits, never or unknown; `by` says what ruled it out: alone, volume, bound, part, floor, search."""

    state: str
    placements: tuple[Placement, ...] = ()
    by: str = ""
    part: int = -1


def _portion(whole: Effort, share: int) -> Effort:
    """A part of the effort left, to be settled with `Effort.settle`."""
    return Effort(max(1, whole.left // share))


def _try(
    sides: Sides,
    items: tuple[ItemType, ...],
    counts: list[int],
    support: bool,
    effort: Effort,
    attempts: int,
    share: int,
    first: int = 0,
) -> FitResult | None:
    part = _portion(effort, share)
    try:
        placements = construct(sides, items, counts, support, part, attempts, first)
    except EffortLimitReached:
        placements = None
    effort.settle(part)
    return FitResult(FITS, tuple(placements)) if placements is not None else None


def _search(
    sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort, share: int, full: bool = False
) -> tuple[str, list[Placement]]:
    part = _portion(effort, share)
    try:
        placements = search_all(sides, items, counts, part, full)
    except EffortLimitReached:
        return UNKNOWN, []
    finally:
        effort.settle(part)
    return (NEVER, []) if placements is None else (FITS, placements)


def _pairs(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> tuple[str, list[Placement]]:
    """The search over pairs, for few pieces."""
    part = _portion(effort, 3)
    try:
        placements = search_pairs(sides, items, counts, part)
    except EffortLimitReached:
        return UNKNOWN, []
    finally:
        effort.settle(part)
    return (NEVER, []) if placements is None else (FITS, placements)


def _places(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> Places:
    """The tightest scales and the places to search, as far as a third of the effort goes."""
    part = _portion(effort, 3)
    try:
        return places_in(sides, items, counts, part)
    except EffortLimitReached:
        return Places()
    finally:
        effort.settle(part)


def _looked(places: Places, sides: Sides, items: tuple[ItemType, ...], support: bool, effort: Effort, long: bool) -> FitResult | None:
    """What the searches over places settle; `unknown` where a packing was found that the other rules refuse."""
    try:
        placements = places.look_long(effort) if long else places.look_about(effort)
    except EffortLimitReached:
        return None
    if placements is None:
        return FitResult(NEVER, by="search")
    return FitResult(FITS, tuple(placements)) if obeys(sides, items, placements, support) else FitResult(UNKNOWN)


def obeys(sides: Sides, items: tuple[ItemType, ...], placements: list[Placement], support: bool) -> bool:
    """Whether a bare packing, in packing order, also obeys every other rule."""
    room = Container(sides, items, support)
    for placement in placements:
        if not room.allows(placement):
            return False
        room.set_down(placement)
    return True


def _parts(items: tuple[ItemType, ...], counts: list[int]) -> list[tuple[int, list[int]]]:
    """Smaller orders that must fit if the whole does: each kind alone, then all that stand."""
    used = [at for at, count in enumerate(counts) if count]
    if len(used) < 2:
        return []
    parts = [(at, [counts[at] if other == at else 0 for other in range(len(counts))]) for at in used if counts[at] > 1]
    standing = [count if items[at].upright else 0 for at, count in enumerate(counts)]
    if sum(1 for count in standing if count) not in (0, 1, len(used)):
        parts.append((-1, standing))
    return sorted(parts, key=lambda part: -items[part[0]].gap)


def never_at_once(sides: Sides, items: tuple[ItemType, ...], counts: list[int]) -> FitResult | None:
    """What a look at each piece and at the volume rules out."""
    for at, count in enumerate(counts):
        if count and not fits_alone(items[at], sides):
            return FitResult(NEVER, by="alone", part=at)
    if sum(item.volume * count for item, count in zip(items, counts, strict=True)) > sides[0] * sides[1] * sides[2]:
        return FitResult(NEVER, by="volume")
    return None


def _bounded(items: tuple[ItemType, ...], counts: list[int], sides: Sides, effort: Effort, part: int = 1) -> bool:
    """Whether the bounds rule it out; not asked when they would cost more than `part` of the effort left."""
    steps = BOUND_STEPS * sum(len(item.orientations) for item, count in zip(items, counts, strict=True) if count)
    if steps * part > effort.left:
        return False
    effort.left, effort.used = effort.left - steps, effort.used + steps
    return cannot_be(items, counts, sides)


def _bound_never(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> FitResult | None:
    if not _bounded(items, counts, sides, effort):
        return None
    for at, part in _parts(items, counts):
        if cannot_be(items, part, sides):
            return FitResult(NEVER, by="part", part=at)
    return FitResult(NEVER, by="bound")


def core(items: tuple[ItemType, ...], counts: list[int], sides: Sides, found: FitResult, effort: Effort) -> tuple[int, ...]:
    """Of pieces that never go in, fewer that never do either: kind after kind is left out or halved while the bounds refuse the rest."""
    held = list(counts)
    if found.by == "part":
        held = [count if item.upright else 0 for item, count in zip(items, counts, strict=True)]
    for at in sorted(range(len(held)), key=lambda at: items[at].volume):
        low, high = 0, held[at]
        while low < high and not items[at].chill:
            some = (low + high) // 2 if low else 0
            if _bounded(items, [some if other == at else count for other, count in enumerate(held)], sides, effort):
                high = some
            else:
                low = some + 1
        held[at] = high
    return tuple(held)


def _part_never(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> FitResult | None:
    for at, part in _parts(items, counts):
        if _search(sides, items, part, effort, 8)[0] == NEVER:
            return FitResult(NEVER, by="part", part=at)
    return None


def fit(sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort) -> FitResult:
    """Try, ask the bounds, try more, search parts, try harder, search all; what the effort does not settle is `unknown`."""
    never = never_at_once(sides, items, counts)
    if never:
        return never
    if support and _nothing_bears(items, counts):
        return _on_the_floor(sides, items, counts, effort)
    if sum(counts) > EXACT_PIECES:
        return _many(sides, items, counts, support, effort)
    return (
        _try(sides, items, counts, support, effort, TIDY_ATTEMPTS, 2)
        or _bound_never(sides, items, counts, effort)  # a bound costs less than what is tried after it
        or _try(sides, items, counts, support, effort, 6, 2, TIDY_ATTEMPTS)
        or _by_place(sides, items, counts, support, effort)
    )


def _by_place(sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort) -> FitResult:
    """The scales, the short searches over places, more tries, the long search; where places are too many, the other searches."""
    places = _places(sides, items, counts, effort)
    if places.overfilled:
        return FitResult(NEVER, by="bound")
    if places.positions is None:
        return _part_never(sides, items, counts, effort) or _harder(sides, items, counts, support, effort)
    found = _tries(sides, items, counts, support, effort) if support else None
    found = found or _looked(places, sides, items, support, effort, False)
    if found is None:
        found = _tries(sides, items, counts, support, effort) or _shuffled(sides, items, counts, support, effort, 3)
    if found is None:
        part = _portion(effort, 2 if support else 1)
        found = _looked(places, sides, items, support, part, True)
        effort.settle(part)
    return found if found and found.state != UNKNOWN else _harder(sides, items, counts, support, effort)


def _tries(sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort) -> FitResult | None:
    """More tries; with support a short search over pushed packings too, which pushes down first and so stands more often."""
    found = _try(sides, items, counts, support, effort, 40, 6)
    if found or not support:
        return found
    state, placements = _search(sides, items, counts, effort, 4)
    if state == NEVER:
        return FitResult(NEVER, by="search")
    return FitResult(FITS, tuple(placements)) if state == FITS and obeys(sides, items, placements, support) else None


def _nothing_bears(items: tuple[ItemType, ...], counts: list[int]) -> bool:
    """Whether no piece bears even the lightest of them, so that none stands on another: all stand on the floor."""
    used = [item for item, count in zip(items, counts, strict=True) if count]
    lightest = min(item.mass_mg for item in used)
    return all(item.bears_mg is not None and item.bears_mg < lightest for item in used)


def _on_the_floor(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> FitResult:
    """Pieces of which none may stand on another: each takes the whole height over its place, and side by side is all that is asked."""
    pillars = tuple(_pillar(item, sides) for item in items)
    found = fit(sides, pillars, counts, False, effort)
    if found.state != FITS:
        return FitResult(NEVER, by="floor") if found.state == NEVER else found
    high = [{(turn[0], turn[1]): turn[2] for turn in reversed(item.orientations) if _goes_under(turn, item, sides)} for item in items]
    placements = [placement._replace(dz=high[placement.item][placement.dx, placement.dy]) for placement in found.placements]
    return FitResult(FITS, tuple(placements)) if obeys(sides, items, placements, True) else FitResult(UNKNOWN)


def _goes_under(turn: Sides, item: ItemType, sides: Sides) -> bool:
    return turn[2] + 2 * item.wall <= sides[2]


def _pillar(item: ItemType, sides: Sides) -> ItemType:
    """The piece with everything over it up to the lid; a turn that is too high is none."""
    orientations = [(turn[0], turn[1], sides[2] - 2 * item.wall) for turn in item.orientations if _goes_under(turn, item, sides)]
    return replace(
        item,
        orientations=tuple(dict.fromkeys(orientations)) or item.orientations,
        sides=orientations[0] if orientations else item.sides,
        chill=False,
    )


def _many(sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort) -> FitResult:
    """For more pieces than can be searched exactly: the bounds, then blocks; a few quick tries by hand while they are not too many."""
    if _bounded(items, counts, sides, effort, 6):
        return FitResult(NEVER, by="bound")
    one_by_one = sum(counts) <= ONE_BY_ONE_PIECES
    part = Effort(effort.left * 2 // 3 if one_by_one else effort.left)
    placements = pack_many(sides, items, counts, support, part)
    effort.settle(part)
    if len(placements) == sum(counts):
        return FitResult(FITS, tuple(placements))
    return (_try(sides, items, counts, support, effort, 200, 1) if one_by_one else None) or FitResult(UNKNOWN)


def _shuffled(
    sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort, share: int
) -> FitResult | None:
    part = _portion(effort, share)
    try:
        placements = construct_randomized(sides, items, counts, support, part)
    except EffortLimitReached:
        return None
    finally:
        effort.settle(part)
    return FitResult(FITS, tuple(placements))


def _harder(sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort) -> FitResult:
    """More tries; a short search over all packings, which finds what wheels round a hole; shuffled tries; a long search."""
    found = _try(sides, items, counts, support, effort, 40, 6)
    if found:
        return found
    state, placements = _pairs(sides, items, counts, effort) if sum(counts) <= FEW_PIECES else (UNKNOWN, [])
    if state == UNKNOWN:
        state, placements = _search(sides, items, counts, effort, 3)
    if state == UNKNOWN:
        found = _shuffled(sides, items, counts, support, effort, 3)
        if found:
            return found
        state, placements = _search(sides, items, counts, effort, 2)
    if state == NEVER:
        return FitResult(NEVER, by="search")
    if state == FITS and obeys(sides, items, placements, support):
        return FitResult(FITS, tuple(placements))
    found = _shuffled(sides, items, counts, support, effort, 2)
    if found:
        return found
    if support or any(items[at].chill and count for at, count in enumerate(counts)):
        state, placements = _search(sides, items, counts, effort, 2, full=True)
        if state == FITS and obeys(sides, items, placements, support):
            return FitResult(FITS, tuple(placements))
    return FitResult(UNKNOWN)
