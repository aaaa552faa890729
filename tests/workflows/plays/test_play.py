"""Plays of a book: list, check, deal, risk, duties."""

from __future__ import annotations

import json
import shutil

import pytest
from numpy.testing import assert_allclose

from cringle.errors import BookFileError, InputError, RuleError
from cringle.plays.simulate import RiskSettings
from cringle.workflows.plays.as_json import (
    checked_json,
    dealt_json,
    duties_json,
    listed_json,
    play_json,
    risk_json,
)
from cringle.workflows.plays.open import CrewAsked, library_folder
from cringle.workflows.plays.play import check_play, deal_anew, duties_of, list_plays, risk_of


@pytest.fixture
def own_plays(book_folder, examples):
    shutil.copytree(examples / "plays", book_folder / "plays")
    return book_folder / "plays"


def changed(folder, name, *changes):
    path = folder / f"{name}.toml"
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")
    return path


def test_the_library_serves_a_book_without_plays(book_folder):
    found = list_plays(book_folder)
    assert len(found) == 21
    assert not any(one.own for one in found)
    kinds = [one.play.kind for one in found]
    assert kinds == sorted(kinds, key=list(type(kinds[0])).index)


def test_a_play_of_the_book_goes_before_the_library(book_folder, own_plays):
    changed(own_plays, "tack", ('title = "Tack"', 'title = "Our tack"'))
    (tack,) = [one for one in list_plays(book_folder) if one.play.id == "tack"]
    assert tack.own
    assert tack.play.title == "Our tack"


@pytest.mark.parametrize(
    ("more", "inside", "outside"),
    [
        ({"technique": "wing"}, "wing_gybe", "gybe_kite"),
        ({"wind_kn": 24.0}, "broach", "soak_to_wing"),
        ({"technique": "plane", "wind_kn": 15.0}, "plane_gybe", "wing_gybe"),
    ],
)
def test_plays_for_a_technique_or_a_wind(book_folder, more, inside, outside):
    names = [one.play.id for one in list_plays(book_folder, **more)]
    assert inside in names
    assert outside not in names


def test_check_as_json_has_the_promised_keys(book_folder):
    data = checked_json(check_play(book_folder, "set_straight"))
    assert data["feasible"] is True
    assert_allclose(data["makespan_s"], 17.8)
    assert data["critical"] == ["hoist", "pole_out", "made_call", "sheet_kite", "jib_away"]
    assert data["slack_s"]["come_in"] == pytest.approx(0.9)
    assert data["conflicts"] == []
    assert data["loop"] == []
    json.dumps(data, allow_nan=False)


def test_a_loop_is_named_with_its_ids(book_folder, own_plays):
    changed(own_plays, "set_straight", ('after = ["tack_forward"]', 'after = ["tack_forward", "jib_away"]'))
    data = checked_json(check_play(book_folder, "set_straight"))
    assert data["feasible"] is False
    assert {"pole_out", "jib_away"} <= set(data["loop"])
    assert data["makespan_s"] is None
    assert data["slack_s"] == {}


def test_a_path_is_taken_as_it_is(book_folder, own_plays):
    assert check_play(book_folder, str(own_plays / "tack.toml")).play.id == "tack"


def test_a_station_the_class_does_not_have(book_folder, own_plays):
    changed(own_plays, "tack", ('station = "rail_2"', 'station = "rail_7"'))
    with pytest.raises(BookFileError, match=r"tack\.toml:\d+: .*no such station of the class file"):
        check_play(book_folder, "tack")


def test_rhythm_is_refused_everywhere(book_folder, own_plays):
    changed(own_plays, "press_low", ('motion = "body"', 'motion = "body"\ntimes = 3'))
    for ask in (check_play, risk_of):
        with pytest.raises(RuleError, match="RRS 42"):
            ask(book_folder, "press_low")


def test_somebody_ashore_leaves_a_role_open(book_folder):
    with pytest.raises(BookFileError, match="nobody aboard has the role 'forward'"):
        check_play(book_folder, "tack", asked=CrewAsked(without=("keo",)))


def test_deal_without_one_hand(book_folder):
    found = deal_anew(book_folder, "tack", CrewAsked(without=("keo",)))
    assert found.dealt.status == "proven"
    assert found.checked.plan.conflicts == ()
    data = dealt_json(found)
    assert set(data["who"].values()) <= {"ines", "tobias", "marit"}
    assert data["changes"] == ["speed_call"]
    assert data["reason"] is None


def test_deal_with_a_skill_missing(book_folder):
    asked = CrewAsked(lacking=(("tobias", "works_kite_halyard"),))
    found = deal_anew(book_folder, "set_straight", asked)
    assert found.dealt.status == "impossible"
    assert "hoist needs main and works_kite_halyard" in found.dealt.reason
    assert found.checked is None


def test_deal_to_all_round_hands(book_folder):
    for hands in (2, 3, 4, 5, 6):
        found = deal_anew(book_folder, "gybe_kite", CrewAsked(hands=hands))
        assert found.dealt.status == "proven", hands
        assert len(found.hands) == hands


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (CrewAsked(people=("ines", "nobody")), "nobody 'nobody' in crew.toml"),
        (CrewAsked(without=("keo", "marit", "tobias")), "1 people aboard"),
        (CrewAsked(hands=1), "1 people aboard"),
        (CrewAsked(hands=7), "7 people aboard"),
        (CrewAsked(lacking=(("keo", "juggles"),)), "no role or skill 'juggles'"),
    ],
)
def test_crews_that_cannot_be(book_folder, asked, said):
    with pytest.raises(InputError, match=said):
        deal_anew(book_folder, "tack", asked)


@pytest.mark.parametrize("limit", [0.0, -1.0, 1e9])
def test_limits_that_cannot_be(book_folder, limit):
    with pytest.raises(InputError, match="limit"):
        deal_anew(book_folder, "tack", CrewAsked(hands=3), limit_s=limit)


def test_risk_as_json_has_the_promised_keys(book_folder):
    data = risk_json(risk_of(book_folder, "set_straight", settings=RiskSettings(3_000)))
    assert 0.0 < data["p_done"] < 1.0
    assert data["p50_s"] < data["p90_s"]
    assert data["criticality"]["sheet_kite"] > 0.9
    assert set(data["tack_head_gap_s"]) == {"mean_s", "sd_s"}
    assert risk_json(risk_of(book_folder, "tack", settings=RiskSettings(500)))["tack_head_gap_s"] is None


def test_risk_of_a_play_that_cannot_be(book_folder, own_plays):
    changed(own_plays, "tack", ("duration_s = [2.0, 2.1, 3.2]", "duration_s = [0.5, 0.6, 0.7]"))
    with pytest.raises(InputError, match="the way takes 2 s"):
        risk_of(book_folder, "tack")


def test_duties_of_the_book_or_the_library(book_folder, own_plays):
    assert duties_json(duties_of(book_folder))["holes"] == []
    changed(own_plays, "duties", ('kind = "say"\ntopic = "puffs"', 'kind = "watch"\ntopic = "puffs"'))
    assert duties_of(book_folder).holes == (
        "beat: nobody calls puffs and lulls",
        "run: nobody calls puffs and lulls",
    )
    assert len(duties_of(book_folder, ("helm", "main")).holes) > 2
    with pytest.raises(InputError, match="no role 'cook'"):
        duties_of(book_folder, ("cook",))


def test_lists_and_plays_as_json(book_folder):
    data = listed_json(list_plays(book_folder))
    assert data["plays"][0]["from"] == "library"
    shown = play_json(check_play(book_folder, "tack").play)
    assert shown["actions"][0]["id"] == "call"
    assert "with" in shown["actions"][0]
    json.dumps(shown, allow_nan=False)


def test_the_library_is_found():
    assert (library_folder() / "tack.toml").is_file()
