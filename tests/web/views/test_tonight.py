from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from cringle.web.views.tonight import MOST_DIFFERENCES, blocks_of, moves_by_wind, tonight_view
from cringle.workflows.serving.served import Served


@pytest.fixture
def served(folder: Path) -> Iterator[Served]:
    found = Served(folder)
    yield found
    found.close()


def test_everything_a_person_sets_stands_once_and_screws_stand_in_the_rig(served: Served) -> None:
    view = tonight_view(served, [("wind_kn", "10")])
    labels = [row.label for block in view.blocks for row in block.rows]
    assert len(labels) == len(set(labels))
    screws = {view.answer.scales[role].name for role in view.answer.rig.turns}
    assert not screws & set(labels)
    assert blocks_of(view.answer) == view.blocks


def test_the_nearest_wind_comes_first(served: Served) -> None:
    answer = tonight_view(served, [("wind_kn", "10")]).answer
    moves = moves_by_wind(answer)
    gaps = [abs(one.to_wind_kn - 10.0) for one in moves]
    assert gaps == sorted(gaps)
    for one in moves:
        assert one.builds == (one.to_wind_kn > 10.0)
        assert all(move.who == who for who, some in one.by_person for move in some)


def test_the_shared_conditions_stand_where_nothing_was_asked(served: Served) -> None:
    view = tonight_view(served, [])
    assert view.answer == served.tonight(served.evening().request)
    assert view.differences == ()
    assert not view.query_given
    assert view.aboard == tuple(one.name for one in view.people)


def test_no_more_differences_than_can_be_read(served: Served) -> None:
    view = tonight_view(served, [("wind_kn", "18")])
    assert len(view.differences) <= MOST_DIFFERENCES
    assert (view.more_differences > 0) == (len(view.differences) == MOST_DIFFERENCES)


def test_a_wrong_field_leaves_the_last_good_numbers(served: Served) -> None:
    view = tonight_view(served, [("wind_kn", "ninety")])
    assert "wind_kn" in view.errors
    assert view.fields["wind_kn"] == "ninety"
    assert view.answer == tonight_view(served, []).answer


def test_a_person_who_is_not_of_the_crew_is_said(served: Served) -> None:
    view = tonight_view(served, [("wind_kn", "10"), ("aboard", "Nobody")])
    assert view.errors
    assert view.answer == tonight_view(served, []).answer


def test_a_guest_is_kept_as_typed(served: Served) -> None:
    query = [("wind_kn", "10"), *(("aboard", one) for one in ("Ines", "Tobias", "Marit", "Zoe=66"))]
    view = tonight_view(served, query)
    assert view.guests == "Zoe=66"
    assert view.aboard[-1] == "Zoe=66"
