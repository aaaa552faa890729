"""Pages: templates, the filters they use, and the answers made of them."""

from __future__ import annotations

import gzip
from functools import cache
from pathlib import Path
from typing import Any, Final

from fastapi import Request
from fastapi.responses import HTMLResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from cringle.findings import PROVENANCE_LETTER, Number
from cringle.output.line_rule import LineRule, line_rule_svg
from cringle.output.palette import PAGE
from cringle.output.provenance_mark import EXPLAINED
from cringle.output.wording import mark_text, role_text, signed_text, with_unit
from cringle.track.debrief.correct import correction_words
from cringle.web.assets import version
from cringle.web.figures import FIGURES
from cringle.web.sessions import LONGEST_S, Visitor
from cringle.web.site import site_of
from cringle.workflows.afloat.corrections_kept import KeptCorrection

TEMPLATES: Final = Path(__file__).parent / "templates"
INLINE_STYLE: Final = ' style="font-variant-numeric: tabular-nums"'
"""The style sheet says this for every drawing; a strict policy allows no style inside the page."""

PACK_LEVEL: Final = 5
PAGES: Final = (
    ("/", "Tonight"),
    ("/between", "Between races"),
    ("/home", "Home"),
    ("/numbers", "Numbers"),
    ("/rig", "Rig"),
    ("/crew", "Crew"),
    ("/run", "Run"),
    ("/plays", "Plays"),
    ("/afloat", "Afloat"),
    ("/trials", "Trials"),
    ("/work-list", "Work list"),
    ("/season", "Season"),
    ("/shelf", "Shelf"),
    ("/book", "Book"),
)


@cache
def environment() -> Environment:
    """Return the templates; everything put into a page is escaped."""
    found = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters.update(
        mark=mark_text,
        signed=signed_text,
        unit=with_unit,
        role=role_text,
        rule=rule_svg,
        letter=letter,
        sure=sure,
        **FIGURES,
        ours=ours,
        metres=metres,
        corrected=corrected,
    )
    found.globals.update(pages=PAGES, version=version())
    return found


def rule_svg(rule: LineRule, width: float = 320.0) -> Markup:
    """Return a line rule as markup that keeps to the page's theme and policy."""
    return Markup(line_rule_svg(rule, PAGE, width=width).replace(INLINE_STYLE, ""))


def ours(markup: str) -> Markup:
    """Return markup that our own report wrote, every text in it escaped there."""
    return Markup(markup)


def metres(value: float) -> str:
    """Return metres with their sign, to a tenth."""
    return f"{value:+.1f}".replace("-", "\N{MINUS SIGN}")


def corrected(kept: KeptCorrection, zone: str) -> str:
    """Return a correction in words."""
    return correction_words(kept.correction, zone)


def letter(number: Number) -> str:
    """Return the letter in the ring."""
    return PROVENANCE_LETTER[number.source]


def sure(number: Number) -> str:
    """Return where a number comes from in one sentence, with its interval."""
    interval = ""
    if number.low is not None and number.high is not None:
        interval = f", 90 % between {mark_text(number.low)} and {mark_text(number.high)}"
    by = f" by {number.by}" if number.by and "by" not in EXPLAINED[number.source] else ""
    who = f" ({number.by})" if number.by and not by else ""
    at = f", {number.at:%-d %B %Y}" if number.at else ""
    return f"{EXPLAINED[number.source]}{by}{who}{at}{interval}"


def fragment(template: str, **values: Any) -> bytes:
    """Return a template filled in, as bytes."""
    return environment().get_template(template).render(**values).encode("utf-8")


def page_answer(request: Request, visitor: Visitor, body: bytes, *, status: int = 200) -> Response:
    """Return a page packed where the browser can unpack it, with the session where it is a new one."""
    headers = {"vary": "accept-encoding, cookie"}
    if "gzip" in request.headers.get("accept-encoding", ""):
        body = site_of(request).served.kept(("packed", body), lambda: gzip.compress(body, PACK_LEVEL))
        headers["content-encoding"] = "gzip"
    response = HTMLResponse(body, status_code=status, headers=headers)
    hand_out(request, visitor, response)
    return response


def hand_out(request: Request, visitor: Visitor, response: Response) -> None:
    """Give a new session to the browser that shall keep it."""
    if visitor.fresh:
        sessions = site_of(request).sessions
        response.set_cookie(
            sessions.cookie, sessions.written(visitor), max_age=LONGEST_S, httponly=True, samesite="strict"
        )


def error_page(status: int, message: str, next_step: str | None, headers: dict[str, str]) -> Response:
    """Return a page that says what is wrong and what to do next."""
    body = fragment("error.html", status=status, message=message, next_step=next_step, here="", role=None)
    return HTMLResponse(body, status_code=status, headers=headers)
