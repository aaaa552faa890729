from __future__ import annotations

import gzip
import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient

PACKED_LIMIT = 40_000


@pytest.mark.parametrize("path", ["/", "/between", "/part/tonight", "/part/between"])
def test_pages_are_small_and_have_nothing_inline(here: TestClient, path: str) -> None:
    text = here.get(path).text
    assert len(gzip.compress(text.encode())) < PACKED_LIMIT
    assert " style=" not in text
    assert "<style" not in text
    assert not re.search(r"<script(?![^>]*src=)", text)
    assert not re.search(r"\son\w+=", text)
    assert "http" not in text.replace('xmlns="http://www.w3.org/2000/svg"', "")


def test_every_person_has_the_numbers_of_both_gears(here: TestClient) -> None:
    text = here.get("/part/tonight", params={"wind_kn": 10}).text
    told = here.get("/api/tonight", params={"wind_kn": 10}).json()
    assert set(told["gears"]) == {"build", "settled"}
    for person in ("Marit", "Keo", "Tobias"):
        assert f">{person} <small>" in text
    assert text.count("<dt>build</dt>") == text.count("<dt>settled</dt>") == 12


@pytest.mark.parametrize(
    ("query", "field"),
    [("wind_kn=99", "wind_kn"), ("wind_kn=9&low_kn=x", "low_kn"), ("wind_kn=9&height_m=0", "height_m")],
)
def test_a_wrong_field_is_named_and_what_was_typed_stays(here: TestClient, query: str, field: str) -> None:
    text = here.get(f"/?{query}").text
    assert f'id="wrong-{field}"' in text
    typed = dict(one.split("=") for one in query.split("&"))[field]
    assert re.search(rf'name="{field}"[^>]*value="{typed}"', text)


def test_a_wrong_name_is_said(here: TestClient) -> None:
    assert (
        "Next" in here.get("/?wind_kn=9&aboard=Nobody").text
        or "aboard" in here.get("/?wind_kn=9&aboard=Nobody").text
    )


def test_what_a_stranger_types_is_only_text(here: TestClient) -> None:
    text = here.get("/", params={"wind_kn": '"><script>x</script>'}).text
    assert "<script>x" not in text


def test_a_change_of_a_file_is_seen_at_once(here: TestClient, folder: Path) -> None:
    assert "Brindle tonight" in here.get("/").text
    path = folder / "boat.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("Brindle", "Bramble"), encoding="utf-8")
    assert "Bramble tonight" in here.get("/").text


def test_a_broken_file_says_where(here: TestClient, folder: Path) -> None:
    (folder / "boat.toml").write_text("name = \n", encoding="utf-8")
    answer = here.get("/")
    assert answer.status_code == 503
    assert "boat.toml" in answer.text


def test_a_book_that_has_gone_says_so(here: TestClient, folder: Path) -> None:
    assert here.get("/").status_code == 200
    (folder / "book.sqlite").rename(folder / "elsewhere.sqlite")
    answer = here.get("/")
    assert answer.status_code == 503
    assert "cringle book restore" in answer.text
    (folder / "elsewhere.sqlite").rename(folder / "book.sqlite")
    assert here.get("/").status_code == 200


def test_between_races_shows_six_differences_screws_first(here: TestClient) -> None:
    here.put("/api/tonight/conditions", json={"wind_kn": 8})
    text = here.get("/part/between", params={"wind_kn": 18}).text
    names = re.findall(r'class="what">([^<]+) <small>', text)
    assert len(names) == 6
    assert names[:2] == ["cap shrouds", "lower shrouds"]
    assert "Nothing changes" in here.get("/part/between").text
