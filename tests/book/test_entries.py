from __future__ import annotations

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.book.entries import (
    EVENT_KINDS,
    KEY_FIELDS,
    Key,
    NewEntry,
    blank_payload,
    number_payload,
    payload_text,
    said,
)
from cringle.errors import InputError
from cringle.findings import Number, Source


def test_a_key_says_itself_as_a_person_would() -> None:
    key = Key("setting", "table", "main+jib", "chop", 8.0, "settled", "backstay")
    assert str(key) == "setting table main+jib chop 8 kn settled backstay"
    assert str(Key("mark_stage", "vang")) == "mark_stage vang"
    assert [field for field in KEY_FIELDS if hasattr(key, field)] == list(KEY_FIELDS)


@pytest.mark.parametrize("bad", ["", "  ", "two\nlines", "bell\x07", "nul\x00"])
@pytest.mark.parametrize("field", ["kind", "subject", "sail_set", "sea", "gear", "role"])
def test_parts_of_a_key_are_short_printable_names(field: str, bad: str) -> None:
    names = {"kind": "setting", "subject": "table", field: bad}
    with pytest.raises(InputError, match="no part of a key"):
        NewEntry(payload={"value": 1}, **names)


@pytest.mark.parametrize("wind_kn", [-0.1, math.nan, math.inf])
def test_a_wind_is_finite_and_not_negative(wind_kn: float) -> None:
    with pytest.raises(InputError, match="accepted is a finite number"):
        NewEntry("setting", "table", {"value": 1}, wind_kn=wind_kn)


def test_a_whole_wind_and_the_same_wind_as_a_fraction_are_one_cell() -> None:
    assert (
        NewEntry("setting", "table", {}, wind_kn=8).key == NewEntry("setting", "table", {}, wind_kn=8.0).key
    )


def test_a_number_keeps_its_provenance() -> None:
    payload = number_payload(Number(4.5, "mark", Source.TRIAL, low=4.0, high=5.0, by="pairs"))
    assert payload == {"value": 4.5, "source": "trial", "low": 4.0, "high": 5.0, "by": "pairs"}
    assert number_payload(Number(0.0, "mark", Source.GUESS)) == {"value": 0.0, "source": "guess"}


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"source": "rumour"}, "source 'rumour'; accepted: guess, entered"),
        ({"source": 3}, "source 3"),
        ({"source": []}, "source"),
        ({"source": "trial", "low": "3"}, "low '3': accepted is a number"),
        ({"source": "trial", "high": True}, "high True"),
    ],
)
def test_a_source_nobody_knows_is_refused(more: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words) as refused:
        NewEntry("setting", "table", {"value": 3.0, **more})
    assert refused.value.next_step


def test_a_source_that_is_no_provenance_of_a_value_is_left_alone() -> None:
    assert NewEntry("gauge_study", "vang", {"source": "steel rule"}).payload["source"] == "steel rule"


@pytest.mark.parametrize(
    "number", [Number(math.nan, "mark", Source.GUESS), Number(math.inf, "mark", Source.GUESS)]
)
def test_a_number_is_finite(number: Number) -> None:
    with pytest.raises(InputError, match="finite"):
        number_payload(number)


def test_a_number_lies_in_its_own_interval() -> None:
    with pytest.raises(InputError, match="outside its own interval 1 to 2"):
        number_payload(Number(3.0, "mark", Source.COMPUTED, low=1.0, high=2.0))


@given(
    st.dictionaries(
        st.text(st.characters(exclude_categories=("Cs",))), st.floats(allow_nan=False, allow_infinity=False)
    )
)
def test_payload_text_reads_back_the_same(payload: dict[str, float]) -> None:
    assert json.loads(payload_text(payload)) == payload


@pytest.mark.parametrize(
    "payload", [{"value": math.nan}, {"value": object()}, {"value": "\ud800"}, {"value": {1, 2}}]
)
def test_what_json_cannot_say_is_refused(payload: dict[str, object]) -> None:
    with pytest.raises(InputError, match="cannot be kept"):
        payload_text(payload)


@pytest.mark.parametrize(
    ("payload", "unit", "words"),
    [
        ({"value": 4.0}, "mark", "4 mark"),
        ({"value": 4.5}, None, "4.5"),
        ({"value": None}, "mark", "(blank)"),
        ({"value": "easy helm"}, None, "easy helm"),
        ({"value": True}, None, "True"),
        ({"text": "x"}, None, '{"text":"x"}'),
    ],
)
def test_a_payload_said_aloud(payload: dict[str, object], unit: str | None, words: str) -> None:
    assert said(payload, unit) == words


def test_blank_is_a_value_of_nothing() -> None:
    assert blank_payload() == {"value": None}
    assert "setting" not in EVENT_KINDS
    assert "observation" in EVENT_KINDS
