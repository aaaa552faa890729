from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from cringle.output.card_rows import IMPORTANCE, MOST_ROWS, card_rows, next_number
from cringle.settings.tonight import Tonight

Made = Callable[..., Tonight]


def test_at_most_fourteen_rows_and_a_word_about_the_rest(tonight_for: Made) -> None:
    tonight = tonight_for()
    found = card_rows(tonight)
    shown = [row.role for block in found.people for row in block.rows]
    assert len(shown) == MOST_ROWS < len(tonight.numbers.roles)
    left = set(tonight.numbers.roles) - set(shown)
    assert set(found.left_out) == {tonight.scales[role].name for role in left}


def test_what_moves_is_kept_before_what_stays(tonight_for: Made) -> None:
    tonight = tonight_for()
    found = card_rows(tonight)
    shown = {row.role for block in found.people for row in block.rows}
    for role in set(tonight.numbers.roles) - shown:
        values = {one.value for one in tonight.numbers.of_role(role)}
        assert len(values) == 1
        assert next_number(tonight, role) is None


def test_everybody_has_their_own_rows_in_the_order_of_setting(tonight_for: Made) -> None:
    tonight = tonight_for()
    for block in card_rows(tonight).people:
        roles = [row.role for row in block.rows]
        assert all(tonight.workers[role] == block.person for role in roles)
        assert roles == [role for role in tonight.numbers.roles if role in roles]


def test_one_persons_card(tonight_for: Made) -> None:
    tonight = tonight_for()
    found = card_rows(tonight, "Marit")
    assert [block.person for block in found.people] == ["Marit"]
    assert found.left_out == ()


def test_a_blank_stays_blank(tonight_for: Made) -> None:
    tonight = tonight_for()
    kept = tuple(
        one for one in tonight.numbers.numbers if (one.gear, one.role) != ("build", "jib_sheet_leeward")
    )
    thinner = replace(tonight, numbers=replace(tonight.numbers, numbers=kept))
    rows = {row.role: row for block in card_rows(thinner).people for row in block.rows}
    assert rows["jib_sheet_leeward"].numbers[0] is None
    assert rows["jib_sheet_leeward"].numbers[1] is not None


def test_a_third_gear_is_named_as_left_out(tonight_for: Made) -> None:
    tonight = tonight_for()
    third = tuple(replace(one, gear="pinch") for one in tonight.numbers.numbers if one.gear == "settled")
    numbers = replace(tonight.numbers, numbers=(*tonight.numbers.numbers, *third))
    found = card_rows(replace(tonight, numbers=numbers))
    assert found.gears == tonight.numbers.gears
    assert "gear pinch" in found.left_out


def test_the_next_wind_is_the_nearest_stronger_one(tonight_for: Made) -> None:
    tonight = tonight_for()
    for role in tonight.numbers.roles:
        ups = [one for one in tonight.moves if one.role == role and one.to_wind_kn > 11.0]
        expected = min(ups, key=lambda one: one.to_wind_kn).end if ups else None
        assert next_number(tonight, role) == expected


def test_a_number_held_beyond_the_table_says_so(tonight_for: Made) -> None:
    rows = [row for block in card_rows(tonight_for(wind_kn=24.9)).people for row in block.rows]
    beyond = [row for row in rows if row.remark]
    assert {row.remark for row in beyond} <= {"beyond the table, held"}
    assert [row for block in card_rows(tonight_for()).people for row in block.rows if row.remark] == []


def test_importance_names_roles_once() -> None:
    assert len(set(IMPORTANCE)) == len(IMPORTANCE)
