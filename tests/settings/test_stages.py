from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.errors import InputError
from cringle.settings.stages import OUTINGS_TO_PROMOTE, STAGES, MarkRecord, Stage, advise_stage, stage_named


def record(stage: Stage | None, outings: int = 0, moved_mm: float | None = None) -> MarkRecord:
    return MarkRecord("vang", stage, outings, moved_mm, half_step_mm=4.0)


def test_stages_in_order_of_certainty() -> None:
    assert STAGES == ("taped", "inked", "whipped")
    assert stage_named("inked") == "inked"


def test_an_unknown_stage_lists_the_right_ones() -> None:
    with pytest.raises(InputError, match="taped, inked, whipped"):
        stage_named("glued")


def test_no_stage_yet_means_tape_first() -> None:
    assert advise_stage(record(None)).to == "taped"


@pytest.mark.parametrize(
    ("stage", "outings", "to"),
    [
        ("taped", 2, None),
        ("taped", 3, "inked"),
        ("inked", 5, None),
        ("inked", 6, "whipped"),
        ("whipped", 99, None),
    ],
)
def test_promoted_after_several_outings(stage: Stage, outings: int, to: Stage | None) -> None:
    assert advise_stage(record(stage, outings)).to == to


@pytest.mark.parametrize("stage", STAGES)
def test_a_mark_that_moved_goes_back_to_tape(stage: Stage) -> None:
    found = advise_stage(record(stage, 50, -4.1))
    assert found.to == "taped"
    assert "4.1 mm" in found.words


def test_a_move_within_half_a_step_does_not_count() -> None:
    assert advise_stage(record("taped", 3, 4.0)).to == "inked"


@given(st.sampled_from(STAGES), st.integers(0, 100), st.floats(-50, 50))
def test_never_promoted_by_two_stages(stage: Stage, outings: int, moved_mm: float) -> None:
    to = advise_stage(record(stage, outings, moved_mm)).to
    if to is not None and to != "taped":
        assert STAGES.index(to) == STAGES.index(stage) + 1
        assert outings >= OUTINGS_TO_PROMOTE[stage]
