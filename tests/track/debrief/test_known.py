from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import LogError
from cringle.track.debrief.known import Noted, beside, magnetic_deg, read_noted
from cringle.track.turns.tacks import Manoeuvre

START = datetime(2026, 6, 17, 17, 30, tzinfo=UTC)


def found(*seconds: int, kind: str = "tack"):
    return SimpleNamespace(manoeuvres=tuple(made(one, kind) for one in seconds))


def made(second: int, kind: str) -> Manoeuvre:
    return Manoeuvre(
        START + timedelta(seconds=second), kind, 1.0, 2.0, 90.0, 30.0, -30.0, None, None, None, None
    )


def noted(second: int, kind: str = "tack") -> Noted:
    return Noted(START + timedelta(seconds=second), kind, {})


def test_each_belongs_to_one_pair() -> None:
    pairs = beside(found(101, 108, 300), [noted(100), noted(104), noted(500)])  # type: ignore[arg-type]
    late = [one.late_s for one in pairs]
    assert late == [1.0, 4.0, None, None]
    assert pairs[2].noted is None
    assert pairs[3].found is None


def test_another_kind_or_too_far_is_no_match() -> None:
    pairs = beside(found(100, kind="gybe"), [noted(100)])  # type: ignore[arg-type]
    assert [one.late_s for one in pairs] == [None, None]
    assert [one.late_s for one in beside(found(111), [noted(100)])] == [None, None]  # type: ignore[arg-type]


@given(st.lists(st.integers(0, 400), max_size=8), st.lists(st.integers(0, 400), max_size=8))
def test_nothing_is_lost_or_used_twice(a: list[int], b: list[int]) -> None:
    pairs = beside(found(*a), [noted(one) for one in b])  # type: ignore[arg-type]
    assert sum(one.found is not None for one in pairs) == len(a)
    assert sum(one.noted is not None for one in pairs) == len(b)


def test_reading_a_list(tmp_path: Path) -> None:
    path = tmp_path / "noted.csv"
    path.write_text(
        "time,kind,stw_before_kn\n2026-06-17T17:31:00Z,tack,5.5\n2026-06-17T17:40:00,gybe,\n", "utf-8"
    )
    first, second = read_noted(path)
    assert first.numbers == {"stw_before_kn": 5.5}
    assert second.at == datetime(2026, 6, 17, 17, 40, tzinfo=UTC)
    assert second.numbers == {}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("when,what\n1,2\n", "no column kind, time"),
        ("", "it has none"),
        ("time,kind\nsoon,tack\n", ":2: Invalid isoformat"),
        ("time,kind\n2026-06-17T17:31:00Z,loop\n", ":2: kind 'loop'; accepted: tack, gybe"),
        ("time,kind,awa_before_deg\n2026-06-17T17:31:00Z,tack,x\n", "could not convert"),
        ("time,kind\n2026-06-17T17:31:00Z\n", ":2: kind ''"),
    ],
)
def test_mistakes_have_a_place(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "noted.csv"
    path.write_text(text, "utf-8")
    with pytest.raises(LogError, match=message):
        read_noted(path)


def test_unreadable(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="cannot be read"):
        read_noted(tmp_path / "absent.csv")
    bad = tmp_path / "bad.csv"
    bad.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(LogError, match="cannot be read"):
        read_noted(bad)


def test_magnetic() -> None:
    assert_allclose(magnetic_deg(10.0, 15.0), 355.0)
    assert magnetic_deg(None, 15.0) is None
    assert magnetic_deg(10.0, None) is None
