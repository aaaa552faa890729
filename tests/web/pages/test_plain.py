from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from cringle.web.assets import assets


def test_the_page_to_join_is_open_to_strangers(stranger: TestClient) -> None:
    page = stranger.get("/join")
    assert page.status_code == 200
    assert 'id="code"' in page.text


@pytest.mark.parametrize("packed", [True, False])
def test_our_own_files(stranger: TestClient, packed: bool) -> None:
    for name, one in assets().items():
        headers = {"accept-encoding": "gzip" if packed else "identity"}
        answer = stranger.get(f"/static/{name}", headers=headers)
        assert answer.content == one.body
        again = stranger.get(f"/static/{name}", headers={**headers, "if-none-match": answer.headers["etag"]})
        assert again.status_code == 304


@pytest.mark.parametrize(
    "name", ["nothing.js", "..%2fapp.py", "../app.py", "%2e%2e/app.py", "page.css/x", ".", "page.css%00"]
)
def test_no_other_file_is_given(stranger: TestClient, name: str) -> None:
    answer = stranger.get(f"/static/{name}")
    assert answer.status_code in (303, 404)


def test_the_picture_of_the_tab(stranger: TestClient) -> None:
    assert stranger.get("/favicon.ico").headers["content-type"] == "image/svg+xml"
