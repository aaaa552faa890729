"""Which stretches belong to which race."""

from __future__ import annotations

from cringle.track.race.races import races_of
from cringle.track.wind.states import Span, State

UP, RUN, REACH, SLOW = State.UP, State.RUN, State.REACH, State.SLOW


def spans(*parts: tuple[State, int]) -> list[Span]:
    out, row = [], 0
    for state, seconds in parts:
        out.append(Span(state, row, row + seconds))
        row += seconds
    return out


def kinds(races: list[list[Span]]) -> list[str]:
    return ["".join(one.state.name[0] + one.state.name[-1] for one in race) for race in races]


def test_a_wait_parts_two_races() -> None:
    found = races_of(spans((UP, 300), (RUN, 200), (SLOW, 240), (UP, 300), (RUN, 200)))
    assert kinds(found) == ["UPRN", "UPRN"]
    assert len(races_of(spans((UP, 300), (RUN, 200), (SLOW, 20), (UP, 300)))) == 1


def test_a_reach_counts_between_beat_and_run_only() -> None:
    found = races_of(
        spans((REACH, 60), (UP, 300), (REACH, 25), (RUN, 200), (REACH, 30), (UP, 300), (REACH, 50))
    )
    assert kinds(found) == ["UPRHRNUP"]


def test_a_run_before_any_beat_is_no_race() -> None:
    assert races_of(spans((RUN, 200), (SLOW, 100))) == []
    assert races_of([]) == []
