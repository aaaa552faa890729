"""Tonight with the speed model: heel targets, places and the call for the run where the book has none.

The model's answers for all winds are computed once for a crew and a sea and then kept; nothing heavy is
loaded while they last.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from cringle.boat.book_files import BookFiles
from cringle.boat.read import read_book_files
from cringle.book.fits import Fit
from cringle.book.store import Book
from cringle.errors import CringleError, InputError
from cringle.findings import Number, Source
from cringle.settings.aboard import people_aboard
from cringle.settings.answer import answer, sail_set_asked
from cringle.settings.places import Place
from cringle.settings.records import Records, TonightRequest
from cringle.settings.tonight import Call, ModelAnswers, Tonight
from cringle.settings.winds import height_ratio
from cringle.workflows.numbers.tonight import boat_of, tonight_records
from cringle.workflows.speed.cache import MODEL_VERSION, kept

BY = f"speed model {MODEL_VERSION}"
QUESTION = "tonight"
MODEL_HEIGHT_M = 10.0

Tell = Callable[[str], None]


def silent(_words: str) -> None:
    """Tell nobody."""


def tonight_with_model(folder: Path, request: TonightRequest, *, tell: Tell = silent) -> Tonight:
    """Return tonight, with the speed model's answers where the book has nothing of its own.

    Parameters
    ----------
    folder : Path
        The book.
    request : TonightRequest
        Wind, sea, sails and people.
    tell : callable
        Told when the model must compute first, which takes some seconds, or cannot answer.

    Raises
    ------
    InputError
        There is no such book, or the request cannot be answered.
    BookError
        The records cannot be read.
    """
    files = read_book_files(folder)
    sail_set = sail_set_asked(files.class_file, request.sail_set)
    with Book.open(folder) as book:
        stand = Stand(files, tonight_records(book, sail_set.id), book.latest_fit())
    return whole_answer(folder, stand, request, tell=tell)


@dataclass(frozen=True)
class Stand:
    """A state of a book that an answer is drawn from: its files, its records and its newest fit."""

    files: BookFiles
    records: Records
    fit: Fit | None


def whole_answer(
    folder: Path, stand: Stand, request: TonightRequest, *, tell: Tell = silent, may_compute: bool = True
) -> Tonight:
    """Return tonight from a state of a book, with the speed model's answers where it has nothing of its own.

    Parameters
    ----------
    folder : Path
        The book, where answers are kept.
    stand : Stand
        The state.
    request : TonightRequest
        Wind, sea, sails and people.
    tell : callable
        Told when the model must compute first, or cannot answer.
    may_compute : bool
        Whether the model may compute; else only a kept answer counts.
    """
    boat = boat_of(stand.files)
    own = answer(boat, stand.records, request)
    if _complete(own, stand.files, request):
        return own
    model = answers_for(folder, stand.files, stand.fit, (request, own), tell, may_compute=may_compute)
    if model is None:
        return own
    whole = answer(boat, stand.records, request, model=model)
    return _said(whole, own, placed=bool(model.places))


def model_answers(folder: Path, request: TonightRequest, *, tell: Tell = silent) -> ModelAnswers | None:
    """Return what the speed model can add for a request, None where it has no answer for this wind."""
    files = read_book_files(folder)
    sail_set = sail_set_asked(files.class_file, request.sail_set)
    with Book.open(folder) as book:
        records, fit = tonight_records(book, sail_set.id), book.latest_fit()
    return answers_for(folder, files, fit, (request, answer(boat_of(files), records, request)), tell)


def _complete(own: Tonight, files: BookFiles, request: TonightRequest) -> bool:
    """Return whether the book answers everything the model could."""
    known = own.heel_up is not None and own.heel_down is not None
    same = people_aboard(files.crew_file, request.aboard) == files.crew_file.people
    return known and own.call is not None and own.posture is not None and same


def _said(whole: Tonight, own: Tonight, *, placed: bool) -> Tonight:
    """Return tonight with a note of what the model filled."""
    filled = [
        words
        for words, before, after in (
            ("heel up the wind", own.heel_up, whole.heel_up),
            ("heel down the wind", own.heel_down, whole.heel_down),
            ("the call for the run", own.call, whole.call),
        )
        if before is None and after is not None
    ]
    if placed:
        filled.append("places")
    if not filled:
        return whole
    note = f"computed by the {BY}, as the book has no entry of its own: {', '.join(filled)}"
    return replace(whole, notes=(*whole.notes, note), cautions=(*whole.cautions, note))


def answers_for(
    folder: Path,
    files: BookFiles,
    fit: Fit | None,
    asked: tuple[TonightRequest, Tonight],
    tell: Tell,
    *,
    may_compute: bool = True,
) -> ModelAnswers | None:
    """Return what the model adds to a book's own answer, kept or made now; None where it has none.

    Without `may_compute` only a kept answer counts.
    """
    request, own = asked
    people = people_aboard(files.crew_file, request.aboard)
    inputs = (
        files.class_file.model_dump_json(),
        files.crew_file.model_dump_json(),
        "\n".join(one.model_dump_json() for one in people),
        own.sea,
        "" if fit is None else f"{fit.id} {sorted(fit.found.factors.items())} {fit.found.model_version}",
    )

    def make() -> dict[str, Any]:
        if not may_compute:
            raise InputError("nothing is computed now", next_step="look before the signal")
        tell("computing the speed model's answers for these people and this sea, once; some ten seconds")
        from cringle.workflows.speed.tonight_table import tonight_table

        return tonight_table(folder, sea=own.sea, aboard=request.aboard)

    try:
        table = kept(folder, QUESTION, inputs, make)
    except CringleError as error:
        tell(f"the speed model has no answer: {error.message}")
        return None
    wind = own.wind.wind_kn * height_ratio(own.wind.height_m, MODEL_HEIGHT_M)
    found = read_table(table, wind, point=own.point)
    if found is None or own.posture is None:
        return found
    return replace(found, places=None)  # the row's own posture goes before the model's places


def read_table(table: Mapping[str, Any], wind_kn: float, *, point: str) -> ModelAnswers | None:
    """Return the answers for one wind from a kept table.

    Parameters
    ----------
    table : mapping
        From `speed_tonight_table.tonight_table`.
    wind_kn : float
        True wind at 10 m.
    point : str
        ``up`` or ``down``: whose places.
    """
    winds = table["winds_kn"]
    if not winds[0] <= wind_kn <= winds[-1]:
        return None
    near = min(range(len(winds)), key=lambda place: abs(winds[place] - wind_kn))
    seats = table[f"places_{point}"][near]
    call = table["calls"][near]
    return ModelAnswers(
        by=BY,
        heel_up=_heel(winds, table["heel_up_deg"], wind_kn),
        heel_down=_heel(winds, table["heel_down_deg"], wind_kn),
        places=None if seats is None else tuple(Place(**one) for one in seats),
        call=None if call is None else Call(**call),
        moment_ratio=_between(winds, table["moment_ratio"], wind_kn),
    )


def _heel(
    winds: Sequence[float], columns: Mapping[str, Sequence[float | None]], wind_kn: float
) -> Number | None:
    value, low, high = (_between(winds, columns[name], wind_kn) for name in ("value", "low", "high"))
    if value is None:
        return None
    return Number(float(round(value)), "deg", Source.COMPUTED, low=low, high=high, by=BY)


def _between(winds: Sequence[float], values: Sequence[float | None], wind_kn: float) -> float | None:
    """Return a value between two winds by a straight line; the nearer one where the other is not known."""
    after = next((place for place, one in enumerate(winds) if one >= wind_kn), len(winds) - 1)
    before = max(after - 1, 0)
    low, high = values[before], values[after]
    part = 0.0 if after == before else (wind_kn - winds[before]) / (winds[after] - winds[before])
    if low is None or high is None:
        near = high if part >= 0.5 else low
        return near if near is None or math.isfinite(near) else None
    return low + part * (high - low)
