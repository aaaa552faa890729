from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.boat.read import read_book_files
from cringle.boat.survey_file import DepartureItem, SurveyItem
from cringle.errors import InputError
from cringle.settings.work_list import STATES, State, rank_items, state_named, tick_items, worth_per_hour

CATEGORIES = ("essential", "worthwhile", "comfort")


def item(name: str, **values: object) -> SurveyItem:
    given = {"id": name, "what": name, "why": "because", "category": "worthwhile", "allowed": "yes", **values}
    return SurveyItem.model_validate(given)


def test_category_then_permission_then_worth() -> None:
    items = [
        item("comfort_cheap", category="comfort", cost=0.0, hours=0.1),
        item("ask", allowed="ask", cost=1.0, hours=1.0),
        item("dear", cost=1000.0, hours=20.0),
        item("cheap", cost=5.0, hours=1.0),
        item("essential_dear", category="essential", cost=900.0, hours=40.0),
        item("unknown"),
    ]
    ranked = rank_items(items, {}).ranked
    assert [one.item.id for one in ranked] == [
        "essential_dear",
        "cheap",
        "dear",
        "unknown",
        "ask",
        "comfort_cheap",
    ]
    assert [one.rank for one in ranked] == [1, 2, 3, 4, 5, 6]


def test_controls_made_better_count_as_worth() -> None:
    plain, better = item("a", hours=2.0), item("b", hours=2.0, controls=["vang", "outhaul"])
    assert worth_per_hour(plain) == 0.5
    assert worth_per_hour(better) == 1.5
    assert worth_per_hour(item("c")) is None
    assert worth_per_hour(item("d", cost=0.0)) == 4.0


def test_a_forbidden_item_never_ranks() -> None:
    rule = {"number": "C.6", "edition": "2026"}
    found = rank_items(
        [item("bad", allowed="no", category="essential", hours=0.1, rule=rule), item("good")], {}
    )
    assert [one.item.id for one in found.ranked] == ["good"]
    assert [(one.item.id, one.rank) for one in found.forbidden] == [("bad", None)]
    assert "forbids" in found.forbidden[0].advice
    assert "C.6 (2026)" in found.forbidden[0].advice


def test_what_is_to_be_asked_says_so() -> None:
    assert "ask the class first" in rank_items([item("a", allowed="ask")], {}).ranked[0].advice


def test_done_and_dropped_are_behind_us() -> None:
    states: dict[str, State] = {"a": "done", "b": "dropped", "gone": "done"}
    found = rank_items([item("a", hours=3.0), item("b"), item("c", hours=2.0, cost=7.0)], states)
    assert [one.item.id for one in found.ranked] == ["c"]
    assert [(one.item.id, one.state) for one in found.finished] == [("a", "done"), ("b", "dropped")]
    assert (found.hours, found.cost, found.unknown) == (2.0, 7.0, 0)


@given(
    st.lists(
        st.tuples(
            st.sampled_from(CATEGORIES),
            st.sampled_from(["yes", "no", "ask"]),
            st.none() | st.floats(0, 1e4),
            st.none() | st.floats(0, 500),
            st.sampled_from(STATES),
        ),
        max_size=12,
    )
)
def test_every_item_is_in_one_place_and_nothing_forbidden_ranks(rows: list[tuple]) -> None:  # type: ignore[type-arg]  # rows of five
    items = [
        item(f"i{n}", category=category, allowed=allowed, cost=cost, hours=hours)
        for n, (category, allowed, cost, hours, _) in enumerate(rows)
    ]
    found = rank_items(items, {f"i{n}": row[4] for n, row in enumerate(rows)})
    everywhere = [one.item.id for one in (*found.ranked, *found.forbidden, *found.finished)]
    assert sorted(everywhere) == sorted(one.id for one in items)
    assert all(one.item.allowed != "no" for one in found.ranked)
    order = [CATEGORIES.index(one.item.category) for one in found.ranked]
    assert order == sorted(order)


def test_states_by_name() -> None:
    assert state_named("done") == "done"
    with pytest.raises(InputError, match="open, done, dropped"):
        state_named("finished")


def test_a_tick_of_an_earlier_outing_does_not_count() -> None:
    checks = [DepartureItem(id="radio", check="Radio"), DepartureItem(id="line", check="Tow line")]
    ticks = {"radio": ("2026-06-03", "Keo"), "line": ("2026-05-27", "Marit")}
    found = tick_items(checks, ticks, "2026-06-03")
    assert [(one.item.id, one.ticked) for one in found] == [("radio", True), ("line", False)]
    assert found[0].by == "Keo"


def test_the_demo_survey_ranks(examples: Path) -> None:
    survey = read_book_files(examples).survey_file
    found = rank_items(survey.items, {})
    assert [one.item.id for one in found.forbidden] == ["keel_section"]
    assert found.ranked[0].item.category == "essential"
