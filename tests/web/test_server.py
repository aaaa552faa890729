from __future__ import annotations

import socket
from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.web import server
from cringle.web.server import ELSEWHERE, announced, lan_addresses, server_for


@pytest.fixture
def port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


def test_alone_it_needs_no_code(folder: Path, port: int) -> None:
    ready = server_for(folder, port=port)
    assert ready.lan_address is None
    assert ready.settings.hosts == {f"127.0.0.1:{port}", f"localhost:{port}", f"[::1]:{port}"}
    text = announced(ready)
    assert f"http://127.0.0.1:{port}" in text
    assert "code" not in text


def test_for_phones_it_prints_codes_and_a_picture(
    folder: Path, port: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server, "lan_addresses", lambda: ("192.168.4.20", "10.1.1.1"))
    ready = server_for(folder, port=port, lan=True)
    assert ready.lan_address == f"http://192.168.4.20:{port}"
    assert f"10.1.1.1:{port}" in ready.settings.hosts
    text = announced(ready)
    assert ready.codes["crew"][:3] in text
    assert any(block in text for block in "█▀▄")
    assert ready.codes["crew"] not in repr(ready)


def test_a_taken_port_is_said(folder: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(InputError, match="cringle serve --port"):
            server_for(folder, port=taken.getsockname()[1])


def test_a_machine_without_a_network_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server, "ELSEWHERE", ("not an address", 9))
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_: [(0, 0, 0, "", ("127.0.1.1", 0))])
    with pytest.raises(InputError, match="no network"):
        lan_addresses()
    assert ELSEWHERE[0].startswith("192.0.2.")
