"""Where the parcel is by hour, and what air it stands in there.

House, van, depot, road, depot, delivery van, mailbox until someone comes home. Hours are counted from
leaving, on the local clock. How hot a van or a box gets over the outdoor air has no measured series behind
it: each gain is a small heat balance, kept inside what the press and one reader's log report (van load space
+12 to +20 K, metal box +8 to +18 K on a clear afternoon).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from honeyhold.heat.holidays import post_day_after

INDOORS_C = 24.0


@dataclass(frozen=True)
class Surroundings:
    """Air around the parcel = outdoors x (outdoor air + sun_k_per_w_m2 x sunshine) + (1 - outdoors) x
    INDOORS_C.
    """

    words: str
    outdoors: float
    sun_k_per_w_m2: float
    open_from: float | None = None  # the least share of outdoor air where a shed or trailer is not cooled

    def share(self, openness: float | None) -> float:
        """Give the share of outdoor air: as tabled where sheds are cooled (None), else from the least to all of it (openness 0 to 1)."""
        if openness is None or self.open_from is None:
            return self.outdoors
        return self.open_from + (1 - self.open_from) * openness


def box_gain(absorptance: float, sunlit_share: float, film_w_per_m2_k: float) -> float:
    """Give the warming in K per W/m2 of a thin sunlit box in balance: absorbed sun over what its whole
    surface gives off.

    The sol-air relation (ASHRAE Fundamentals) with the sunlit share of the surface.
    """
    return absorptance * sunlit_share / film_w_per_m2_k


SURROUNDINGS = {
    "house": Surroundings("in the house", 0.0, 0.0),
    # Pale roof, little wind: 16 K at 900 W/m2 under the roof; a parcel among others stands in about 6 tenths
    # of that.
    "van": Surroundings("in the van", 1.0, 0.6 * box_gain(0.5, 0.35, 10.0)),
    # Shares of outdoor air, cooled and open, fitted by `scripts/fit_heat` to what mailed loggers met; see the README.
    "depot": Surroundings("in the depot", 0.3, 0.003, 0.3),
    "road": Surroundings("on the road", 0.3, 0.003, 0.3),
    "counter": Surroundings("at the post office counter", 0.0, 0.0),
    "home": Surroundings("indoors", 0.0, 0.0),
}
# Film 15 W/m2K: between ASHRAE's 22.7 for a summer wind and still air.
MAILBOXES = {
    "metal_sun": Surroundings("in the mailbox", 1.0, box_gain(0.6, 0.33, 15.0)),
    "metal_dark_sun": Surroundings("in the dark mailbox", 1.0, box_gain(0.9, 0.33, 15.0)),
    "metal_shade": Surroundings("in the shaded mailbox", 1.0, 0.004),
    "porch_sun": Surroundings("on the sunny porch", 1.0, box_gain(0.7, 0.3, 10.0)),  # brown carton
    "porch_shade": Surroundings("on the shaded porch", 1.0, 0.002),
    "indoors": Surroundings("indoors", 0.0, 0.0),
}
# Where a carton ends that cannot enter the mailbox: half of such porches in the sun, half in the shade (our own estimate).
PORCH = Surroundings("on the porch", 1.0, (MAILBOXES["porch_sun"].sun_k_per_w_m2 + MAILBOXES["porch_shade"].sun_k_per_w_m2) / 2)


def last_stop(mailbox: str, enters: bool) -> str:
    """Give where a parcel ends: the mailbox named, or the porch if it cannot enter a box of metal."""
    return "porch" if mailbox.startswith("metal") and not enters else mailbox


@dataclass(frozen=True)
class Stop:
    """One stay: its name, its surroundings, the hours from leaving it spans, and how far along the way (0
    origin, 1 destination).
    """

    name: str
    around: Surroundings
    from_hour: int
    to_hour: int
    along_from: float
    along_to: float


@dataclass(frozen=True)
class Luck:
    """What may differ between two parcels posted together: postal days on the way, hours on the day of
    delivery.
    """

    post_days: int
    delivered_hour: int
    collected_hour: int  # beyond 24: the day after


def luck_of(shares: Sequence[float], transit: tuple[int, int, int]) -> Luck:
    """Turn three even numbers 0..1 into a luck (all common practice, no source): a quarter of parcels a day
    late, 15 % a day early.

    Delivered between 10 and 4; 15 % taken in at once, 8 % lie until the next afternoon, others until 4 to 8
    pm.
    """
    on_way, hour, home = shares
    days = transit[0] if on_way < 0.15 else transit[1] if on_way < 0.75 else transit[2]
    delivered = 10 + int(6 * hour)
    if home < 0.15:
        return Luck(days, delivered, delivered)
    if home >= 0.92:
        return Luck(days, delivered, 41)
    return Luck(days, delivered, max(delivered + 1, 16 + int(4 * (home - 0.15) / 0.77)))


def stops_of(leave_on: date, leave_hour: int, luck: Luck, mailbox: str, hold: bool = False) -> list[Stop]:
    """Give the stays of a parcel in order, without holes. `leave_on` must be a day with post."""
    day_of_arrival = (post_day_after(leave_on, luck.post_days) - leave_on).days
    midnight = 24 * day_of_arrival - leave_hour
    at_depot = min(6, midnight + 4)
    off_road = at_depot + ceil(0.65 * (midnight + 4 - at_depot))
    out = midnight + 8
    stays = [("van", 2, 0.0), ("depot", at_depot, 0.0), ("road", off_road, 1.0), ("depot", out, 1.0)]
    if hold:
        stays.append(("counter", midnight + 17, 1.0))
        last = midnight + 17
    else:
        last = midnight + luck.collected_hour
        stays += [("van", midnight + luck.delivered_hour, 1.0), ("mailbox", last, 1.0)]
    stays.append(("home", last + 3, 1.0))
    stops, start, place = [], 0, 0.0
    for name, end, reached in stays:
        if end > start:
            stops.append(Stop(*_stay(name, mailbox), start, end, place, reached))
            start = end
        place = reached
    return stops


def _stay(name: str, mailbox: str) -> tuple[str, Surroundings]:
    """Give a stay's own name and surroundings; the last one is named by where it is."""
    if name != "mailbox":
        return name, SURROUNDINGS[name]
    return "porch" if mailbox.startswith("porch") else name, PORCH if mailbox == "porch" else MAILBOXES[mailbox]


def air_around(
    stops: Sequence[Stop], leave_hour: int, outdoor: tuple[Sequence[float], Sequence[float]],
    sunshine: tuple[Sequence[float], Sequence[float]], sun_gain: float, openness: float | None = None,
) -> tuple[list[float], list[float]]:  # fmt: skip
    """Give the air around the parcel and the air outdoors where it is, at every hour mark from leaving to the
    end of the last stop.

    `outdoor` (C) and `sunshine` (W/m2) are hourly from midnight of the day of leaving, at the origin and at
    the destination; `sun_gain` scales every gain (how sunny the box stands), `openness` how open sheds and trailers stand
    (None: they are cooled).
    """
    around: list[float] = []
    outside: list[float] = []
    for stop in stops:
        share, gain = stop.around.share(openness), stop.around.sun_k_per_w_m2 * sun_gain
        still = (1 - share) * INDOORS_C
        along = stop.along_from
        step = (stop.along_to - along) / (stop.to_hour - stop.from_hour)
        for clock in range(leave_hour + stop.from_hour, leave_hour + stop.to_hour):
            out, sun = outdoor[1][clock], sunshine[1][clock]
            if along < 1:
                out += (1 - along) * (outdoor[0][clock] - out)
                sun += (1 - along) * (sunshine[0][clock] - sun)
            outside.append(out)
            around.append(share * (out + gain * sun) + still)
            along += step
    return [*around, around[-1]], [*outside, outside[-1]]
