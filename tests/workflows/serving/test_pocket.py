from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.output.pocket import MOST_BYTES
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.outing import Door, show_outing, start_outing
from cringle.workflows.serving.pocket import half_knots, make_pocket, take_in_file, take_in_pocket


@pytest.fixture
def book(book_folder: Path, examples: Path) -> Path:
    with Book.open(book_folder, create=True):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="coach")
    start_outing(Door(book_folder))
    return book_folder


def entry(kind: str = "note", **more: Any) -> dict[str, Any]:
    at = datetime.now(UTC).isoformat()
    text = {"text": "fast"} if kind == "note" else {}
    return {"uid": str(uuid4()), "at_utc": at, "by": "Keo", "kind": kind, **text, **more}


def file_of(*entries: dict[str, Any], boat: str = "Brindle", **more: Any) -> bytes:
    return json.dumps({"format": "cringle-pocket/1", "boat": boat, "entries": list(entries), **more}).encode()


def test_every_half_knot_is_there() -> None:
    found = half_knots()
    assert (found[0], found[-1], len(found)) == (4.0, 24.0, 41)


def test_the_page_is_written_whole_and_small(book: Path, tmp_path: Path) -> None:
    out = make_pocket(book, TonightRequest(wind_kn=11.0), tmp_path / "pocket.html")
    text = out.read_text(encoding="utf-8")
    assert len(text.encode()) < MOST_BYTES
    assert text.rstrip().endswith("</html>")
    assert '"10.5":' in text


def test_notes_come_in_under_their_own_name(book: Path) -> None:
    taken = take_in_pocket(
        book,
        file_of(
            entry(text="too much heel", by="Marit"),
            entry("setting", role="vang", value=3.5),
            entry("stopwatch", seconds=42.3),
        ),
        who="coach",
    )
    assert (taken.taken, taken.already_there) == (3, 0)
    found = show_outing(book)
    assert [(one.text, one.by) for one in found.observations] == [
        ("too much heel", "Marit"),
        ("42.3 s", "Keo"),
    ]
    assert [(one.role, one.value) for one in found.settings] == [("vang", 3.5)]
    with Book.open(book) as records:
        written = records.history("outing_setting")[-1]
    assert (written.who, written.device, written.why) == ("Keo", "pocket page", "taken in by coach")


def test_twice_changes_nothing(book: Path) -> None:
    one, other = entry(), entry("setting", role="vang", value=3.5)
    data = file_of(one, other)
    take_in_pocket(book, data, who="coach")
    with Book.open(book) as records:
        before = records.newest()
    again = take_in_pocket(book, data, who="Ines")
    assert (again.taken, again.already_there) == (0, 2)
    with Book.open(book) as records:
        assert records.newest() == before
    more = take_in_pocket(book, file_of(one, other, entry()), who="coach")
    assert (more.taken, more.already_there) == (1, 2)


def test_the_same_entry_twice_in_one_file_counts_once(book: Path) -> None:
    one = entry()
    assert take_in_pocket(book, file_of(one, one), who="coach").taken == 1
    assert len(show_outing(book).observations) == 1


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"{", "no file of a pocket page"),
        (b"\xff", "no file of a pocket page"),
        (b"[" * 100_000, "no file of a pocket page"),
        (file_of(boat="Other"), "this book is of 'Brindle'"),
        (file_of(entry(text="")), "text"),
        (file_of(entry("stopwatch")), "says nothing"),
        (file_of(entry("setting", role="no_such", value=1)), "no such line"),
        (file_of(entry("setting", role="vang", value=999)), "no such"),
        (file_of(entry("setting", role="vang")), "no such"),
        (file_of(entry(by="")), "by"),
        (file_of(entry(at_utc="2020-01-01T00:00:00Z")), "no outing"),
        (file_of(entry(at_utc="2026-01-01T00:00:00")), "at_utc"),
        (file_of(entry(extra=1)), "extra"),
        (file_of(format="other/1"), "format"),
        (b"x" * (MOST_BYTES + 1_600_000), "longer"),
    ],
)
def test_a_wrong_file_is_refused_whole(book: Path, data: bytes, words: str) -> None:
    with pytest.raises(InputError, match=words):
        take_in_pocket(book, data, who="coach")
    assert show_outing(book).observations == ()


def test_one_wrong_entry_keeps_all_out(book: Path) -> None:
    with pytest.raises(InputError):
        take_in_pocket(book, file_of(entry(), entry("setting", role="no_such", value=1)), who="coach")
    assert show_outing(book).observations == ()


def test_an_entry_goes_to_the_outing_of_its_time(book: Path) -> None:
    late = (datetime.now(UTC) + timedelta(hours=30)).isoformat()
    taken = take_in_pocket(book, file_of(entry(at_utc=late)), who="coach")
    assert taken.outings == (show_outing(book).id,)


def test_another_file_is_left_to_others(book: Path, tmp_path: Path) -> None:
    path = tmp_path / "history.jsonl"
    path.write_text('{"uid": 1}\n', encoding="utf-8")
    assert take_in_file(book, path, who="coach") is None
    path.write_bytes(file_of(entry()))
    found = take_in_file(book, path, who="coach")
    assert found is not None
    assert found.taken == 1
    with pytest.raises(InputError, match="cannot be read"):
        take_in_file(book, tmp_path / "nothing", who="coach")
