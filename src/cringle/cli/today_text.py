"""Tonight as a page of text: the thing to do first, then the numbers by person, then why and how sure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cringle.cli.text_rule import WIDTH, line_rule_text, number_text, wrapped
from cringle.findings import PROVENANCE_LETTER, Number, Source
from cringle.output.wording import mark_text, printable, signed_text
from cringle.settings.moves import Move
from cringle.settings.tonight import Tonight

NAME_WIDTH, NUMBER_WIDTH, RANGE_WIDTH, NARROWEST_RULE = 23, 10, 9, 9
GEARS_AT_ONCE = (WIDTH - NAME_WIDTH) // NUMBER_WIDTH
LAST_WORD = "The class rules, the sailing instructions and a qualified rigger have the last word."


def today_text(tonight: Tonight) -> str:
    """Return tonight's page, at most 80 columns wide."""
    parts = (_head, _rig, _numbers, _crew, _heel, _run, _moves, _aims, _cautions, _legend)
    return "\n".join(line for part in parts for line in part(tonight)) + "\n"


def _head(tonight: Tonight) -> Iterator[str]:
    wind = tonight.wind
    span = "" if wind.low_kn is None else f" ({wind.low_kn:g} to {wind.high_kn:g})"
    gust = "" if wind.gust_kn is None else f", gusts {wind.gust_kn:g}"
    where = f"{wind.wind_kn:g} kn{span}{gust} at {wind.height_m:g} m"
    yield wrapped(
        "", f"{printable(tonight.boat)} tonight: {where}, {tonight.sea}, {tonight.sail_set_name}", indent=0
    )
    yield "=" * WIDTH
    yield wrapped("FIRST", printable(tonight.first) + ".")
    for note in wind.notes:
        yield wrapped("Wind", note + ".")


def _rig(tonight: Tonight) -> Iterator[str]:
    rig = tonight.rig
    for warning in rig.warnings[1:]:
        yield wrapped("Rig", warning + ".")
    if rig.row_kn is None:
        return
    yield ""
    yield f"RIG NOW, the {rig.row_kn:g} kn row (turns from the base tune)"
    for role, turns in rig.turns.items():
        number = tonight.numbers.provenance(role)
        when = f"may change: {rig.rule_state[role].value}"
        name = tonight.scales[role].name[: NAME_WIDTH - 3]
        yield f"  {name:<{NAME_WIDTH - 2}}{signed_text(turns):>5} {_ring(number)}  {when}"


def _ring(number: Number) -> str:
    return f"({PROVENANCE_LETTER[number.source]})"


def _numbers(tonight: Tonight) -> Iterator[str]:
    gears = tonight.numbers.gears
    for start in range(0, len(gears), GEARS_AT_ONCE):
        yield from _gears_block(tonight, gears[start : start + GEARS_AT_ONCE])


def _gears_block(tonight: Tonight, gears: Sequence[str]) -> Iterator[str]:
    """Return the numbers of some gears by person."""
    yield ""
    heads = "".join(f"{gear[: NUMBER_WIDTH - 1]:<{NUMBER_WIDTH}}" for gear in gears)
    yield (" " * NAME_WIDTH + heads).rstrip()
    following = {move.role: move.end for move in tonight.moves if move.to_wind_kn > tonight.wind.wind_kn}
    for person in tonight.people:
        roles = [role for role in tonight.roles_of(person) if role not in tonight.rig.turns]
        if roles:
            yield f"{printable(person).upper()}, {tonight.scales[roles[0]].worked_by}"
        for role in roles:
            yield _row(tonight, role, gears, following.get(role))


def _row(tonight: Tonight, role: str, gears: Sequence[str], following: float | None) -> str:
    scale = tonight.scales[role]
    found = [tonight.numbers.find(gear, role) for gear in gears]
    cells = "".join(f"{'–' if one is None else number_text(one.number):<{NUMBER_WIDTH}}" for one in found)
    name = f"  {scale.name[: NAME_WIDTH - 3]:<{NAME_WIDTH - 2}}"
    room = WIDTH - NAME_WIDTH - NUMBER_WIDTH * len(gears) - RANGE_WIDTH
    if room < NARROWEST_RULE:
        return (name + cells).rstrip()
    last = next((one.number for one in reversed(found) if one is not None), None)
    rule = line_rule_text(scale.low, scale.high, last, following=following, width=room)
    return f"{name}{cells}{rule} {mark_text(scale.low)} to {mark_text(scale.high)}"


def _crew(tonight: Tonight) -> Iterator[str]:
    yield ""
    seats = "; ".join(
        f"{printable(one.person)} {one.station_name or one.station}, {one.posture}" for one in tonight.crew
    )
    yield wrapped("Places", seats + ".")


def _heel(tonight: Tonight) -> Iterator[str]:
    heel = tonight.heel
    words = (
        "no target on record yet"
        if heel is None
        else f"{round(heel.value)}° {_ring(heel)}, positive to leeward"
    )
    yield wrapped("Heel", words + ".")
    for sense in ("see", "feel", "hear", "helm"):
        if sense in tonight.cues:
            yield wrapped(sense.capitalize(), printable(tonight.cues[sense]) + ".")


def _run(tonight: Tonight) -> Iterator[str]:
    call = tonight.call
    if call is None:
        return
    said = [call.technique, None if call.jib is None else f"jib {call.jib}", call.lane]
    words = ", ".join(one for one in said if one) or "no call"
    margin = "" if call.margin_m_per_min is None else f", worth {call.margin_m_per_min:.0f} m a minute"
    flips = "" if call.flips_at_kn is None else f"; changes at {call.flips_at_kn:.0f} kn"
    why = f". {call.why}" if call.why else ""
    yield wrapped("Run", printable(words + margin + flips + why) + ".")


def _moves(tonight: Tonight) -> Iterator[str]:
    for wind_kn in dict.fromkeys(move.to_wind_kn for move in tonight.moves):
        word = "drops" if wind_kn < tonight.wind.wind_kn else "builds"
        yield ""
        yield f"If it {word} to {wind_kn:g} kn"
        moves = [move for move in tonight.moves if move.to_wind_kn == wind_kn]
        for who in dict.fromkeys(move.who for move in moves):
            said = "; ".join(move_text(move) for move in moves if move.who == who)
            yield wrapped(f"  {printable(who)}", said + ".", indent=11)


def move_text(move: Move) -> str:
    """Return one move as one says it: which line, which way, to which number."""
    return f"{move.name}: {move.word} by {mark_text(abs(move.end - move.start))} to {mark_text(move.end)}"


def _aims(tonight: Tonight) -> Iterator[str]:
    if tonight.goal or tonight.trial:
        yield ""
    if tonight.goal:
        yield wrapped("Goal", printable(tonight.goal))
    if tonight.trial:
        yield wrapped("Trial", printable(tonight.trial))


def _cautions(tonight: Tonight) -> Iterator[str]:
    if tonight.cautions:
        yield ""
    for caution in tonight.cautions:
        label = "Note" if caution in tonight.notes else "Caution"
        yield wrapped(label, printable(caution) + ".")


def _legend(tonight: Tonight) -> Iterator[str]:
    sources = {one.number.source for one in tonight.numbers.numbers}
    if tonight.heel is not None:
        sources.add(tonight.heel.source)
    known = ", ".join(f"({PROVENANCE_LETTER[one]}) {one.value}" for one in Source if one in sources)
    wave = "; ~ and ? mark a guess" if Source.GUESS in sources else ""
    yield ""
    if known:
        yield wrapped("Sure?", f"{known}{wave}. █ tonight, < > at the next wind up.")
    yield wrapped("", LAST_WORD, indent=0)
