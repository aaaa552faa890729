from __future__ import annotations

import shutil
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.errors import BookError
from cringle.settings.records import TonightRequest
from cringle.workflows.book_then import BookThen
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.settings import SettingChange, set_number
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.notes import WindSaid, note_wind
from cringle.workflows.outings.outing import Door, start_outing
from cringle.workflows.serving.served import MOST_KEPT, Served

TEN = TonightRequest(wind_kn=10.0)


@pytest.fixture
def filled(book_folder: Path, examples: Path) -> Path:
    with Book.open(book_folder, create=True):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach")
    return book_folder


def test_it_answers_what_the_workflow_answers(filled: Path) -> None:
    served = Served(filled)
    assert served.tonight(TEN) == tonight(filled, TEN)
    assert served.tonight(TEN) is served.tonight(TEN)


def test_a_change_is_seen_at_once(filled: Path) -> None:
    served = Served(filled)
    served.tonight(TEN)
    set_number(filled, SettingChange("vang", 10.0, 5.0), who="coach", why="")
    assert served.tonight(TEN) == tonight(filled, TEN)


def test_it_can_read_the_book_as_it_stood(filled: Path) -> None:
    served = Served(filled)
    before, newest = served.tonight(TEN), served.stamp().newest
    set_number(filled, SettingChange("vang", 10.0, 5.0), who="coach", why="")
    assert served.tonight(TEN, fixed_at=newest) == before
    assert served.tonight(TEN) != before


def test_a_book_then_filters_as_a_book_does(filled: Path) -> None:
    with Book.open(filled) as book:
        now = book.current("setting", role="vang", wind_kn=10.0)
        then = BookThen(book, book.newest()).current("setting", role="vang", wind_kn=10.0)
        assert then == now
        assert BookThen(book, 0).current("setting") == []


def test_stamps_differ_when_anything_does(filled: Path) -> None:
    served = Served(filled)
    first = served.stamp()
    assert served.stamp() == first
    path = filled / "crew.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    second = served.stamp()
    set_number(filled, SettingChange("vang", 10.0, 5.0), who="coach", why="")
    third = served.stamp()
    assert len({first, second, third}) == 3
    assert len({str(first), str(second), str(third)}) == 3


def test_a_replaced_book_is_opened_anew(filled: Path, tmp_path: Path) -> None:
    served = Served(filled)
    set_number(filled, SettingChange("vang", 10.0, 5.0), who="coach", why="")
    before = served.stamp()
    other = tmp_path / "other"
    with Book.open(other, create=True):
        pass
    for name in ("book.sqlite-wal", "book.sqlite-shm"):
        (filled / name).unlink(missing_ok=True)
    shutil.copyfile(other / "book.sqlite", filled / "new")
    (filled / "new").replace(filled / "book.sqlite")
    assert served.stamp().place != before.place
    assert served.tonight(TEN).numbers.numbers == ()


def test_a_missing_book_is_said(filled: Path) -> None:
    served = Served(filled)
    (filled / "book.sqlite").rename(filled / "away")
    with pytest.raises(BookError, match="cringle book restore"):
        served.stamp()


def test_changes_since_an_entry(filled: Path) -> None:
    served = Served(filled)
    seen = served.stamp().newest
    assert served.changes_since(seen) == []
    set_number(filled, SettingChange("vang", 10.0, 5.0), who="Ines", why="felt slow")
    [batch] = served.changes_since(seen)
    assert (batch["who"], batch["why"], len(batch["entries"])) == ("Ines", "felt slow", 1)


def test_the_oldest_is_forgotten(filled: Path) -> None:
    served = Served(filled)
    for number in range(MOST_KEPT + 10):
        assert served.kept(number, lambda number=number: number * 2) == number * 2
    made = []
    served.kept(0, lambda: made.append(1))
    served.kept(MOST_KEPT + 9, lambda: made.append(2))
    assert made == [1]


def test_many_read_while_one_writes(filled: Path) -> None:
    served = Served(filled)

    def write() -> None:
        for step in range(10):
            set_number(filled, SettingChange("vang", 10.0, step / 2), who="coach", why="")

    with ThreadPoolExecutor(6) as pool:
        writing = pool.submit(write)
        reads = [pool.submit(served.tonight, TEN) for _ in range(60)]
        writing.result()
        assert {one.result().boat for one in reads} == {"Brindle"}
    assert served.tonight(TEN) == tonight(filled, TEN)
    served.close()


def test_notes_do_not_change_what_logs_are_read_with(filled: Path) -> None:
    served = Served(filled)
    start_outing(Door(filled))
    before, of_trials = served.evidence(), served.evidence(of_trials=True)
    set_goal(Door(filled), "tacks under 9 m")
    assert served.evidence() == before
    assert served.evidence(of_trials=True) == of_trials
    note_wind(Door(filled), WindSaid(11.0))
    assert served.evidence() != before
    before = served.evidence()
    (filled / "crew.toml").touch()
    assert served.evidence() != before
    served.close()
