"""From when until when: a part of the day, given by the clock or by its set-ups."""

import re

from spreadload.errors import Fault
from spreadload.job.base import DAY_MIN, clock_minutes
from spreadload.job.clock_words import clock_written
from spreadload.job.job import Job
from spreadload.lookalikes import plain_signs
from spreadload.suggest import suggest

_TIME = re.compile(r"^([01]?\d|2[0-4]):[0-5]\d$")
_SHOWN = 12


def setups_between(
    job: Job, start: str | None, until: str | None, faults: list[Fault]
) -> tuple[str, ...]:
    """Return the set-ups that are on between two moments; the whole day where neither is given.

    Args:
        job: The job.
        start: A time such as ``14:30``, or the first set-up.
        until: A time, or the last set-up.
        faults: Takes what is wrong with them.
    """
    ids = [setup.id for setup in job.setups]
    before = len(faults)
    first = _moment(job, "--from", start, faults)
    last = _moment(job, "--until", until, faults)
    if len(faults) > before:
        return ()
    if isinstance(first, int) or isinstance(last, int):
        return _by_clock(job, (start, first), (until, last), faults)
    low = ids.index(first) if first is not None else 0
    high = ids.index(last) if last is not None else len(ids) - 1
    if high < low:
        faults.append(
            Fault("", 0, "--until", f"{until} comes before {start}", str(until), "", "swap the two")
        )
    return tuple(ids[low : high + 1])


def _moment(job: Job, key: str, text: str | None, faults: list[Fault]) -> int | str | None:
    """Return minutes after midnight, a set-up id, or None when nothing is said."""
    if text is None:
        return None
    ids = [setup.id for setup in job.setups]
    if text in ids:
        return text
    if _TIME.match(text) and clock_minutes(text) <= DAY_MIN:
        return clock_minutes(text)
    meant = clock_written(plain_signs(text))
    remedy = suggest(text, ids) or (f"write {meant}" if meant else "")
    remedy = remedy or f"a time such as 14:30, or one of {', '.join(ids[:_SHOWN])}"
    faults.append(Fault("", 0, key, "neither a time nor a set-up of the job", text, "", remedy))
    return None


def _by_clock(
    job: Job,
    first: tuple[str | None, int | str | None],
    last: tuple[str | None, int | str | None],
    faults: list[Fault],
) -> tuple[str, ...]:
    untimed = [s.id for s in job.setups if s.from_ is None or s.to is None]
    if untimed:
        problem = f"set-up {untimed[0]} has no times"
        faults.append(
            Fault("", 0, "--from", problem, str(first[0] or last[0]), "", "name set-ups instead")
        )
        return ()
    windows = _windows(job)
    opens = min(start for start, _ in windows.values())
    closes = max(end for _, end in windows.values())
    low = _minutes(windows, first[1], opens, is_end=False)
    high = _minutes(windows, last[1], closes, is_end=True)
    found = tuple(s for s, (a, b) in windows.items() if a < high and low < b)
    if not found or high <= low:
        faults.append(_no_time(job, (first[0], low >= closes), (last[0], high <= opens)))
    return found


def _no_time(job: Job, first: tuple[str | None, bool], last: tuple[str | None, bool]) -> Fault:
    """Return what is wrong with a window that no set-up is in."""
    day = f"set-ups run from {job.setups[0].from_} to {job.setups[-1].to}"
    (start, is_past), (until, is_early) = first, last
    if is_past and start is not None:
        return Fault("", 0, "--from", "the day is over by then", start, day)
    if is_early and until is not None:
        return Fault("", 0, "--until", "the day has not begun by then", until, day)
    if start is not None and until is not None:
        return Fault("", 0, "--until", f"no set-up is on between {start} and {until}", until, day)
    return Fault("", 0, "--from", "no set-up is on then", str(start or until), day)


def _windows(job: Job) -> dict[str, tuple[int, int]]:
    """Return the window of every set-up in minutes; what follows midnight counts on."""
    found: dict[str, tuple[int, int]] = {}
    now = 0
    for setup in job.setups:
        start = _not_before(now, clock_minutes(setup.from_ or "0:00"))
        now = _not_before(start + 1, clock_minutes(setup.to or "24:00"))
        found[setup.id] = (start, now)
    return found


def _not_before(earliest: int, minutes: int) -> int:
    while minutes < earliest:
        minutes += DAY_MIN
    return minutes


def _minutes(
    windows: dict[str, tuple[int, int]], moment: int | str | None, default: int, *, is_end: bool
) -> int:
    if isinstance(moment, str):
        return windows[moment][1 if is_end else 0]
    if moment is None:
        return default
    ends_next_day = max(end for _, end in windows.values()) > DAY_MIN
    opens = min(start for start, _ in windows.values())
    return moment + DAY_MIN if ends_next_day and moment < opens else moment
