"""The page Rig's parts."""

from __future__ import annotations

from cringle.web.api.rig import Hauled, TurnsAsked, Wanted
from cringle.web.views.rig import QUESTIONS, TURNS, WANTED, asked_as, fields_of, wires_of
from cringle.web.views.studies import Studied
from cringle.workflows.serving import studies


def test_every_field_has_its_words() -> None:
    assert set(TURNS) == set(TurnsAsked.model_fields)
    assert set(WANTED) == set(Wanted.model_fields) == {*studies.WANTED, "wind_kn"}
    assert set(QUESTIONS) == {"turns", "solve", "backstay"}


def test_a_form_may_be_written_as_people_write() -> None:
    asked, errors = asked_as(TurnsAsked, {"cap_shrouds": " −1,5 ", "ask": "turns", "forestay": ""})
    assert errors == {}
    assert asked is not None
    assert (asked.cap_shrouds, asked.forestay) == (-1.5, 0.0)
    asked, errors = asked_as(Hauled, {"top_load_n": "much"})
    assert asked is None
    assert set(errors) == {"top_load_n"}


def test_fields_keep_what_was_typed() -> None:
    found = dict((name, value) for name, _, value in fields_of(TURNS, {"forestay": "x"}, 12.5, "0"))
    assert found == {"cap_shrouds": "0", "lower_shrouds": "0", "forestay": "x", "wind_kn": "12.5"}


def test_wires_come_with_the_answer() -> None:
    answer = {"base": {"tensions_n": {"cap_port": 2600.0, "forestay": 1380.0}}}
    assert wires_of(Studied("", "", answer)) == ("cap_port", "forestay")
    assert wires_of(Studied("", "")) == ()
    assert wires_of(None) == ()
