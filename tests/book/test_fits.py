from __future__ import annotations

import pytest

from cringle.book.connect import engine_for, reading
from cringle.book.fits import NewFit, all_fits
from cringle.book.store import Book
from cringle.errors import InputError


def test_every_fit_stays(book: Book) -> None:
    saved = [book.save_fit(NewFit({"hull": 1.0 + step / 100}, [[0.01]], f"{step}", "1")) for step in range(3)]
    engine = engine_for(book.path)
    with reading(engine, book.path) as connection:
        assert all_fits(connection) == saved
    engine.dispose()
    assert [fit.id for fit in saved] == [1, 2, 3]


def test_a_fit_that_is_no_number_is_refused(book: Book) -> None:
    with pytest.raises(InputError, match="cannot be kept"):
        book.save_fit(NewFit({"hull": float("nan")}, [[0.01]], "a", "1"))
    assert book.latest_fit() is None
