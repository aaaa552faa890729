from __future__ import annotations

from pathlib import Path

import pytest

from cringle.book.outing_notes import ROUTES
from cringle.book.store import Book
from cringle.errors import InputError
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.outing import Door, start_outing
from cringle.workflows.round.route import FOUND_IN, OWNERS, actions_by_route, route_action
from cringle.workflows.survey import survey_shown

TEXT = "call the heel aloud every five seconds"


@pytest.fixture
def door(book_folder: Path) -> Door:
    Book.open(book_folder, create=True).close()
    start_outing(Door(book_folder, at="2026-06-17 18:25"))
    return Door(book_folder, "coach")


@pytest.mark.parametrize("route", ROUTES)
def test_every_action_is_found_where_it_was_sent(door: Door, route: str) -> None:
    routed = route_action(door, TEXT, route=route, owner="main")
    assert routed.found_in == FOUND_IN[route]
    (found,) = actions_by_route(door.folder)[route]
    assert (found.id, found.text) == (routed.action.id, f"main: {TEXT}")
    if route == "trial":
        assert tonight(door.folder, TonightRequest(wind_kn=10.0)).trial == TEXT
    if route == "work list":
        item = next(one.item for one in survey_shown(door.folder).work.ranked if one.item.what == TEXT)
        assert item.allowed == "ask", "nobody has looked into the class rules yet"


def test_two_actions_go_two_ways(door: Door) -> None:
    route_action(door, TEXT, route="work list", owner="main")
    route_action(door, "splice it", route="work list", owner="coach")
    assert len(actions_by_route(door.folder)["work list"]) == 2


@pytest.mark.parametrize("text", ["Tobias must ease sooner", "tell KEO to hike"])
def test_nobody_is_blamed_by_name(door: Door, text: str) -> None:
    with pytest.raises(InputError, match="names"):
        route_action(door, text, route="drill", owner="main")
    assert not any(actions_by_route(door.folder).values())


def test_owners_are_roles(door: Door) -> None:
    for owner in OWNERS:
        route_action(door, TEXT, route="drill", owner=owner)
    for wrong in ("Tobias", ""):
        with pytest.raises(InputError):
            route_action(door, TEXT, route="drill", owner=wrong)
    with pytest.raises(InputError):
        route_action(door, TEXT, route="prayer", owner="main")
    with pytest.raises(InputError):
        route_action(door, " ", route="drill", owner="main")
