"""Tonight's answer for the demo boat, made from its files without any records; and ink on rendered pages."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray

from cringle.boat.read import read_book_files
from cringle.findings import Number, Source
from cringle.settings.answer import Boat, answer
from cringle.settings.records import Records, TonightRequest
from cringle.settings.table import Cell, Table
from cringle.settings.tonight import Tonight

AT = datetime(2026, 6, 3, 17, 30, tzinfo=UTC)
MM_PER_INCH = 25.4


@pytest.fixture(scope="session")
def tonight_for(examples: Path) -> Callable[..., Tonight]:
    """Return a function: wind and sail set to tonight's answer."""
    files = read_book_files(examples)
    boat = Boat(files.class_file, files.boat_file, files.crew_file)
    rows = csv.DictReader((examples / "table.csv").read_text(encoding="utf-8").splitlines())
    cells = [
        Cell(
            row["sail_set"],
            row["sea"],
            float(row["wind_kn"]),
            row["gear"],
            row["role"],
            Number(float(row["value"]), row["unit"], Source(row["source"]), by="Ines", at=AT),
        )
        for row in rows
    ]

    def made(wind_kn: float = 11.0, sail_set: str | None = None, **more: object) -> Tonight:
        records = Records(table=Table.of(cells, []))
        return answer(boat, records, TonightRequest(wind_kn=wind_kn, sail_set=sail_set, **more))  # type: ignore[arg-type]  # options of a request

    return made


@pytest.fixture(scope="session")
def ink() -> Callable[..., NDArray[np.bool_]]:
    """Return a function: page of a PDF to an array, True where there is ink, at so many dots an inch."""

    def rendered(pdf: bytes, page: int = 0, dpi: int = 300) -> NDArray[np.bool_]:
        document = pypdfium2.PdfDocument(pdf)
        try:
            bitmap = document[page].render(scale=dpi / 72, grayscale=True)
            return np.asarray(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width) < 128
        finally:
            document.close()

    return rendered


@pytest.fixture(scope="session")
def pages() -> Callable[[bytes], list[tuple[float, float, str]]]:
    """Return a function: PDF to a list of width [mm], height [mm] and text of each page."""

    def read(pdf: bytes) -> list[tuple[float, float, str]]:
        document = pypdfium2.PdfDocument(pdf)
        try:
            return [
                (
                    page.get_width() / 72 * MM_PER_INCH,
                    page.get_height() / 72 * MM_PER_INCH,
                    page.get_textpage().get_text_bounded(),
                )
                for page in document
            ]
        finally:
            document.close()

    return read
