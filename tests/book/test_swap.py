from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from cringle.book import swap
from cringle.book.store import Book
from cringle.errors import BookError


def pair(tmp_path: Path) -> tuple[Path, Path]:
    fresh, target = tmp_path / "fresh", tmp_path / "brindle"
    for path, text in ((fresh, "new"), (target, "old")):
        path.mkdir()
        (path / "class.toml").write_text(text, encoding="utf-8")
    return fresh, target


@pytest.mark.parametrize("can_exchange", [True, False])
def test_the_old_one_is_kept_beside_the_new(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, can_exchange: bool
) -> None:
    if not can_exchange:
        monkeypatch.setattr(swap, "exchange", lambda one, other: False)
    fresh, target = pair(tmp_path)
    aside = swap.put_in_place(fresh, target)
    assert aside is not None
    assert (target / "class.toml").read_text(encoding="utf-8") == "new"
    assert (aside / "class.toml").read_text(encoding="utf-8") == "old"
    assert sorted(tmp_path.iterdir()) == sorted([target, aside])


def test_a_free_name_is_found_when_two_are_replaced_in_one_second(tmp_path: Path) -> None:
    asides = set()
    for _ in range(3):
        fresh = tmp_path / "fresh"
        fresh.mkdir()
        (fresh / "x").touch()
        asides.add(swap.put_in_place(fresh, tmp_path / "brindle"))
    assert len(asides) == 3
    assert all(path is None or path.is_dir() for path in asides)


def test_exchange_is_one_step(tmp_path: Path) -> None:
    fresh, target = pair(tmp_path)
    if not swap.exchange(fresh, target):
        pytest.skip("this file system cannot exchange two names")
    assert (fresh / "class.toml").read_text(encoding="utf-8") == "old"
    with pytest.raises(OSError, match="No such file") as refused:
        swap.exchange(tmp_path / "none", target)
    assert refused.value.errno == errno.ENOENT


def test_elsewhere_there_is_no_exchange(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "name", "nt")
    assert swap.exchange(tmp_path / "a", tmp_path / "b") is False


def test_a_book_in_use_is_noticed(book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(swap, "QUIET_TIMEOUT_S", 0.05)
    book.current("setting")
    with pytest.raises(BookError, match="open in another program"):
        swap.require_unused(book.path)
    book.close()
    swap.require_unused(book.path)
    swap.require_unused(tmp_path / "none.sqlite")
    assert not (tmp_path / "none.sqlite").exists()
