"""What a running server holds: its book, its codes and sessions, what it renders with, who listens."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, cast

from starlette.requests import HTTPConnection

from cringle.web.charts import Charts
from cringle.web.limits import JoinLimit
from cringle.web.live import LiveHub
from cringle.web.sessions import Sessions
from cringle.web.workers import Workers
from cringle.workflows.books.access import load_access
from cringle.workflows.serving.served import Served

DEFAULT_PORT: Final = 8040
LOOPBACK_NAMES: Final = ("127.0.0.1", "localhost", "[::1]")


@dataclass(frozen=True)
class WebSettings:
    """How a server is started.

    Parameters
    ----------
    folder : Path
        The book.
    port : int
        Port it listens on.
    lan_hosts : tuple of str
        Addresses in the local network under which phones may ask for it; empty on loopback only.
    with_model : bool
        Whether the speed model fills what the book does not say.
    """

    folder: Path
    port: int = DEFAULT_PORT
    lan_hosts: tuple[str, ...] = ()
    with_model: bool = False

    @property
    def hosts(self) -> frozenset[str]:
        """Every value of the Host header that is served; another one is refused (DNS rebinding)."""
        return frozenset(f"{name}:{self.port}" for name in (*LOOPBACK_NAMES, *self.lan_hosts))


@dataclass
class Site:
    """Everything the handlers share."""

    settings: WebSettings
    served: Served
    sessions: Sessions
    live: LiveHub
    charts: Charts
    join_limit: JoinLimit = field(default_factory=JoinLimit)
    workers: Workers = field(default_factory=Workers)

    @classmethod
    def of(cls, settings: WebSettings) -> Site:
        """Open a book for serving."""
        served = Served(settings.folder, with_model=settings.with_model)
        served.stamp()
        sessions = Sessions(load_access(settings.folder), settings.port)
        return cls(settings, served, sessions, LiveHub(served), Charts(settings.folder))


def site_of(request: HTTPConnection) -> Site:
    """Return the site that a request came to."""
    return cast(Site, request.app.state.site)
