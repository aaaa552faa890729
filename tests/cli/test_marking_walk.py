from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner

from cringle.boat.read import read_book_files
from cringle.cli.main import app

WALK_ONE = "datum here\n-20\n340\n100\n220\n25\n"
WALK_TWO = "\n-30\n350\n2\n64\n9\n241\n"


def walked(folder: Path, text: str, *controls: str) -> tuple[int, str]:
    result = CliRunner().invoke(
        app, ["settings", "mark-up", "--book", str(folder), *controls], input=text, catch_exceptions=True
    )
    return result.exit_code, " ".join(result.output.split())


def test_a_walk_along_a_pair(book_folder: Path) -> None:
    status, out = walked(book_folder, WALK_ONE + WALK_TWO + "y\n", "jib_sheet_port", "jib_sheet_starboard")
    assert status == 0
    for part in ("Physical stop at the low end", "no mark will lie beyond it", "Now match the other side"):
        assert part in out
    boat = read_book_files(book_folder).boat_file
    port, starboard = boat.control("jib_sheet_port"), boat.control("jib_sheet_starboard")
    assert (port.datum, port.datum_mm, starboard.datum_mm) == ("datum here", 10.0, 15.0)


def test_a_walk_asks_again_after_a_mistake(book_folder: Path) -> None:
    wrong = "\n-20\nfar\nnan\n340\n100\n400\n25\n"
    status, out = walked(book_folder, wrong + WALK_ONE + "y\n", "jib_sheet_port")
    assert status == 0
    assert "is not a number" in out
    assert "finite" in out
    assert "Once more." in out


def test_a_walk_that_is_not_confirmed_writes_nothing(book_folder: Path) -> None:
    before = (book_folder / "boat.toml").read_bytes()
    status, _ = walked(book_folder, WALK_ONE + "n\n", "jib_sheet_port")
    assert status == 1
    status, _ = walked(book_folder, "\n-20\n", "jib_sheet_port")
    assert status == 1
    assert (book_folder / "boat.toml").read_bytes() == before
