"""A book as a server reads it: kept open, read again when a file or the history changes."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import Any, Final, TypeVar, cast

from cringle.boat.book_files import FILE_NAMES, BookFiles
from cringle.boat.read import read_book_files
from cringle.book.names import DATABASE_NAME
from cringle.book.store import Book
from cringle.errors import BookError, BookFileError, InputError
from cringle.settings.answer import answer, sail_set_asked
from cringle.settings.records import TonightRequest
from cringle.settings.tonight import ModelAnswers, Tonight
from cringle.workflows.books.history import batch_as_json, batches
from cringle.workflows.numbers.entries import SETTING
from cringle.workflows.numbers.tonight import boat_of, tonight_records
from cringle.workflows.outings.evening import Evening, evening_of
from cringle.workflows.outings.frozen import fixed_answer
from cringle.workflows.outings.moments import Moment, moment, utc_now
from cringle.workflows.speed.model_desk import ModelDesk
from cringle.workflows.speed.tonight import model_answers, tonight_with_model

MOST_KEPT: Final = 256
MOST_LOOKED_AT: Final = 200
PASSING: Final = frozenset(
    {
        "access",
        "action",
        "between_kept",
        "crew_guess",
        "departure_tick",
        "files_then",
        "goal",
        "home_reveal",
        "observation",
        "outing_end",
        "outing_start",
        "play_run",
        "preparatory_signal",
        "racing",
        "settings_confirmed",
        "survey_state",
        "tonight_asked",
        "trial",
        "trial_decision",
        "trial_result",
        "visit",
        "visit_photo",
    }
)
"""Kinds of entries that change nothing in what a log says."""

OF_TRIALS: Final = frozenset({"trial_decision", "trial_result"})
"""Those of them that change what the trials say."""
Found = TypeVar("Found")


@dataclass(frozen=True)
class Stamp:
    """Which state of a book an answer is of; equal stamps mean equal answers.

    Parameters
    ----------
    newest : int
        Id of the newest entry.
    place : tuple of int
        Device and inode of the database: another one when the book was replaced.
    files : tuple of int
        When each file was changed [ns]; 0 where there is none.
    answered : int
        How many questions the speed model has answered since the server started.
    """

    newest: int
    place: tuple[int, int]
    files: tuple[int, ...]
    answered: int = 0

    def __str__(self) -> str:
        return f"{self.newest}-{abs(hash((self.place, self.files, self.answered))):x}"


class Served:
    """One book, read by many at once.

    Parameters
    ----------
    folder : Path
        The book.
    with_model : bool
        Fill what the book does not say from the speed model, as the command line does. Where the model must
        compute first, the book's own answer is given at once and the model's follows as a change.
    """

    def __init__(self, folder: Path, *, with_model: bool = False) -> None:
        self.folder = folder
        self._desk = ModelDesk(folder) if with_model else None
        self._lock = Lock()
        self._book: Book | None = None
        self._place: tuple[int, int] | None = None
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()
        self._turns: dict[Hashable, Lock] = {}

    def stamp(self) -> Stamp:
        """Return the state of the book now; a preparatory signal that has passed fixes the content first.

        Raises
        ------
        BookError
            The book has gone, or cannot be read.
        """
        before = self._state()
        _, as_before = self._signal(before)
        return before if as_before else self._state()

    def _state(self) -> Stamp:
        place = self._place_now()
        book = self._opened(place)
        files = tuple(_changed(self.folder / name) for name in FILE_NAMES)
        return Stamp(book.newest(), place, files, self._desk.answered if self._desk else 0)

    def evidence(self, *, of_trials: bool = False) -> tuple[int, Stamp]:
        """Return the state of what logs are read with: equal states mean equal debriefs.

        Notes, guesses, ticks and the like do not change it; what trials said does when asked `of_trials`.
        """
        stamp = self.stamp()
        book = self._opened(stamp.place)
        passing = PASSING - OF_TRIALS if of_trials else PASSING

        def newest() -> int:
            last = book.history(limit=MOST_LOOKED_AT)
            telling = [one.id for one in last if one.key.kind not in passing]
            return max(telling, default=last[0].id if last else 0)

        found = self.kept(("evidence", of_trials, stamp.newest, stamp.place), newest)
        return found, replace(stamp, newest=0, answered=0)

    def files(self) -> BookFiles:
        """Return the files of the book, read again only when one has changed."""
        stamp = self.stamp()
        return self.kept(("files", stamp.files), lambda: read_book_files(self.folder))

    def tonight(self, request: TonightRequest, *, fixed_at: int | None = None) -> Tonight:
        """Return tonight's numbers; the same as the workflow's, from what is kept.

        Parameters
        ----------
        request : TonightRequest
            Wind, sea, sails and people.
        fixed_at : int, optional
            While racing: the conditions and numbers are those that were fixed then.
        """
        return self.kept(
            ("tonight", self.stamp(), request, fixed_at), lambda: self._answer(request, fixed_at)
        )

    def model(self, request: TonightRequest) -> ModelAnswers | None:
        """Return what the speed model adds, None while it has not computed it."""
        ready = self._desk is not None and self._desk.is_ready(self.stamp().files, request)
        return model_answers(self.folder, request) if ready else None

    def _answer(self, request: TonightRequest, fixed_at: int | None) -> Tonight:
        stamp = self.stamp()
        if self._desk is not None and self._desk.is_ready(stamp.files, request) and fixed_at is None:
            return tonight_with_model(self.folder, request)
        if fixed_at is not None:
            then = replace(self.evening(), request=request, fixed_at=fixed_at)
            return fixed_answer(
                self.folder, self._opened(stamp.place), then, with_model=self._desk is not None
            )
        files = self.kept(("files", stamp.files), lambda: read_book_files(self.folder))
        wanted = sail_set_asked(files.class_file, request.sail_set).id
        book = self._opened(stamp.place)
        records = self.kept(("records", stamp, wanted), lambda: tonight_records(book, wanted))
        return answer(boat_of(files), records, request)

    def evening(self) -> Evening:
        """Return the conditions the crew shares, and whether they are racing.

        A preparatory signal that has passed fixes the content first, here as at every other door.
        """
        stamp = self.stamp()
        book = self._opened(stamp.place)
        return self.kept(("evening", stamp), lambda: evening_of(book, self._middle_kn(book)))

    def signal(self) -> datetime | None:
        """Return the next preparatory signal, UTC; None when nobody has said when, or they race."""
        return self._signal(self._state())[0]

    def _signal(self, state: Stamp) -> tuple[datetime | None, bool]:
        """Return the next signal as a state of the book has it, and whether nothing was written meanwhile."""
        key = ("moment", state.newest, state.files)
        with self._lock:
            as_before = key in self._kept
        try:
            seen: Moment = self.kept(key, lambda: moment(self.folder))
            if seen.signal is not None and not seen.is_locked and seen.signal <= utc_now():
                seen, as_before = moment(self.folder), False
        except (BookFileError, InputError):
            return None, as_before  # a file with mistakes: whoever reads it is told
        return None if seen.is_locked else seen.signal, as_before

    def _middle_kn(self, book: Book) -> float | None:
        upwind = sail_set_asked(self.files().class_file, None).id
        winds = sorted({one.key.wind_kn or 0.0 for one in book.current(SETTING, sail_set=upwind)})
        return winds[len(winds) // 2] if winds else None

    def changes_since(self, entry_id: int) -> list[dict[str, Any]]:
        """Return what was written after an entry, batch by batch, as plain values."""
        book = self._opened(self._place_now())
        count = max(0, book.newest() - entry_id)
        found = book.history(limit=count) if count else []
        return [batch_as_json(one) for one in batches([one for one in found if one.id > entry_id])]

    def kept(self, key: Hashable, make: Callable[[], Found]) -> Found:
        """Return what is kept under a key, made now where there is nothing, by one for all who ask."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return cast(Found, self._kept[key])
            turn = self._turns.setdefault(key, Lock())
        with turn:
            with self._lock:
                if key in self._kept:
                    return cast(Found, self._kept[key])
            try:
                made = make()
                self._keep(key, made)
            finally:
                with self._lock:
                    self._turns.pop(key, None)
        return made

    def _keep(self, key: Hashable, made: Any) -> None:
        """Keep something; the oldest goes first."""
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)

    def close(self) -> None:
        """Let go of the database."""
        with self._lock:
            if self._book is not None:
                self._book.close()
            self._book, self._place = None, None

    def _place_now(self) -> tuple[int, int]:
        path = self.folder / DATABASE_NAME
        try:
            found = path.stat()
        except OSError as error:
            raise BookError(
                f"{path}: the book is not there any more ({error.strerror})",
                next_step="bring it back: cringle book restore",
            ) from error
        return found.st_dev, found.st_ino

    def _opened(self, place: tuple[int, int]) -> Book:
        with self._lock:
            if self._book is None or self._place != place:
                if self._book is not None:
                    self._book.close()
                self._book = Book.open(self.folder, who="server")
                self._place = place
            return self._book


def _changed(path: Path) -> int:
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0
