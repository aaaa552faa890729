from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

import numpy as np
import pytest

from cringle.errors import InputError
from cringle.track.reading.clock import to_datetime
from cringle.track.reading.nmea import parse_block
from cringle.track.reading.nmea_fixes import FixQueue
from cringle.track.reading.report import Tally

Settle = Callable[..., list[datetime]]


@pytest.fixture
def settle(seal: Callable[[str], str]) -> Settle:
    def run(queue: FixQueue, *blocks: list[str]) -> list[datetime]:
        tally, times = Tally(), []
        for block in blocks:
            queue.take(parse_block("".join(seal(body) + "\n" for body in block).encode(), tally))
            times += queue.settle(final=False)[0].time.tolist()
        times += queue.settle(final=True)[0].time.tolist()
        return [to_datetime(one).replace(tzinfo=None) for one in times]

    return run


def gll(clock: str, minute: float = 0.0) -> str:
    return f"GPGLL,54{minute:06.3f},N,01000.000,E,{clock},A,A"


def test_dates_come_from_rmc(settle: Settle, rmc_body: Callable[..., str]) -> None:
    queue = FixQueue()
    times = settle(queue, [rmc_body(one) for one in range(61200, 61205)])
    assert times == [datetime(2026, 5, 3, 17, 0, second) for second in range(5)]
    assert (queue.date_source, queue.fix_source) == ("RMC", "GPRMC")


def test_dates_come_from_zda_over_midnight(settle: Settle) -> None:
    queue = FixQueue()
    times = settle(
        queue, ["GPZDA,235958,03,05,2026,00,00", gll("235958", 1), gll("235959", 2), gll("000000", 3)]
    )
    assert times == [datetime(2026, 5, 3, 23, 59, 58), datetime(2026, 5, 3, 23, 59, 59), datetime(2026, 5, 4)]
    assert (queue.date_source, queue.fix_source) == ("ZDA", "GPGLL")


def test_a_fix_that_comes_late_after_midnight_keeps_its_day(settle: Settle) -> None:
    times = settle(
        FixQueue(), ["GPZDA,000000,04,05,2026,00,00", gll("235959.9", 1), gll("000000", 2), gll("000001", 3)]
    )
    assert times[0] == datetime(2026, 5, 3, 23, 59, 59, 900_000)
    assert times[1] == datetime(2026, 5, 4)


def test_a_log_without_date_asks_for_it(settle: Settle) -> None:
    with pytest.raises(InputError, match="--date"):
        settle(FixQueue(), [gll("120000")])


def test_a_given_date_runs_over_midnight_and_over_blocks(settle: Settle) -> None:
    queue = FixQueue(date(2026, 5, 3))
    blocks = [
        [gll(f"2359{second:02d}", second) for second in range(40, 60)],
        [gll("000000", 1), gll("000001", 2)],
    ]
    times = settle(queue, *blocks)
    assert times[0] == datetime(2026, 5, 3, 23, 59, 40)
    assert times[-1] == datetime(2026, 5, 4, 0, 0, 1)
    assert queue.date_source == "given"


def test_weeks_are_added_when_asked(settle: Settle, rmc_body: Callable[..., str]) -> None:
    times = settle(FixQueue(shift_days=1024 * 7), [rmc_body(0, day="170906")])
    assert times == [datetime(2026, 5, 3)]


def test_rmc_is_preferred_and_other_fixes_do_not_make_rows(
    settle: Settle, rmc_body: Callable[..., str]
) -> None:
    queue = FixQueue()
    lines = [line for one in range(5) for line in (gll(f"00000{one}"), rmc_body(one))]
    assert len(settle(queue, lines)) == 5
    assert queue.fix_source == "GPRMC"


def test_one_talker_of_two_makes_the_rows(settle: Settle, rmc_body: Callable[..., str]) -> None:
    queue = FixQueue()
    lines = [rmc_body(one) for one in range(5)] + [
        rmc_body(one + 0.5).replace("GPRMC", "IIRMC") for one in range(4)
    ]
    assert len(settle(queue, lines)) == 5
    assert queue.fix_source == "GPRMC"


def test_a_stray_fix_of_another_kind_is_left_out(settle: Settle, rmc_body: Callable[..., str]) -> None:
    assert len(settle(FixQueue(), [rmc_body(0), rmc_body(1)], [gll("000002")], [rmc_body(3)])) == 3


def test_when_the_chosen_kind_ends_another_takes_over(settle: Settle, rmc_body: Callable[..., str]) -> None:
    queue = FixQueue()
    later = [gll(f"0002{one // 10 % 60:02d}.{one % 10}", one / 100) for one in range(250)]
    times = settle(queue, [rmc_body(one) for one in range(20)], later)
    assert len(times) == 270
    assert queue.fix_source == "GPGLL"


def test_a_spike_of_the_clock_is_repaired_and_counted(settle: Settle, rmc_body: Callable[..., str]) -> None:
    queue = FixQueue()
    lines = [rmc_body(one) for one in range(10)]
    lines[4] = rmc_body(4, clock="091500.00")
    times = settle(queue, lines)
    assert times[4] == datetime(2026, 5, 3, 0, 0, 4)
    assert queue.repairs == {"spike": 1}


@pytest.mark.parametrize("size", [1, 2, 3, 16])
def test_a_spike_is_repaired_wherever_blocks_end(
    settle: Settle, rmc_body: Callable[..., str], size: int
) -> None:
    queue = FixQueue()
    lines = [rmc_body(one) for one in range(40)]
    lines[15], lines[31] = rmc_body(15, clock="091500.00"), rmc_body(31, clock="000001.00")
    times = settle(queue, *[lines[start : start + size] for start in range(0, len(lines), size)])
    assert [one.second for one in times] == list(range(40))
    assert queue.repairs == {"spike": 2}


def test_a_wrong_date_for_one_line_is_repaired(settle: Settle, rmc_body: Callable[..., str]) -> None:
    queue = FixQueue()
    lines = [rmc_body(one) for one in range(10)]
    lines[7] = rmc_body(7, day="060180")
    assert settle(queue, lines)[7] == datetime(2026, 5, 3, 0, 0, 7)
    assert queue.repairs == {"spike": 1}


@pytest.mark.parametrize("size", [7, 50, 1000])
def test_a_coarse_clock_is_rebuilt_whatever_the_blocks(
    settle: Settle, rmc_body: Callable[..., str], size: int
) -> None:
    queue = FixQueue()
    true = np.arange(46, 446, 2)
    lines = [rmc_body(int(one), clock=stamp(int(one) // 10 * 10)) for one in true]
    times = settle(queue, *[lines[start : start + size] for start in range(0, len(lines), size)])
    assert [one.minute * 60 + one.second for one in times] == true.tolist()
    assert queue.repairs == {"coarse_clock": len(true) - len([one for one in true if one % 10 == 0])}


def stamp(seconds: int) -> str:
    return f"{seconds // 3600:02d}{seconds // 60 % 60:02d}{seconds % 60:02d}"


def test_nothing_to_settle() -> None:
    settled, held = FixQueue().settle(final=True)
    assert len(settled.line) == len(held.line) == 0


def test_each_fix_takes_the_day_of_the_dated_sentence_before_it(settle: Settle) -> None:
    days = [
        "GPZDA,120000,03,05,2026,00,00",
        gll("120001", 1),
        "GPZDA,120000,07,05,2026,00,00",
        gll("120001", 2),
    ]
    assert [one.day for one in settle(FixQueue(), days)] == [3, 7]
    assert [one.day for one in settle(FixQueue(), days[:2], days[2:])] == [3, 7]
