"""A search over how each two pieces are apart, for few pieces: left of, right of, behind, before, under or over one another.

Any packing has, for every two pieces, an axis along which they are apart. So it is enough to decide that, pair by pair, and each piece's
turn; where the pieces then stand follows from the longest chains along each axis. What cannot be decided otherwise any more is decided at
once, and the pair with the fewest ways left is tried first (the packing classes of Fekete and Schepers, Operations Research 55 (2007), and
the interval reasoning of Moffitt and Pollack, "Optimal rectangle packing: a meta-CSP approach", ICAPS 2006). Like rule_out.py it drops
support, load and cold packs at a face: it refuses only what the full rules refuse.
"""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.packing.model.container import Effort, Placement
from honeyhold.packing.model.problem import ItemType, Sides

NODE_STEPS = 6
"""What one round of reasoning costs, in steps, for every ten pairs."""
Way = tuple[int, bool]  # along which axis, and whether the first of the pair is the nearer


@dataclass
class _State:
    """How far each piece may begin on each axis, the turns it still has, and the ways that each undecided pair is still apart."""

    early: list[list[int]]
    late: list[list[int]]
    orientations: list[list[Sides]]
    ways: dict[tuple[int, int], list[Way]]
    chains: list[list[tuple[int, int]]]  # by axis: (first, second) decided

    def copy(self) -> _State:
        """One to try a decision on."""
        return _State(
            [list(row) for row in self.early], [list(row) for row in self.late], [list(orientations) for orientations in self.orientations],
            {pair: list(ways) for pair, ways in self.ways.items()}, [list(chain) for chain in self.chains],
        )  # fmt: skip


class _Apart:
    """One room and its pieces, each by itself; alike ones stand together and are told apart by where they begin along x."""

    def __init__(self, sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> None:
        self.sides, self.items, self.effort = sides, items, effort
        self.of = sorted((at for at, count in enumerate(counts) for _ in range(count)), key=lambda at: (-items[at].volume, at))
        self.pieces = range(len(self.of))
        self.gap = [[max(items[a].gap, items[b].gap) for b in self.of] for a in self.of]
        self.alike = [(one, one + 1) for one in self.pieces[:-1] if self.of[one] == self.of[one + 1]]
        self.steps = 1 + NODE_STEPS * len(self.of) * (len(self.of) - 1) // 20

    def start(self) -> _State:
        """Nothing decided."""
        items, of = self.items, self.of
        early = [[items[at].wall for at in of] for _ in range(3)]
        late = [[self.sides[axis] - items[at].wall for at in of] for axis in range(3)]  # less the side, as it becomes known
        ways: dict[tuple[int, int], list[Way]] = {}
        for one in self.pieces:
            for other in self.pieces[one + 1 :]:
                every = [(axis, first) for axis in (2, 1, 0) for first in (True, False)]
                ways[one, other] = [way for way in every if way != (0, False)] if of[one] == of[other] else every
        return _State(early, late, [list(items[at].orientations) for at in of], ways, [[], [], []])

    def reason(self, state: _State) -> bool:
        """Draws every plain conclusion; False when there is a contradiction. Raises EffortLimitReached."""
        changed = True
        while changed:
            self.effort.spend(self.steps)
            if not self._turn(state):
                return False
            least = [[min(turn[axis] for turn in state.orientations[at]) for at in self.pieces] for axis in range(3)]
            changed = self._push(state, least)
            for axis in range(3):
                if any(state.early[axis][at] + least[axis][at] > state.late[axis][at] for at in self.pieces):
                    return False
            decided = self._narrow(state, least)
            if decided is None:
                return False
            changed = changed or decided
        return True

    def _turn(self, state: _State) -> bool:
        """Drops the turns that do not go in between where a piece may begin and where it must end."""
        for at in self.pieces:
            most = [state.late[axis][at] - state.early[axis][at] for axis in range(3)]
            orientations = state.orientations[at]
            if any(turn[0] > most[0] or turn[1] > most[1] or turn[2] > most[2] for turn in orientations):
                state.orientations[at] = [turn for turn in orientations if turn[0] <= most[0] and turn[1] <= most[1] and turn[2] <= most[2]]
                if not state.orientations[at]:
                    return False
        return True

    def _push(self, state: _State, least: list[list[int]]) -> bool:
        """Moves begins and ends along the chains; `late` is where a piece must have ended."""
        changed = False
        for axis in range(3):
            early, late, sizes = state.early[axis], state.late[axis], least[axis]
            for first, second in state.chains[axis]:
                gap = self.gap[first][second]
                begin, end = early[first] + sizes[first] + gap, late[second] - sizes[second] - gap
                if begin > early[second]:
                    early[second], changed = begin, True
                if end < late[first]:
                    late[first], changed = end, True
        early = state.early[0]
        for first, second in self.alike:
            if early[first] > early[second]:
                early[second], changed = early[first], True
        return changed

    def _narrow(self, state: _State, least: list[list[int]]) -> bool | None:
        """Drops ways to be apart that are too long by now; True when a pair was decided by it, None when one has no way left."""
        decided = False
        for pair, ways in list(state.ways.items()):
            one, other = pair
            gap, kept = self.gap[one][other], []
            for axis, first in ways:
                a, b = pair if first else (other, one)
                if state.early[axis][a] + least[axis][a] + gap + least[axis][b] <= state.late[axis][b]:
                    kept.append((axis, first))
            if not kept:
                return None
            if self._is_apart(state, pair, kept, least):
                del state.ways[pair]
            elif len(kept) == 1:
                self.decide(state, pair, kept[0])
                decided = True
            else:
                state.ways[pair] = kept
        return decided

    def _is_apart(self, state: _State, pair: tuple[int, int], kept: list[Way], least: list[list[int]]) -> bool:
        """Whether a pair is apart whatever else is decided: one must have ended before the other may begin."""
        one, other = pair
        gap = self.gap[one][other]
        return any(
            state.late[axis][a] + gap <= state.early[axis][b] for axis, first in kept for a, b in [pair if first else (other, one)]
        )

    def decide(self, state: _State, pair: tuple[int, int], way: Way) -> None:
        """The pair is apart this way."""
        axis, first = way
        state.chains[axis].append(pair if first else (pair[1], pair[0]))
        del state.ways[pair]

    def search(self, state: _State) -> list[Placement] | None:
        """A packing that follows from the decisions so far, or None when there is none."""
        if not self.reason(state):
            return None
        if state.ways:
            fewest = min(len(ways) for ways in state.ways.values())
            pair = next(pair for pair, ways in state.ways.items() if len(ways) == fewest)
            for way in state.ways[pair]:
                tried = state.copy()
                self.decide(tried, pair, way)
                found = self.search(tried)
                if found is not None:
                    return found
            return None
        open_turns = [at for at in self.pieces if len(state.orientations[at]) > 1]
        if not open_turns:
            early = state.early
            return [Placement(self.of[at], early[0][at], early[1][at], early[2][at], *state.orientations[at][0]) for at in self.pieces]
        for turn in state.orientations[open_turns[0]]:
            tried = state.copy()
            tried.orientations[open_turns[0]] = [turn]
            found = self.search(tried)
            if found is not None:
                return found
        return None


def search_pairs(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> list[Placement] | None:
    """A packing from the floor up, or None: a proof that the pieces cannot be in the room. Raises EffortLimitReached."""
    apart = _Apart(sides, items, counts, effort)
    found = apart.search(apart.start())
    return None if found is None else sorted(found, key=lambda placement: placement.key)
