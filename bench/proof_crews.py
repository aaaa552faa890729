"""The three crews of the simulated season: one follows the tool, one changes at random, one never changes."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from bench.proof_world import BLOCK_S, TUNABLE, Habit, PairDay, Sailing, Truth, pair_logs, write_race
from cringle.book.store import Book
from cringle.settings.records import TonightRequest
from cringle.settings.tonight import Tonight
from cringle.track.simulator.simulate import SimBoat
from cringle.workflows.afloat.logs import read_into_book
from cringle.workflows.examples import examples_folder
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.goals import close_action
from cringle.workflows.outings.moments import lock, unlock
from cringle.workflows.outings.notes import WindSaid, note_sea, note_settings, note_wind
from cringle.workflows.outings.outing import Door, end_outing, start_outing
from cringle.workflows.round.dock import dock
from cringle.workflows.round.home import HomeAsked, guess, home
from cringle.workflows.round.route import route_action
from cringle.workflows.speed.boat_polar import boat_polar
from cringle.workflows.trials.accept import Place, decide, proposals
from cringle.workflows.trials.evidence import Tip, show_evidence, suggest_trials
from cringle.workflows.trials.result import ResultWish, judge_trial
from cringle.workflows.trials.trial import TrialWish, change_trial, plan_trial, start_trial, stop_trial

FIRST_DAY = datetime(2026, 4, 15, 16, 0, tzinfo=UTC)
WIND_FROM_DEG = 225.0
GEAR = "settled"
MOST_TRIAL_MIN, TRIALS_A_DAY = 45.0, 2
"""Longer than this nobody sails one trial before a race; what is planned beyond it is left out."""

BAD_AFTER = 3
"""A race is bad when it cost more than the middle one so far, from so many races on."""


def copied_book(folder: Path, first: Path) -> Path:
    """Copy a book whole, with the answers of the speed model that it keeps."""
    shutil.copytree(first, folder)
    return folder


def new_book(folder: Path) -> Path:
    """Make a book of the demo's boat with her first table and nothing else."""
    source = examples_folder()
    folder.mkdir(parents=True)
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(source / name, folder / name)
    shutil.copytree(source / "plays", folder / "plays")
    with Book.open(folder, create=True, who="coach"):
        pass
    import_csv(folder, source / "table.csv", source / "cues.csv", who="coach", why="first table")
    boat_polar(folder)
    return folder


def numbers_of(found: Tonight) -> dict[str, float]:
    """Return the settled number of every role on the page."""
    return {one.role: one.value for one in found.numbers.numbers if one.gear == GEAR}


@dataclass(frozen=True)
class First:
    """The first table's number and step of a role at each wind, read once."""

    folder: Path
    kept: dict[float, Tonight] = field(default_factory=dict, hash=False)

    def page(self, wind_kn: float) -> Tonight:
        """Return the page of the untouched book."""
        if wind_kn not in self.kept:
            self.kept[wind_kn] = dock(self.folder, TonightRequest(wind_kn=wind_kn)).tonight
        return self.kept[wind_kn]

    def steps(self, wind_kn: float, numbers: Mapping[str, float]) -> dict[str, float]:
        """Return how many steps numbers lie from the first table's."""
        page = self.page(wind_kn)
        first = numbers_of(page)
        return {role: (numbers[role] - first[role]) / page.scales[role].step for role in TUNABLE}

    def room(self, winds_kn: list[float]) -> dict[str, tuple[float, float]]:
        """Return how many steps each role's scale leaves on either side, at all of these winds."""
        found = {role: (-99.0, 99.0) for role in TUNABLE}
        for wind_kn in winds_kn:
            page = self.page(wind_kn)
            first = numbers_of(page)
            for role in TUNABLE:
                scale, (low, high) = page.scales[role], found[role]
                below, above = ((edge - first[role]) / scale.step for edge in (scale.low, scale.high))
                found[role] = (max(low, below), min(high, above))
        return found


@dataclass
class Same:
    """A crew that never changes anything."""

    first: First
    habit: Habit

    def before(self, wind_kn: float) -> Sailing:
        """Return how the race will be sailed."""
        page = self.first.page(wind_kn)
        return Sailing(wind_kn, dict.fromkeys(TUNABLE, 0.0), aim_of(page), self.habit)

    def after(self, boat: SimBoat, lost: float) -> None:
        """Learn nothing."""
        del boat, lost


def aim_of(page: Tonight) -> float:
    """Return the heel that the page tells the crew to hold upwind [deg]."""
    return 0.0 if page.heel_up is None else page.heel_up.value


@dataclass
class Random(Same):
    """A crew that moves one control by one step, at random and for good, after a bad race."""

    room: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    rng: np.random.Generator = field(default_factory=lambda: np.random.default_rng(0))
    steps: dict[str, float] = field(default_factory=lambda: dict.fromkeys(TUNABLE, 0.0))
    races: list[float] = field(default_factory=list)

    def before(self, wind_kn: float) -> Sailing:
        """Return how the race will be sailed."""
        return Sailing(wind_kn, dict(self.steps), aim_of(self.first.page(wind_kn)), self.habit)

    def after(self, boat: SimBoat, lost: float) -> None:
        """Change something when the race cost more than the middle one so far."""
        del boat
        if len(self.races) >= BAD_AFTER and lost > float(np.median(self.races)):
            role = str(self.rng.choice(TUNABLE))
            low, high = self.room[role]
            tried = self.steps[role] + float(self.rng.choice([-1.0, 1.0]))
            self.steps[role] = float(np.clip(tried, low, high))
        self.races.append(lost)


@dataclass
class Follower(Same):
    """A crew that does what the tool says: dock, trial, evidence, race, home.

    Parameters
    ----------
    first, habit
        As for all.
    folder : Path
        Their book.
    truth : Truth
        Only to sail by: nothing of it reaches the book but logs.
    rate : float
        Share of the bad heel that an evening with the drill takes away; 0 learns nothing.
    """

    folder: Path = Path()
    truth: Truth | None = None
    rate: float = 0.0
    outing: int = 0
    drills: int = 0
    moves: int = 0
    trials: int = 0

    @property
    def begun(self) -> datetime:
        """When this week's outing begins, UTC."""
        return FIRST_DAY + timedelta(weeks=self.outing)

    def door(self, at: datetime) -> Door:
        """Return the door of an instant."""
        return Door(self.folder, at=at.isoformat())

    def before(self, wind_kn: float) -> Sailing:
        """Go to the dock, sail the trials, move the table where the evidence asks, and set the numbers."""
        begun = self.begun
        request = TonightRequest(wind_kn=wind_kn)
        page = dock(self.folder, request).tonight
        start_outing(self.door(begun))
        note_wind(self.door(begun), WindSaid(wind_kn, direction_deg=WIND_FROM_DEG))
        note_sea(self.door(begun), "chop")
        note_settings(self.door(begun), numbers_of(page))
        tips = suggest_trials(self.folder, page.wind.wind_kn).tips
        for number, tip in enumerate(tips[:TRIALS_A_DAY]):
            self._try(number, page, tip, begun + timedelta(minutes=10 + 50 * number))
        page = dock(self.folder, request).tonight
        numbers = numbers_of(page)
        ready = begun + timedelta(minutes=115)
        note_settings(self.door(ready), numbers)
        lock(self.folder, request, who="coach")
        return Sailing(wind_kn, self.first.steps(wind_kn, numbers), aim_of(page), self.habit)

    def _try(self, number: int, page: Tonight, tip: Tip, at: datetime) -> None:
        wind_kn = page.wind.wind_kn
        wish = TrialWish({tip.role: tip.to}, wind_kn, other="Sorrel", against=tip.against)
        planned = plan_trial(self.folder, wish, who="coach")
        blocks = _blocks(min(planned.trial.minutes, MOST_TRIAL_MIN))
        start_trial(self.door(at))
        passed = 0
        for seconds in blocks[:-1]:
            passed += seconds
            change_trial(self.door(at + timedelta(seconds=passed)))
        stop_trial(self.door(at + timedelta(seconds=sum(blocks))))
        logs = self._sail_trial(number, page, (tip.role, tip.against, tip.to), (blocks, at))
        judge_trial(self.folder, ResultWish(ours=logs[0], other=logs[1]), who="coach")
        self.trials += 1
        for one in proposals(show_evidence(self.folder, role=tip.role)):
            decide(self.folder, Place(one.role, one.wind_kn), who="coach")
            self.moves += 1

    def _sail_trial(
        self,
        number: int,
        page: Tonight,
        tried: tuple[str, float, float],
        when: tuple[tuple[int, ...], datetime],
    ) -> tuple[Path, Path]:
        truth, wind_kn = self.truth, page.wind.wind_kn
        if truth is None:
            raise ValueError("no water to sail on")
        role, against, to = tried
        numbers = numbers_of(page)
        lost = [
            truth.lost_m_per_min(wind_kn, self.first.steps(wind_kn, {**numbers, role: value}))
            for value in (against, to)
        ]
        sailing = Sailing(wind_kn, {}, aim_of(page), self.habit)
        day = PairDay(wind_kn, when[0], lost[0], lost[1], TRIALS_A_DAY * self.outing + number, when[1])
        return pair_logs(truth, sailing, day, self.folder.parent)

    def after(self, boat: SimBoat, lost: float) -> None:
        """Go home: read the log, hear the crew, see what it says, and drill what it tells to change."""
        del lost
        begun, self.outing = self.begun, self.outing + 1
        unlock(self.folder, who="coach")
        end_outing(self.door(begun + timedelta(minutes=180)))
        log = write_race(self.folder.parent, boat, f"race-{self.outing}")
        read_into_book([log], book=self.folder, who="coach")
        guess(self.folder, "tactics", who="coach")
        found = home(self.folder, HomeAsked(), who="coach")
        advice = () if found.race is None else found.race.advice
        if any(one.cause == "heel" and one.kind in ("change", "try") for one in advice):
            words = next(one.how for one in advice if one.cause == "heel" and one.kind != "keep")
            drill = route_action(
                self.door(begun + timedelta(minutes=180)), words, route="drill", owner="crew"
            )
            close_action(self.door(begun + timedelta(minutes=190)), drill.action.id)
            self.habit = self.habit.drilled(self.rate)
            self.drills += 1


def _blocks(minutes: float) -> tuple[int, ...]:
    """Return an even number of blocks of like length, none longer than `BLOCK_S` [s]."""
    count = max(2, 2 * round(minutes * 60.0 / BLOCK_S / 2.0))
    return (int(minutes * 60.0 / count),) * count
