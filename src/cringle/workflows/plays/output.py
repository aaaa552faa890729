"""Charts and cards of plays, written whole or not at all."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from cringle.boat.write import write_atomically
from cringle.errors import CringleError, InputError
from cringle.output.play_cards import CardPlay, CardStep, RoleCard, cards_pdf
from cringle.output.play_chart import Timeline, timeline_file
from cringle.plays.crew import Hand
from cringle.plays.lanes import LETTER_S, lanes_of
from cringle.plays.play_file import Action, PlayFile
from cringle.plays.weight import WeightStrip
from cringle.workflows.plays.open import CrewAsked, Playbook, open_playbook
from cringle.workflows.plays.play import CheckedPlay, checked_in
from cringle.workflows.plays.weight import strip_for

USUAL_S = 18.0
"""Length of a play for which words take their usual room on the time axis [s]."""


def timeline_of(found: CheckedPlay, strip: WeightStrip | None = None) -> Timeline:
    """Return what the chart of a checked play is made of."""
    play, plan = found.play, found.checked.plan
    names = {one.id: one.name for one in found.hands}
    techniques = ", ".join(one.value for one in play.techniques) or play.point
    subtitle = (
        f"{techniques}; {play.wind_low_kn:g} to {play.wind_high_kn:g} kn; done in {plan.makespan_s:.1f} s"
    )
    longest = max([plan.makespan_s or 0.0, *plan.cue_s.values()])
    lanes = lanes_of(plan, [one.id for one in found.hands], letter_s=LETTER_S * max(longest, 1.0) / USUAL_S)
    return Timeline(play.title, subtitle, lanes, names, strip)


def write_chart(
    folder: Path, name: str, out: Path, *, wind_kn: float | None = None, asked: CrewAsked | None = None
) -> Path:
    """Write the timeline of a play with the heel under it; the file's name says SVG or PNG.

    Raises
    ------
    InputError
        The play cannot be done as it is, or the file's name ends otherwise.
    """
    if out.suffix not in (".svg", ".png"):
        raise InputError(f"{out}: accepted are names that end in .svg or .png", next_step="give another name")
    book = open_playbook(folder)
    found = checked_in(book, name, asked)
    if found.checked.plan.makespan_s is None:
        raise InputError(
            f"{found.play.id} cannot be done as it is: {'; '.join(found.checked.plan.conflicts)}",
            next_step=f"run: cringle play check {found.play.id}",
        )
    strip = strip_for(book.files, found, wind_kn)
    write_atomically(out, timeline_file(timeline_of(found, strip), out.suffix))
    return out


def write_cards(
    folder: Path,
    out: Path,
    *,
    names: tuple[str, ...] = (),
    person: str | None = None,
    at: datetime | None = None,
) -> list[RoleCard]:
    """Write role cards as a PDF: one person a card, all plays or those named.

    Raises
    ------
    InputError
        Nobody has that id, or no play can be put on a card.
    """
    book = open_playbook(folder)
    hands = book.aboard().hands
    wanted = [one for one in hands if person in (None, one.id)]
    if not wanted:
        known = ", ".join(one.id for one in hands)
        raise InputError(f"nobody {person!r} in crew.toml", next_step=f"use one of: {known}")
    found = [_doable(book, name) for name in names or book.in_order()]
    boat = book.files.boat_file.boat
    cards = [
        RoleCard(one.name, one.role, boat.name, tuple(_on_card(play, one) for play in found))
        for one in wanted
    ]
    zone = ZoneInfo(boat.time_zone)
    printed = datetime.now(zone) if at is None else at.astimezone(zone)
    write_atomically(out, cards_pdf(cards, printed))
    return cards


def _doable(book: Playbook, name: str) -> CheckedPlay:
    found = checked_in(book, name)
    if found.checked.plan.makespan_s is None:
        raise CringleError(
            f"{name} cannot be done as it is, so it is not put on a card",
            next_step=f"run: cringle play check {name}",
        )
    return found


def _on_card(found: CheckedPlay, hand: Hand) -> CardPlay:
    play, plan = found.play, found.checked.plan
    mine = sorted(
        (one for one in play.actions if plan.deal[one.id] == hand.id), key=lambda one: plan.start_s[one.id]
    )
    steps = tuple(
        CardStep(
            _when(play, one), one.say, one.do, one.line or "", one.id in plan.critical and not one.background
        )
        for one in mine
    )
    spot = play.starting_spot(hand.role)
    start = "" if spot is None else f"{spot.station.replace('_', ' ')}, {spot.posture.value}"
    techniques = ", ".join(one.value for one in play.techniques) or play.point
    when = f"{techniques}, {play.wind_low_kn:g} to {play.wind_high_kn:g} kn"
    return CardPlay(play.title, when, start, steps, play.cautions)


def _when(play: PlayFile, action: Action) -> str:
    """Return what an action follows, in words."""
    parts = []
    if action.not_before_cue is not None:
        parts.append(f"at: {play.cue(action.not_before_cue).words.lower()}")
    if action.after:
        parts.append("after " + " and ".join(_short(play, one) for one in action.after))
    if action.starts_with:
        parts.append("together with " + " and ".join(_short(play, one) for one in action.starts_with))
    if action.ends_with:
        parts.append("ends together with " + " and ".join(_short(play, one) for one in action.ends_with))
    if action.before_cue is not None:
        parts.append(f"before: {play.cue(action.before_cue).words.lower()}")
    if action.not_until:
        parts.append("until " + " and ".join(_awaited(play, one) for one in action.not_until))
    return "; ".join(parts)


def _short(play: PlayFile, name: str) -> str:
    action = play.action(name)
    return f"“{action.say}”" if action.say else name.replace("_", " ")


def _awaited(play: PlayFile, name: str) -> str:
    if any(one.id == name for one in play.cues):
        return play.cue(name).words.lower()
    return _short(play, name)
