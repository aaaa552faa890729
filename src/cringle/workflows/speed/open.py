"""The speed model of the boat in a book: its files, the people aboard, the sea, and the newest fit."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from cringle.boat.book_files import BookFiles
from cringle.boat.crew_file import CrewFile
from cringle.boat.read import read_book_files
from cringle.book.fits import Fit
from cringle.book.names import DATABASE_NAME
from cringle.book.store import Book
from cringle.settings.aboard import people_aboard
from cringle.settings.names import known_name
from cringle.speed.ensemble import FACTOR_NAMES, MEMBERS, Fitted, members
from cringle.speed.factors import Factors
from cringle.speed.model import SEA_FETCH_M, SpeedModel, Surroundings
from cringle.workflows.speed.cache import MODEL_VERSION


@dataclass(frozen=True)
class SpeedAsked:
    """What a question to the speed model is about.

    Parameters
    ----------
    sea : str
        ``flat``, ``chop`` or ``waves``.
    aboard : tuple of str
        Names, or ``name=kg`` for a guest; empty for everybody of the crew file.
    members : int
        Boats in the ensemble.
    """

    sea: str = "chop"
    aboard: tuple[str, ...] = ()
    members: int = MEMBERS


@dataclass(frozen=True)
class SpeedBook:
    """A book's boat, ready to be asked.

    Parameters
    ----------
    files : BookFiles
        What the boat is.
    crew : CrewFile
        The people aboard.
    asked : SpeedAsked
        Sea and people.
    fit : Fit or None
        The newest fit in the book.
    """

    files: BookFiles
    crew: CrewFile
    asked: SpeedAsked
    fit: Fit | None

    @cached_property
    def fitted(self) -> Fitted | None:
        """Factors of the fit, None without one or when it is of another version of the model."""
        return None if self.fit is None else fitted_of(self.fit)

    @cached_property
    def model(self) -> SpeedModel:
        """The boat with the people aboard in that sea."""
        factors = Factors() if self.fitted is None else self.fitted.factors
        around = Surroundings(factors=factors, sea=self.asked.sea)
        return SpeedModel.from_files(self.files.class_file, self.crew, around)

    @cached_property
    def boats(self) -> tuple[SpeedModel, ...]:
        """Members of the ensemble."""
        return members(self.model, count=self.asked.members, fitted=self.fitted)


def fitted_of(fit: Fit) -> Fitted | None:
    """Return a kept fit for the model, or None when it is of another version."""
    if fit.found.model_version != MODEL_VERSION or set(fit.found.factors) != set(FACTOR_NAMES):
        return None
    rows = tuple(tuple(float(x) for x in row) for row in fit.found.covariance)
    return Fitted(Factors(**dict(fit.found.factors)), rows)


def open_speed(folder: Path, asked: SpeedAsked | None = None) -> SpeedBook:
    """Return the boat of a book for the speed model.

    Raises
    ------
    InputError
        Files with mistakes, an unknown sea or person.
    BookError
        The records cannot be read.
    """
    asked = asked or SpeedAsked()
    files = read_book_files(folder)
    known_name(asked.sea, SEA_FETCH_M, what="sea")
    people = people_aboard(files.crew_file, asked.aboard)
    crew = files.crew_file.model_copy(update={"people": people})
    return SpeedBook(files, crew, asked, _newest_fit(folder))


def _newest_fit(folder: Path) -> Fit | None:
    if not (folder / DATABASE_NAME).is_file():
        return None
    with Book.open(folder) as book:
        return book.latest_fit()
