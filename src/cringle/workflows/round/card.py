"""Tonight's card: ask for tonight upwind and for the run, and put both on A6."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from cringle.boat.read import read_book_files
from cringle.boat.write import write_atomically
from cringle.output.card import CardInput, card_pdf
from cringle.settings.names import known_name
from cringle.settings.records import TonightRequest
from cringle.settings.tonight import ModelAnswers, Tonight
from cringle.workflows.numbers.display import shown
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.round.cues_row import with_cues


@dataclass(frozen=True)
class CardRequest:
    """Whose cards, and when they were printed.

    Parameters
    ----------
    person : str or None
        One person's card; everybody's numbers on one card when left out.
    each : bool
        One card for each person aboard, after the card for everybody.
    at : datetime or None
        Date on the card; now when left out.
    """

    person: str | None = None
    each: bool = False
    at: datetime | None = None


@dataclass(frozen=True)
class CardsMade:
    """What was written: the file, whose cards, in the order of the pages (front and back each)."""

    path: Path
    cards: tuple[str, ...]


def make_card(
    folder: Path,
    request: TonightRequest,
    out: Path,
    *,
    wanted: CardRequest | None = None,
    model: ModelAnswers | None = None,
) -> CardsMade:
    """Write tonight's card as a PDF.

    Parameters
    ----------
    folder : Path
        The book.
    request : TonightRequest
        Wind, sea, sails and people, as for `tonight`.
    out : Path
        The PDF; replaced whole or not at all.
    wanted : CardRequest, optional
        Whose cards; one for everybody when left out.
    model : ModelAnswers, optional
        What a speed model adds.

    Raises
    ------
    InputError
        The request cannot be answered, or that person is not aboard.
    BookError
        The records cannot be read, or the file cannot be written.
    """
    asked = wanted or CardRequest()
    up = with_cues(folder, tonight(folder, request, model=model))
    printed = local_time(folder, asked.at)
    downs = () if up.point == "down" else _runs(folder, request, model)
    people = _people(up, asked)
    up, *runs = (_in_display_units(folder, one) for one in (up, *downs))
    cards = [CardInput(up, tuple(runs), printed, one) for one in people]
    write_atomically(out, card_pdf(cards))
    return CardsMade(out, tuple(one or "everybody" for one in people))


def _in_display_units(folder: Path, one: Tonight) -> Tonight:
    """Return tonight with its sentences in the boat's display units."""
    notes = tuple(shown(folder, one.wind.notes))
    return replace(one, cautions=tuple(shown(folder, one.cautions)), wind=replace(one.wind, notes=notes))


def local_time(folder: Path, at: datetime | None) -> datetime:
    """Return an instant, or now, in the boat's time zone."""
    zone = ZoneInfo(read_book_files(folder).boat_file.boat.time_zone)
    return datetime.now(zone) if at is None else at.astimezone(zone)


def _runs(folder: Path, request: TonightRequest, model: ModelAnswers | None) -> tuple[Tonight, ...]:
    """Return tonight for every sail set of the run that has numbers."""
    sets = [one.id for one in read_book_files(folder).class_file.sail_sets if one.point == "down"]
    found = (tonight(folder, replace(request, sail_set=one), model=model) for one in sets)
    return tuple(one for one in found if one.numbers.numbers)


def _people(up: Tonight, asked: CardRequest) -> Sequence[str | None]:
    aboard = tuple(dict.fromkeys([*up.people, *(one.person for one in up.crew)]))
    if asked.each:
        return [None, *aboard]
    if asked.person is None:
        return [None]
    step = "name somebody aboard, or add them with --aboard"
    return [known_name(asked.person, aboard, what="person aboard", next_step=step)]
