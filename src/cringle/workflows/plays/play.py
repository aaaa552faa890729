"""Plays: list, show, check, deal and sample them; each function is one thing a person does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from cringle.errors import InputError
from cringle.plays.activities import Stop
from cringle.plays.check import Checked, check_plan
from cringle.plays.crew import Hand, usual_deal
from cringle.plays.deal import LONGEST_THINK_S, Dealt, deal_play, usual_hands
from cringle.plays.duties import DutySheet, read_duties, sheet_of
from cringle.plays.play_file import PlayFile, ThreePoint
from cringle.plays.read import DUTIES_NAME, PlayText
from cringle.plays.rehearsal import Progress, learned, progress
from cringle.plays.shorten import without_idle_moves
from cringle.plays.simulate import Risk, RiskSettings, simulate
from cringle.workflows.plays.open import (
    PLAYS_FOLDER,
    CrewAsked,
    Playbook,
    chosen_hands,
    hands_of,
    library_folder,
    open_playbook,
)


@dataclass(frozen=True)
class Listed:
    """One line of the list of plays."""

    play: PlayFile
    own: bool
    runs: int


@dataclass(frozen=True)
class CheckedPlay:
    """A checked play with the people it was checked for and how it went so far."""

    text: PlayText
    checked: Checked
    hands: tuple[Hand, ...]
    progress: tuple[Progress, ...] = ()

    @property
    def play(self) -> PlayFile:
        """The play."""
        return self.text.play

    def name_of(self, person: str) -> str:
        """Return a person's name."""
        return next((one.name for one in self.hands if one.id == person), person)


@dataclass(frozen=True)
class DealtPlay:
    """A play dealt anew, and checked as dealt where a deal was found."""

    play: PlayFile
    dealt: Dealt
    hands: tuple[Hand, ...]
    usual: Mapping[str, str]
    checked: Checked | None

    def name_of(self, person: str) -> str:
        """Return a person's name."""
        return next((one.name for one in self.hands if one.id == person), person)


@dataclass(frozen=True)
class RiskOfPlay:
    """What many runs of a play say, with the times they were drawn from."""

    play: PlayFile
    checked: Checked
    risk: Risk
    learned: Mapping[str, ThreePoint]


def list_plays(folder: Path, *, technique: str | None = None, wind_kn: float | None = None) -> list[Listed]:
    """Return the plays of a book and of the library, those for a technique or a wind when asked."""
    book = open_playbook(folder)
    found = []
    for name in book.in_order():
        play = book.load(name).play
        fits_technique = technique is None or not play.techniques or technique in play.techniques
        fits_wind = wind_kn is None or play.wind_low_kn <= wind_kn <= play.wind_high_kn
        if fits_technique and fits_wind:
            runs = sum(one.play == play.id for one in book.runs)
            found.append(Listed(play, name in book.own, runs))
    return found


def check_play(folder: Path, name: str, *, asked: CrewAsked | None = None) -> CheckedPlay:
    """Check a play for tonight's crew in their own roles.

    Raises
    ------
    BookFileError
        The file has mistakes, or nobody has the role or skill of an action.
    RuleError
        RRS 42 forbids it.
    """
    return checked_in(open_playbook(folder), name, asked)


def checked_in(book: Playbook, name: str, asked: CrewAsked | None = None) -> CheckedPlay:
    """Check a play of a playbook that is open already."""
    text = book.load(name)
    hands = tuple(chosen_hands(book, asked or CrewAsked()))
    deal = usual_deal(text, hands)
    times = {key: three[1] for key, three in learned(text.play, book.runs).items()}
    lasting = {one.id: times.get(one.id, one.likely_s) for one in text.play.actions} if times else None
    checked = check_plan(text.play, book.aboard(hands), deal, durations_s=lasting)
    return CheckedPlay(text, checked, hands, tuple(progress(text.play.id, book.runs)))


def deal_anew(
    folder: Path, name: str, asked: CrewAsked, *, limit_s: float = LONGEST_THINK_S, stop: Stop | None = None
) -> DealtPlay:
    """Deal a play to other people: the shortest they can do, then the fewest changes from what they know."""
    if not 0.0 < limit_s <= 3600.0:
        raise InputError(f"limit: found {limit_s:g} s, accepted more than 0 up to 3600 s")
    book = open_playbook(folder)
    play = book.load(name).play
    hands = tuple(chosen_hands(book, asked))
    everybody = hands_of(book.files.crew_file, book.runs)
    usual = usual_hands(play, everybody)
    aboard = book.aboard(hands)
    dealt = deal_play(play, aboard, usual=usual, limit_s=limit_s, stop=stop)
    shorter = without_idle_moves(play, [one.role for one in hands])
    checked = check_plan(shorter, aboard, dealt.deal, like_s=dealt.start_s) if dealt.deal else None
    return DealtPlay(play, dealt, hands, usual, checked)


def risk_of(folder: Path, name: str, *, settings: RiskSettings | None = None) -> RiskOfPlay:
    """Sample a play many times, with the times learned from runs afloat where there are some."""
    book = open_playbook(folder)
    found = checked_in(book, name)
    if not found.checked.plan.feasible:
        raise InputError(
            f"{found.play.id} cannot be done as it is: {'; '.join(found.checked.plan.conflicts)}",
            next_step=f"run: cringle play check {found.play.id}",
        )
    times = learned(found.play, book.runs)
    return RiskOfPlay(
        found.play, found.checked, simulate(found.checked.plan, times=times, settings=settings), times
    )


def duties_of(folder: Path, aboard: tuple[str, ...] = ()) -> DutySheet:
    """Return the communication sheet of a book, or of the library where the book has none.

    Parameters
    ----------
    folder : Path
        The book.
    aboard : tuple of str
        Roles that sail tonight; all when empty.
    """
    own = folder / PLAYS_FOLDER / DUTIES_NAME
    sheet = read_duties(own if own.is_file() else library_folder() / DUTIES_NAME)
    unknown = [one for one in aboard if one not in sheet.file.roles]
    if unknown:
        raise InputError(
            f"no role {unknown[0]!r} in the duties", next_step=f"use one of: {', '.join(sheet.file.roles)}"
        )
    return sheet_of(sheet.file, aboard) if aboard else sheet
