"""The page about the CSV files names every column and every word they accept."""

from __future__ import annotations

from pathlib import Path

from cringle.boat.base import Posture
from cringle.findings import Source
from cringle.settings.csv_table import CUE_COLUMNS, TABLE_COLUMNS
from cringle.settings.table import SEAS, TECHNIQUES

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "settings-csv.md"


def _documented(text):
    return [line.split("|")[1].strip(" `") for line in text.splitlines() if line.startswith("| `")]


def test_every_column_is_documented_in_order():
    numbers, _, cues = PAGE.read_text(encoding="utf-8").partition("## Cues")
    assert tuple(_documented(numbers)) == TABLE_COLUMNS
    assert tuple(_documented(cues)) == CUE_COLUMNS


def test_every_word_is_documented():
    text = PAGE.read_text(encoding="utf-8")
    for word in (*SEAS, *TECHNIQUES, *(one.value for one in Posture), *(one.value for one in Source)):
        assert f"`{word}`" in text
