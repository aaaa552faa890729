from __future__ import annotations

from dataclasses import replace

import pytest

from cringle.boat.base import Posture, RuleState
from cringle.boat.read import read_book_files
from cringle.errors import InputError
from cringle.findings import Number, Source
from cringle.settings.answer import Boat, answer, sail_set_asked
from cringle.settings.csv_table import Vocabulary, read_cues_csv, read_table_csv
from cringle.settings.places import Place
from cringle.settings.records import Records, TonightRequest
from cringle.settings.roles import role_scales
from cringle.settings.table import RowNote, Table
from cringle.settings.tonight import Call, ModelAnswers


@pytest.fixture(scope="module")
def boat(examples):
    files = read_book_files(examples)
    return Boat(files.class_file, files.boat_file, files.crew_file)


@pytest.fixture(scope="module")
def table(boat, examples):
    scales = role_scales(boat.boat_file)
    words = Vocabulary(
        tuple(one.id for one in boat.class_file.sail_sets),
        {role: one.unit for role, one in scales.items()},
        {role: (one.low, one.high) for role, one in scales.items()},
    )
    cells = read_table_csv(examples / "table.csv", words)
    notes = read_cues_csv(examples / "cues.csv", words, [one.value for one in Posture])
    return Table.of(cells, notes)


@pytest.fixture(scope="module")
def ask(boat, table):
    def asked(records=None, model=None, **request):
        return answer(boat, records or Records(table), TonightRequest(**request), model=model)

    return asked


def test_the_demo_table_is_complete(boat, table):
    """Every role of the boat has numbers, upwind in both gears at every wind."""
    assert {cell.role for cell in table.cells} == set(boat.scales)
    assert table.winds("main+jib") == (4, 6, 8, 10, 12, 14, 16, 18, 20, 24)
    upwind = [role for role in boat.scales if not role.startswith(("kite", "tack"))]
    for gear in ("build", "settled"):
        for role in upwind:
            assert len(table.column("main+jib", "chop", gear, role)) == 10
    assert set(table.gears("main+kite")) == {"soak", "wing"}
    assert "plane" in table.gears("main+jib+kite")


def test_the_demo_table_stands_on_steps(boat, table):
    for cell in table.cells:
        scale = boat.scales[cell.role]
        assert scale.low <= cell.number.value <= scale.high
        assert (cell.number.value / scale.step).is_integer()


def test_a_row_is_given_as_it_stands(ask, table):
    found = ask(wind_kn=12)
    for one in found.numbers.numbers:
        column = table.column("main+jib", "chop", one.gear, one.role)
        assert one.value == next(cell.number.value for cell in column if cell.wind_kn == 12)
    assert found.numbers.find("settled", "jib_sheet_leeward").number.source is Source.TRIAL
    assert found.cues["helm"] == "two fingers, a little more in a puff"


def test_sheets_by_the_mean_moves_for_the_ends_and_the_gust(ask):
    found = ask(low_kn=9, high_kn=13, gust_kn=16)
    assert found.numbers.wind_kn == 11
    assert sorted({move.to_wind_kn for move in found.moves}) == [9, 13, 16]
    assert found.numbers.numbers == ask(wind_kn=11).numbers.numbers


def test_moves_leave_out_what_may_not_be_changed_afloat(ask):
    roles = {move.role for move in ask(wind_kn=10, gust_kn=20).moves}
    assert "backstay" in roles
    assert not roles & {"cap_shrouds", "lower_shrouds", "forestay"}


def test_wind_at_another_height_is_converted_and_said(ask):
    found = ask(wind_kn=11, height_m=2)
    assert found.wind.wind_kn == 12.9
    assert found.wind.notes[0].startswith("11 kn at 2 m is 12.9 kn at 10 m")
    assert found.numbers.wind_kn == 12.9


def test_a_light_crew_reads_further_down_and_says_so(ask):
    found = ask(wind_kn=12, aboard=("Ines", "Tobias", "Marit", "Pal=49"))
    assert found.wind.reads_at_kn > 12
    assert found.numbers.wind_kn == found.wind.reads_at_kn
    assert "40 kg light: read further down the table" in found.wind.notes[0]
    assert {move.to_wind_kn for move in found.moves} <= {10, 14}


def test_in_light_air_and_on_the_run_weight_does_not_move_the_row(ask):
    light = ask(wind_kn=4, aboard=("Ines", "Tobias", "Marit"))
    assert light.wind.reads_at_kn == 4
    assert "nobody is on the rail" in light.wind.notes[0]
    run = ask(wind_kn=12, sail_set="main+kite", aboard=("Ines", "Tobias", "Marit"))
    assert (run.wind.reads_at_kn, run.wind.notes) == (12, ())


def test_everybody_named_is_the_same_as_nobody_named(ask):
    assert ask(wind_kn=11, aboard=("keo", "ines", "marit", "tobias")) == ask(wind_kn=11)


def test_rig_row_is_the_nearer_one(ask):
    assert ask(wind_kn=13.5).rig.row_kn == 14
    assert ask(wind_kn=12.5).rig.row_kn == 12
    assert ask(wind_kn=13.5).rig.turns["cap_shrouds"] == 2.0


def test_cautions_for_wind_and_crew(ask):
    assert ask(wind_kn=11).cautions == ()
    strong = ask(wind_kn=26, gust_kn=30)
    assert "26 kn is above the class limit of 25 kn, rule A.9 (2026)" in strong.cautions
    assert any("beyond the last row" in one for one in strong.notes)
    assert "decide ashore" in ask(wind_kn=20, gust_kn=28).cautions[0]
    two = ask(wind_kn=11, aboard=("Ines", "Keo"))
    assert "2 aboard, the class asks for 3 to 5, rule C.3.1 (2026)" in two.cautions
    heavy = ask(wind_kn=11, aboard=("Ines", "Tobias", "Keo", "Pal=110"))
    assert any("the class allows 345 kg" in one for one in heavy.cautions)


def test_a_missing_sea_says_so(ask):
    assert any("no waves row" in one for one in ask(wind_kn=10, sea="waves").notes)
    assert ask(wind_kn=10, sea="flat").notes == ()
    assert any("read from chop" in one for one in ask(wind_kn=18, sea="flat").notes)


def test_techniques_on_the_run(ask):
    assert ask(wind_kn=5, sail_set="main+kite").numbers.gears == ("soak",)
    assert ask(wind_kn=19, sail_set="main+jib+kite").numbers.gears == ("plane",)


def test_without_a_book_or_model_unknown_is_none(ask):
    found = ask(wind_kn=20)
    assert found.heel is None
    assert found.call is None
    assert found.model is None


def test_heel_from_the_book_comes_before_the_models(ask, table):
    degrees = [(8, 10.0), (12, 15.0)]
    notes = [
        RowNote("main+jib", None, wind, "settled", heel=Number(heel, "deg", Source.ENTERED))
        for wind, heel in degrees
    ]
    model = ModelAnswers(
        "speed 1",
        heel_up=Number(20.0, "deg", Source.COMPUTED),
        heel_down=Number(3.0, "deg", Source.COMPUTED),
        call=Call(technique="soak"),
    )
    own = ask(Records(Table.of(table.cells, notes)), model, wind_kn=10)
    assert (own.heel_up.value, own.heel_up.source) == (12, Source.ENTERED)
    assert own.heel_down.value == 3.0
    assert own.call.technique == "soak"
    assert own.model == "speed 1"
    assert ask(None, model, wind_kn=20).heel_up.value == 20.0


def test_heel_beyond_its_rows_is_held(ask, table):
    notes = [RowNote("main+kite", None, 8, "soak", heel=Number(6.0, "deg", Source.ENTERED))]
    records = Records(Table.of(table.cells, notes))
    assert ask(records, wind_kn=20).heel_down.value == 6
    assert ask(records, wind_kn=2).heel_down.value == 6


def test_the_models_places_and_moment_are_used(ask):
    seats = (Place("Ines", "rail_3", "hike"),)
    found = ask(
        None, ModelAnswers("speed 1", places=seats, moment_ratio=0.5), wind_kn=12, aboard=("Ines", "Keo")
    )
    assert found.crew == seats
    assert found.wind.reads_at_kn == pytest.approx(12 * 2**0.5, abs=0.05)


def test_no_wind_at_all(ask):
    found = ask(wind_kn=0)
    assert found.numbers.wind_kn == 0
    assert any("below the first row" in one for one in found.notes)


def test_an_empty_table_has_no_numbers_but_an_answer(ask):
    found = ask(Records(Table()), wind_kn=11)
    assert found.numbers.numbers == ()
    assert found.rig.row_kn is None
    assert found.moves == ()


@pytest.mark.parametrize(
    ("request_", "words"),
    [
        ({"sail_set": "main+jip"}, r"did you mean 'main\+jib'"),
        ({"sea": "choppy"}, "did you mean 'chop'"),
        ({"aboard": ("Inez",)}, "did you mean 'Ines'"),
    ],
)
def test_a_wrong_word_names_the_nearest(ask, request_, words):
    with pytest.raises(InputError, match=words):
        ask(wind_kn=11, **request_)


def test_the_upwind_sails_unless_asked(boat):
    assert sail_set_asked(boat.class_file, None).id == "main+jib"
    assert sail_set_asked(boat.class_file, "main+kite").id == "main+kite"


def test_a_rule_nobody_knows_is_asked(boat, table):
    controls = [
        one.model_copy(update={"rule_state": RuleState.UNKNOWN}) if one.id in ("vang", "backstay") else one
        for one in boat.boat_file.controls
    ]
    unsure = replace(boat, boat_file=boat.boat_file.model_copy(update={"controls": tuple(controls)}))
    found = answer(unsure, Records(table), TonightRequest(wind_kn=11))
    assert found.cautions == ("when may these be changed? ask the class before you race: vang",)
