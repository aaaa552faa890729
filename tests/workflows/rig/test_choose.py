from __future__ import annotations

import pytest
from numpy.testing import assert_allclose

from cringle.errors import InputError
from cringle.rig.choose import Costs, forecast_of
from cringle.workflows.rig.choose import costs_of, read_losses, rig_choose

HEADER = "row_kn,wind_kn,loss_s_per_mile\n"


def test_a_narrow_forecast_takes_its_row(book_folder):
    found = rig_choose(book_folder, forecast_of({0.5: 12.0}), winds_kn=[8.0, 12.0, 16.0])
    assert found.candidates[0].row_kn == 12.0
    assert found.costs == Costs()
    assert found.rule_states["cap_shrouds"] == "between races"


def test_the_coachs_losses(book_folder, tmp_path):
    path = tmp_path / "losses.csv"
    path.write_text(HEADER + "8,6,0\n8,20,9\n16,6,1\n16,20,1\n", encoding="utf-8")
    found = rig_choose(
        book_folder, forecast_of({0.05: 8.0, 0.95: 18.0}), winds_kn=[8.0, 16.0], loss_table=path
    )
    assert found.candidates[0].row_kn == 16.0
    assert_allclose(found.candidates[0].expected_s_per_mile, 1.0)
    assert found.costs is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wind,loss\n", "header is not"),
        (HEADER + "8,6\n", r"losses.csv:2"),
        (HEADER + "8,6,low\n", r"losses.csv:2"),
        ("", "header"),
    ],
)
def test_a_bad_loss_table_names_the_line(tmp_path, text, words):
    path = tmp_path / "losses.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=words):
        read_losses(path)


def test_no_loss_table(tmp_path):
    with pytest.raises(InputError, match="no such file"):
        read_losses(tmp_path / "none.csv")


def test_costs():
    assert costs_of(None, None) == Costs()
    assert costs_of(4.0, None).sag_s_per_mile == 4.0
