"""How sure the crew is of a mark: taped, inked, whipped. A mark earns its stage and can lose it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from cringle.settings.names import known_name

Stage = Literal["taped", "inked", "whipped"]
STAGES: tuple[Stage, ...] = get_args(Stage)

OUTINGS_TO_PROMOTE = {"taped": 3, "inked": 6}
"""Outings a mark must have stayed put before the next stage. Several outings is common practice, no
source; the two numbers are this program's choice."""


@dataclass(frozen=True)
class MarkRecord:
    """What is known about the marks of one control.

    Parameters
    ----------
    control : str
        Id of the control.
    stage : str or None
        None when nobody has recorded one.
    outings_since : int
        Outings since the stage was given, the scale was made anew, or a mark was last found moved.
    moved_mm : float or None
        How far a mark was found from its place at the last look after that [mm]; None: nobody looked.
    half_step_mm : float
        Half of the control's step as a length of line [mm].
    """

    control: str
    stage: Stage | None
    outings_since: int
    moved_mm: float | None
    half_step_mm: float


@dataclass(frozen=True)
class StageAdvice:
    """What to do with the marks of one control; `to` is None when there is nothing to do."""

    control: str
    stage: Stage | None
    to: Stage | None
    words: str


def stage_named(name: str) -> Stage:
    """Return a stage by its name.

    Raises
    ------
    InputError
        There is no such stage.
    """
    return known_name(name, STAGES, what="stage")


def advise_stage(record: MarkRecord) -> StageAdvice:
    """Return whether to promote a mark that has stayed put, to send it back, or to leave it.

    A mark found more than half a step from its place goes back to tape, whatever its stage. One that
    stayed put over several outings may be promoted by one stage.
    """
    if record.stage is None:
        return StageAdvice(record.control, None, "taped", "no stage recorded: tape the marks first")
    if record.moved_mm is not None and abs(record.moved_mm) > record.half_step_mm:
        words = (
            f"found {abs(record.moved_mm):g} mm from its place, more than half a step "
            f"({record.half_step_mm:g} mm): back to tape, and find out why it moved"
        )
        return StageAdvice(record.control, record.stage, "taped", words)
    needed = OUTINGS_TO_PROMOTE.get(record.stage)
    if needed is None:
        return StageAdvice(record.control, record.stage, None, "whipped: nothing left to do")
    upper = STAGES[STAGES.index(record.stage) + 1]
    if record.outings_since >= needed:
        words = f"stayed put over {record.outings_since} outings: may be {upper}"
        return StageAdvice(record.control, record.stage, upper, words)
    words = f"{record.outings_since} of {needed} outings; leave it {record.stage}"
    return StageAdvice(record.control, record.stage, None, words)
