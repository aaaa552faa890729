from __future__ import annotations

from datetime import UTC, datetime

from cringle.output.sheet import Section, Sheet, sheet_html, sheet_lines, sheet_markup, sheet_pdf

SHEET = Sheet(
    "Home: <b>Tarrow</b> #panic()",
    "evening.nmea",
    (
        Section("Empty"),
        Section("Said", ("one line & another",)),
        Section("Table", ("before",), ("cause", "seconds"), (("tacks", "55"), ('gybes \\ "x"', "7"))),
    ),
    ("Class rules have the last word.",),
)
MADE = datetime(2026, 6, 17, 20, 0, tzinfo=UTC)


def test_a_section_without_words_is_left_out() -> None:
    assert [one.title for one in SHEET.filled] == ["Said", "Table"]
    assert "Empty" not in sheet_html(SHEET)
    assert "Empty" not in sheet_markup(SHEET)


def test_nothing_from_people_is_markup() -> None:
    page = sheet_html(SHEET)
    assert "<b>" not in page
    assert "&lt;b&gt;" in page
    assert '"Home: <b>Tarrow</b> #panic()"' in sheet_markup(SHEET)


def test_the_pdf_is_the_same_each_time() -> None:
    first = sheet_pdf(SHEET, MADE)
    assert first.startswith(b"%PDF")
    assert first == sheet_pdf(SHEET, MADE)


def test_the_page_loads_nothing() -> None:
    page = sheet_html(SHEET)
    assert "http" not in page
    assert "src=" not in page
    assert '<html lang="en">' in page


def test_lines_of_a_table_stand_under_each_other() -> None:
    lines = list(sheet_lines(SHEET))
    head = next(line for line in lines if line.startswith("cause"))
    row = next(line for line in lines if line.startswith("tacks"))
    assert head.index("seconds") == row.index("55")
    assert lines[-1] == "Class rules have the last word."


WIDE = Section(
    "Wide",
    heads=("what", "takes", "why"),
    rows=(("a thing with a rather long name", "1 h", "because " * 12), ("b", "2 h", "x" * 200)),
    widths=(3, 1, 4),
)


def test_a_wide_table_is_wrapped_within_its_columns() -> None:
    lines = list(sheet_lines(Sheet("t", "u", (WIDE,)), 60))
    assert max(map(len, lines)) <= 60
    head = next(line for line in lines if line.startswith("what"))
    at = head.index("why")
    body = lines[lines.index(head) + 1 :]
    assert all(line[at - 2 : at] == "  " for line in body if len(line) > at)
    told = " ".join(line[at:].strip() for line in body)
    assert told.count("because") == 12
    assert told.count("x") == 200


def test_shares_of_the_columns_go_to_the_paper() -> None:
    assert "columns: (3fr, 1fr, 4fr,)" in sheet_markup(Sheet("t", "u", (WIDE,)))
    assert "columns: (auto, 1fr,)" in sheet_markup(SHEET)
