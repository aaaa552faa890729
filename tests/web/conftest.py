"""A served demo book: from this machine, from the network, and as a real server."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Hashable, Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from cringle.book.store import Book
from cringle.errors import CringleError
from cringle.web.app import create_app
from cringle.web.charts import Charts
from cringle.web.site import WebSettings
from cringle.web.workers import Work, Workers
from cringle.workflows.books.access import renew_codes
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.outing import Door, start_outing
from cringle.workflows.serving.errands import Errand, run_errand

PORT = 8040
LAN = "192.168.4.20"
Make = Callable[..., TestClient]


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory, examples: Path) -> Path:
    """Return a folder with the demo's files and table; read only."""
    folder = tmp_path_factory.mktemp("filled") / "book"
    folder.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, folder / name)
    shutil.copytree(examples / "plays", folder / "plays")
    with Book.open(folder, create=True, who="coach"):
        pass
    import_csv(folder, examples / "table.csv", examples / "cues.csv", who="coach")
    return folder


@pytest.fixture
def folder(filled: Path, tmp_path: Path) -> Path:
    """Return a book of its own with an outing that goes on."""
    own = tmp_path / "book"
    shutil.copytree(filled, own)
    start_outing(Door(own))
    return own


@pytest.fixture
def codes(folder: Path) -> dict[str, str]:
    """Return the codes of the network."""
    return renew_codes(folder, who="server")


@pytest.fixture
def app(folder: Path, codes: dict[str, str]) -> FastAPI:
    """Return the application of the book."""
    return create_app(WebSettings(folder, PORT, (LAN,)))


@pytest.fixture
def client_from(app: FastAPI) -> Iterator[Make]:
    """Return a function: address of a phone to a client that comes from there."""
    opened: list[TestClient] = []

    def made(address: str = "127.0.0.1", *, raising: bool = True) -> TestClient:
        host = "127.0.0.1" if address.startswith("127.") else LAN
        client = TestClient(
            app,
            base_url=f"http://{host}:{PORT}",
            client=(address, 50000),
            follow_redirects=False,
            raise_server_exceptions=raising,
        )
        opened.append(client)
        return client

    yield made
    for one in opened:
        one.close()
    app.state.site.workers.close()
    app.state.site.served.close()


@pytest.fixture
def here(client_from: Make) -> TestClient:
    """Return the coach on this machine, with the token of a change."""
    client = client_from()
    client.headers["X-Cringle-Token"] = client.get("/api/session").json()["token"]
    return client


@pytest.fixture
def join(client_from: Make, codes: dict[str, str]) -> Callable[[str], TestClient]:
    """Return a function: role to a phone that has joined with it."""

    def joined(role: str, name: str = "Keo") -> TestClient:
        client = client_from("192.168.4.33")
        told = client.post("/api/join", json={"code": codes[role], "name": name}).json()
        client.headers["X-Cringle-Token"] = told["token"]
        return client

    return joined


@pytest.fixture
def crew(join: Callable[[str], TestClient]) -> TestClient:
    """Return a phone of the crew."""
    return join("crew")


@pytest.fixture
def stranger(client_from: Make) -> TestClient:
    """Return a phone that has not joined."""
    return client_from("192.168.4.44")


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have what is worked out beside the server worked out in this process, before the page is shown."""

    def joined(self: Workers, key: Hashable, errand: Errand) -> Work:
        work = self._works.setdefault(key, Work(errand))
        if work.result is None:
            try:
                work.result = json.loads(json.dumps(run_errand(errand), allow_nan=False))
            except CringleError as error:
                work.problem = {"message": error.message, "next_step": error.next_step}
            work.state = "failed" if work.result is None else "done"
            work.finished.set()
        return work

    monkeypatch.setattr(Workers, "joined", joined)
    monkeypatch.setattr(Charts, "_draw_all", lambda _self, _name: None)
