"""What the page Run receives: techniques by wind, and one question about lanes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from pydantic import ValidationError

from cringle.settings.table import SEAS
from cringle.web.api.run import LaneAsked
from cringle.web.site import Site
from cringle.web.views.studies import Studied, studied, wind_of_tonight
from cringle.workflows.speed.lanes import QUESTIONS

Json = dict[str, Any]

NUMBERS: Final[Mapping[str, str]] = {
    "lower_deg": "Lower than the target; minus is higher [°]",
    "seconds": "For how long [s]",
    "gybe_loss_m": "Lost in one gybe [m]",
    "leg_minutes": "Left of the leg [min]",
    "clear_percent": "Faster in the lower lane [%]",
    "slowed_percent": "Slower while following [%]",
    "right_m": "To the right, looking to windward [m]",
    "ahead_m": "Ahead along the leg [m]",
    "shift_deg": "Shift of the wind, clockwise positive [°]",
    "behind_m": "Down the other boat's wake [m]",
    "beside_m": "Beside the middle of the wake [m]",
}
"""Field to its words."""

NEEDED: Final[Mapping[str, tuple[str, ...]]] = {
    "higher-lower": ("lower_deg", "seconds"),
    "lower-lane": ("seconds", "gybe_loss_m", "leg_minutes", "clear_percent"),
    "split": ("seconds", "gybe_loss_m", "slowed_percent"),
    "shift": ("right_m", "ahead_m", "shift_deg"),
    "layline": ("right_m", "ahead_m"),
    "clear-air": ("behind_m", "beside_m", "seconds"),
}
"""Question to the fields it asks for."""

BOTH_POINTS: Final = frozenset({"higher-lower", "shift", "layline", "clear-air"})
"""Questions that can be about going up or down the wind."""

HEADINGS: Final = {
    "techniques": (
        "Made good down the wind",
        "By true wind, a line and a shape for each technique; below, the technique that makes most good.",
    )
}


@dataclass(frozen=True)
class RunView:
    """Everything on the page.

    Parameters
    ----------
    sea : str
        Whose answers are shown.
    techniques : Studied or None
        Techniques and windows; None while racing.
    here : dict or None
        The window that tonight's wind lies in.
    wind_kn : float
        Tonight's wind at 10 m.
    questions : tuple of (str, str)
        Name and words of every question about lanes.
    question : str
        The one that is open.
    point : bool
        Whether it can be asked up and down the wind.
    fields : tuple of (str, str, str)
        Name, words and value of its numbers.
    values, errors : mapping
        What was typed, and what is wrong with it.
    lane : Studied or None
        The answer; None while nothing has been asked.
    """

    sea: str
    techniques: Studied | None
    here: Json | None
    wind_kn: float
    questions: tuple[tuple[str, str], ...]
    question: str
    point: bool
    fields: tuple[tuple[str, str, str], ...]
    values: Mapping[str, str]
    errors: Mapping[str, str]
    lane: Studied | None
    seas: tuple[str, ...] = SEAS


def run_view(site: Site, query: Mapping[str, str], sea: str | None) -> RunView:
    """Return the page for what was asked; nothing is worked out while racing."""
    evening = site.served.evening()
    sea = sea or evening.request.sea
    wind = wind_of_tonight(site)
    question = query.get("question", "higher-lower")
    question = question if question in QUESTIONS else "higher-lower"
    asked, errors = (
        lane_asked({**query, "question": question, "sea": sea}) if "wind_kn" in query else (None, {})
    )
    techniques = lane = None
    if not evening.is_racing:
        words = "The speed model is comparing the techniques"
        techniques = studied(site, "run", {"sea": sea}, ask="/api/run", words=words, headings=HEADINGS)
        if asked is not None:
            told = asked.model_dump()
            lane = studied(site, "lane", told, ask="/api/run/lane", words="The lane is being priced")
    fresh = LaneAsked(wind_kn=max(wind, 1.0)).model_dump()
    values = {
        key: query.get(key) or f"{value:g}" for key, value in fresh.items() if key in ("wind_kn", *NUMBERS)
    }
    return RunView(
        sea=sea,
        techniques=techniques,
        here=window_at(techniques, wind),
        wind_kn=wind,
        questions=tuple((name, words) for name, (_, words) in QUESTIONS.items()),
        question=question,
        point=question in BOTH_POINTS,
        fields=tuple((name, NUMBERS[name], values[name]) for name in NEEDED[question]),
        values={**values, "point": query.get("point", "up")},
        errors=errors,
        lane=lane,
    )


def lane_asked(query: Mapping[str, str]) -> tuple[LaneAsked | None, dict[str, str]]:
    """Return a question about lanes as a form gave it, and what is wrong with its fields."""
    known = {
        key: value.strip() for key, value in query.items() if key in LaneAsked.model_fields and value.strip()
    }
    numbers = {key: value.replace(",", ".").replace("−", "-") for key, value in known.items()}
    try:
        return LaneAsked.model_validate(numbers), {}
    except ValidationError as error:
        return None, {str(one["loc"][0]): one["msg"] for one in error.errors()}


def window_at(techniques: Studied | None, wind_kn: float) -> Json | None:
    """Return the window that a wind lies in, None where there is none."""
    if techniques is None or techniques.answer is None:
        return None
    windows: list[Json] = techniques.answer["windows"]
    return next((one for one in windows if one["from_kn"] <= wind_kn <= one["to_kn"]), None)
