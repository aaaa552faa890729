from __future__ import annotations

import json

import pytest

from cringle.book.store import Book
from cringle.cli.main import run


@pytest.fixture
def cringle(book_folder, capsys):
    with Book.open(book_folder, create=True, who="coach"):
        pass

    def called(*arguments):
        with pytest.raises(SystemExit) as caught:
            run(["speed", *arguments, "--book", str(book_folder)])
        out = capsys.readouterr()
        return int(caught.value.code or 0), out.out, out.err

    return called


def test_targets_as_json_and_picture(cringle, tmp_path):
    picture = tmp_path / "targets.svg"
    status, out, _ = cringle("targets", "--wind", "8,12", "--members", "4", "--json", "--out", str(picture))
    data = json.loads(out)
    assert status == 0
    assert [(one["tws_kn"], one["point"]) for one in data["rows"]] == [
        (8.0, "up"), (8.0, "down"), (12.0, "up"), (12.0, "down"),
    ]  # fmt: skip
    assert picture.read_text(encoding="utf-8").startswith("<svg")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("targets", "--wind", "10", "--members", "4"), "made good kn"),
        (("polar", "--wind", "10", "--step", "20"), "plane furled"),
        (("techniques", "--wind", "8,14", "--members", "4"), "better than"),
        (("depower", "--members", "2"), "In a puff"),
        (("crew", "--wind", "12", "--members", "2"), "Best places upwind"),
        (("lanes", "higher-lower", "--wind", "11"), "Break-even"),
    ],
)
def test_text_fits_80_columns_and_says_what_it_is(cringle, arguments, words):
    status, out, _ = cringle(*arguments)
    assert status == 0
    assert words in out
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "nan" not in out


def test_crew_as_json_with_deck_plan_and_a_needed_skill(cringle, tmp_path):
    plan = tmp_path / "deck.svg"
    status, out, err = cringle(
        "crew",
        "--wind",
        "12",
        "--members",
        "2",
        "--need",
        "jib=works_foredeck",
        "--places",
        str(plan),
        "--json",
    )
    crew = {one["role"]: one["person"] for one in json.loads(out)["places"][0]["crew"]}
    assert status == 0
    assert crew["jib"] == "Keo"
    assert "computing: best places" in err
    assert "Keo, jib" in plan.read_text(encoding="utf-8")


def test_a_lane_as_json_and_png(cringle, tmp_path):
    picture = tmp_path / "lane.png"
    arguments = ("lanes", "shift", "--wind", "10", "--right", "200", "--shift", "8")
    status, out, _ = cringle(*arguments, "--json", "--out", str(picture))
    assert status == 0
    assert json.loads(out)["gain_m"] == pytest.approx(27.835, abs=0.01)
    assert picture.read_bytes()[:4] == b"\x89PNG"


def test_fit_is_tried_kept_and_forgotten(cringle, tmp_path):
    path = tmp_path / "steady.csv"
    rows = "\n".join(f"{wind},45,{speed}" for wind, speed in ((8, 4.8), (10, 5.4), (12, 5.6), (14, 5.8)))
    path.write_text(f"tws_kn,twa_deg,speed_kn\n{rows}\n", encoding="utf-8")
    status, out, _ = cringle("fit", str(path), "--keep")
    assert status == 0
    assert "kept in the book as fit 1" in out
    assert "fit of 20" in cringle("polar", "--wind", "10", "--step", "20")[1]
    assert "No fit is used" in cringle("fit", "--forget")[1]
    assert "no fit yet" in cringle("polar", "--wind", "10", "--step", "20")[1]
    assert json.loads(cringle("fit", str(path), "--json")[1])["used"] == 4


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("targets", "--wind", "fresh"), "not numbers"),
        (("targets", "--wind", "0"), "true wind speed"),
        (("targets", "--wind", "10", "--gear", "reverse"), "gear"),
        (("techniques", "--sea", "mountainous"), "sea"),
        (("crew", "--need", "jib"), "ROLE=SKILL"),
        (("lanes", "overtake", "--wind", "10"), "question"),
        (("fit", "nowhere.csv"), "no such file"),
        (("targets", "--wind", "10", "--members", "2", "--out", "targets.gif"), ".svg or .png"),
        (("targets", "--aboard", "Zoe"), "nobody of the crew"),
    ],
)
def test_bad_input_is_one_clear_message_and_status_1(cringle, arguments, words):
    status, out, err = cringle(*arguments)
    assert status == 1
    assert words in err
    assert "Next:" in err or "accepted:" in err
    assert out == ""
