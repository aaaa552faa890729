"""The outside checks run by themselves, and a failed one cannot pass for a good one."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import CringleError, InputError
from cringle.workflows import verify
from cringle.workflows.verify import OutsideCheck, run_outside_checks, write_verification_page

GOOD = """
def test_one(outside):
    outside.close(id="X1", what="two", got=2.0, expected=2.0, rtol=1e-9, source="a book | p. 3", memory=True)
"""
BAD = """
def test_two(outside):
    outside.within(id="X2", what="three", got=3.0, low=0, high=1, source="another book", kind="practice")
"""
MISSED = """
def test_four(outside):
    outside.missed(id="X4", what="four", got={got}, low=8, high=16, held=(5, 6), source="practice")
"""
BROKEN = """
def test_three(outside):
    raise RuntimeError("boom")
"""


@pytest.fixture
def checks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "tests" / "reference"
    folder.mkdir(parents=True)
    ours = Path(__file__).parents[1] / "reference" / "conftest.py"
    (folder / "conftest.py").write_text(ours.read_text(encoding="utf-8"), encoding="utf-8")
    monkeypatch.setattr(verify, "checks_folder", lambda: folder)
    return folder


def test_checks_are_recorded_passed_and_failed(checks: Path) -> None:
    (checks / "test_good.py").write_text(GOOD, encoding="utf-8")
    (checks / "test_bad.py").write_text(BAD, encoding="utf-8")
    found = {one.id: one for one in run_outside_checks()}
    assert found["X1"].passed
    assert found["X1"].from_memory
    assert not found["X2"].passed
    assert found["X2"].kind == "practice"


def test_a_fact_that_is_missed_is_neither_passed_nor_failed(checks: Path) -> None:
    (checks / "test_known.py").write_text(MISSED.format(got=5.5), encoding="utf-8")
    (one,) = run_outside_checks()
    assert (one.missed, one.passed, one.failed, one.result) == (True, False, False, "missed")
    assert one.expected == "8 to 16"


@pytest.mark.parametrize(("got", "words"), [(9.0, "met now"), (7.0, "moved to 7")])
def test_a_missed_fact_that_is_met_or_moves_stops_the_checks(checks: Path, got: float, words: str) -> None:
    (checks / "test_known.py").write_text(MISSED.format(got=got), encoding="utf-8")
    with pytest.raises(CringleError, match=words):
        run_outside_checks()


def test_one_topic_only(checks: Path) -> None:
    (checks / "test_good.py").write_text(GOOD, encoding="utf-8")
    (checks / "test_bad.py").write_text(BAD, encoding="utf-8")
    assert [one.id for one in run_outside_checks(["good"])] == ["X1"]
    with pytest.raises(InputError, match="no checks on 'sails'") as caught:
        run_outside_checks(["sails"])
    assert caught.value.next_step == "topics: bad, good"


def test_a_check_that_breaks_is_not_silent(checks: Path) -> None:
    (checks / "test_broken.py").write_text(BROKEN, encoding="utf-8")
    with pytest.raises(CringleError, match="boom"):
        run_outside_checks()


def test_a_file_that_cannot_be_read_is_not_silent(checks: Path) -> None:
    (checks / "test_good.py").write_text(GOOD, encoding="utf-8")
    (checks / "test_typo.py").write_text("def test_(:", encoding="utf-8")
    with pytest.raises(CringleError):
        run_outside_checks()


def test_the_page_has_source_kind_and_memory_mark(tmp_path: Path) -> None:
    made = OutsideCheck(
        "X1",
        "two",
        "2",
        "2",
        "exact",
        "a book | p. 3",
        "evidence",
        True,
        True,
        "tests/reference/test_a_b.py::t",
    )
    failed = OutsideCheck(
        "X2", "three", "3", "0 to 1", "range", "b", "practice", False, False, "tests/reference/test_a_b.py::u"
    )
    page = tmp_path / "verification.md"
    write_verification_page([made, failed], page)
    text = page.read_text(encoding="utf-8")
    assert "## a b" in text
    assert "a book \\| p. 3 (from memory)" in text
    assert "**failed**" in text
    assert "| evidence | an independent source or library agrees | 1 | 1 |" in text


def test_the_real_checks_are_where_they_should_be() -> None:
    assert (verify.checks_folder() / "conftest.py").is_file()
