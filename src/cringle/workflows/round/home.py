"""Home after sailing: the crew's own guess first, then what the log says, and what to do with it.

Nothing here names a person: what is to be done goes to a role.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from cringle.book.entries import Entry, NewEntry
from cringle.book.outing_notes import Goal
from cringle.book.outings import Outing, settings_in_force
from cringle.book.rows import time_text
from cringle.errors import CringleError, InputError
from cringle.settings.names import known_name
from cringle.track.debrief.debrief import Debrief
from cringle.track.debrief.race import Race
from cringle.track.ledger.baseline import BASELINES as LEDGER_BASELINES
from cringle.track.ledger.interval import Ledger
from cringle.workflows.afloat.logs import DebriefWishes, debrief_log, list_logs
from cringle.workflows.afloat.logs_race import RaceWishes
from cringle.workflows.book_open import Records, open_records
from cringle.workflows.outings.moments import Clock, require_unlocked, utc_now
from cringle.workflows.outings.outing import chosen_outing, outing_index, outing_named
from cringle.workflows.round.goals import GoalSeen, goals_kept, goals_seen

BASELINES: Final = tuple(one for one in LEDGER_BASELINES if one != "boat")
"""What a day can be held against; another boat's log is no baseline of home."""

GUESS, REVEAL, CONFIRMED = "crew_guess", "home_reveal", "settings_confirmed"

CAUSES: Final = {
    "heel": "heel off its number",
    "angle": "steering too high or too low",
    "trim": "sails not set right",
    "tack": "tacks",
    "gybe": "gybes",
    "set": "hoists",
    "drop": "drops",
    "extra_distance": "water sailed for nothing",
    "stopped": "lying still",
    "start": "the start",
    "tactics": "where we went",
}
"""What a crew can guess cost the most; the last two no log of one boat can tell."""

UNSEEN: Final = ("start", "tactics")
INFERRED: Final = "inferred"


@dataclass(frozen=True)
class Guess:
    """What the crew thought cost the most, before they saw the log."""

    cause: str
    words: str


@dataclass(frozen=True)
class Home:
    """What owner and crew read at home.

    Parameters
    ----------
    outing : Outing
        The day.
    guess : Guess or None
        The crew's own, said before the reveal; None when they skipped it.
    unknown : tuple of str
        What the data cannot tell; first on every page.
    debrief : Debrief or None
        What the log says; None without a log of this day.
    goals : tuple of GoalSeen
        Goals of the outing against the data.
    in_force : mapping
        Role to number and unit, as noted last on the day.
    confirmed : bool
        Whether the crew has confirmed those.
    goals_before : tuple of GoalSeen
        Goals that the outing before left open, against the data of this one.
    """

    outing: Outing
    guess: Guess | None
    unknown: tuple[str, ...]
    debrief: Debrief | None
    goals: tuple[GoalSeen, ...]
    in_force: Mapping[str, tuple[float, str]]
    confirmed: bool
    goals_before: tuple[GoalSeen, ...] = ()

    @property
    def race(self) -> Race | None:
        """The race inside the log."""
        return None if self.debrief is None else self.debrief.race

    @property
    def verdict(self) -> str:
        """How the crew's guess compares with what was found, in a sentence."""
        return _verdict(self.guess, self.race)


@dataclass(frozen=True)
class HomeAsked:
    """Which outing (None the newest), against which baseline, and whether the crew makes no guess."""

    outing: str | None = None
    baseline: str = "model"
    no_guess: bool = False


def guess(folder: Path, cause: str, *, words: str = "", who: str, outing: str | None = None) -> Guess:
    """Keep what the crew thinks cost the most, before they see what the log says.

    Raises
    ------
    InputError
        It is no cause, or they have seen the log already.
    """
    name = known_name(cause, CAUSES, what="cause")
    with open_records(folder, who=who) as records:
        day = chosen_outing(records, outing)
        if records.book.one(REVEAL, day.id) is not None:
            raise InputError(
                f"outing {day.id} has been revealed: a guess after that is none", next_step="guess next time"
            )
        stands = records.book.one(GUESS, day.id)
        payload = {"value": name, "words": words}
        entry = NewEntry(GUESS, day.id, payload, base_id=stands.id if stands else None)
        records.book.write([entry], why="the crew's own guess")
    return Guess(name, words)


def home(folder: Path, asked: HomeAsked | None = None, *, who: str, clock: Clock = utc_now) -> Home:
    """Return what the log of an outing says, after the crew's own guess.

    Parameters
    ----------
    folder : Path
        The book.
    asked : HomeAsked, optional
        Which outing, which baseline.
    who : str
        Who asks; the reveal is kept.
    clock : callable
        Gives the present instant.

    Raises
    ------
    RuleError
        They are racing.
    InputError
        There is no outing, it has not ended, or the crew has not guessed yet.
    """
    wanted = asked or HomeAsked()
    known_name(wanted.baseline, BASELINES, what="baseline")
    require_unlocked(folder, who=who, clock=clock)
    with open_records(folder, who=who) as records:
        day = chosen_outing(records, wanted.outing)
        carried = _open_goals_before(records, day)
        said = _guess_of(records, day.id)
        revealed = records.book.one(REVEAL, day.id) is not None
        confirmed = records.book.one(CONFIRMED, day.id) is not None
    if said is None and not revealed and not wanted.no_guess:
        raise InputError(
            f"nobody has guessed yet what cost the most on {day.id}",
            next_step=f"first: cringle home --guess CAUSE, one of {', '.join(CAUSES)}; or --no-guess",
        )
    debrief, notes = _debrief_of(folder, day, wanted)
    found = Home(
        outing=day,
        guess=said,
        unknown=(*_still_open(day), *notes, *_unknown(debrief)),
        debrief=debrief,
        goals=goals_seen(day.goals, None if debrief is None else debrief.race),
        goals_before=goals_seen(carried, None if debrief is None else debrief.race),
        in_force=_in_force(day),
        confirmed=confirmed,
    )
    _keep_reveal(folder, found, who)
    return found


def _open_goals_before(records: Records, day: Outing) -> tuple[Goal, ...]:
    """Return the goals that the outing before left open: they were what this one was sailed for."""
    before = [one.id for one in outing_index(records) if (one.started, one.id) < (day.started, day.id)]
    if not before:
        return ()
    return tuple(one for one in outing_named(records, before[-1]).goals if one.state == "open")


def _guess_of(records: Records, name: str) -> Guess | None:
    entry: Entry | None = records.book.one(GUESS, name)
    if entry is None or entry.is_blank:
        return None
    return Guess(str(entry.value), str(entry.payload.get("words", "")))


def _still_open(day: Outing) -> tuple[str, ...]:
    words = f"Outing {day.id} was never ended: it is taken to go on until now."
    return (words,) if day.is_open else ()


def _unknown(debrief: Debrief | None) -> tuple[str, ...]:
    if debrief is None:
        return ()
    race = () if debrief.race is None else debrief.race.notes
    last = "A log of one boat cannot tell the start or where others went."
    return tuple(dict.fromkeys((*debrief.unknown, *race, last)))


def _debrief_of(folder: Path, day: Outing, wanted: HomeAsked) -> tuple[Debrief | None, tuple[str, ...]]:
    """Return the debrief of the day's longest log, and what had to be assumed."""
    own = {one.sha256 for one in day.logs}
    logs = sorted((one for one in list_logs(folder) if one.sha256 in own), key=lambda one: -one.rows)
    if not logs:
        return None, (f"There is no log of {day.id}: nothing was measured, so nothing is said of losses.",)
    longest = f"{len(logs)} logs of the day: the longest, {logs[0].name}, is taken."
    notes = (longest,) if len(logs) > 1 else ()
    try:
        found, more = debrief_of_day(folder, day, logs[0].sha256, baseline=wanted.baseline)
    except CringleError as error:
        return None, (*notes, f"The log {logs[0].name} cannot be used: {error.message}.")
    return found, (*notes, *more)


def debrief_of_day(
    folder: Path, day: Outing, key: str, *, baseline: str = "model"
) -> tuple[Debrief, tuple[str, ...]]:
    """Return the debrief of a log with the sea and, where it has no wind, the wind noted on its day.

    Parameters
    ----------
    folder : Path
        The book.
    day : Outing
        To which the log belongs.
    key : str
        Hash of the log.
    baseline : str
        ``model``, ``fitted`` or ``own``.

    Returns
    -------
    found, notes
        The debrief, and what had to be assumed.
    """
    race = RaceWishes(baseline=baseline, sea=_sea(day))
    found = debrief_log(Path(key), book=folder, wishes=DebriefWishes(race=race, prefer=day.day))
    if not (day.winds and _is_inferred(found)):
        return found, ()
    wind = day.winds[-1]
    race = replace(race, wind_kn=wind.wind_kn, wind_height_m=wind.height_m)
    found = debrief_log(Path(key), book=folder, wishes=DebriefWishes(race=race, prefer=day.day))
    return found, (f"The log has no wind speed: the {wind.wind_kn:g} kn noted last are taken.",)


@dataclass(frozen=True)
class GuessSeen:
    """How a day stands at home.

    Parameters
    ----------
    guess : Guess or None
        What the crew guessed.
    revealed : bool
        Whether they have seen what the log says.
    in_force : mapping
        Role to number and unit, as noted last on the day.
    confirmed : bool
        Whether the crew has confirmed those.
    """

    guess: Guess | None
    revealed: bool
    in_force: Mapping[str, tuple[float, str]]
    confirmed: bool


def guess_seen(folder: Path, outing: str | None = None) -> GuessSeen:
    """Return how a day stands at home; None is the one that goes on, else the newest."""
    with open_records(folder) as records:
        day = chosen_outing(records, outing)
        return GuessSeen(
            _guess_of(records, day.id),
            records.book.one(REVEAL, day.id) is not None,
            _in_force(day),
            records.book.one(CONFIRMED, day.id) is not None,
        )


def _sea(day: Outing) -> str:
    return day.seas[-1].sea if day.seas else "chop"


def _is_inferred(found: Debrief) -> bool:
    return found.race is not None and found.race.wind.strength_source == INFERRED


def _in_force(day: Outing) -> dict[str, tuple[float, str]]:
    last = max((one.at for one in day.settings), default=day.started)
    return {role: (note.value, note.unit) for role, note in settings_in_force(day, last).items()}


def _verdict(said: Guess | None, race: Race | None) -> str:
    if said is None:
        return "No guess was made."
    words = f"You guessed: {CAUSES[said.cause]}."
    if said.cause in UNSEEN:
        return f"{words} No log of one boat can tell that."
    if race is None or race.ledger is None:
        return f"{words} Nothing measured to hold it against."
    return f"{words} {_held_against(said.cause, race.ledger)}"


def _held_against(cause: str, ledger: Ledger) -> str:
    shown = [one.name for one in ledger.shown if one.seconds > 0.0]
    if cause in ledger.withheld:
        return "It cannot be told apart from other causes in this log."
    if cause not in shown:
        return "The log shows little of it."
    place, cost = shown.index(cause) + 1, ledger.part(cause).seconds
    if place == 1:
        return f"So does the log: {cost:.0f} s."
    return f"In the log it is number {place}, {cost:.0f} s; first is {CAUSES.get(shown[0], shown[0])}."


def _keep_reveal(folder: Path, found: Home, who: str) -> None:
    """Keep that the log was seen, with its ledger in short for the season's plan; the same twice is once."""
    goals = goals_kept((*found.goals, *found.goals_before))
    began = time_text(found.outing.started)
    payload: dict[str, Any] = {"value": began, **_ledger_short(found), "goals": goals}
    with open_records(folder, who=who) as records:
        stands = records.book.one(REVEAL, found.outing.id)
        if stands is not None and dict(stands.payload) == payload:
            return
        entry = NewEntry(REVEAL, found.outing.id, payload, base_id=stands.id if stands else None)
        records.book.write([entry], why="home")


def _ledger_short(found: Home) -> dict[str, Any]:
    race = found.race
    if race is None or race.ledger is None:
        return {"lost_s": None, "sailed_s": None, "baseline": None}
    shown = {one.name: round(one.seconds, 1) for one in race.ledger.shown}
    return {"lost_s": shown, "sailed_s": round(race.ledger.sailed_s, 1), "baseline": race.ledger.baseline}


def confirm_settings(folder: Path, *, who: str, outing: str | None = None) -> dict[str, tuple[float, str]]:
    """Confirm the settings noted as in force on an outing; nothing is confirmed that nobody noted.

    Raises
    ------
    InputError
        No settings were noted.
    """
    with open_records(folder, who=who) as records:
        day = chosen_outing(records, outing)
        found = _in_force(day)
        if not found:
            raise InputError(
                f"no settings were noted on {day.id}", next_step="run: cringle outing set ROLE=NUMBER"
            )
        stands = records.book.one(CONFIRMED, day.id)
        payload = {"value": {role: value for role, (value, _) in found.items()}}
        entry = NewEntry(CONFIRMED, day.id, payload, base_id=stands.id if stands else None)
        records.book.write([entry], why="settings in force confirmed")
    return found
