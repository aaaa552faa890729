"""Words fixed once, and short names."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from cringle.boat.base import RULE_STRICTNESS, FileModel, Identifier, Rule, RuleState


class Named(FileModel):
    id: Identifier


@pytest.mark.parametrize("name", ["jib_sheet", "main+jib", "a1"])
def test_short_names(name: str) -> None:
    assert Named(id=name).id == name


@pytest.mark.parametrize("name", ["Jib", "1a", "jib sheet", "", "a" * 49, "../x"])
def test_names_that_are_not_short(name: str) -> None:
    with pytest.raises(ValidationError):
        Named(id=name)


def test_unknown_fields_and_infinite_numbers_are_refused() -> None:
    with pytest.raises(ValidationError):
        Named(id="a", other=1)  # type: ignore[call-arg]


def test_every_rule_state_has_its_strictness() -> None:
    assert set(RULE_STRICTNESS) == set(RuleState)
    assert RULE_STRICTNESS[RuleState.ASHORE] > RULE_STRICTNESS[RuleState.BETWEEN_RACES]
    assert RULE_STRICTNESS[RuleState.BETWEEN_RACES] > RULE_STRICTNESS[RuleState.ANY_TIME]


def test_a_rule_says_number_and_edition() -> None:
    assert str(Rule(number="C.9.4", edition="2026")) == "C.9.4 (2026)"
