"""Tonight's page at every wind, sea and sail set: it always fits, always answers, loads nothing heavy."""

from __future__ import annotations

import itertools
import json
import os
import subprocess
import sys

import pytest

from cringle.boat.read import read_book_files
from cringle.book.store import Book
from cringle.cli.today_text import today_text
from cringle.settings.answer import answer
from cringle.settings.records import TonightRequest
from cringle.settings.table import SEAS
from cringle.settings.tonight import tonight_json
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.tonight import boat_of, tonight_records

SAIL_SETS = ("main+jib", "main+kite", "main+jib+kite")
HEAVY = ("scipy", "polars", "alembic", "altair", "vl_convert", "typst", "lxml", "ortools", "distributed")


@pytest.fixture(scope="module")
def folder(tmp_path_factory, examples):
    place = tmp_path_factory.mktemp("book")
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        (place / name).write_bytes((examples / name).read_bytes())
    with Book.open(place, create=True, who="coach"):
        pass
    import_csv(place, examples / "table.csv", examples / "cues.csv", who="Ines")
    return place


@pytest.fixture(scope="module")
def ask(folder):
    boat = boat_of(read_book_files(folder))
    with Book.open(folder) as book:
        records = {name: tonight_records(book, name) for name in SAIL_SETS}

    def asked(**request):
        return answer(boat, records[request["sail_set"]], TonightRequest(**request))

    return asked


@pytest.mark.parametrize("sail_set", SAIL_SETS)
@pytest.mark.parametrize("sea", SEAS)
def test_every_half_knot_has_a_page_that_fits(ask, sail_set, sea):
    for half_knots in range(81):
        found = ask(wind_kn=half_knots / 2, sea=sea, sail_set=sail_set)
        lines = today_text(found).splitlines()
        assert max(len(line) for line in lines) <= 80
        assert not any(line != line.rstrip() for line in lines)
        assert found.numbers.numbers
        json.dumps(tonight_json(found), allow_nan=False)


def test_numbers_never_jump_more_than_their_rows_between_half_knots(ask):
    """Between two rows of one posture the page changes a step at a time, never there and back."""
    for low, high in ((10, 12), (12, 14), (14, 16), (16, 18)):
        pages = [ask(wind_kn=low + tenth / 10, sail_set="main+jib") for tenth in range((high - low) * 10 + 1)]
        for role in pages[0].numbers.roles:
            values = [page.numbers.find("settled", role).value for page in pages]
            changes = [after - before for before, after in itertools.pairwise(values)]
            assert all(change >= 0 for change in changes) or all(change <= 0 for change in changes)


@pytest.mark.parametrize("height_m", [0.5, 2.0, 5.0, 10.0, 20.0])
def test_a_lower_measurement_means_more_wind_aloft(ask, height_m):
    found = ask(wind_kn=10.0, height_m=height_m, sail_set="main+jib")
    assert (found.wind.wind_kn > 10.0) == (height_m < 10.0)
    assert (found.wind.wind_kn < 10.0) == (height_m > 10.0)


def test_nothing_heavy_is_loaded(folder):
    code = (
        "import sys\nfrom cringle.cli.main import run\n"
        "try:\n    run(sys.argv[1:])\nexcept SystemExit:\n    pass\n"
        "print(*sorted({name.partition('.')[0] for name in sys.modules}), file=sys.stderr)\n"
    )
    arguments = [
        "today",
        "--wind",
        "11",
        "--height",
        "2",
        "--aboard",
        "Ines,Keo,Guest=70",
        "--book",
        str(folder),
    ]
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=True
    )
    assert done.stdout.startswith("Brindle tonight: 12.9 kn")
    assert "light: read further down the table" in " ".join(done.stdout.split())
    again = subprocess.run(
        [sys.executable, "-c", code, *arguments, "--json"], capture_output=True, text=True, check=True
    )
    assert json.loads(again.stdout)["wind_reference"]["reads_at_kn"] > 12.9
    assert not set(again.stderr.split()) & set(HEAVY)  # the model's answers are kept by now


@pytest.mark.parametrize("encoding", ["latin-1", "utf-8"])
def test_a_terminal_without_the_letters_still_gets_its_page(folder, encoding):
    code = "from cringle.cli.main import run; run()"
    done = subprocess.run(
        [sys.executable, "-c", code, "today", "--wind", "11", "--book", str(folder)],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": encoding},
        check=True,
    )
    page = done.stdout.decode(encoding)
    assert page.startswith("Brindle tonight: 11 kn")
    assert page.rstrip().endswith("last\nword.")
    assert ("█" in page) == (encoding == "utf-8")
