from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from cringle.output.pocket import FORMAT, MOST_BYTES, Pocket, PocketPlay, pocket_html
from cringle.output.wording import mark_text
from cringle.settings.tonight import Tonight

Make = Callable[..., Tonight]


@pytest.fixture
def pocket(tonight_for: Make) -> Pocket:
    winds = [(wind, tonight_for(wind)) for wind in (10.0, 10.5, 11.0)]
    play = PocketPlay(
        "Tack", "Through the wind.", (("Ines", "Ready", 0.0), ("Marit", "</script>", 2.4)), "<svg/>"
    )
    return Pocket("25 June 2026 18:00", tonight_for(10.5), winds, [play])


def data_of(text: str) -> dict[str, object]:
    found = re.search(r'<script type="application/json" id="data">(.*?)</script>', text, re.S)
    assert found
    told: dict[str, object] = json.loads(found[1])
    return told


def test_it_is_one_file_that_asks_for_nothing(pocket: Pocket) -> None:
    text = pocket_html(pocket)
    rest = text.replace("http://www.w3.org/2000/svg", "")
    assert not re.search(r"https?://|src=|@import|url\(", rest)
    script = re.findall(r"<script>(.*?)</script>", text, re.S)[-1]
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in text
    assert "script-src 'unsafe" not in text


def test_every_number_is_the_servers(pocket: Pocket) -> None:
    told = data_of(pocket_html(pocket))
    assert told["format"] == FORMAT
    for wind, tonight in pocket.winds:
        found = told["winds"][f"{wind:g}"]  # type: ignore[index]  # as written above
        told_numbers = {role: cells for _, rows in found["people"] for role, cells in rows}
        for one in tonight.numbers.numbers:
            place = found["gears"].index(one.gear)
            assert told_numbers[one.role][place].lstrip("~").removesuffix(" held") == mark_text(one.value)


def test_the_tables_have_them_without_a_script(pocket: Pocket) -> None:
    text = pocket_html(pocket)
    for gear in ("build", "settled"):
        table = text.split(f"Every number, {gear}")[1].split("</table>")[0]
        assert table.count("<tr>") == 1 + len(pocket.winds)
        assert f"<td>{mark_text(pocket.winds[1][1].numbers.find(gear, 'vang').value)}</td>" in table  # type: ignore[union-attr]  # it is there


def test_nothing_typed_becomes_markup(pocket: Pocket) -> None:
    hostile = replace(pocket.tonight, boat="<script>x</script>", goal="</script>")
    text = pocket_html(replace(pocket, tonight=hostile))
    assert "<script>x" not in text
    assert text.count("</script>") == 2


def test_pictures_give_way_before_the_page_is_too_long(pocket: Pocket) -> None:
    plays = [PocketPlay(f"Play {one}", "", (), "<svg>" + "x" * 200_000 + "</svg>") for one in range(4)]
    text = pocket_html(replace(pocket, plays=plays))
    assert len(text.encode()) <= MOST_BYTES
    assert text.count("xxxx</svg>") == 2
    assert all(f"Play {one}" in text for one in range(4))


def test_no_advice_while_racing_is_said(pocket: Pocket) -> None:
    assert "RRS 41" in pocket_html(pocket)
