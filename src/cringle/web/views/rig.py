"""What the page Rig receives: base, sheet, loads, backstay, and two questions about turns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar

from pydantic import BaseModel, ValidationError

from cringle.web.api.rig import Hauled, TurnsAsked, Wanted
from cringle.web.site import Site
from cringle.web.views.studies import Studied, studied, wind_of_tonight

Json = dict[str, Any]

SHEET_HEADINGS: Final = {
    "sheet": ("The sheet as a picture", "Turns from base, tensions on the dock and forestay sag, by wind.")
}
BACKSTAY_HEADINGS: Final = {
    "travel": (
        "Along the backstay's travel",
        "Load, load in the hand, masthead and sag by the puller's place. Dashed: the table's winds.",
    )
}
TURNS: Final = {
    "cap_shrouds": "Cap shrouds [turns]",
    "lower_shrouds": "Lower shrouds [turns]",
    "forestay": "Forestay [turns]",
    "wind_kn": "Wind of the sag [kn]",
}
WANTED: Final = {
    "cap_tension_n": "Cap shrouds on the dock [N]",
    "lower_tension_n": "Lower shrouds on the dock [N]",
    "forestay_tension_n": "Forestay on the dock [N]",
    "prebend_mm": "Prebend on the dock [mm]",
    "rake_mm": "Masthead aft of the foot, on the dock [mm]",
    "sag_mm": "Forestay sag in the wind [mm]",
    "wind_kn": "Wind of the sag [kn]",
}
"""Field to its words."""

QUESTIONS: Final[Mapping[str, type[BaseModel]]] = {"turns": TurnsAsked, "solve": Wanted, "backstay": Hauled}
"""Question to the form it comes in."""

Asked = TypeVar("Asked", bound=BaseModel)
Field = tuple[str, str, str]
"""Name, words and value."""


@dataclass(frozen=True)
class RigView:
    """Everything on the page.

    Parameters
    ----------
    rig, backstay : Studied or None
        Base, sheet, loads and sides; the backstay. None while racing.
    turns, solve : Studied or None
        Answers to what was asked; None while nothing was.
    turns_fields, wanted_fields : tuple of (str, str, str)
        Name, words and value of every field.
    haul : tuple of str
        Wind and top load of the backstay, as typed.
    asked : str
        Which question was asked.
    errors : mapping
        What is wrong with its fields.
    asked_turns : dict
        The turns asked about, by role.
    wires : tuple of str
        That can be measured.
    wind_kn : float
        Tonight's wind.
    """

    rig: Studied | None
    backstay: Studied | None
    turns: Studied | None
    solve: Studied | None
    turns_fields: tuple[Field, ...]
    wanted_fields: tuple[Field, ...]
    haul: tuple[str, str]
    asked: str
    errors: Mapping[str, str]
    asked_turns: Mapping[str, float]
    wires: tuple[str, ...]
    wind_kn: float


def rig_view(site: Site, query: Mapping[str, str]) -> RigView:
    """Return the page for what was asked; nothing is worked out while racing."""
    wind, question = wind_of_tonight(site), query.get("ask", "")
    kind = QUESTIONS.get(question)
    asked, errors = (None, {}) if kind is None else asked_as(kind, query)
    own = {name: query if question == name else {} for name in QUESTIONS}
    haul = (
        asked
        if isinstance(asked, Hauled)
        else None
        if errors and question == "backstay"
        else Hauled(wind_kn=wind)
    )
    made = asked.model_dump(exclude={"wind_kn"}) if isinstance(asked, TurnsAsked) else {}
    is_ashore = not site.served.evening().is_racing
    rig = _rig(site) if is_ashore else None
    return RigView(
        rig=rig,
        backstay=_backstay(site, haul) if is_ashore and haul is not None else None,
        turns=_turns(site, asked) if is_ashore and isinstance(asked, TurnsAsked) else None,
        solve=_solve(site, asked) if is_ashore and isinstance(asked, Wanted) else None,
        turns_fields=fields_of(TURNS, own["turns"], wind, "0"),
        wanted_fields=fields_of(WANTED, own["solve"], wind, ""),
        haul=(own["backstay"].get("wind_kn") or f"{wind:g}", own["backstay"].get("top_load_n", "")),
        asked=question,
        errors=errors,
        asked_turns=made,
        wires=wires_of(rig),
        wind_kn=wind,
    )


def _rig(site: Site) -> Studied:
    sea = site.served.evening().request.sea
    words = "The rig is being solved, wind by wind"
    return studied(site, "rig", {"sea": sea}, ask="/api/rig", words=words, headings=SHEET_HEADINGS)


def _backstay(site: Site, haul: Hauled) -> Studied:
    words, told = "The backstay is being hauled along its travel", haul.model_dump(exclude_none=True)
    return studied(site, "backstay", told, ask="/api/rig/backstay", words=words, headings=BACKSTAY_HEADINGS)


def _turns(site: Site, asked: TurnsAsked) -> Studied:
    return studied(site, "turns", asked.model_dump(), ask="/api/rig/turns", words="The turns are made")


def _solve(site: Site, asked: Wanted) -> Studied:
    told = asked.model_dump(exclude_none=True)
    return studied(site, "solve", told, ask="/api/rig/solve", words="The turns are looked for")


def asked_as(kind: type[Asked], query: Mapping[str, str]) -> tuple[Asked | None, dict[str, str]]:
    """Return a question as a form gave it, and what is wrong with its fields."""
    typed = {key: value.strip() for key, value in query.items() if key in kind.model_fields and value.strip()}
    numbers = {key: value.replace(",", ".").replace("−", "-") for key, value in typed.items()}
    try:
        return kind.model_validate(numbers), {}
    except ValidationError as error:
        return None, {str(one["loc"][0]): one["msg"] for one in error.errors()}


def fields_of(
    words: Mapping[str, str], query: Mapping[str, str], wind_kn: float, empty: str
) -> tuple[Field, ...]:
    """Return fields with what was typed, else with tonight's wind, else empty."""
    usual = {"wind_kn": f"{wind_kn:g}"}
    return tuple((name, text, query.get(name) or usual.get(name, empty)) for name, text in words.items())


def wires_of(rig: Studied | None) -> tuple[str, ...]:
    """Return the wires that can be measured; none while the rig is not solved."""
    return () if rig is None or rig.answer is None else tuple(rig.answer["base"]["tensions_n"])
