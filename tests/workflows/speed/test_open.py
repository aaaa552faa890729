from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from cringle.book.fits import NewFit
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.speed.ensemble import FACTOR_NAMES
from cringle.workflows.speed.cache import MODEL_VERSION
from cringle.workflows.speed.open import SpeedAsked, fitted_of, open_speed

FACTORS = {name: 1.0 + 0.01 * place for place, name in enumerate(FACTOR_NAMES)}
COVARIANCE = [[1e-4 if i == j else 0.0 for j in range(len(FACTORS))] for i in range(len(FACTORS))]
FOUND = NewFit(FACTORS, COVARIANCE, "0" * 64, MODEL_VERSION)


@pytest.fixture
def fitted_folder(book_folder: Path) -> Path:
    with Book.open(book_folder, create=True) as book:
        book.save_fit(FOUND)
    return book_folder


def test_a_book_without_records_has_no_fit(book_folder: Path) -> None:
    found = open_speed(book_folder)
    assert found.fit is None
    assert found.fitted is None


def test_the_newest_fit_is_in_the_model(fitted_folder: Path, book_folder: Path) -> None:
    found = open_speed(fitted_folder)
    assert found.fitted is not None
    assert vars(found.fitted.factors) == FACTORS
    assert found.model.around.factors == found.fitted.factors


@pytest.mark.parametrize(
    "found",
    [
        replace(FOUND, model_version="of another time"),
        replace(FOUND, factors={"sail_power": 1.1}, covariance=[[1e-4]]),
    ],
    ids=["version", "factors"],
)
def test_a_fit_of_another_model_is_not_used(book_folder: Path, found: NewFit) -> None:
    with Book.open(book_folder, create=True) as book:
        kept = book.save_fit(found)
    assert fitted_of(kept) is None
    opened = open_speed(book_folder)
    assert opened.fit == kept
    assert opened.fitted is None


def test_guests_and_people_make_the_weight(book_folder: Path) -> None:
    found = open_speed(book_folder, SpeedAsked(aboard=("Ines", "Tobias", "Marit=70")))
    assert [one.name for one in found.crew.people] == ["Ines", "Tobias", "Marit"]
    assert found.crew.mass_kg == sum(one.mass_kg for one in found.crew.people)
    assert_allclose(found.model.crew.mass_kg, found.crew.mass_kg)


def test_the_ensemble_has_as_many_boats_as_asked(book_folder: Path) -> None:
    assert len(open_speed(book_folder, SpeedAsked(members=3)).boats) == 3


def test_files_with_mistakes_and_unknown_seas_are_refused(book_folder: Path) -> None:
    with pytest.raises(InputError, match="sea"):
        open_speed(book_folder, SpeedAsked(sea="swell"))
    (book_folder / "crew.toml").unlink()
    with pytest.raises(InputError, match=r"crew\.toml"):
        open_speed(book_folder)
