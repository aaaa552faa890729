"""Starting a server: where it listens, what it prints, the code and the picture for phones."""

from __future__ import annotations

import io
import socket
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from cringle.errors import InputError
from cringle.web.app import create_app
from cringle.web.site import WebSettings
from cringle.workflows.books.access import renew_codes

STOP_WITHIN_S: Final = 2
MOST_AT_ONCE: Final = 600
EVERYWHERE: Final = "0.0.0.0"
ELSEWHERE: Final = ("192.0.2.1", 9)
"""An address kept for documentation (RFC 5737): asking for the way there sends nothing."""


@dataclass(frozen=True)
class Ready:
    """A server about to run: how it is set up, and the codes for the network."""

    settings: WebSettings
    codes: Mapping[str, str] = field(default_factory=dict, repr=False)

    @property
    def lan_address(self) -> str | None:
        """The address that phones open, or None."""
        hosts = self.settings.lan_hosts
        return f"http://{hosts[0]}:{self.settings.port}" if hosts else None


def server_for(folder: Path, *, port: int, lan: bool = False) -> Ready:
    """Return a server for a book; with `lan`, new codes are made.

    Raises
    ------
    InputError
        The port is taken, or this machine is in no network.
    """
    _require_free(EVERYWHERE if lan else "127.0.0.1", port)
    hosts = lan_addresses() if lan else ()
    codes = renew_codes(folder, who="server") if lan else {}
    return Ready(WebSettings(folder, port, hosts, with_model=True), codes)


def lan_addresses() -> tuple[str, ...]:
    """Return the addresses of this machine in its local network.

    Raises
    ------
    InputError
        It has none.
    """
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking, suppress(OSError):
        asking.connect(ELSEWHERE)
        found.append(asking.getsockname()[0])
    with suppress(OSError):
        found += [one[4][0] for one in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    own = [str(one) for one in dict.fromkeys(found) if not str(one).startswith("127.")]
    if not own:
        raise InputError(
            "this machine is in no network", next_step="join the Wi-Fi first, or leave --lan out"
        )
    return tuple(own)


def _require_free(host: str, port: int) -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trying:
        trying.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trying.bind((host, port))
        except OSError as error:
            raise InputError(
                f"port {port} cannot be used ({error.strerror})",
                next_step=f"run: cringle serve --port {port + 1}",
            ) from error


def announced(ready: Ready) -> str:
    """Return what to say when a server starts: its address, and for phones the codes and a picture."""
    lines = [f"Your book is at http://127.0.0.1:{ready.settings.port}"]
    if ready.lan_address is not None:
        crew, coach = ready.codes["crew"], ready.codes["coach"]
        lines += [
            "",
            f"Phones on the same Wi-Fi: {ready.lan_address}",
            f"  crew code   {crew[:3]} {crew[3:]}",
            f"  coach code  {coach[:5]} {coach[5:]}   (may write: keep it to yourself)",
            "",
            "Or scan this picture (crew):",
            _picture(f"{ready.lan_address}/join#code={crew}"),
            "The Wi-Fi is not encrypted by this program: use one that you trust.",
        ]
    return "\n".join([*lines, "Press Ctrl-C to stop.", ""])


def _picture(text: str) -> str:
    import segno

    drawn = io.StringIO()
    segno.make(text, error="m").terminal(drawn, compact=True)
    return drawn.getvalue()


def run_server(ready: Ready) -> None:
    """Serve until interrupted."""
    import uvicorn

    uvicorn.run(
        create_app(ready.settings),
        host=EVERYWHERE if ready.settings.lan_hosts else "127.0.0.1",
        port=ready.settings.port,
        proxy_headers=False,
        server_header=False,
        access_log=False,
        log_level="warning",
        timeout_graceful_shutdown=STOP_WITHIN_S,
        limit_concurrency=MOST_AT_ONCE,
    )
