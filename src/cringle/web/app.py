"""The application: routes, limits, headers and errors put together."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI

from cringle.web import problems
from cringle.web.api import book as book_api
from cringle.web.api import crew as crew_api
from cringle.web.api import evening as evening_api
from cringle.web.api import home as home_api
from cringle.web.api import logs as logs_api
from cringle.web.api import notes as notes_api
from cringle.web.api import numbers as numbers_api
from cringle.web.api import paper as paper_api
from cringle.web.api import plays as plays_api
from cringle.web.api import rig as rig_api
from cringle.web.api import run as run_api
from cringle.web.api import season as season_api
from cringle.web.api import session as session_api
from cringle.web.api import trials as trials_api
from cringle.web.api import uploads as uploads_api
from cringle.web.api import visit as visit_api
from cringle.web.api import work_list as work_list_api
from cringle.web.headers import Headers
from cringle.web.limits import BodyLimit
from cringle.web.pages import afloat as afloat_pages
from cringle.web.pages import book as book_pages
from cringle.web.pages import charts as chart_pages
from cringle.web.pages import crew as crew_pages
from cringle.web.pages import numbers as numbers_pages
from cringle.web.pages import plain as plain_pages
from cringle.web.pages import plays as plays_pages
from cringle.web.pages import rig as rig_pages
from cringle.web.pages import run as run_pages
from cringle.web.pages import season as season_pages
from cringle.web.pages import tonight as tonight_pages
from cringle.web.pages import trials as trials_pages
from cringle.web.pages import work_list as work_list_pages
from cringle.web.site import Site, WebSettings

ROUTERS = (
    session_api.router,
    evening_api.router,
    notes_api.router,
    numbers_api.router,
    paper_api.router,
    book_api.router,
    work_list_api.router,
    uploads_api.router,
    logs_api.router,
    home_api.router,
    trials_api.router,
    season_api.router,
    visit_api.router,
    rig_api.router,
    crew_api.router,
    run_api.router,
    plays_api.router,
    plain_pages.router,
    chart_pages.router,
    tonight_pages.router,
    numbers_pages.router,
    book_pages.router,
    work_list_pages.router,
    rig_pages.router,
    crew_pages.router,
    run_pages.router,
    plays_pages.router,
    afloat_pages.router,
    trials_pages.router,
    season_pages.router,
)


def create_app(settings: WebSettings) -> FastAPI:
    """Return the application that serves one book.

    Raises
    ------
    BookError
        The book cannot be opened.
    """
    site = Site.of(settings)

    @asynccontextmanager
    async def running(_app: FastAPI) -> AsyncIterator[None]:
        await site.live.start()
        yield
        await site.live.stop()
        site.workers.close()
        site.served.close()

    app = FastAPI(
        title="Cringle",
        version="1",
        description="Everything the pages do, as JSON.",
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=running,
    )
    app.state.site, app.state.routers = site, ROUTERS
    for router in ROUTERS:
        app.include_router(router)
    problems.install(app)
    app.add_middleware(BodyLimit)
    app.add_middleware(Headers, hosts=settings.hosts)
    return app
