from __future__ import annotations

import pytest

from cringle.cli.pairs import pairs
from cringle.errors import InputError


def test_names_and_numbers() -> None:
    assert pairs(["main_1=2.5", "jib_1=2", "x=-1e0"], "SAIL=HOURS") == {
        "main_1": 2.5,
        "jib_1": 2.0,
        "x": -1.0,
    }
    assert pairs([], "SAIL=HOURS") == {}


@pytest.mark.parametrize(
    "bad", ["main_1", "main_1=", "=2", "main_1=two", "main_1=nan", "main_1=inf", "main_1:2"]
)
def test_what_is_not_of_that_form_is_refused(bad: str) -> None:
    with pytest.raises(InputError, match="is not SAIL=HOURS"):
        pairs([bad], "SAIL=HOURS")


def test_a_name_given_twice_is_refused() -> None:
    with pytest.raises(InputError, match="main_1 is given twice"):
        pairs(["main_1=1", "main_1=2"], "SAIL=HOURS")
