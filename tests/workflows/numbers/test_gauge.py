from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from cringle.book.store import Book
from cringle.errors import BookFileError, InputError
from cringle.workflows.numbers.gauge import gauge_json, gauge_kept, study_gauge


def write(path: Path, spreads_mm: dict[str, float], *, far: bool = False) -> Path:
    random = np.random.default_rng(5)
    lines = ["person,mark,reading_mm,phase"]
    for phase, spread in spreads_mm.items():
        for person in ("Keo", "Marit"):
            for mark in (2, 4, 6, 8, 20 if far else 10):
                lines += [f"{person},{mark},{mark * 25 + spread * random.standard_normal():.2f},{phase}"] * 1
                lines += [f"{person},{mark},{mark * 25 + spread * random.standard_normal():.2f},{phase}"]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_a_study_is_judged_and_kept(book_folder: Path, tmp_path: Path) -> None:
    done = study_gauge(book_folder, "jib_sheet_port", write(tmp_path / "r.csv", {"before": 1.0}), who="Ines")
    assert done.study.verdict == "good"
    assert done.study.step_mm == 12.5
    assert done.change is None
    with Book.open(book_folder) as book:
        (kept,) = book.history("gauge_study")
    assert kept.key.subject == "jib_sheet_port"
    assert kept.payload["study"]["verdict"] == "good"
    assert kept.payload["change"] is None


def test_before_and_after(book_folder: Path, tmp_path: Path) -> None:
    path = write(tmp_path / "r.csv", {"before": 8.0, "after": 1.0})
    found = gauge_json(study_gauge(book_folder, "jib_sheet_port", path, who="Ines"))
    assert found["before"]["verdict"] == "too coarse"
    assert found["study"]["verdict"] == "good"
    assert found["change"]["words"].startswith("Better")


def test_mistakes_store_nothing(book_folder: Path, tmp_path: Path) -> None:
    path = write(tmp_path / "r.csv", {"before": 1.0}, far=True)
    with pytest.raises(InputError, match="no mark 20"):
        study_gauge(book_folder, "jib_sheet_port", path, who="Ines")
    path.write_text("person,mark,reading_mm\n", encoding="utf-8")
    with pytest.raises(InputError, match="no readings"):
        study_gauge(book_folder, "jib_sheet_port", path, who="Ines")
    path.write_text("person,mark,reading_mm\nKeo,1,x\n", encoding="utf-8")
    with pytest.raises(BookFileError, match="reading_mm"):
        study_gauge(book_folder, "jib_sheet_port", path, who="Ines")
    with pytest.raises(InputError, match="no control"):
        study_gauge(book_folder, "jibsheet", path, who="Ines")
    assert not (book_folder / "book.sqlite").exists()


def test_the_newest_study_of_a_control_is_kept_in_words(book_folder: Path, tmp_path: Path) -> None:
    assert gauge_kept(book_folder) == {}
    for spread in (8.0, 1.0):
        path = write(tmp_path / "r.csv", {"before": spread})
        done = study_gauge(book_folder, "jib_sheet_port", path, who="Ines")
    found = gauge_kept(book_folder)
    assert list(found) == ["jib_sheet_port"]
    assert (found["jib_sheet_port"].words, found["jib_sheet_port"].change) == (done.study.words, None)
