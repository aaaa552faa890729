"""Answers of the models for pages: the commands' own JSON, with the pictures that belong to it.

Each takes seconds, so a server has it worked out in a process of its own; answers of the speed model are
kept under the book's cache.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from cringle.errors import InputError
from cringle.output.palette import PAGE
from cringle.workflows.rig.book import DEFAULT_WIND_KN
from cringle.workflows.speed.cache import kept
from cringle.workflows.speed.open import SpeedAsked, SpeedBook, open_speed

Json = dict[str, Any]
Asked = Mapping[str, Any]

CREW_MEMBERS: Final = 32
DEPOWER_MEMBERS: Final = 24
RUN_MEMBERS: Final = 64
LANE_MEMBERS: Final = 32
"""Boats of the ensemble, as the commands have them."""

RUN_WINDS_KN: Final = tuple(float(one) for one in range(4, 25, 2))


def study(folder: Path, name: str, asked: Asked) -> Json:
    """Return one answer with its pictures: ``{"answer": …, "charts": {name: specification}, "svg": {…}}``.

    Parameters
    ----------
    folder : Path
        The book.
    name : str
        One of `STUDIES`.
    asked : mapping
        What else the answer depends on: sea, wind, question.

    Raises
    ------
    InputError
        There is no such study; and whatever the workflow behind it raises.
    """
    found = STUDIES.get(name)
    if found is None:
        raise InputError(f"no study {name!r}", next_step=f"known are: {', '.join(STUDIES)}")
    return found(folder, asked)


def _speed_asked(asked: Asked, members: int) -> SpeedAsked:
    return SpeedAsked(sea=str(asked.get("sea") or "chop"), members=members)


def _kept_speed(folder: Path, name: str, asked: Asked, make: Callable[[], Json]) -> Json:
    """Return a kept answer of the speed model: it depends on the files, the fit and what is asked."""
    book = open_speed(folder)
    found: Json = kept(folder, f"study-{name}", _inputs(book, asked), make)
    return found


def _inputs(book: SpeedBook, asked: Asked) -> tuple[str, ...]:
    fit = "" if book.fit is None else f"{book.fit.id} {sorted(book.fit.found.factors.items())}"
    files = book.files
    texts = [one.model_dump_json() for one in (files.class_file, files.boat_file, files.crew_file)]
    return (*texts, fit, repr(sorted(asked.items())))


def _crew(folder: Path, asked: Asked) -> Json:
    from cringle.output.speed_charts import heel_spec
    from cringle.workflows.speed.crew import speed_crew
    from cringle.workflows.speed.crew_as_json import crew_json

    def make() -> Json:
        found = speed_crew(folder, asked=_speed_asked(asked, CREW_MEMBERS))
        return {"answer": crew_json(found), "charts": {"heel": heel_spec(found.costs[:1], "", PAGE)}}

    return _kept_speed(folder, "crew", asked, make)


def _depower(folder: Path, asked: Asked) -> Json:
    from cringle.output.speed_charts import depower_spec
    from cringle.workflows.speed.crew import speed_depower
    from cringle.workflows.speed.crew_as_json import depower_json

    def make() -> Json:
        found = speed_depower(folder, asked=_speed_asked(asked, DEPOWER_MEMBERS))
        return {"answer": depower_json(found), "charts": {"depower": depower_spec(found.steps, "", PAGE)}}

    return _kept_speed(folder, "depower", asked, make)


def _run(folder: Path, asked: Asked) -> Json:
    """Return techniques with their windows, and the polar."""
    from cringle.output.speed_polar import polar_svg
    from cringle.workflows.speed.as_json import techniques_json
    from cringle.workflows.speed.print import techniques_chart
    from cringle.workflows.speed.speed import speed_polar, speed_techniques

    def make() -> Json:
        about = _speed_asked(asked, RUN_MEMBERS)
        found = speed_techniques(folder, RUN_WINDS_KN, asked=about)
        polars = speed_polar(folder, RUN_WINDS_KN, asked=about).polars
        return {
            "answer": techniques_json(found),
            "charts": {"techniques": techniques_chart(found, PAGE)},
            "svg": {"polar": polar_svg(polars, "Polar, the fastest way at every angle", PAGE)},
        }

    return _kept_speed(folder, "run", asked, make)


def _lane(folder: Path, asked: Asked) -> Json:
    from cringle.output.speed_lanes import lane_svg
    from cringle.workflows.speed.as_json import lane_json
    from cringle.workflows.speed.lanes import LaneQuestion, speed_lane

    question = {key: value for key, value in asked.items() if key not in {"study", "sea"}}

    def make() -> Json:
        found = speed_lane(folder, LaneQuestion(**question), about=_speed_asked(asked, LANE_MEMBERS))
        picture = lane_svg(found.answer, found.asked.wind_kn, PAGE)
        return {"answer": lane_json(found.answer), "svg": {"lane": picture}}

    return _kept_speed(folder, "lane", asked, make)


def _rig(folder: Path, asked: Asked) -> Json:
    """Return the base tune, the tune sheet, and port against starboard."""
    from cringle.output.rig_pictures import sheet_spec
    from cringle.workflows.rig.as_json import base_json, check_json, loads_json, sheet_json
    from cringle.workflows.rig.backstay import rig_loads
    from cringle.workflows.rig.measure import rig_check
    from cringle.workflows.rig.rig import rig_base, rig_sheet

    found = rig_sheet(folder, sea=str(asked.get("sea") or "chop"))
    answer = {
        "base": base_json(rig_base(folder)),
        "sheet": sheet_json(found),
        "loads": loads_json(rig_loads(folder)),
        "check": check_json(rig_check(folder)),
    }
    return {"answer": answer, "charts": {"sheet": sheet_spec(found.rows, "", theme=PAGE)}}


def _backstay(folder: Path, asked: Asked) -> Json:
    from cringle.output.rig_pictures import travel_spec
    from cringle.workflows.rig.as_json import backstay_json
    from cringle.workflows.rig.backstay import BackstayRequest, rig_backstay
    from cringle.workflows.rig.print import geometry_picture

    wind, top = asked.get("wind_kn"), asked.get("top_load_n")
    request = BackstayRequest(
        DEFAULT_WIND_KN if wind is None else float(wind), top_load_n=None if top is None else float(top)
    )
    found = rig_backstay(folder, request)
    return {
        "answer": backstay_json(found),
        "charts": {"travel": travel_spec(found.rows, found.winds, "", theme=PAGE)},
        "svg": {"geometry": geometry_picture(found, PAGE)},
    }


def _turns(folder: Path, asked: Asked) -> Json:
    """Return what turns do; keys of what is asked that are no words of the question are roles of screws."""
    from cringle.workflows.rig.as_json import turns_json
    from cringle.workflows.rig.rig import rig_turns

    roles = {key: float(value) for key, value in asked.items() if key != "wind_kn"}
    return {"answer": turns_json(rig_turns(folder, roles, wind_kn=float(asked["wind_kn"])))}


WANTED: Final[Mapping[str, tuple[str, bool]]] = {
    "cap_tension_n": ("cap_port_n", False),
    "lower_tension_n": ("lower_port_n", False),
    "forestay_tension_n": ("forestay_n", False),
    "prebend_mm": ("prebend_mm", False),
    "rake_mm": ("rake_mm", False),
    "sag_mm": ("sag_mm", True),
}
"""What a form may want, to the model's name of it and whether it is meant in the wind."""


def _solve(folder: Path, asked: Asked) -> Json:
    """Return the turns that come nearest to what is wanted."""
    from cringle.rig.inverse import Target
    from cringle.workflows.rig.as_json import solve_json
    from cringle.workflows.rig.rig import SolveRequest, rig_solve

    targets = [
        Target(name, float(asked[key]), sailing=sailing)
        for key, (name, sailing) in WANTED.items()
        if asked.get(key) is not None
    ]
    if not targets:
        raise InputError("nothing is wanted", next_step=f"give one of: {', '.join(WANTED)}")
    request = SolveRequest(tuple(targets), wind_kn=float(asked["wind_kn"]))
    return {"answer": solve_json(rig_solve(folder, request))}


def _play(folder: Path, asked: Asked) -> Json:
    """Return a play: order, times, risk, heel, and its timeline."""
    from cringle.output.play_chart import timeline_spec
    from cringle.plays.weight import strip_as_json
    from cringle.workflows.plays.as_json import checked_json, risk_json
    from cringle.workflows.plays.output import timeline_of
    from cringle.workflows.plays.play import check_play, risk_of
    from cringle.workflows.plays.weight import weight_of

    name = str(asked["play"])
    found = check_play(folder, name)
    answer: Json = {"check": checked_json(found), "risk": None, "weight": None}
    if found.checked.plan.makespan_s is None:
        return {"answer": answer}
    found, strip = weight_of(folder, name)
    answer |= {"risk": risk_json(risk_of(folder, name)), "weight": strip_as_json(strip)}
    return {"answer": answer, "charts": {"timeline": timeline_spec(timeline_of(found, strip), PAGE)}}


STUDIES: Final[Mapping[str, Callable[[Path, Asked], Json]]] = {
    "crew": _crew,
    "depower": _depower,
    "run": _run,
    "lane": _lane,
    "rig": _rig,
    "backstay": _backstay,
    "turns": _turns,
    "solve": _solve,
    "play": _play,
}
"""Name of a study to what works it out."""
