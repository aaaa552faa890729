from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.frozen_polar import sketch_polar
from cringle.workflows.speed import boat_polar as module
from cringle.workflows.speed.boat_polar import boat_polar
from cringle.workflows.speed.cache import cache_folder


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "cringle"


def test_without_a_book_it_is_the_demo_class_and_says_so(own_cache: Path) -> None:
    found = boat_polar(None)
    assert not found.known
    assert not found.fitted
    assert "demo class Ouzel" in found.polar.name
    assert list(own_cache.glob("*.json"))


def test_the_second_time_it_is_read_not_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    first = boat_polar(None)

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("solved again")

    monkeypatch.setattr(module, "polar_of_model", refuse)
    second = boat_polar(None)
    assert_allclose(second.polar.speed_kn, first.polar.speed_kn)
    assert_allclose(second.polar.up.angle_deg, first.polar.up.angle_deg)
    assert np.isfinite(second.polar.run.speed_kn).all()
    with pytest.raises(AssertionError, match="solved again"):
        boat_polar(None, sea="flat")


def test_a_cache_that_cannot_be_written_is_done_without(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    monkeypatch.setattr(module, "polar_of_model", lambda *_, **__: sketch_polar())
    assert boat_polar(None).polar.wind_kn.size > 2


def test_a_book_gives_its_own(book_folder: Path) -> None:
    found = boat_polar(book_folder)
    assert found.known
    assert "Brindle" in found.polar.name
    assert list(cache_folder(book_folder).glob("frozen-polar-*.json"))
