"""Questions about lanes, put to the boat in a book."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from cringle.boat.write import write_atomically
from cringle.errors import InputError
from cringle.output.speed_lanes import lane_picture
from cringle.settings.names import known_name
from cringle.speed.lanes import LaneAnswer, LanePolar, Point, lane_polar, with_interval
from cringle.speed.lanes_angle import beside_target, lower_lane, split_downwind
from cringle.speed.lanes_shift import layline, wind_shift
from cringle.speed.shadow import InWake, Shadow, clear_air, drawn_shadows, shadow_interval
from cringle.workflows.speed.open import SpeedAsked, SpeedBook, open_speed

MEMBERS = 32
"""Boats in the ensemble of a lane."""

GYBE_LOSS_M = 12.0
"""Made good lost in a gybe when the crew does not say: within 8 to 20 m for an amateur crew. Common practice,
no source; the debrief of a log measures it."""


@dataclass(frozen=True)
class LaneQuestion:
    """What is asked about a lane.

    Parameters
    ----------
    question : str
        A name of `QUESTIONS`.
    wind_kn : float
        True wind at 10 m.
    point : str
        ``up`` or ``down``.
    lower_deg : float
        Lower (positive) or higher than the target.
    seconds : float
        How long.
    gybe_loss_m : float
        Made good lost in one gybe.
    leg_minutes : float
        Left of the leg.
    clear_percent, slowed_percent : float
        Boat speed gained in clear air, or lost in disturbed air.
    right_m, ahead_m : float
        Where you, or the mark, are: to the right looking to windward, and ahead along the leg.
    shift_deg : float
        Of the wind, clockwise positive.
    behind_m, beside_m : float
        Where you are in the other boat's wake.
    """

    question: str
    wind_kn: float
    point: str = "up"
    lower_deg: float = 4.0
    seconds: float = 120.0
    gybe_loss_m: float = GYBE_LOSS_M
    leg_minutes: float = 8.0
    clear_percent: float = 0.0
    slowed_percent: float = 5.0
    right_m: float = 100.0
    ahead_m: float = 0.0
    shift_deg: float = 8.0
    behind_m: float = 30.0
    beside_m: float = 0.0


@dataclass(frozen=True)
class LaneFound:
    """An answer with the boat it is for."""

    book: SpeedBook
    asked: LaneQuestion
    answer: LaneAnswer


Ask = Callable[[LanePolar, LaneQuestion], LaneAnswer]


def _point(asked: LaneQuestion) -> Point:
    if asked.point not in {"up", "down"}:
        raise InputError(f"point {asked.point!r}", next_step="use up or down")
    return "up" if asked.point == "up" else "down"


def _beside(polar: LanePolar, asked: LaneQuestion) -> LaneAnswer:
    return beside_target(polar, point=_point(asked), lower_deg=asked.lower_deg, seconds=asked.seconds)


def _lower(polar: LanePolar, asked: LaneQuestion) -> LaneAnswer:
    share = asked.clear_percent / 100.0
    return lower_lane(
        polar,
        seconds=asked.seconds,
        gybe_loss_m=asked.gybe_loss_m,
        leg_minutes=asked.leg_minutes,
        clear_air_share=share,
    )


def _split(polar: LanePolar, asked: LaneQuestion) -> LaneAnswer:
    slowed = asked.slowed_percent / 100.0
    return split_downwind(polar, seconds=asked.seconds, gybe_loss_m=asked.gybe_loss_m, slowed_share=slowed)


def _shift(polar: LanePolar, asked: LaneQuestion) -> LaneAnswer:
    return wind_shift(
        polar,
        point=_point(asked),
        right_m=asked.right_m,
        ahead_m=asked.ahead_m,
        shift_deg=asked.shift_deg,
    )


def _layline(polar: LanePolar, asked: LaneQuestion) -> LaneAnswer:
    return layline(polar, point=_point(asked), mark_right_m=asked.right_m, mark_ahead_m=asked.ahead_m)


def _clear(polar: LanePolar, asked: LaneQuestion, *, mast_m: float, shadow: Shadow) -> LaneAnswer:
    place = InWake(asked.behind_m, mast_m, asked.beside_m)
    return clear_air(polar, shadow, point=_point(asked), place=place, seconds=asked.seconds)


QUESTIONS: dict[str, tuple[Ask | None, str]] = {
    "higher-lower": (_beside, "sail higher or lower than the target"),
    "lower-lane": (_lower, "gybe to a lower lane for a while and gybe back"),
    "split": (_split, "gybe away or follow in disturbed air"),
    "shift": (_shift, "two boats and a shift of the wind"),
    "layline": (_layline, "distance and time to the layline"),
    "clear-air": (None, "the other boat's wind shadow against distance"),
}
"""Question to what answers it and what it is; the last needs the shadow as well."""


def speed_lane(folder: Path, asked: LaneQuestion, *, about: SpeedAsked | None = None) -> LaneFound:
    """Return the answer to one question about lanes, with 90 % intervals.

    Parameters
    ----------
    folder : Path
        The book.
    asked : LaneQuestion
        The question.
    about : SpeedAsked, optional
        Sea and people.

    Raises
    ------
    InputError
        The question, or a number in it, is none.
    """
    name = known_name(asked.question, QUESTIONS, what="question")
    book = open_speed(folder, about or SpeedAsked(members=MEMBERS))
    polar = lane_polar(book.model, asked.wind_kn)
    ask = QUESTIONS[name][0]
    if ask is None:
        return LaneFound(book, asked, _clear_found(book, polar, asked))
    ask(polar, asked)
    drawn = [lane_polar(one, asked.wind_kn) for one in book.boats]
    return LaneFound(book, asked, with_interval(lambda one: ask(one, asked), polar, drawn))


def _clear_found(book: SpeedBook, polar: LanePolar, asked: LaneQuestion) -> LaneAnswer:
    """Return the answer about the shadow, boat and shadow drawn together; the other boat is a sister."""
    rig = book.files.class_file.rig
    mast_m = rig.mast_height + book.files.class_file.hull.freeboard
    best = _clear(polar, asked, mast_m=mast_m, shadow=Shadow())
    shadows = drawn_shadows(len(book.boats))
    drawn = [
        _clear(lane_polar(boat, asked.wind_kn), asked, mast_m=mast_m, shadow=shadow)
        for boat, shadow in zip(book.boats, shadows, strict=True)
    ]
    gain, even = shadow_interval(best, drawn)
    return replace(best, gain_m_90=gain, break_even_90=even)


def write_lane_picture(found: LaneFound, path: Path) -> Path:
    """Write the picture of an answer, true wind from the top, as SVG or PNG.

    Raises
    ------
    InputError
        Another suffix.
    """
    write_atomically(path, lane_picture(found.answer, found.asked.wind_kn, path.suffix))
    return path
