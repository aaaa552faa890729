"""The pages of plays."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from cringle.boat.write import write_atomically


def test_the_list_links_every_play_and_shows_duties(crew: TestClient) -> None:
    page = crew.get("/plays").text
    assert 'href="/plays/tack"' in page
    assert "Duties by leg" in page
    assert "/api/plays/cards.pdf" in page


@pytest.mark.usefixtures("at_once")
def test_a_play_has_its_timeline_order_risk_and_rehearsal(crew: TestClient) -> None:
    page = crew.get("/plays/tack").text
    assert "Done in 11.0 s as planned" in page
    assert "data-chart=" in page
    assert "Decides the time" in page
    assert 'data-action="cross_jib"' in page
    assert "None yet" in page
    assert "RRS 42" in page


@pytest.mark.usefixtures("at_once")
def test_a_play_that_cannot_be_done_says_why(here: TestClient, folder: Path) -> None:
    path = folder / "plays" / "tack.toml"
    text = path.read_text(encoding="utf-8")
    before, after = text.split('id = "let_fly"', 1)
    write_atomically(
        path, f'{before}id = "let_fly"\nafter = ["sheet_build"]\n{_without_after(after)}'.encode()
    )
    page = here.get("/plays/tack").text
    assert "It cannot be done as it is" in page
    assert 'id="tap"' not in page


def _without_after(text: str) -> str:
    """Return the rest of a table without its own line `after`."""
    head, _, rest = text.partition("[[")
    return "\n".join(one for one in head.splitlines() if not one.startswith("after")) + f"\n[[{rest}"


def test_what_is_no_play_is_an_error_page(here: TestClient) -> None:
    answer = here.get("/plays/nothing")
    assert answer.status_code == 404
    assert "This did not work" in answer.text
