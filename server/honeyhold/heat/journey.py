"""One dressing on one day: carry the parcel through every draw and say what comes of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import sqrt
from typing import Any

from honeyhold.heat import harm
from honeyhold.heat.chance import normal_share_below, shifted_permille, words_of
from honeyhold.heat.network import run, temperatures_c
from honeyhold.heat.parcel import USUAL, Packed, Properties, pack_parcel
from honeyhold.heat.request import Question
from honeyhold.heat.stops import last_stop
from honeyhold.heat.weather import MORE_NEAR, Trip, Weather

HOUR_SHAPE_K = 1.0  # what the day's shape (2 K by the hour against records) leaves in a parcel that averages over hours
FAR_BELOW_SD = 4.0  # so many standard deviations below a limit the chance rounds to nothing
# A quarter of the draws (the first ones, which fill the space evenly) is enough where harm is plain: with three in ten of
# them harmed no more draws could bring the chance down to what a house accepts (up to 1 in 10).
GLANCE_PART = 4
PLAINLY_PERMILLE = 300
PLAIN_ACCEPT_PERMILLE = 100
NEAR_FROM, NEAR_TO = 0.15, 3.0  # a chance within these times what the house accepts is near it


@dataclass(frozen=True)
class Limit:
    """A temperature at which a harm begins, and how well it is known."""

    at_c: float
    sd_k: float

    def chance(self, peak_c: float) -> float:
        """Give the chance 0..1 that a peak passes this limit."""
        return normal_share_below((peak_c - self.at_c) / self.sd_k)


@dataclass(frozen=True)
class Limits:
    """The limits of one parcel: wax dented (by the warmth that its hours come to), slumped, run; honey loose, weeping; HMF dose of
    darkened honey.
    """

    wax: tuple[Limit, ...]
    honey: tuple[Limit, ...]
    dark_mg_per_kg: float
    shift_permille: int = 0
    own: Mapping[str, float] = field(default_factory=lambda: harm.THRESHOLDS)

    def wax_reaches(self, hourly_c: Sequence[float]) -> tuple[float, ...]:
        """Give what each limit of wax is held against: the warmth that its hours come to, and its peak."""
        peak = max(hourly_c)
        return harm.marking_warmth_c(hourly_c, self.own), peak, peak

    def honey_reaches(self, hourly_c: Sequence[float]) -> tuple[float, ...]:
        """Give what each limit of honey is held against: its peak."""
        peak = max(hourly_c)
        return peak, peak


def limits_of(question: Question, parcel: Mapping[str, Any]) -> Limits:
    """Give the limits of a parcel: its load on the wax, its thinnest honey, the heights of both ends."""
    own = question.thresholds

    def wide(sd_k: float) -> float:
        return sqrt(sd_k**2 + HOUR_SHAPE_K**2)

    dent = Limit(harm.mark_c(own, harm.load_on_wax_pa(parcel)), wide(own["wax_mark_sd_k"]))
    slump = Limit(own["wax_slump_c"], wide(own["wax_slump_sd_k"]))
    melt = Limit(own["wax_run_c"], wide(own["wax_run_sd_k"]))
    heights = [end["climate"]["elev_m"] for end in (question.origin, question.target)]
    pairs = [
        harm.honey_limits_c(
            own, piece.get("moisture_permille") or harm.MOISTURE_PERMILLE, heights, piece.get("glass", True), piece.get("set", False)
        )
        for piece in parcel["contents"]
        if piece["kind"] == "honey"
    ]
    sd_k = wide(own["honey_sd_k"])
    honey = tuple(Limit(min(column), sd_k) for column in zip(*pairs, strict=True))
    return Limits((dent, slump, melt), honey, own["honey_dark_mg_per_kg"], question.offset_permille, own)


@dataclass(frozen=True)
class Course:
    """One draw of one parcel: wax and honey skin temperature at every hour mark (empty where there is no such
    good).
    """

    trip: Trip
    wax_c: list[float]
    honey_c: list[float]


def course_of(packed: Packed, trip: Trip, house_c: float) -> Course:
    """Carry a parcel along a trip."""
    states = run(packed.network, packed.start_c(house_c), trip.around_c)
    wax = temperatures_c(packed.network, states, packed.wax) if packed.wax is not None else []
    honey = temperatures_c(packed.network, states, packed.honey) if packed.honey is not None else []
    return Course(trip, wax, honey)


@dataclass(frozen=True)
class Verdict:
    """What comes of one good or of a whole parcel, over all draws; chances in permille, whole."""

    word: str
    permille: int
    by_grade: tuple[int, ...]
    darkened: bool = False

    @property
    def chance_words(self) -> str:
        """The chance of any harm as odds."""
        return words_of(self.permille)


def _permille(chances: Sequence[float]) -> int:
    return round(1000 * sum(chances) / len(chances))


def _graded(reached_c: Sequence[Sequence[float]], limits: Sequence[Limit], shift: int) -> tuple[list[float], tuple[int, ...]]:
    """Give each draw's chance of any harm, and the permille of every grade, a worse one never likelier than a milder.

    `reached_c`: for each draw, what is held against each of the limits.
    """
    chances = [[limit.chance(at) for limit, at in zip(limits, reached, strict=True)] for reached in reached_c]
    any_harm = [max(row) for row in chances]
    grades = [_permille(any_harm)]
    for column in list(zip(*chances, strict=True))[1:]:
        grades.append(min(grades[-1], _permille(column)))
    return any_harm, tuple(shifted_permille(grade, shift) for grade in grades)


@dataclass(frozen=True)
class Judged:
    """The verdicts on wax, on honey (None without it) and on the parcel."""

    wax: Verdict | None
    honey: Verdict | None
    word: str
    permille: int
    harmless: bool


def judge(courses: Sequence[Course], limits: Limits, accept_permille: int, held: bool = False) -> Judged:
    """Judge a parcel over its draws. `held`: it lies at the counter from the last depot on, so that only the
    way there counts.
    """

    def part(course: Course, hourly_c: list[float]) -> list[float]:
        return hourly_c[: course.trip.hold_hour + 2] if held else hourly_c

    wax = honey = None
    shift = limits.shift_permille
    safe = [1.0] * len(courses)
    if courses[0].wax_c:
        any_harm, grades = _graded([limits.wax_reaches(part(course, course.wax_c)) for course in courses], limits.wax, shift)
        wax = Verdict(harm.word_for(grades, harm.WAX_WORDS, accept_permille), grades[0], grades)
        safe = [kept * (1 - chance) for kept, chance in zip(safe, any_harm, strict=True)]
    if courses[0].honey_c:
        any_harm, grades = _graded([limits.honey_reaches(part(course, course.honey_c)) for course in courses], limits.honey, shift)
        dark = [_is_dark(part(course, course.honey_c), limits) for course in courses]
        any_harm = [1.0 if is_dark else chance for chance, is_dark in zip(any_harm, dark, strict=True)]
        darkened = 1000 * sum(dark) > accept_permille * len(dark)
        word = harm.word_for(grades, harm.HONEY_WORDS, accept_permille)
        if darkened and word == "steady":
            word = "darkened"
        honey = Verdict(word, shifted_permille(_permille(any_harm), shift), grades, darkened)
        safe = [kept * (1 - chance) for kept, chance in zip(safe, any_harm, strict=True)]
    permille = shifted_permille(_permille([1 - kept for kept in safe]), shift)
    return _together(wax, honey, permille, accept_permille)


def _together(wax: Verdict | None, honey: Verdict | None, permille: int, accept_permille: int) -> Judged:
    """Name the worse of two verdicts; where only both chances together pass what the house accepts, the
    likelier one's first harm.
    """
    both = [verdict for verdict in (wax, honey) if verdict]
    worst = max(
        both,
        key=lambda verdict: (
            harm.SEVERITY[verdict.word],
            verdict.permille if harm.SEVERITY[verdict.word] else verdict is wax,
        ),
    )
    word, harmless = worst.word, permille <= accept_permille
    if not harmless and harm.SEVERITY[word] == 0:
        likelier = max(both, key=lambda verdict: verdict.permille)
        word = "dented" if likelier is wax else "loose"
    return Judged(wax, honey, word, permille, harmless)


def _is_dark(hourly_c: Sequence[float], limits: Limits) -> bool:
    return _may_darken(max(hourly_c), len(hourly_c), limits) and harm.hmf_dose_mg_per_kg(hourly_c) > limits.dark_mg_per_kg


def _may_darken(warmest_c: float, hours: int, limits: Limits) -> bool:
    # No way grows more than its warmest hour over and over: where even that is little enough, the sum is spared.
    return hours * harm.hmf_dose_mg_per_kg([warmest_c]) > limits.dark_mg_per_kg


class Dressed:
    """One dressing of the question: its network, made once, and its limits."""

    def __init__(self, question: Question, name: str, properties: Properties = USUAL) -> None:
        self.question = question
        self.parcel = question.dressings[name]
        self.packed = pack_parcel(self.parcel, properties)
        self.limits = limits_of(question, self.parcel)
        self.box = last_stop(question.mailbox, harm.enters_mailbox(self.parcel["outer_mm"], question.thresholds))
        self._harmless_below_c = min(
            self.limits.own["wax_floor_c"] - harm.FLOOR_BAND_K,
            *(limit.at_c - FAR_BELOW_SD * limit.sd_k for limit in (*self.limits.wax[1:], *self.limits.honey)),
        )
        self._kept: dict[date, list[Course]] = {}

    def courses_on(self, weather: Weather, leave_on: date) -> list[Course]:
        """Carry the parcel along the draws of a day of leaving, more of them where the verdict is near; kept, since the day asked
        about is looked at twice.
        """
        if leave_on not in self._kept:
            courses = self.courses(weather.trips(leave_on, self.box))
            more = self._more_draws(weather, courses)
            self._kept[leave_on] = courses + [self._course(weather.trip(leave_on, index, self.box)) for index in more]
        return self._kept[leave_on]

    def _more_draws(self, weather: Weather, courses: list[Course]) -> range:
        """Give the further draws to look at where the chance is near what the house accepts: noise must not decide."""
        accept = self.question.accept_permille
        near = NEAR_FROM * accept <= judge(courses, self.limits, accept).permille <= NEAR_TO * accept
        return range(weather.count, MORE_NEAR * weather.count if near else weather.count)

    def courses(self, trips: Sequence[Trip]) -> list[Course]:
        """Carry the parcel along every trip."""
        return [self._course(trip) for trip in trips]

    def has(self, leave_on: date) -> bool:
        """Tell whether all draws of a day were carried through already."""
        return leave_on in self._kept

    def judged(self, weather: Weather, leave_on: date, fully: bool = False) -> tuple[Judged, Judged]:
        """Judge the parcel delivered, and held at the counter; `fully`: never by a glance.

        A day on which even the hottest of all hours does nothing is done at once.
        """
        if self._cool(weather.hottest_hours(leave_on, self.box)):
            nothing = self._unharmed()
            return nothing, nothing
        glanced = {} if fully or leave_on in self._kept else self._glanced(weather, leave_on)
        plain = self._plain(weather, leave_on, list(glanced.values())) if glanced else None
        if plain:
            return plain
        if leave_on not in self._kept:
            count = weather.count
            courses = [glanced.get(index) or self._quick(weather.trip(leave_on, index, self.box)) for index in range(count)]
            more = self._more_draws(weather, courses)
            return self._judge(courses + [self._quick(weather.trip(leave_on, index, self.box)) for index in more])
        return self.judged_fully(weather, leave_on)

    def judged_fully(self, weather: Weather, leave_on: date) -> tuple[Judged, Judged]:
        """Judge as `judged` does, from every draw."""
        return self._judge(self.courses_on(weather, leave_on))

    def _judge(self, courses: Sequence[Course]) -> tuple[Judged, Judged]:
        accept = self.question.accept_permille
        return judge(courses, self.limits, accept), judge(courses, self.limits, accept, held=True)

    def _course(self, trip: Trip) -> Course:
        return course_of(self.packed, trip, self.question.house_c)

    def _quick(self, trip: Trip) -> Course:
        """Carry the parcel along a trip, or, where even its air does no harm, tell it by the warmest of its air: goods get no warmer."""
        warmest = max(self.question.house_c, *trip.around_c)
        # a course has the hour of leaving besides those of its air
        darkens = self.limits.honey and _may_darken(warmest, len(trip.around_c) + 1, self.limits)
        if darkens or warmest > self._harmless_below_c:
            return self._course(trip)
        return Course(trip, [warmest] if self.packed.wax is not None else [], [warmest] if self.limits.honey else [])

    def _glanced(self, weather: Weather, leave_on: date) -> dict[int, Course]:
        if self.question.accept_permille > PLAIN_ACCEPT_PERMILLE:
            return {}
        return {index: self._quick(weather.trip(leave_on, index, self.box)) for index in range(weather.count // GLANCE_PART)}

    def _plain(self, weather: Weather, leave_on: date, courses: Sequence[Course]) -> tuple[Judged, Judged] | None:
        if not courses:
            return None
        delivered, held = self._judge(courses)
        if delivered.permille < PLAINLY_PERMILLE:
            return None
        if held.permille >= PLAINLY_PERMILLE or not self.question.hold_allowed:
            return delivered, held
        ways = [self._quick(trip.to_counter) for trip in weather.trips(leave_on, self.box)]
        return delivered, judge(ways, self.limits, self.question.accept_permille, held=True)

    def soon_refused(self, weather: Weather, leave_on: date, held: bool) -> bool:
        """Tell whether a day is too hot by half the draws, stopping at those, hottest first, that use up what
        the house accepts.
        """
        half = weather.hottest_first
        accept, plain = self.question.accept_permille, replace(self.limits, shift_permille=0)
        most = max(chance for chance in range(1001) if shifted_permille(chance, self.limits.shift_permille) <= accept)
        left = most * len(half) + 1
        for index in half:
            course = course_of(self.packed, weather.passing_trip(leave_on, index, self.box), self.question.house_c)
            left -= judge([course], plain, accept, held).permille
            if left < 0:
                return True
        return False

    def _cool(self, worst: Trip) -> bool:
        course = course_of(self.packed, worst, self.question.house_c)
        limits = self.limits
        pairs = ((limits.wax_reaches, course.wax_c, limits.wax), (limits.honey_reaches, course.honey_c, limits.honey))
        if course.honey_c and _is_dark(course.honey_c, limits):
            return False
        return all(
            at < limit.at_c - FAR_BELOW_SD * limit.sd_k
            for reaches, hourly, own in pairs
            if hourly
            for at, limit in zip(reaches(hourly), own, strict=True)
        )

    def _unharmed(self) -> Judged:
        wax = Verdict("firm", 0, (0, 0, 0)) if self.packed.wax is not None else None
        honey = Verdict("steady", 0, (0, 0)) if self.packed.honey is not None else None
        return Judged(wax, honey, "firm" if wax else "steady", 0, True)
