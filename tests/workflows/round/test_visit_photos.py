"""Photos of a visit are kept byte for byte, and only those that can be printed."""

from __future__ import annotations

from pathlib import Path

import pytest
from pictures import png

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.workflows.book_open import open_records
from cringle.workflows.round.visit import Said, note_visit, visit_report
from cringle.workflows.round.visit_photos import MOST_PHOTOS, kept_photos, require_usable


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "leech.PNG"
    path.write_bytes(png(90))
    return path


def test_a_photo_is_kept_byte_for_byte_and_checked_with_the_book(book_folder: Path, photo: Path) -> None:
    name = note_visit(book_folder, Said(), photos=[(photo, "Leech of the jib")], who="coach")
    (kept,) = visit_report(book_folder).photos
    assert kept.caption == "Leech of the jib"
    assert kept.path.read_bytes() == photo.read_bytes()
    with Book.open(book_folder) as book:
        assert book.check() == []
    kept.path.unlink()
    with Book.open(book_folder) as book:
        assert book.check() != []
    assert name == visit_report(book_folder).day.isoformat()


def test_the_same_photo_again_only_renews_its_words(book_folder: Path, photo: Path) -> None:
    note_visit(book_folder, Said(), photos=[(photo, "Leech")], who="coach")
    name = note_visit(book_folder, Said(), photos=[(photo, "Leech, eased")], who="coach")
    with open_records(book_folder) as records:
        assert [one.caption for one in kept_photos(records, name)] == ["Leech, eased"]


def test_without_words_the_name_of_the_file_says_what_it_is(book_folder: Path, photo: Path) -> None:
    note_visit(book_folder, Said(), photos=[(photo, " ")], who="coach")
    assert visit_report(book_folder).photos[0].caption == "leech.PNG"


@pytest.mark.parametrize(
    ("name", "data", "match"),
    [
        ("gone.jpg", None, "no such file"),
        ("page.pdf", b"%PDF", "accepted are"),
        ("large.jpg", b"\xff" * 8_000_001, "larger than 8 MB"),
        ("broken.jpg", b"\xff\xd8\xff\xe0 no more", "no picture"),
        ("cut.png", png(10)[:50], "no picture"),
        ("really_a_png.jpg", png(10), "no picture that can be printed"),
    ],
)
def test_what_cannot_be_printed_is_refused_by_name(
    tmp_path: Path, name: str, data: bytes | None, match: str
) -> None:
    path = tmp_path / name
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(InputError, match=match) as caught:
        require_usable(path)
    assert name in str(caught.value)
    assert "Next:" in str(caught.value)


def test_too_many_photos_keep_none(book_folder: Path, tmp_path: Path) -> None:
    paths = []
    for place in range(MOST_PHOTOS + 1):
        paths.append(tmp_path / f"p{place}.png")
        paths[-1].write_bytes(png(place))
    with pytest.raises(InputError, match="7 photos"):
        note_visit(book_folder, Said(found=("x",)), photos=[(one, "") for one in paths], who="coach")
    assert visit_report(book_folder).said.is_empty
    assert visit_report(book_folder).photos == ()
