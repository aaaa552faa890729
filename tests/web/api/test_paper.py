from __future__ import annotations

import pypdfium2
from starlette.testclient import TestClient


def test_the_card_is_the_one_for_the_wind(crew: TestClient) -> None:
    answer = crew.get("/api/tonight/card.pdf", params={"wind_kn": 12.5})
    assert answer.headers["content-type"] == "application/pdf"
    document = pypdfium2.PdfDocument(answer.content)
    text = document[0].get_textpage().get_text_bounded()
    document.close()
    assert "12.5" in text or "12½" in text


def test_a_wrong_wind_is_refused(crew: TestClient) -> None:
    assert crew.get("/api/tonight/card.pdf", params={"wind_kn": 99}).status_code == 422


def test_neither_card_nor_pocket_page_is_made_while_racing(here: TestClient) -> None:
    here.put("/api/racing", json={"racing": True})
    assert here.get("/").text.count("Racing.") == 1
    for paper in ("card.pdf", "pocket.html"):
        answer = here.get(f"/api/tonight/{paper}", params={"wind_kn": 18})
        assert answer.status_code == 423
        assert "RRS 41" in answer.json()["message"]
