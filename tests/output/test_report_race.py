"""The race on the page and on paper: what must stand there, in which order, nothing unescaped."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from cringle.output.report import report_html
from cringle.output.report_heel import discipline_svg
from cringle.output.report_ledger import ledger_svg
from cringle.output.report_pair import pair_html, pair_sentences, signed
from cringle.output.report_pdf import report_markup, write_report_pdf
from cringle.output.report_race import race_sections
from cringle.output.report_race_words import (
    cause,
    heel_sentences,
    race_sentences,
    seconds,
    total_sentence,
    withheld_sentence,
)
from cringle.track.debrief.debrief import Debrief, DebriefOptions, debrief
from cringle.track.debrief.race import Race, RaceOptions
from cringle.track.frozen_polar import sketch_polar
from cringle.track.heel.discipline import HeelShare
from cringle.track.ledger.ledger import PARTS
from cringle.track.pair.pair import pair_of
from cringle.track.reading.read import TrackLog
from cringle.track.reading.report import ReadReport
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate

POLAR = sketch_polar()


@pytest.fixture(scope="module")
def debriefed() -> list[Debrief]:
    options = SimOptions(boats=2, leg_m=700.0, sensors=SimSensors(rate_hz=1.0, instruments=True))
    report = ReadReport("nmea", "0" * 64, 1, 1, 1, {})
    return [
        debrief(
            TrackLog(boat.track(), {}, report),
            name=f"{boat.name}<b>.nmea",
            options=DebriefOptions(race=RaceOptions(POLAR)),
        )
        for boat in simulate(options, POLAR, 11).boats
    ]


@pytest.fixture(scope="module")
def found(debriefed: list[Debrief]) -> Debrief:
    return debriefed[0]


@pytest.fixture(scope="module")
def race(found: Debrief) -> Race:
    assert found.race is not None
    return found.race


def test_sections_stand_in_the_order_of_a_debrief(found: Debrief):
    titles = re.findall(r"<h2>(.*?)</h2>", report_html(found))
    assert titles[:6] == [
        "What the data cannot tell",
        "Keep, change, try",
        "Where the time went",
        "Legs",
        "Heel against its target",
        "What manoeuvres cost",
    ]


def test_names_from_outside_are_escaped(found: Debrief):
    page = report_html(found)
    assert "Brindle&lt;b&gt;.nmea" in page
    assert "<b>.nmea" not in page


def test_the_page_still_needs_nothing_else(found: Debrief):
    page = report_html(found)
    assert not re.search(r"https?://|url\(|@import|<script|<img|<link", page)


def test_every_shown_part_has_a_bar_and_a_whisker(race: Race):
    assert race.ledger is not None
    svg = ledger_svg(race.ledger)
    assert svg.count('class="whisker"') == len(race.ledger.shown)
    assert svg.count('class="hollow"') == bool(race.ledger.withheld)
    for part in race.ledger.shown:
        assert cause(part.name) in svg


def test_bars_stay_inside_the_drawing(race: Race):
    assert race.ledger is not None
    for x, width in re.findall(
        r'<rect class="\w+" x="([\d.-]+)" y="[\d.]+" width="([\d.]+)"', ledger_svg(race.ledger)
    ):
        assert float(x) >= 0.0
        assert float(x) + float(width) <= 360.0


def test_a_gain_is_drawn_to_the_left(race: Race):
    assert race.ledger is not None
    parts = tuple(
        replace(one, seconds=-30.0, low=-35.0, high=-25.0) if one.name == "trim" else one
        for one in race.ledger.parts
    )
    svg = ledger_svg(replace(race.ledger, parts=parts))
    assert 'class="gain"' in svg
    assert "−30 s (−35 to −25)" in svg


def test_one_figure_for_each_leg(race: Race):
    page = "".join(race_sections(race))
    legs = [one for one in race.legs if one.ledger is not None]
    assert page.count('class="leg"') == len(legs)
    assert page.count("Wind from starboard") == len(legs)


def test_no_race_no_sections():
    assert race_sections(None) == ()


def test_without_heel_its_section_is_left_out(race: Race):
    page = "".join(race_sections(replace(race, heel=None)))
    assert "Heel against its target" not in page


def test_without_a_ledger_manoeuvres_still_stand(race: Race):
    page = "".join(race_sections(replace(race, ledger=None, advice=())))
    assert "What manoeuvres cost" in page
    assert "Where the time went" not in page


def test_the_horizon_says_its_numbers():
    svg = discipline_svg("upwind", HeelShare(600, 0.4, 3.25, 2.0))
    assert "upwind: 3.2 degrees from the target on average, spread 2.0 degrees" in svg
    assert svg.count('class="band"') == 1


@pytest.mark.parametrize(
    ("value", "text"), [(0.2, "0 s"), (85.4, "85 s"), (154.0, "2 min 34 s"), (-130.0, "−2 min 10 s")]
)
def test_seconds_in_words(value: float, text: str):
    assert seconds(value) == text


def test_every_part_has_words():
    assert all(cause(part) != part or part in ("stopped",) for part in PARTS if part != "stopped")


def test_the_total_names_its_baseline_and_interval(race: Race):
    assert race.ledger is not None
    said = total_sentence(race.ledger)
    assert "Against the model target you lost" in said
    assert "nine chances in ten" in said


def test_what_is_withheld_is_said_together(race: Race):
    assert race.ledger is not None
    none = replace(race.ledger, parts=tuple(replace(one, seconds=0.0) for one in race.ledger.parts))
    assert withheld_sentence(none) is None
    wide = tuple(replace(one, low=-99.0, high=99.0) for one in race.ledger.parts)
    assert "trim" in (withheld_sentence(replace(race.ledger, parts=wide)) or "")


def test_heel_in_sentences(race: Race):
    assert race.heel is not None
    said = heel_sentences(race.heel)
    assert said[0].startswith("Upwind, heel was within 2° of its target")
    wrong = heel_sentences(replace(race.heel, wrong_side_share=0.25))
    assert any("25 % of the time it was on the wrong side" in one for one in wrong)


def test_the_terminal_gets_the_same_sentences(race: Race):
    said = race_sentences(race)
    assert race.ledger is not None
    assert said[0] == total_sentence(race.ledger)


def test_paper_has_the_same_order_and_is_a_pdf(found: Debrief, tmp_path: Path):
    markup = report_markup(found)
    places = [
        markup.index(one)
        for one in ("cannot tell", "Keep, change, try", "Where the time went", "What happened")
    ]
    assert places == sorted(places)
    write_report_pdf(found, tmp_path / "r.pdf")
    document = pypdfium2.PdfDocument(tmp_path / "r.pdf")
    text = "".join(page.get_textpage().get_text_range() for page in document)
    assert "Where the time went" in text


def test_two_boats_in_sentences_and_on_a_page(debriefed: list[Debrief]):
    one, other = (each.race for each in debriefed)
    assert one is not None and other is not None
    pair = pair_of(one, other, ("Brindle", "Sorrel <i>"))
    said = pair_sentences(pair)
    assert said[0] == f"Brindle against Sorrel <i>: {pair.words}."
    page = pair_html(pair)
    assert "Sorrel &lt;i&gt;" in page
    assert page.count("<rect") == len(pair.stretches)


def test_metres_with_their_sign():
    assert (signed(3.14), signed(-2.0), signed(0.0)) == ("+3.1", "−2.0", "+0.0")
