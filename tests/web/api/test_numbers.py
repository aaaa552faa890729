from __future__ import annotations

from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from starlette.testclient import TestClient

from cringle.workflows.numbers.settings import show_table

PLACE = {"role": "vang", "wind_kn": 10.0, "gear": "settled", "sea": "flat"}


def cell(client: TestClient, **more: object) -> dict[str, Any]:
    found: dict[str, Any] = client.get("/api/numbers/cell", params={**PLACE, **more}).json()
    return found


def write(client: TestClient, value: float | None, base_id: int | None, **more: object) -> Any:
    said = {**PLACE, "value": value, "base_id": base_id, "why": "felt slow", **more}
    return client.put("/api/numbers/cell", json=said)


def test_the_table_is_the_one_of_the_book(here: TestClient, folder: Path) -> None:
    told = here.get("/api/numbers", params={"sea": "flat"}).json()
    view = show_table(folder, sea="flat")
    own = [one for one in view.table.cells if (one.sail_set, one.sea) == (view.sail_set, "flat")]
    assert len(told["cells"]) == len(own) > 50
    assert told["cells"][0]["value"] == own[0].number.value


def test_a_number_is_written_with_who_and_why(here: TestClient) -> None:
    before = cell(here)
    done = write(here, 6.0, before["entry_id"]).json()
    assert (done["value"], done["before"]) == (6.0, before["value"])
    after = cell(here)
    newest = after["history"][-1]
    assert (newest["who"], newest["why"], newest["value"]["value"]) == ("coach", "felt slow", 6.0)
    assert newest["base_id"] == before["entry_id"]
    assert after["entry_id"] == done["entry_id"]


def test_a_number_that_changed_is_not_written_over(here: TestClient) -> None:
    seen = cell(here)["entry_id"]
    assert write(here, 6.0, seen).is_success
    late = write(here, 7.0, seen)
    assert late.status_code == 409
    assert late.json()["clashes"][0]["theirs"] == "6 mark"
    assert cell(here)["value"] == 6.0
    assert write(here, 7.0, cell(here)["entry_id"]).is_success


def test_a_blank_cell_is_filled_once(here: TestClient) -> None:
    assert cell(here, wind_kn=11.5)["value"] is None
    first = write(here, 3.0, None, wind_kn=11.5)
    assert first.json()["before"] is None
    assert write(here, 4.0, None, wind_kn=11.5).status_code == 409
    emptied = write(here, None, first.json()["entry_id"], wind_kn=11.5)
    assert (emptied.json()["value"], emptied.json()["before"]) == (None, 3.0)
    assert cell(here, wind_kn=11.5)["value"] is None
    assert write(here, None, None, wind_kn=11.5).status_code == 422
    assert write(here, 4.0, None, wind_kn=11.5).is_success


@pytest.mark.parametrize(
    "more",
    [
        {"role": "no_such"},
        {"value": 99.0},
        {"value": "x"},
        {"wind_kn": -1},
        {"gear": ""},
        {"sea": "storm"},
        {"extra": 1},
    ],
)
def test_what_the_command_line_refuses(here: TestClient, more: dict[str, object]) -> None:
    said = {**PLACE, "value": 5.0, "base_id": None, **more}
    answer = here.put("/api/numbers/cell", json=said)
    assert answer.status_code == 422
    assert answer.json()["message"]


def test_the_other_of_a_pair_is_advised_not_moved(here: TestClient) -> None:
    place = {"role": "jib_sheet_leeward"}
    seen = cell(here, **place)
    other = cell(here, role="jib_sheet_windward")
    done = write(here, seen["value"] + 0.5, seen["entry_id"], **place).json()
    assert cell(here, role="jib_sheet_windward") == other
    assert done["advice"] is None or "jib sheet" in done["advice"].lower()


def test_going_back_to_an_earlier_table(here: TestClient) -> None:
    before = cell(here)
    newest = here.get("/api/tonight").status_code and before["entry_id"]
    done = write(here, 6.0, newest).json()
    to = f"#{done['entry_id'] - 1}"
    shown = here.post("/api/numbers/restore", json={"to": to, "only_show": True}).json()
    assert (shown["written"], len(shown["changes"])) == (False, 1)
    assert cell(here)["value"] == 6.0
    assert here.post("/api/numbers/restore", json={"to": to}).json()["written"] is True
    assert cell(here)["value"] == before["value"]
    assert here.post("/api/numbers/restore", json={"to": "last week"}).status_code == 422


def test_the_table_as_it_stood(here: TestClient) -> None:
    done = write(here, 6.0, cell(here)["entry_id"]).json()
    params = {"sea": "flat", "as_of": f"#{done['entry_id'] - 1}"}
    then = here.get("/api/numbers", params=params).json()
    now = here.get("/api/numbers", params={"sea": "flat"}).json()
    assert then != now
    assert "This is an earlier table" in here.get("/numbers", params=params).text


def test_while_racing_the_table_stands_still(here: TestClient) -> None:
    before = here.get("/api/numbers", params={"sea": "flat"}).json()
    seen = cell(here)
    here.put("/api/racing", json={"racing": True})
    write(here, 6.0, seen["entry_id"])
    assert here.get("/api/numbers", params={"sea": "flat"}).json() == before
    assert cell(here)["value"] == seen["value"]
    assert here.get("/api/numbers/moves", params={"from_kn": 8, "to_kn": 12}).status_code == 423
    assert "go-back" not in here.get("/numbers?as_of=%233").text
    assert 'id="edit"' not in here.get("/part/cell", params=PLACE).text


def test_moves_are_those_of_the_workflow(here: TestClient) -> None:
    told = here.get("/api/numbers/moves", params={"from_kn": 8, "to_kn": 14, "sea": "flat"}).json()
    assert {"who", "role", "from", "to", "steps"} <= set(told["moves"][0])


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_strips_are_a_pdf(crew: TestClient, paper: str) -> None:
    answer = crew.get("/api/numbers/strips.pdf", params={"paper": paper})
    document = pypdfium2.PdfDocument(answer.content)
    width = document[0].get_width()
    document.close()
    assert round(width) == {"a4": 842, "letter": 792}[paper]


def test_the_crew_see_a_cell_but_no_editor(crew: TestClient, here: TestClient) -> None:
    assert 'id="edit"' not in crew.get("/part/cell", params=PLACE).text
    assert 'id="edit"' in here.get("/part/cell", params=PLACE).text


class TwoEditors(RuleBasedStateMachine):
    """Two who edit the same cells, each with what they last saw: nothing acknowledged is ever lost."""

    client: TestClient

    @initialize()
    def begin(self) -> None:
        self.seen = [{}, {}]
        self.truth: dict[float, list[float]] = {}
        for editor in (0, 1):
            for wind in (10.0, 12.0):
                self.look(editor, wind)

    @rule(editor=st.sampled_from([0, 1]), wind=st.sampled_from([10.0, 12.0]))
    def look(self, editor: int, wind: float) -> None:
        found = cell(self.client, wind_kn=wind)
        self.seen[editor][wind] = found["entry_id"]
        self.truth.setdefault(wind, [one["value"]["value"] for one in found["history"]])

    @rule(
        editor=st.sampled_from([0, 1]),
        wind=st.sampled_from([10.0, 12.0]),
        value=st.integers(0, 16).map(lambda one: one / 2),
    )
    def edit(self, editor: int, wind: float, value: float) -> None:
        standing = cell(self.client, wind_kn=wind)["entry_id"]
        answer = write(self.client, value, self.seen[editor][wind], wind_kn=wind)
        if self.seen[editor][wind] == standing:
            assert answer.status_code == 200
            self.truth[wind].append(value)
            self.seen[editor][wind] = answer.json()["entry_id"]
        else:
            assert answer.status_code == 409

    @invariant()
    def everything_acknowledged_is_there(self) -> None:
        for wind, values in self.truth.items():
            assert [one["value"]["value"] for one in cell(self.client, wind_kn=wind)["history"]] == values


def test_two_editors_lose_nothing(here: TestClient) -> None:
    class Machine(TwoEditors):
        client = here

    case = Machine.TestCase
    case.settings = settings(max_examples=8, stateful_step_count=12, deadline=None)
    case("runTest").runTest()
