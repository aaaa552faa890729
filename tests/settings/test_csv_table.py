from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.errors import BookFileError
from cringle.findings import Number, Source
from cringle.settings.csv_table import Vocabulary, cues_csv, read_cues_csv, read_table_csv, table_csv
from cringle.settings.table import SEAS, Cell, RowNote

WORDS = Vocabulary(
    ("main+jib", "main+kite"),
    {"vang": "mark", "cap_shrouds": "turn"},
    {"vang": (0.0, 12.0), "cap_shrouds": (-4.0, 6.0)},
)
POSTURES = ("hike", "legs in")
HEADER = "sail_set,sea,wind_kn,gear,role,value,unit,source,n,by,at\n"


def read(tmp_path, text):
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return read_table_csv(path, WORDS)


def test_reads_cells_with_their_provenance(tmp_path):
    text = HEADER + (
        "main+jib,chop,8,settled,vang,2.5,mark,trial,9,Ines,2026-05-01T18:00:00+00:00\n"
        "main+jib,flat,8,build,cap_shrouds,-1,,,,,\n"
    )
    first, second = read(tmp_path, text)
    assert first.number == Number(
        2.5, "mark", Source.TRIAL, by="Ines", at=datetime(2026, 5, 1, 18, tzinfo=UTC)
    )
    assert first.observations == 9
    assert second.number == Number(-1.0, "turn", Source.ENTERED)


def test_columns_that_may_be_left_out(tmp_path):
    assert (
        read(tmp_path, "role,value,gear,wind_kn,sea,sail_set\nvang,2,settled,8,chop,main+jib\n")[0].wind_kn
        == 8
    )


@pytest.mark.parametrize(
    ("line", "field"),
    [
        ("main+jip,chop,8,settled,vang,2,,,,,", "sail_set"),
        ("main+jib,choppy,8,settled,vang,2,,,,,", "sea"),
        ("main+jib,chop,-8,settled,vang,2,,,,,", "wind_kn"),
        ("main+jib,chop,8,,vang,2,,,,,", "gear"),
        ("main+jib,chop,8,settled,vangg,2,,,,,", "role"),
        ("main+jib,chop,8,settled,vang,13,,,,,", "value"),
        ("main+jib,chop,8,settled,vang,,,,,,", "value"),
        ("main+jib,chop,8,settled,vang,2,turn,,,,", "unit"),
        ("main+jib,chop,8,settled,vang,2,,measurd,,,", "source"),
        ("main+jib,chop,8,settled,vang,2,,,1.5,,", "n"),
        ("main+jib,chop,8,settled,vang,2,,,0,,", "n"),
        ("main+jib,chop,8,settled,vang,2,,,,,2026-05-01", "at"),
        ("main+jib,chop,8,settled,vang,2,,,,,May", "at"),
    ],
)
def test_a_mistake_names_line_and_column(tmp_path, line, field):
    with pytest.raises(BookFileError) as caught:
        read(tmp_path, HEADER + "main+jib,chop,6,settled,vang,2,,,,,\n" + line + "\n")
    assert [(one.line, one.field) for one in caught.value.findings] == [(3, field)]
    assert "table.csv:3: " in str(caught.value)
    assert "nothing was written" in str(caught.value)


def test_every_mistake_is_told_at_once(tmp_path):
    with pytest.raises(BookFileError) as caught:
        read(tmp_path, HEADER + "main+jip,chop,x,settled,vang,2,,,,,\nmain+jib,chop,8,settled,vang,99,,,,,\n")
    assert [(one.line, one.field) for one in caught.value.findings] == [
        (2, "sail_set"),
        (2, "wind_kn"),
        (3, "value"),
    ]


def test_the_same_cell_twice_names_both_lines(tmp_path):
    line = "main+jib,chop,8,settled,vang,2,,,,,\n"
    with pytest.raises(BookFileError, match=r"table.csv:3: the same cell stands at line 2"):
        read(tmp_path, HEADER + line + line.replace(",8,", ",8.0,"))


NUMBERS = st.builds(
    Number,
    st.floats(0.0, 12.0),
    st.just("mark"),
    st.sampled_from(list(Source)),
    by=st.none() | st.sampled_from(["Ines", 'a "b", c']),
    at=st.none() | st.datetimes(timezones=st.just(UTC)),
)
CELLS = st.builds(
    Cell,
    st.sampled_from(WORDS.sail_sets),
    st.sampled_from(SEAS),
    st.integers(0, 40).map(float),
    st.sampled_from(["settled", "build", "soak"]),
    st.just("vang"),
    NUMBERS,
    st.none() | st.integers(1, 50),
)


@given(cells=st.lists(CELLS, unique_by=lambda one: one.key, max_size=12))
def test_what_is_written_is_read_back(tmp_path_factory, cells):
    assert read(tmp_path_factory.mktemp("csv"), table_csv(cells)) == cells


def read_cues(tmp_path, text):
    path = tmp_path / "cues.csv"
    path.write_text(text, encoding="utf-8")
    return read_cues_csv(path, WORDS, POSTURES)


def test_cues_there_and_back(tmp_path):
    notes = [
        RowNote(
            "main+jib",
            None,
            8.0,
            "settled",
            posture="hike",
            cues={"see": "leech, open", "helm": "two fingers"},
        ),
        RowNote("main+jib", "flat", 8.0, "settled", heel=Number(12.0, "deg", Source.MEASURED)),
    ]
    assert read_cues(tmp_path, cues_csv(notes)) == notes


def test_a_wrong_cue_line_names_its_column(tmp_path):
    head = "sail_set,sea,wind_kn,gear,posture,heel_deg\n"
    with pytest.raises(BookFileError) as caught:
        read_cues(tmp_path, head + "main+jib,,8,settled,lying,90\nmain+jib,swell,8,settled,,\n")
    assert [(one.line, one.field) for one in caught.value.findings] == [
        (2, "posture"),
        (2, "heel_deg"),
        (3, "sea"),
    ]
