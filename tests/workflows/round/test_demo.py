"""From nothing to numbers, card, strips and two debriefs."""

from __future__ import annotations

from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.track.debrief.as_json import as_json
from cringle.workflows.books.book import check_book
from cringle.workflows.round.demo import DemoDone, run_demo


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> DemoDone:
    return run_demo(tmp_path_factory.mktemp("demo") / "book")


def test_every_result_is_there(done: DemoDone) -> None:
    assert [what for what, _ in done.results] == ["book", "card", "strips", "evening", "recorded log"]
    assert all(where.exists() for _, where in done.results)
    for what, where in done.results[1:3]:
        assert where.read_bytes().startswith(b"%PDF"), what


def test_the_demo_book_is_sound(done: DemoDone) -> None:
    assert check_book(done.folder).mistakes == ()


def test_the_recorded_log_has_its_six_tacks(done: DemoDone) -> None:
    assert done.recorded is not None
    assert as_json(done.recorded)["tacks"] == 6
    late = [pair.late_s for pair in done.pairs]
    assert len(late) == 6
    assert all(one is not None and abs(one) <= 2.0 for one in late)


def test_the_evening_belongs_to_its_outing(done: DemoDone) -> None:
    from cringle.workflows.afloat.logs import list_logs

    assert [one.outing for one in list_logs(done.folder)] == ["2026-06-17"]


def test_a_second_run_uses_the_book_as_it_stands(done: DemoDone) -> None:
    told: list[str] = []
    again = run_demo(done.folder, told.append)
    assert not again.made
    assert again.tonight.numbers == done.tonight.numbers
    assert "as it stands" in told[0]


def test_a_folder_with_something_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear coach", encoding="utf-8")
    with pytest.raises(InputError, match="not empty"):
        run_demo(tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == ["letter.txt"]
