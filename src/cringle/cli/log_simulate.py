"""``cringle log simulate``: logs with known truth, for demos, tests and practice."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer
from rich.table import Table

from cringle.cli.common import JsonOption, console, emit_json
from cringle.track.simulator.options import CLOCKS, SEAS, SimCrew, SimOptions, SimSensors, SimWeather
from cringle.workflows.afloat.simulate import SimFile, SimRequest, simulate_logs

PLAIN = SimOptions()


def register(app: typer.Typer) -> None:
    """Add the command to the log group."""
    app.command(
        "simulate",
        epilog="Examples: cringle log simulate --seed 7 --out logs · "
        "cringle log simulate --boats 4 --laps 3 --wind 14 --format csv --out fleet",
    )(simulate)


def simulate(  # noqa: PLR0913, PLR0917 - one parameter for each option of the command
    out: Annotated[Path, typer.Option("--out", help="Folder for the logs and their truth.")],
    seed: Annotated[int, typer.Option("--seed", help="Same seed, same race.")] = 1,
    boats: Annotated[int, typer.Option("--boats", help="How many boats.")] = PLAIN.boats,
    format: Annotated[str, typer.Option("--format", help="nmea, gpx or csv.")] = "nmea",
    laps: Annotated[int, typer.Option("--laps", help="How often up and down.")] = PLAIN.laps,
    leg: Annotated[float, typer.Option("--leg", help="Start line to windward mark [m].")] = PLAIN.leg_m,
    finish: Annotated[str, typer.Option("--finish", help="down or up.")] = PLAIN.finish,
    recalls: Annotated[int, typer.Option("--recalls", help="General recalls before the race.")] = 0,
    wind: Annotated[float, typer.Option("--wind", help="Mean wind at 10 m [kn].")] = PLAIN.weather.wind_kn,
    wind_from: Annotated[float, typer.Option("--wind-from", help="Where it comes from [deg true].")] = 225.0,
    swing: Annotated[float, typer.Option("--swing", help="Amplitude of its oscillation [deg].")] = 10.0,
    sea: Annotated[str, typer.Option("--sea", help=", ".join(SEAS))] = PLAIN.sea,
    rate: Annotated[float, typer.Option("--rate", help="Fixes a second [Hz].")] = PLAIN.sensors.rate_hz,
    heel_bias: Annotated[
        float | None, typer.Option("--heel-bias", help="Heel above the target [deg].", show_default="random")
    ] = None,
    heel: Annotated[bool, typer.Option("--heel/--no-heel", help="Record heel.")] = True,
    instruments: Annotated[
        bool,
        typer.Option("--instruments/--no-instruments", help="Record heading, log and apparent wind too."),
    ] = True,
    dropped: Annotated[float, typer.Option("--dropped", help="Share of the time without fixes.")] = 0.0,
    clock: Annotated[str, typer.Option("--clock", help=", ".join(CLOCKS))] = "good",
    wind_record: Annotated[
        bool, typer.Option("--wind-record/--no-wind-record", help="Write a chase boat's wind readings too.")
    ] = True,
    book: Annotated[
        Path | None, typer.Option("--book", help="Whose boat and crew.", show_default="the demo's")
    ] = None,
    member: Annotated[
        int, typer.Option("--member", help="1 to 16: other coefficients of the speed model, drawn.")
    ] = 0,
    as_json: JsonOption = False,
) -> None:
    """Simulate a race of several boats and write a log and a truth file for each."""
    options = SimOptions(
        boats=boats,
        laps=laps,
        leg_m=leg,
        finish=finish,
        recalls=recalls,
        sea=sea,
        weather=SimWeather(wind_kn=wind, wind_from_deg=wind_from, swing_deg=swing),
        crew=replace(SimCrew(), heel_bias_deg=heel_bias),
        sensors=SimSensors(
            rate_hz=rate,
            heel=heel,
            instruments=instruments,
            dropped_share=dropped,
            clock=clock,
            wind_record_s=PLAIN.sensors.wind_record_s if wind_record else 0.0,
        ),
    )
    screen = console()
    tell = (lambda _: None) if as_json else (lambda text: screen.print(f"{text} ..."))
    files = simulate_logs(SimRequest(out, seed, format, book, member, options), tell)
    if as_json:
        emit_json({"schema": 1, "seed": seed, "logs": [one.to_json() for one in files]})
    else:
        screen.print(table_of(files))


def table_of(files: list[SimFile]) -> Table:
    """Return what was written, one row a boat."""
    table = Table("boat", "log", "fixes", "tacks", "gybes", "truth", box=None)
    for one in files:
        table.add_row(one.name, str(one.log), str(one.fixes), str(one.tacks), str(one.gybes), one.truth.name)
    return table
