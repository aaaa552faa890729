from __future__ import annotations

import time
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from cringle.workflows.numbers.cells import CellPlace, see_cell
from cringle.workflows.numbers.settings import SettingChange, set_number

VANG = {"role": "vang", "wind_kn": 10, "gear": "settled"}


def test_the_table_says_every_number_in_words(here: TestClient) -> None:
    text = here.get("/numbers").text
    assert 'aria-label="Vang at 10 kn, settled: ' in text
    assert "Wind [kn]" in text


def test_a_page_is_made_again_when_a_number_changes(here: TestClient, folder: Path) -> None:
    before = here.get("/numbers").text
    assert here.get("/numbers").text == before
    set_number(folder, SettingChange("vang", 10.0, 5.5), who="coach", why="half a mark on")
    after = here.get("/numbers").text
    assert "half a mark on" in after
    assert 'aria-label="Vang at 10 kn, settled: 5½"' in after


def test_an_earlier_table_says_that_it_is_one(here: TestClient, folder: Path) -> None:
    base = see_cell(folder, CellPlace("vang", 10.0)).history[-1].id
    set_number(folder, SettingChange("vang", 10.0, 5.5), who="coach", why="half a mark on")
    text = here.get("/numbers", params={"as_of": f"#{base}"}).text
    assert "This is an earlier table" in text
    assert 'aria-label="Vang at 10 kn, settled: 5½"' not in text


def test_only_the_coach_gets_the_form(here: TestClient, crew: TestClient) -> None:
    assert 'id="edit"' in here.get("/part/cell", params=VANG).text
    assert 'id="edit"' not in crew.get("/part/cell", params=VANG).text


@pytest.mark.parametrize("query", [{**VANG, "role": "sprit"}, {**VANG, "wind_kn": "calm"}, {"role": "vang"}])
def test_a_cell_that_cannot_be_is_refused_in_words(here: TestClient, query: dict[str, object]) -> None:
    answer = here.get("/part/cell", params=query)  # type: ignore[arg-type]  # numbers and words
    assert answer.status_code == 422
    assert "Next: " in answer.text


def test_how_well_the_crew_sets_it_again(here: TestClient, crew: TestClient) -> None:
    lines = ["person,mark,reading_mm"]
    for person in ("Ines", "Keo"):
        for mark in (2, 3, 4, 5, 6):
            lines += [f"{person},{mark},{25.0 * mark + jitter}" for jitter in (-1.0, 0.0, 1.0)]
    sent = {"name": "r.csv", "control": "jib_sheet_port"}
    told = here.post("/api/uploads/gauge", params=sent, content="\n".join(lines).encode()).json()
    while told["state"] in ("waiting", "running"):
        told = here.get(f"/api/errands/{told['id']}").json()
        time.sleep(0.1)
    assert told["state"] == "done", told["problem"]
    text = crew.get("/numbers").text
    assert "Set again:" in text
    assert 'id="gauge"' not in text
    assert 'id="gauge"' in here.get("/numbers").text
