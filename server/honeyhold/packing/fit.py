"""Do these pieces go into this room? Found, never, or not known within the effort allowed."""

from __future__ import annotations

from dataclasses import dataclass, replace

from honeyhold.packing.exact.bounds import cannot_be, fits_alone
from honeyhold.packing.exact.exhaustive import search_all
from honeyhold.packing.exact.portfolio import Places, places_in
from honeyhold.packing.exact.separation import search_pairs
from honeyhold.packing.heuristic.constructive import try_out
from honeyhold.packing.heuristic.many_pieces import pack_many
from honeyhold.packing.heuristic.randomized import try_shuffled
from honeyhold.packing.model.container import Effort, Put, Room, StepsUsedUp
from honeyhold.packing.model.request import Kind, Sides

EXACT_PIECES = 24
FEW_PIECES = 8  # so many are few enough to ask of each two how they are apart
TIDY_ATTEMPTS = 2  # flat and tidy, as most orders go in
ONE_BY_ONE_PIECES = 150  # beyond so many, letting down piece by piece is too slow to be tried
BOUND_STEPS = 250  # what the bounds cost for each turn of each kind, measured in the steps of the searches
FITS, NEVER, UNKNOWN = "fits", "never", "unknown"


@dataclass(frozen=True)
class Verdict:
    """`state` is fits, never or unknown; `by` says what ruled it out: alone, volume, bound, part, floor, search."""

    state: str
    puts: tuple[Put, ...] = ()
    by: str = ""
    part: int = -1


def _portion(whole: Effort, share: int) -> Effort:
    """A part of the effort left, to be settled with `Effort.settle`."""
    return Effort(max(1, whole.left // share))


def _try(
    sides: Sides,
    kinds: tuple[Kind, ...],
    counts: list[int],
    support: bool,
    effort: Effort,
    attempts: int,
    share: int,
    first: int = 0,
) -> Verdict | None:
    part = _portion(effort, share)
    try:
        puts = try_out(sides, kinds, counts, support, part, attempts, first)
    except StepsUsedUp:
        puts = None
    effort.settle(part)
    return Verdict(FITS, tuple(puts)) if puts is not None else None


def _search(
    sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort, share: int, full: bool = False
) -> tuple[str, list[Put]]:
    part = _portion(effort, share)
    try:
        puts = search_all(sides, kinds, counts, part, full)
    except StepsUsedUp:
        return UNKNOWN, []
    finally:
        effort.settle(part)
    return (NEVER, []) if puts is None else (FITS, puts)


def _pairs(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort) -> tuple[str, list[Put]]:
    """The search over pairs, for few pieces."""
    part = _portion(effort, 3)
    try:
        puts = search_pairs(sides, kinds, counts, part)
    except StepsUsedUp:
        return UNKNOWN, []
    finally:
        effort.settle(part)
    return (NEVER, []) if puts is None else (FITS, puts)


def _places(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort) -> Places:
    """The tightest scales and the places to search, as far as a third of the effort goes."""
    part = _portion(effort, 3)
    try:
        return places_in(sides, kinds, counts, part)
    except StepsUsedUp:
        return Places()
    finally:
        effort.settle(part)


def _looked(places: Places, sides: Sides, kinds: tuple[Kind, ...], support: bool, effort: Effort, long: bool) -> Verdict | None:
    """What the searches over places settle; `unknown` where a packing was found that the other rules refuse."""
    try:
        puts = places.look_long(effort) if long else places.look_about(effort)
    except StepsUsedUp:
        return None
    if puts is None:
        return Verdict(NEVER, by="search")
    return Verdict(FITS, tuple(puts)) if obeys(sides, kinds, puts, support) else Verdict(UNKNOWN)


def obeys(sides: Sides, kinds: tuple[Kind, ...], puts: list[Put], support: bool) -> bool:
    """Whether a bare packing, in packing order, also obeys every other rule."""
    room = Room(sides, kinds, support)
    for put in puts:
        if not room.allows(put):
            return False
        room.set_down(put)
    return True


def _parts(kinds: tuple[Kind, ...], counts: list[int]) -> list[tuple[int, list[int]]]:
    """Smaller orders that must fit if the whole does: each kind alone, then all that stand."""
    used = [at for at, count in enumerate(counts) if count]
    if len(used) < 2:
        return []
    parts = [(at, [counts[at] if other == at else 0 for other in range(len(counts))]) for at in used if counts[at] > 1]
    standing = [count if kinds[at].upright else 0 for at, count in enumerate(counts)]
    if sum(1 for count in standing if count) not in (0, 1, len(used)):
        parts.append((-1, standing))
    return sorted(parts, key=lambda part: -kinds[part[0]].gap)


def never_at_once(sides: Sides, kinds: tuple[Kind, ...], counts: list[int]) -> Verdict | None:
    """What a look at each piece and at the volume rules out."""
    for at, count in enumerate(counts):
        if count and not fits_alone(kinds[at], sides):
            return Verdict(NEVER, by="alone", part=at)
    if sum(kind.volume * count for kind, count in zip(kinds, counts, strict=True)) > sides[0] * sides[1] * sides[2]:
        return Verdict(NEVER, by="volume")
    return None


def _bounded(kinds: tuple[Kind, ...], counts: list[int], sides: Sides, effort: Effort, part: int = 1) -> bool:
    """Whether the bounds rule it out; not asked when they would cost more than `part` of the effort left."""
    steps = BOUND_STEPS * sum(len(kind.turns) for kind, count in zip(kinds, counts, strict=True) if count)
    if steps * part > effort.left:
        return False
    effort.left, effort.used = effort.left - steps, effort.used + steps
    return cannot_be(kinds, counts, sides)


def _bound_never(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort) -> Verdict | None:
    if not _bounded(kinds, counts, sides, effort):
        return None
    for at, part in _parts(kinds, counts):
        if cannot_be(kinds, part, sides):
            return Verdict(NEVER, by="part", part=at)
    return Verdict(NEVER, by="bound")


def core(kinds: tuple[Kind, ...], counts: list[int], sides: Sides, found: Verdict, effort: Effort) -> tuple[int, ...]:
    """Of pieces that never go in, fewer that never do either: kind after kind is left out or halved while the bounds refuse the rest."""
    held = list(counts)
    if found.by == "part":
        held = [count if kind.upright else 0 for kind, count in zip(kinds, counts, strict=True)]
    for at in sorted(range(len(held)), key=lambda at: kinds[at].volume):
        low, high = 0, held[at]
        while low < high and not kinds[at].chill:
            some = (low + high) // 2 if low else 0
            if _bounded(kinds, [some if other == at else count for other, count in enumerate(held)], sides, effort):
                high = some
            else:
                low = some + 1
        held[at] = high
    return tuple(held)


def _part_never(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort) -> Verdict | None:
    for at, part in _parts(kinds, counts):
        if _search(sides, kinds, part, effort, 8)[0] == NEVER:
            return Verdict(NEVER, by="part", part=at)
    return None


def fit(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort) -> Verdict:
    """Try, ask the bounds, try more, search parts, try harder, search all; what the effort does not settle is `unknown`."""
    never = never_at_once(sides, kinds, counts)
    if never:
        return never
    if support and _nothing_bears(kinds, counts):
        return _on_the_floor(sides, kinds, counts, effort)
    if sum(counts) > EXACT_PIECES:
        return _many(sides, kinds, counts, support, effort)
    return (
        _try(sides, kinds, counts, support, effort, TIDY_ATTEMPTS, 2)
        or _bound_never(sides, kinds, counts, effort)  # a bound costs less than what is tried after it
        or _try(sides, kinds, counts, support, effort, 6, 2, TIDY_ATTEMPTS)
        or _by_place(sides, kinds, counts, support, effort)
    )


def _by_place(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort) -> Verdict:
    """The scales, the short searches over places, more tries, the long search; where places are too many, the other searches."""
    places = _places(sides, kinds, counts, effort)
    if places.overfilled:
        return Verdict(NEVER, by="bound")
    if places.positions is None:
        return _part_never(sides, kinds, counts, effort) or _harder(sides, kinds, counts, support, effort)
    found = _tries(sides, kinds, counts, support, effort) if support else None
    found = found or _looked(places, sides, kinds, support, effort, False)
    if found is None:
        found = _tries(sides, kinds, counts, support, effort) or _shuffled(sides, kinds, counts, support, effort, 3)
    if found is None:
        part = _portion(effort, 2 if support else 1)
        found = _looked(places, sides, kinds, support, part, True)
        effort.settle(part)
    return found if found and found.state != UNKNOWN else _harder(sides, kinds, counts, support, effort)


def _tries(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort) -> Verdict | None:
    """More tries; with support a short search over pushed packings too, which pushes down first and so stands more often."""
    found = _try(sides, kinds, counts, support, effort, 40, 6)
    if found or not support:
        return found
    state, puts = _search(sides, kinds, counts, effort, 4)
    if state == NEVER:
        return Verdict(NEVER, by="search")
    return Verdict(FITS, tuple(puts)) if state == FITS and obeys(sides, kinds, puts, support) else None


def _nothing_bears(kinds: tuple[Kind, ...], counts: list[int]) -> bool:
    """Whether no piece bears even the lightest of them, so that none stands on another: all stand on the floor."""
    used = [kind for kind, count in zip(kinds, counts, strict=True) if count]
    lightest = min(kind.mass_mg for kind in used)
    return all(kind.bears_mg is not None and kind.bears_mg < lightest for kind in used)


def _on_the_floor(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort) -> Verdict:
    """Pieces of which none may stand on another: each takes the whole height over its place, and side by side is all that is asked."""
    pillars = tuple(_pillar(kind, sides) for kind in kinds)
    found = fit(sides, pillars, counts, False, effort)
    if found.state != FITS:
        return Verdict(NEVER, by="floor") if found.state == NEVER else found
    high = [{(turn[0], turn[1]): turn[2] for turn in reversed(kind.turns) if _goes_under(turn, kind, sides)} for kind in kinds]
    puts = [put._replace(dz=high[put.kind][put.dx, put.dy]) for put in found.puts]
    return Verdict(FITS, tuple(puts)) if obeys(sides, kinds, puts, True) else Verdict(UNKNOWN)


def _goes_under(turn: Sides, kind: Kind, sides: Sides) -> bool:
    return turn[2] + 2 * kind.wall <= sides[2]


def _pillar(kind: Kind, sides: Sides) -> Kind:
    """The piece with everything over it up to the lid; a turn that is too high is none."""
    turns = [(turn[0], turn[1], sides[2] - 2 * kind.wall) for turn in kind.turns if _goes_under(turn, kind, sides)]
    return replace(kind, turns=tuple(dict.fromkeys(turns)) or kind.turns, sides=turns[0] if turns else kind.sides, chill=False)


def _many(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort) -> Verdict:
    """For more pieces than can be searched exactly: the bounds, then blocks; a few quick tries by hand while they are not too many."""
    if _bounded(kinds, counts, sides, effort, 6):
        return Verdict(NEVER, by="bound")
    one_by_one = sum(counts) <= ONE_BY_ONE_PIECES
    part = Effort(effort.left * 2 // 3 if one_by_one else effort.left)
    puts = pack_many(sides, kinds, counts, support, part)
    effort.settle(part)
    if len(puts) == sum(counts):
        return Verdict(FITS, tuple(puts))
    return (_try(sides, kinds, counts, support, effort, 200, 1) if one_by_one else None) or Verdict(UNKNOWN)


def _shuffled(
    sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort, share: int
) -> Verdict | None:
    part = _portion(effort, share)
    try:
        puts = try_shuffled(sides, kinds, counts, support, part)
    except StepsUsedUp:
        return None
    finally:
        effort.settle(part)
    return Verdict(FITS, tuple(puts))


def _harder(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort) -> Verdict:
    """More tries; a short search over all packings, which finds what wheels round a hole; shuffled tries; a long search."""
    found = _try(sides, kinds, counts, support, effort, 40, 6)
    if found:
        return found
    state, puts = _pairs(sides, kinds, counts, effort) if sum(counts) <= FEW_PIECES else (UNKNOWN, [])
    if state == UNKNOWN:
        state, puts = _search(sides, kinds, counts, effort, 3)
    if state == UNKNOWN:
        found = _shuffled(sides, kinds, counts, support, effort, 3)
        if found:
            return found
        state, puts = _search(sides, kinds, counts, effort, 2)
    if state == NEVER:
        return Verdict(NEVER, by="search")
    if state == FITS and obeys(sides, kinds, puts, support):
        return Verdict(FITS, tuple(puts))
    found = _shuffled(sides, kinds, counts, support, effort, 2)
    if found:
        return found
    if support or any(kinds[at].chill and count for at, count in enumerate(counts)):
        state, puts = _search(sides, kinds, counts, effort, 2, full=True)
        if state == FITS and obeys(sides, kinds, puts, support):
            return Verdict(FITS, tuple(puts))
    return Verdict(UNKNOWN)
