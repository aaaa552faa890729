"""What must hold of any table at any wind: on a step, on the scale, between its rows."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from cringle.boat.base import RuleState
from cringle.findings import Number, Source
from cringle.settings.moves import moves_between
from cringle.settings.reading import WEAKEST_FIRST, read_role
from cringle.settings.roles import RoleScale
from cringle.settings.start_numbers import start_numbers
from cringle.settings.table import SEAS, Cell, RowNote, Table

ROLES = ("vang", "backstay", "cap_shrouds")
STEP = 0.5
LOW, HIGH = -2.0, 12.0
STATES = {"cap_shrouds": RuleState.BETWEEN_RACES}
SCALES = {
    role: RoleScale(
        role, role, "mark", LOW, HIGH, STEP, "main", "harder", STATES.get(role, RuleState.ANY_TIME)
    )
    for role in ROLES
}

WINDS = st.sampled_from([float(wind) for wind in range(4, 27, 2)])
NUMBERS = st.builds(Number, st.floats(-4.0, 14.0), st.just("mark"), st.sampled_from(list(Source)))
CELLS = st.builds(
    Cell,
    st.just("main+jib"),
    st.sampled_from(SEAS),
    WINDS,
    st.sampled_from(["build", "settled"]),
    st.sampled_from(ROLES),
    NUMBERS,
)
POSTURES = st.dictionaries(WINDS, st.sampled_from(["hike", "legs in"]), max_size=8)
TABLES = st.builds(
    lambda cells, postures: Table.of(
        cells,
        [
            RowNote("main+jib", None, wind, gear, posture=posture)
            for wind, posture in postures.items()
            for gear in ("build", "settled")
        ],
    ),
    st.lists(CELLS, unique_by=lambda cell: cell.key, min_size=1, max_size=40),
    POSTURES,
)
ASKED = st.tuples(st.floats(0.0, 40.0), st.sampled_from(SEAS))


def numbers(table, wind_kn, sea):
    return start_numbers(table, SCALES, sail_set="main+jib", sea=sea, wind_kn=wind_kn)


@given(TABLES, ASKED)
def test_every_number_is_on_a_step_and_inside_its_scale(table, asked):
    for one in numbers(table, *asked).numbers:
        assert LOW <= one.value <= HIGH
        assert (one.value / STEP).is_integer()


@given(TABLES, ASKED)
def test_every_number_lies_between_the_rows_it_was_read_from(table, asked):
    for gear in ("build", "settled"):
        for role in ROLES:
            reading = read_role(table, ("main+jib", gear, role), sea=asked[1], wind_kn=asked[0])
            if reading is not None:
                values = [cell.number.value for cell in reading.rows]
                assert min(values) - 1e-9 <= reading.number.value <= max(values) + 1e-9


@given(TABLES, ASKED)
def test_no_number_is_surer_than_the_rows_it_was_read_from(table, asked):
    for role in ROLES:
        reading = read_role(table, ("main+jib", "settled", role), sea=asked[1], wind_kn=asked[0])
        if reading is not None:
            ranks = [WEAKEST_FIRST.index(cell.number.source) for cell in reading.rows]
            assert WEAKEST_FIRST.index(reading.number.source) == min(ranks)


@given(TABLES, ASKED)
def test_two_rows_are_only_joined_when_their_postures_agree(table, asked):
    for role in ROLES:
        reading = read_role(table, ("main+jib", "settled", role), sea=asked[1], wind_kn=asked[0])
        if reading is not None and len(reading.rows) == 2:
            assert table.posture(reading.rows[0]) == table.posture(reading.rows[1])


@given(TABLES, ASKED)
def test_what_was_not_read_from_its_own_sea_says_so(table, asked):
    wind_kn, sea = asked
    for role in ROLES:
        reading = read_role(table, ("main+jib", "settled", role), sea=sea, wind_kn=wind_kn)
        if reading is not None:
            borrowed = any(cell.sea != sea for cell in reading.rows)
            assert borrowed == any(note.startswith(f"no {sea} row") for note in reading.notes)


@given(TABLES, ASKED, ASKED)
def test_moves_lead_from_one_set_of_numbers_to_the_other(table, here, there):
    now, then = numbers(table, *here), numbers(table, there[0], here[1])
    moves = {move.role: move for move in moves_between(now, then, SCALES, aboard=(), gear="settled")}
    for role in ROLES:
        start, end = now.find("settled", role), then.find("settled", role)
        if start is None or end is None:
            assert role not in moves
        else:
            steps = moves[role].steps if role in moves else 0
            assert start.value + steps * STEP == end.value


@given(TABLES, ASKED)
def test_the_order_of_the_cells_does_not_matter(table, asked):
    turned = Table.of(table.cells[::-1], table.notes[::-1])
    ours = {(one.gear, one.role): one for one in numbers(table, *asked).numbers}
    theirs = {(one.gear, one.role): one for one in numbers(turned, *asked).numbers}
    assert ours == theirs


@given(TABLES)
def test_the_number_of_a_row_is_its_cell_fitted_to_the_scale(table):
    for cell in table.cells:
        found = numbers(table, cell.wind_kn, cell.sea).find(cell.gear, cell.role)
        assert found.exact == cell.number.value
        assert abs(found.value - min(max(cell.number.value, LOW), HIGH)) <= STEP / 2 + 1e-9
