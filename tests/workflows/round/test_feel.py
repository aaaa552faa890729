from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.track.debrief.debrief import Debrief
from cringle.track.heel.felt import FeltBias
from cringle.workflows.outings.outing import Door, end_outing, start_outing
from cringle.workflows.round.feel import FeelOver, feel_by_spotter, feel_drill, feel_over_outings, keep_feel


def test_the_bias_is_weighted_by_calls(book_folder: Path) -> None:
    for day, count, bias in (("2026-06-10", 3, 4.0), ("2026-06-17", 9, 0.0)):
        start_outing(Door(book_folder, at=f"{day} 18:00"))
        keep_feel(book_folder, [FeltBias("Keo", count, bias, bias - 1.0, bias + 1.0)], who="coach")
        end_outing(Door(book_folder, at=f"{day} 20:00"))
    (one,) = feel_over_outings(book_folder)
    assert (one.who, one.count, one.outings, one.bias_deg, one.last_deg) == ("Keo", 12, 2, 1.0, 0.0)


def test_the_same_outing_again_replaces(book_folder: Path) -> None:
    start_outing(Door(book_folder))
    for bias in (4.0, 2.0):
        keep_feel(book_folder, [FeltBias("Keo", 5, bias, bias, bias)], who="coach")
    (one,) = feel_over_outings(book_folder)
    assert (one.count, one.bias_deg) == (5, 2.0)


def test_calls_are_held_against_the_log(sailed_book: Path, raced: Debrief, tmp_path: Path) -> None:
    assert raced.race is not None
    sailing = raced.race.sailing
    rows = [600, 700, 800, 900]
    called = tmp_path / "called.csv"
    lines = ["time,who,heel_deg"]
    for row in rows:
        at = (sailing.start + timedelta(seconds=row)).astimezone(UTC).isoformat()
        around = sailing.heel_deg[row - 5 : row + 6]
        lines.append(f"{at},Marit,{float(around.mean()) + 3.0:.3f}")
    called.write_text("\n".join(lines), encoding="utf-8")
    (bias,) = feel_drill(sailed_book, Path("evening"), called, who="coach")
    assert bias.bias_deg == pytest.approx(3.0, abs=0.01)
    assert feel_over_outings(sailed_book)[0].bias_deg == bias.bias_deg


def test_too_few_calls_say_nothing(sailed_book: Path, tmp_path: Path) -> None:
    called = tmp_path / "called.csv"
    called.write_text(
        f"time,who,heel_deg\n{datetime(2020, 1, 1, tzinfo=UTC).isoformat()},Keo,9\n", encoding="utf-8"
    )
    with pytest.raises(InputError, match="often enough"):
        feel_drill(sailed_book, Path("evening"), called, who="coach")


def test_a_spotter_sets_calls_right(book_folder: Path) -> None:
    start_outing(Door(book_folder))
    bias = feel_by_spotter(book_folder, "marit", [(12.0, 15.0), (10.0, 14.0), (13.0, 15.0)], who="coach")
    assert (bias.who, bias.count, bias.bias_deg) == ("Marit", 3, -3.0)
    assert bias.bias_deg_low < -3.0 < bias.bias_deg_high
    (one,) = feel_over_outings(book_folder)
    assert [day.count for day in one.days] == [3]


@pytest.mark.parametrize(("last", "words"), [(2.0, "good enough"), (2.1, "2° more"), (-4.0, "4° less")])
def test_the_advice_goes_by_the_last_time(last: float, words: str) -> None:
    assert words in FeelOver("Keo", 9, 2, 0.0, last).advice
