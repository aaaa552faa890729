from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from starlette.testclient import TestClient

from cringle.settings.records import TonightRequest
from cringle.settings.tonight import tonight_json
from cringle.workflows.numbers.settings import SettingChange, set_number
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.outings.moments import moment, set_signal


def test_the_numbers_are_those_of_the_command_line(here: TestClient, folder: Path) -> None:
    for wind_kn in (6.0, 11.0, 17.5):
        told = here.get(
            "/api/tonight", params={"wind_kn": wind_kn, "sea": "flat", "aboard": ["Ines", "Keo"]}
        ).json()
        request = TonightRequest(wind_kn=wind_kn, sea="flat", aboard=("Ines", "Keo"))
        assert told == tonight_json(tonight(folder, request))


@pytest.mark.parametrize(
    "query",
    [
        {"wind_kn": "81"},
        {"wind_kn": "-1"},
        {"wind_kn": "nan"},
        {"wind_kn": "much"},
        {"wind_kn": 10, "low_kn": 12},
        {"wind_kn": 10, "gust_kn": 8},
        {"wind_kn": 10, "sea": "storm"},
        {"wind_kn": 10, "sail_set": "none such"},
        {"wind_kn": 10, "aboard": "Nobody"},
        {"wnd": 10},
    ],
)
def test_what_the_command_line_refuses(here: TestClient, query: dict[str, object]) -> None:
    answer = here.get("/api/tonight", params=query)
    assert answer.status_code == 422
    assert answer.json()["message"]


def test_conditions_are_shared(here: TestClient, crew: TestClient) -> None:
    done = crew.put("/api/tonight/conditions", json={"wind_kn": 9.5, "sea": "waves"})
    assert done.status_code == 200
    told = here.get("/api/tonight").json()
    assert (told["wind_reference"]["entered_kn"], told["sea"]) == (9.5, "waves")
    assert "by Keo" in here.get("/").text


def test_two_who_share_at_once_get_a_choice(here: TestClient, crew: TestClient) -> None:
    seen = here.put("/api/tonight/conditions", json={"wind_kn": 9}).json()["entry_id"]
    assert crew.put("/api/tonight/conditions", json={"wind_kn": 12, "base_id": seen}).is_success
    late = here.put("/api/tonight/conditions", json={"wind_kn": 8, "base_id": seen})
    assert late.status_code == 409
    clash = late.json()["clashes"][0]
    assert clash["who"] == "Keo"
    assert clash["theirs"].startswith("12 kn")
    assert here.get("/api/tonight").json()["wind_reference"]["entered_kn"] == 12


def test_conditions_that_cannot_be_answered_are_not_kept(here: TestClient) -> None:
    assert here.put("/api/tonight/conditions", json={"wind_kn": 9, "aboard": ["Nobody"]}).status_code == 422
    assert "Nobody has entered" in here.get("/").text


def test_while_racing_nothing_moves(here: TestClient, crew: TestClient, folder: Path) -> None:
    crew.put("/api/tonight/conditions", json={"wind_kn": 10})
    before = here.get("/api/tonight").json()
    assert crew.put("/api/racing", json={"racing": True}).json() == {"racing": True}
    set_number(folder, SettingChange("vang", 10.0, 5.0), who="coach", why="meanwhile")
    assert here.get("/api/tonight").json() == before
    other = here.get("/api/tonight", params={"wind_kn": 15})
    assert other.status_code == 423
    assert "RRS 41" in other.json()["message"]
    assert here.put("/api/tonight/conditions", json={"wind_kn": 15}).status_code == 422
    for path in ("/", "/?wind_kn=15", "/between?wind_kn=15"):
        page = here.get(path).text
        assert "Racing." in page
        assert "wind_slider" not in page
    assert crew.put("/api/racing", json={"racing": False}).json() == {"racing": False}
    assert here.get("/api/tonight").json()["gears"] != before["gears"]


def test_the_lock_is_pressed_twice(crew: TestClient) -> None:
    for racing in (True, True, False, False):
        assert crew.put("/api/racing", json={"racing": racing}).json() == {"racing": racing}


def test_too_many_listeners_are_sent_away(
    here: TestClient, app: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("cringle.web.live.MOST_LISTENERS", 0)
    assert here.get("/api/live").status_code == 429


def test_roles_are_read_anew(join: Callable[[str], TestClient]) -> None:
    phone = join("coach")
    assert phone.get("/api/session").json()["role"] == "coach"


def test_the_signal_said_here_is_the_one_of_every_door(
    crew: TestClient, here: TestClient, folder: Path
) -> None:
    assert here.get("/api/signal").json() == {"signal_utc": None, "minutes_left": None, "racing": False}
    at = (datetime.now(UTC) + timedelta(minutes=20)).astimezone(ZoneInfo("Europe/London"))
    if at.date() != datetime.now(ZoneInfo("Europe/London")).date():
        pytest.skip("twenty minutes to midnight: the signal would be tomorrow's")
    told = crew.put("/api/signal", json={"at": f"{at:%H:%M}"}).json()
    assert told == here.get("/api/signal").json()
    assert 18 <= told["minutes_left"] <= 20
    seen = moment(folder).signal
    assert seen is not None
    assert told["signal_utc"] == seen.isoformat()
    assert crew.put("/api/signal", json={"at": "soon"}).status_code == 422


def test_a_signal_that_passes_locks_the_pages_by_itself(here: TestClient, folder: Path) -> None:
    past = datetime.now(UTC) - timedelta(minutes=3)
    set_signal(folder, past.isoformat(), who="Ines", clock=lambda: past - timedelta(minutes=10))
    assert "Racing." in here.get("/between").text
    assert here.get("/api/signal").json()["racing"]
    assert here.get("/api/tonight", params={"wind_kn": 15}).status_code == 423
    assert here.put("/api/racing", json={"racing": False}).json() == {"racing": False}
    assert here.get("/api/signal").json() == {"signal_utc": None, "minutes_left": None, "racing": False}
