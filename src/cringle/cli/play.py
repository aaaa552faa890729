"""``cringle play``: who does what in what order."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from cringle.cli.common import DEFAULT_WHO, BookOption, JsonOption, WhoOption, console, emit_json, find_book
from cringle.cli.lines import print_lines
from cringle.cli.pairs import pairs
from cringle.errors import InputError
from cringle.workflows.plays.open import CrewAsked

app = typer.Typer(
    rich_markup_mode=None,
    no_args_is_help=True,
    help="Who does what in what order: check, deal, risk, rehearse, cards.",
    epilog="Examples: cringle play list, cringle play check set_straight, cringle play deal tack --hands 3",
)

Play = Annotated[str, typer.Argument(metavar="PLAY", help="Id of a play, or the path of its .toml file.")]
People = Annotated[list[str] | None, typer.Option("--person", help="Who sails; repeat.", show_default="all")]
Without = Annotated[list[str] | None, typer.Option("--without", help="Who stays ashore; repeat.")]
Wind = Annotated[float | None, typer.Option("--wind", help="True wind at 10 m [kn], for the steady heel.")]


@app.command("list", epilog="Example: cringle play list --technique wing --wind 12")
def list_command(
    technique: Annotated[str | None, typer.Option(help="soak, wing or plane.")] = None,
    wind: Annotated[float | None, typer.Option(help="True wind [kn].")] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """List the plays of the book and of the library."""
    from cringle.cli.play_text import list_lines
    from cringle.workflows.plays.as_json import listed_json
    from cringle.workflows.plays.play import list_plays

    found = list_plays(find_book(book), technique=technique, wind_kn=wind)
    _answer(listed_json(found) if as_json else None, list_lines(found))


@app.command(epilog="Examples: cringle play show tack, cringle play show set_wing --out set.svg --wind 12")
def show(
    play: Play,
    out: Annotated[Path | None, typer.Option("--out", help="Chart to write, .svg or .png.")] = None,
    wind: Wind = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show a play in words, or write its timeline with the heel under it."""
    from cringle.cli.play_text import show_lines
    from cringle.workflows.plays.as_json import play_json
    from cringle.workflows.plays.open import open_playbook
    from cringle.workflows.plays.output import write_chart

    folder = find_book(book)
    if out is not None:
        write_chart(folder, play, out, wind_kn=wind)
        console().print(f"written: {out}", markup=False)
        return
    found = open_playbook(folder).load(play).play
    _answer(play_json(found) if as_json else None, show_lines(found))


@app.command(epilog="Examples: cringle play check gybe_kite, cringle play check my-play.toml --json")
def check(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    play: Play,
    person: People = None,
    without: Without = None,
    weight: Annotated[bool, typer.Option("--weight", help="Look at heel as well.")] = False,
    wind: Wind = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Check a play: order, slack, critical chain, conflicts. Exit status 1 when it cannot be done."""
    from cringle.cli.play_text import check_lines
    from cringle.plays.weight import strip_as_json
    from cringle.workflows.plays.as_json import checked_json
    from cringle.workflows.plays.play import check_play

    folder, asked = find_book(book), CrewAsked(tuple(person or ()), tuple(without or ()))
    found, strip = check_play(folder, play, asked=asked), None
    if (weight or wind is not None) and found.checked.plan.makespan_s is not None:
        from cringle.workflows.plays.weight import weight_of

        found, strip = weight_of(folder, play, wind_kn=wind, asked=asked)
    more = {"weight": strip_as_json(strip)} if strip is not None else {}
    _answer({**checked_json(found), **more} if as_json else None, check_lines(found, strip))
    if not found.checked.plan.feasible:
        raise typer.Exit(1)


@app.command(
    epilog="Examples: cringle play deal tack --without keo, cringle play deal set_straight --hands 3"
)
def deal(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    play: Play,
    person: People = None,
    without: Without = None,
    lacking: Annotated[
        list[str] | None, typer.Option("--lacking", help="PERSON:SKILL not there today; repeat.")
    ] = None,
    hands: Annotated[int | None, typer.Option("--hands", help="That many all-round hands, 2 to 6.")] = None,
    limit: Annotated[float, typer.Option("--limit", help="Longest time to think [s].")] = 10.0,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Deal a play anew: the shortest these people can do, then the fewest changes.

    Ctrl-C ends the search and shows the best found so far.
    """
    from cringle.cli.play_text import deal_lines
    from cringle.workflows.plays.as_json import dealt_json
    from cringle.workflows.plays.play import deal_anew

    asked = CrewAsked(
        tuple(person or ()), tuple(without or ()), tuple(_split(one) for one in lacking or ()), hands
    )
    found = deal_anew(find_book(book), play, asked, limit_s=limit)
    _answer(dealt_json(found) if as_json else None, deal_lines(found))
    if found.dealt.status == "impossible":
        raise typer.Exit(1)


@app.command(epilog="Example: cringle play risk set_straight --samples 100000")
def risk(
    play: Play,
    samples: Annotated[int, typer.Option(help="Runs.")] = 20_000,
    seed: Annotated[int, typer.Option(help="The same seed gives the same answer.")] = 1,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say how sure a play is done in time, and which action decides it."""
    from cringle.cli.play_text import risk_lines
    from cringle.plays.simulate import RiskSettings
    from cringle.workflows.plays.as_json import risk_json
    from cringle.workflows.plays.play import risk_of

    found = risk_of(find_book(book), play, settings=RiskSettings(samples=samples, seed=seed))
    _answer(risk_json(found) if as_json else None, risk_lines(found))


@app.command(epilog="Examples: cringle play duties, cringle play duties --role helm --role main --role jib")
def duties(
    role: Annotated[
        list[str] | None, typer.Option("--role", help="Role that sails; repeat.", show_default="all")
    ] = None,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show who does, watches and says what on each leg, with holes and overlaps."""
    from cringle.cli.play_text import duties_lines
    from cringle.workflows.plays.as_json import duties_json
    from cringle.workflows.plays.play import duties_of

    sheet = duties_of(find_book(book), tuple(role or ()))
    _answer(duties_json(sheet) if as_json else None, duties_lines(sheet))


@app.command(
    epilog="Examples: cringle play rehearse tack, cringle play rehearse tack --times cross_jib=2.4 --total 12"
)
def rehearse(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    play: Play,
    times: Annotated[list[str] | None, typer.Option("--times", help="ACTION=SECONDS; repeat.")] = None,
    total: Annotated[float | None, typer.Option("--total", help="From the call to the end [s].")] = None,
    role: Annotated[list[str] | None, typer.Option("--role", help="ROLE=PERSON; repeat.")] = None,
    ashore: Annotated[bool, typer.Option("--ashore", help="A walk-through: kept, but no timing.")] = False,
    note: Annotated[str, typer.Option("--note", help="What was seen.")] = "",
    progress: Annotated[bool, typer.Option("--progress", help="Only show the record so far.")] = False,
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Step through a play with a stop-watch and keep the run; or keep times given here."""
    from cringle.cli.play_text import rehearsed_lines
    from cringle.workflows.plays.as_json import rehearsed_json
    from cringle.workflows.plays.rehearse import RunSaid, record_run, rehearsed

    folder = find_book(book)
    said = RunSaid(pairs(times or [], "ACTION=SECONDS"), total, _people(role), not ashore, note)
    if progress:
        found = rehearsed(folder, play)
    elif times or total is not None:
        found = record_run(folder, play, said, who=who)
    else:
        from cringle.cli.play_walk import walk

        found = walk(folder, play, said, who=who)
    _answer(rehearsed_json(found) if as_json else None, rehearsed_lines(found))


@app.command(epilog="Example: cringle play learn tack evening.nmea")
def learn(
    play: Play,
    log: Annotated[Path, typer.Argument(metavar="LOG", help="A recorded log with a wind angle.")],
    book: BookOption = None,
    who: WhoOption = DEFAULT_WHO,
    as_json: JsonOption = False,
) -> None:
    """Time the turns of a tack or gybe in a log, and keep them as runs."""
    from cringle.cli.play_text import learned_lines
    from cringle.workflows.plays.as_json import learned_json
    from cringle.workflows.plays.learn import learn_from_log

    found = learn_from_log(find_book(book), play, log, who=who)
    _answer(learned_json(found) if as_json else None, learned_lines(found))


@app.command(epilog="Example: cringle play skills --json")
def skills(book: BookOption = None, as_json: JsonOption = False) -> None:
    """Show who has been seen in which role of which play."""
    from cringle.cli.play_text import skills_lines
    from cringle.workflows.plays.as_json import skills_json
    from cringle.workflows.plays.rehearse import skills_grid

    rows = skills_grid(find_book(book))
    _answer(skills_json(rows) if as_json else None, skills_lines(rows))


@app.command(
    epilog="Examples: cringle play cards, cringle play cards tack set_straight --for keo --out keo.pdf"
)
def cards(
    plays: Annotated[
        list[str] | None, typer.Argument(metavar="[PLAY]...", help="Which plays.", show_default="all")
    ] = None,
    person: Annotated[str | None, typer.Option("--for", help="One person's card.")] = None,
    out: Annotated[Path, typer.Option("--out", help="PDF to write.")] = Path("role-cards.pdf"),
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write role cards: one person a card, A6, as a PDF."""
    from cringle.workflows.plays.output import write_cards

    made = write_cards(find_book(book), out, names=tuple(plays or ()), person=person)
    told = ", ".join(one.person for one in made)
    data = {"schema": 1, "path": str(out), "cards": [one.person for one in made]}
    _answer(data if as_json else None, [f"written: {out} ({told}). Print at 100 %, cut to A6."])


def _answer(data: dict[str, Any] | None, lines: list[str]) -> None:
    if data is not None:
        emit_json(data)
    else:
        print_lines(console(), lines)


def _split(text: str) -> tuple[str, str]:
    person, _, skill = text.partition(":")
    if not person or not skill:
        raise InputError(f"--lacking {text!r}", next_step="write PERSON:SKILL, such as keo:works_foredeck")
    return person, skill


def _people(given: list[str] | None) -> dict[str, str]:
    found = {}
    for text in given or []:
        role, _, person = text.partition("=")
        if not role or not person:
            raise InputError(f"--role {text!r}", next_step="write ROLE=PERSON, such as forward=keo")
        found[role] = person
    return found
