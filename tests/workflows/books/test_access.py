from __future__ import annotations

import stat
from pathlib import Path

import pytest

from cringle.book.store import Book
from cringle.errors import BookError, InputError
from cringle.workflows.books.access import (
    ACCESS_FILE,
    ALPHABET,
    CODE_LENGTH,
    load_access,
    put_out,
    renew_codes,
    role_of_code,
)
from cringle.workflows.books.book import back_up


def test_codes_open_their_role(book_folder: Path) -> None:
    codes = renew_codes(book_folder, who="coach")
    access = load_access(book_folder)
    for role, code in codes.items():
        assert len(code) == CODE_LENGTH[role]
        assert set(code) <= set(ALPHABET)
        assert role_of_code(access, code) == role
        assert role_of_code(access, f" {code[:3].lower()} {code[3:]}") == role
    assert role_of_code(access, "") is None
    assert role_of_code(access, codes["crew"][:-1]) is None


def test_before_there_are_codes_nothing_opens(book_folder: Path) -> None:
    access = load_access(book_folder)
    assert role_of_code(access, "") is None
    assert role_of_code(access, "nobody has a code") is None


def test_no_code_can_be_read_from_the_disk(book_folder: Path) -> None:
    codes = renew_codes(book_folder, who="coach")
    path = book_folder / ACCESS_FILE
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    everything = b"".join(one.read_bytes() for one in book_folder.rglob("*") if one.is_file())
    for code in codes.values():
        assert code.encode() not in everything
    assert load_access(book_folder).secret not in repr(load_access(book_folder))


def test_codes_are_in_no_backup(book_folder: Path, tmp_path: Path) -> None:
    renew_codes(book_folder, who="coach")
    target = tmp_path / "backup.zip"
    back_up(book_folder, target)
    assert load_access(book_folder).secret.encode() not in target.read_bytes()
    assert ACCESS_FILE.encode() not in target.read_bytes()


def test_a_new_code_ends_the_old_one_but_no_session(book_folder: Path) -> None:
    old = renew_codes(book_folder, who="coach")
    before = load_access(book_folder)
    new = renew_codes(book_folder, ["crew"], who="coach")
    after = load_access(book_folder)
    assert role_of_code(after, old["crew"]) is None
    assert role_of_code(after, new["crew"]) == "crew"
    assert role_of_code(after, old["coach"]) == "coach"
    assert (after.secret, after.generation("crew")) == (before.secret, before.generation("crew"))


def test_putting_out_forgets_the_code_and_counts_on(book_folder: Path) -> None:
    codes = renew_codes(book_folder, who="coach")
    after = put_out(book_folder, "crew", who="Ines")
    assert after == load_access(book_folder)
    assert after.generation("crew") == 1
    assert after.generation("coach") == 0
    assert role_of_code(after, codes["crew"]) is None
    with Book.open(book_folder) as book:
        told = [(one.who, one.key.subject, one.value) for one in book.history("access")]
    assert told[-1] == ("Ines", "crew", "everybody put out")
    assert ("coach", "coach", "new code") in told


def test_an_unknown_role_is_refused(book_folder: Path) -> None:
    with pytest.raises(InputError, match="crew, coach"):
        renew_codes(book_folder, ["captain"], who="coach")
    with pytest.raises(InputError):
        put_out(book_folder, "captain", who="coach")


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"secret": "x", "codes": {"crew": {}}}', "\xff"])
def test_a_broken_file_is_named(book_folder: Path, text: str) -> None:
    (book_folder / ACCESS_FILE).write_bytes(text.encode("latin-1"))
    with pytest.raises(BookError, match=ACCESS_FILE):
        load_access(book_folder)
