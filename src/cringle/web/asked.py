"""Conditions as a form or a query gives them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from cringle.errors import CringleError
from cringle.settings.records import TonightRequest
from cringle.settings.table import DEFAULT_SEA

Knots = Annotated[float, Field(ge=0.0, le=80.0, allow_inf_nan=False)]
Name = Annotated[str, Field(min_length=1, max_length=80)]
Sea = Literal["flat", "chop", "waves"]
FIELDS: Final = ("wind_kn", "low_kn", "high_kn", "gust_kn", "height_m", "sea", "sail_set")


class TonightAsked(BaseModel):
    """Tonight's conditions: wind with the height it was measured at, range, gust, sea, sails, people."""

    model_config = ConfigDict(extra="forbid")

    wind_kn: Knots | None = None
    low_kn: Knots | None = None
    high_kn: Knots | None = None
    gust_kn: Knots | None = None
    height_m: Annotated[float, Field(ge=0.5, le=40.0, allow_inf_nan=False)] | None = None
    sea: Sea = DEFAULT_SEA  # type: ignore[assignment]  # one of the three words
    sail_set: Name | None = None
    aboard: Annotated[list[Name], Field(max_length=12)] = []

    def request(self) -> TonightRequest:
        """Return the conditions as the workflows take them."""
        told = {name: getattr(self, name) for name in FIELDS}
        return TonightRequest(**told, aboard=tuple(self.aboard))


def asked_of(query: Iterable[tuple[str, str]]) -> tuple[TonightRequest | None, dict[str, str]]:
    """Return the conditions that a form gave and what is wrong with its fields; empty fields are left out.

    Returns
    -------
    request, errors
        No request when a field is wrong; errors by the name of the field, ``""`` for all together.
    """
    found: dict[str, Any] = {}
    for name, value in query:
        if name == "aboard" and value.strip():
            found.setdefault("aboard", []).append(value.strip())
        elif name in FIELDS and value.strip():
            found[name] = value.strip().replace(",", ".")
    try:
        return TonightAsked.model_validate(found).request(), {}
    except ValidationError as error:
        return None, {str(one["loc"][0] if one["loc"] else ""): one["msg"] for one in error.errors()}
    except CringleError as error:
        return None, {"": f"{error.message}. {error.next_step or ''}".strip()}


def fields_of(request: TonightRequest, given: Mapping[str, str]) -> dict[str, str]:
    """Return the values of the form's fields: what was typed, else the conditions as they are."""
    kept = {name: getattr(request, name) for name in FIELDS}
    texts = {name: _typed(value) for name, value in kept.items()}
    texts["wind_kn"] = f"{request.mean_kn:g}"
    return {**texts, **{name: value for name, value in given.items() if name in texts}}


def _typed(value: object) -> str:
    if isinstance(value, float):
        return f"{value:g}"
    return "" if value is None else str(value)
