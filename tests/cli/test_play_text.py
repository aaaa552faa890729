"""Answers about plays as text."""

from __future__ import annotations

import pytest

from cringle.cli import play_text
from cringle.plays.simulate import RiskSettings
from cringle.workflows.plays.open import CrewAsked
from cringle.workflows.plays.play import check_play, deal_anew, duties_of, list_plays, risk_of
from cringle.workflows.plays.rehearse import RunSaid, record_run, rehearsed
from cringle.workflows.plays.weight import weight_of


def text(lines):
    return "\n".join(lines)


def test_a_list_lines_up(book_folder):
    lines = play_text.list_lines(list_plays(book_folder))
    head = lines[0].index("wind [kn]")
    assert all(line[head] in "0123456789" for line in lines[1:22])
    assert "Next:" in lines[-1]


def test_every_play_can_be_shown(book_folder):
    for one in list_plays(book_folder):
        shown = text(play_text.show_lines(one.play))
        assert one.play.summary in shown
        assert shown.count("→") >= 4
        assert "RRS 41" in shown
        for action in one.play.actions:
            assert f"  {action.id}: " in shown


def test_a_check_goes_in_the_order_of_time(book_folder):
    lines = play_text.check_lines(check_play(book_folder, "set_straight"))
    starts = [float(line[:6]) for line in lines if line[:6].strip().replace(".", "").isdigit()]
    assert starts == sorted(starts)
    assert len(starts) == 13
    assert any("held" in line and "steer" in line for line in lines)


def test_a_check_with_weight_says_where_the_heel_comes_from(book_folder):
    found, strip = weight_of(book_folder, "plane_gybe", wind_kn=16.0)
    shown = text(play_text.check_lines(found, strip))
    assert "Steady heel from the speed model" in shown
    assert "never timed for thrust" in shown


def test_cautions_stand_under_every_check(book_folder):
    shown = text(play_text.check_lines(check_play(book_folder, "man_overboard")))
    assert "Caution: People first" in shown


@pytest.mark.parametrize(("hands", "said"), [(2, "Proven: it cannot be done."), (3, "proven shortest")])
def test_a_deal_says_what_is_proven(book_folder, hands, said):
    assert said in text(play_text.deal_lines(deal_anew(book_folder, "speed_build", CrewAsked(hands=hands))))


def test_a_deal_that_could_be_shorter_says_so(book_folder):
    shown = text(play_text.deal_lines(deal_anew(book_folder, "soak_to_wing", CrewAsked(hands=3))))
    assert "if people could pass through each other's places" in shown


def test_a_deal_says_one_action_in_the_singular(book_folder):
    shown = text(play_text.deal_lines(deal_anew(book_folder, "tack", CrewAsked(without=("keo",)))))
    assert "1 action changes hands" in shown


def test_risk_lists_what_decides_first(book_folder):
    lines = play_text.risk_lines(risk_of(book_folder, "set_straight", settings=RiskSettings(2_000)))
    rows = [float(line.split("%")[0].split()[-1]) for line in lines if line.count("%") == 1 and " s" in line]
    assert rows == sorted(rows, reverse=True)
    assert "Times as written." in lines


def test_risk_says_what_was_learned(book_folder):
    record_run(book_folder, "tack", RunSaid({"cross_jib": 3.0}))
    lines = play_text.risk_lines(risk_of(book_folder, "tack", settings=RiskSettings(300)))
    assert "Times learned afloat: cross_jib." in lines


def test_duties_say_how_often_and_how_far_ahead(book_folder):
    shown = text(play_text.duties_lines(duties_of(book_folder)))
    assert "every 60 s, looking 60 s ahead" in shown
    assert "Everything is said by exactly one person." in shown
    short = text(play_text.duties_lines(duties_of(book_folder, ("helm", "main"))))
    assert "Everything is said" not in short


def test_the_record_counts_runs_in_words(book_folder):
    record_run(book_folder, "tack", RunSaid({"cross_jib": 3.0}, 12.0))
    one = text(play_text.rehearsed_lines(rehearsed(book_folder, "tack")))
    assert "1 run kept" in one
    record_run(book_folder, "tack", RunSaid(total_s=11.0, afloat=False))
    two = text(play_text.rehearsed_lines(rehearsed(book_folder, "tack")))
    assert "2 runs kept" in two
    assert "(1 afloat)" in two
    assert "best 11.0 s, middle 11.5 s" in two


def test_nobody_seen():
    assert "cringle play rehearse" in play_text.skills_lines([])[0]
