"""Errors carry what happened as data and say what to do next."""

from __future__ import annotations

from pathlib import Path

from cringle.errors import (
    BookFileError,
    Clash,
    ConflictError,
    CringleError,
    Finding,
    InputError,
    LogError,
    OutOfRangeError,
)


def test_a_finding_says_place_field_found_accepted_nearest() -> None:
    text = str(
        Finding(
            "no such field", path=Path("boat.toml"), line=7, field="a.b", found="x", accepted="y", nearest="z"
        )
    )
    assert text == "boat.toml:7: a.b: no such field; found x; accepted: y; did you mean 'z'?"


def test_next_step_has_its_own_line() -> None:
    assert str(CringleError("broken", next_step="mend it")) == "broken\n  Next: mend it"
    assert str(CringleError("broken")) == "broken"


def test_exit_statuses() -> None:
    assert InputError("x").exit_status == 1
    assert ConflictError([Clash("k", "1", "2", "Ines", "now")]).exit_status == 3


def test_conflict_shows_both_values_and_what_was_seen() -> None:
    text = str(ConflictError([Clash("jib halyard, 12 kn", "4", "5", "Ines", "2026-05-01T18:00Z", "3½")]))
    for part in ("you wrote 4", "Ines wrote 5", "you had seen 3½", "Next:"):
        assert part in text


def test_errors_keep_their_data() -> None:
    error = OutOfRangeError("backstay", 14, 0, 12, unit="mark")
    assert (error.found, error.low, error.high) == (14, 0, 12)
    assert "accepted 0 to 12 mark" in str(error)
    assert str(LogError("empty", path=Path("a.log"), line=3)) == "a.log:3: empty"
    assert BookFileError([Finding("a"), Finding("b")]).message == "a\nb"
