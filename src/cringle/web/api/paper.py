"""What is taken aboard: the card to print."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated, Any, Final

from fastapi import APIRouter, Query
from fastapi.responses import Response

from cringle.settings.records import TonightRequest
from cringle.web.asked import TonightAsked
from cringle.web.guards import Reader, SiteHere, require_ashore
from cringle.web.problems import answers
from cringle.web.site import Site
from cringle.workflows.round.card import make_card

router = APIRouter(prefix="/api", tags=["paper"])
PDF: Final[dict[int | str, dict[str, Any]]] = {
    200: {"content": {"application/pdf": {}}, "description": "The card."}
}


@router.get("/tonight/card.pdf", responses={**answers(401, 403, 423), **PDF}, response_class=Response)
def card(asked: Annotated[TonightAsked, Query()], site: SiteHere, _visitor: Reader) -> Response:
    """Give the card as an A6 PDF, for a wind or for the conditions everybody shares; not while racing."""
    require_ashore(site)
    request = request_or_shared(site, asked)
    with tempfile.TemporaryDirectory() as folder:
        model = site.served.model(request)
        made = make_card(site.settings.folder, request, Path(folder) / "card.pdf", model=model)
        body = made.path.read_bytes()
    headers = {"content-disposition": 'inline; filename="tonight-card.pdf"'}
    return Response(body, media_type="application/pdf", headers=headers)


def request_or_shared(site: Site, asked: TonightAsked) -> TonightRequest:
    """Return the conditions asked for; the shared ones when none are."""
    empty = not asked.model_dump(exclude_defaults=True)
    return site.served.evening().request if empty else asked.request()
