"""Charts: their pictures, their specifications, and the scripts that show them."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Request
from fastapi.responses import Response

from cringle.output.palette import LIGHT
from cringle.web.guards import Reader, SiteHere
from cringle.web.problems import ProblemError

router = APIRouter(include_in_schema=False)
Id = Annotated[str, Path(pattern="^[0-9a-f]{32}$")]
LONG = "private, max-age=31536000, immutable"


@router.get("/chart/{name}.svg")
def picture(name: Id, site: SiteHere, _visitor: Reader, wide: bool = False, alone: bool = False) -> Response:
    """Give the picture of a chart, in the page's colours, or in the light theme's where it stands alone."""
    body = site.charts.svg(name, wide=wide, theme=LIGHT if alone else None)
    return Response(body, media_type="image/svg+xml", headers={"cache-control": LONG})


@router.get("/chart/{name}.json")
def specification(name: Id, site: SiteHere, _visitor: Reader, wide: bool = False) -> dict[str, Any]:
    """Give what the scripts draw a chart from."""
    return site.charts.spec(name, wide=wide)


@router.get("/chart/scripts.js")
def scripts(request: Request, site: SiteHere, _visitor: Reader) -> Response:
    """Give the scripts that show charts; they come out of the installed package."""
    if "gzip" not in request.headers.get("accept-encoding", ""):
        raise ProblemError(422, "the scripts are sent packed only", "read the picture instead")
    headers = {"content-encoding": "gzip", "cache-control": "private, max-age=86400"}
    return Response(site.charts.bundle(), media_type="text/javascript", headers=headers)
