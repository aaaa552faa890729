from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from cringle.errors import CringleError
from cringle.web.app import ROUTERS, create_app
from cringle.web.site import WebSettings

UNSAFE = {"POST", "PUT", "PATCH", "DELETE"}


def test_every_page_of_every_router_is_served(here: TestClient) -> None:
    for router in ROUTERS:
        for route in router.routes:
            path = route.path  # type: ignore[attr-defined]  # every route has one
            if "GET" in route.methods and "{" not in path and path != "/api/live":  # type: ignore[attr-defined]  # likewise
                assert here.get(path).status_code not in (404, 405, 500), path


def test_only_the_api_changes_anything() -> None:
    for router in ROUTERS:
        for route in router.routes:
            if getattr(route, "methods", set()) & UNSAFE:
                assert route.path.startswith("/api/"), route.path  # type: ignore[attr-defined]  # likewise


def test_the_description_names_every_answer_of_the_api(here: TestClient) -> None:
    told = here.get("/api/openapi.json").json()
    for path, ways in told["paths"].items():
        assert path.startswith("/api/")
        for name, way in ways.items():
            assert way.get("summary"), (path, name)
            assert {"422", "503"} <= set(way["responses"]), (path, name)


def test_a_folder_without_a_book_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CringleError):
        create_app(WebSettings(tmp_path))
