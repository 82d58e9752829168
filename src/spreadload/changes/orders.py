"""Another order of the day: set-ups in other places, each as long as it was."""

from collections.abc import Sequence
from itertools import pairwise

from spreadload.job.base import DAY_MIN, clock_minutes
from spreadload.job.day import Setup
from spreadload.job.job import Job

_Window = tuple[int, int]


def reordered(job: Job, order: Sequence[str]) -> Job | None:
    """Return the job with its set-ups in another order, the breaks between them where they were.

    From the first place that changes to the last the day is laid out anew: each set-up as long as
    it was, each break as long as it was. A set-up that keeps its place keeps its times.

    Args:
        job: The job; what changes place has times.
        order: Every set-up once.

    Returns:
        None where a set-up that keeps its place would have to start earlier or later.
    """
    stated = {s.id: s for s in job.setups}
    before = [s.id for s in job.setups]
    changed = [n for n, name in enumerate(before) if name != order[n]]
    if not changed:
        return job
    places = range(changed[0], changed[-1] + 1)
    windows = _windows([stated[before[n]] for n in places], [stated[order[n]] for n in places])
    if windows is None or any(
        order[n] == before[n] and windows[order[n]] != _window(stated[order[n]]) for n in places
    ):
        return None
    setups = []
    for name in order:
        setup = stated[name]
        window = windows.get(name)
        if window is not None and window != _window(setup):
            start, end = window
            setup = setup.model_copy(update={"from_": _time(start), "to": _time(end)})
        setups.append(setup)
    return job.model_copy(update={"setups": tuple(setups)})


def _windows(before: Sequence[Setup], after: Sequence[Setup]) -> dict[str, _Window | None] | None:
    """Return the times of set-ups laid out in another order, or None where some have none."""
    was = [_window(setup) for setup in before]
    lasts = {setup.id: _lasts(window) for setup, window in zip(before, was, strict=True)}
    if all(lasts[new.id] == lasts[old.id] for new, old in zip(after, before, strict=True)):
        # Of equal length each takes the other's place, whatever stands between them.
        return {new.id: window for new, window in zip(after, was, strict=True)}
    timed = [window for window in was if window is not None]
    if len(timed) < len(was):
        return None
    breaks = [(start - end) % DAY_MIN for (_, end), (start, _) in pairwise(timed)]
    found: dict[str, _Window | None] = {}
    at = timed[0][0]
    for setup, pause in zip(after, (*breaks, 0), strict=True):
        end = at + (lasts[setup.id] or 0)
        found[setup.id] = (at % DAY_MIN, end % DAY_MIN)
        at = end + pause
    return found


def _window(setup: Setup) -> _Window | None:
    if setup.from_ is None or setup.to is None:
        return None
    return clock_minutes(setup.from_) % DAY_MIN, clock_minutes(setup.to) % DAY_MIN


def _lasts(window: _Window | None) -> int | None:
    return None if window is None else (window[1] - window[0]) % DAY_MIN or DAY_MIN


def _time(minutes: int) -> str:
    at = minutes % DAY_MIN
    return f"{at // 60:02d}:{at % 60:02d}"
