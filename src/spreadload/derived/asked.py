"""What every set-up asks for at the same moment: heads, departments and the house."""

from dataclasses import dataclass

from spreadload.job.base import clock_minutes, pieces_of_day
from spreadload.job.day import Places, Setup
from spreadload.job.job import Job
from spreadload.job.kit import Load, Policy


@dataclass(frozen=True, order=True)
class Demand:
    """So many identical units of one load, at one place, on in one set-up.

    Attributes:
        setup: Set-up id.
        load: Head or load id.
        place: Place, room or outlet where they stand, or None.
        count: How many.
        circuit: Circuit they are wired to, or None when they are plugged in.
        may_be_off: Whether the plan may switch them off.
    """

    setup: str
    load: str
    place: str | None
    count: int
    circuit: str | None = None
    may_be_off: bool = False


def counts_by_place(places: Places) -> dict[str, int]:
    """Return how many units stand at each place."""
    if isinstance(places, str):
        return {places: 1}
    if isinstance(places, dict):
        return dict(places)
    counts: dict[str, int] = {}
    for place in places:
        counts[place] = counts.get(place, 0) + 1
    return counts


def demands(job: Job, setup: Setup) -> tuple[Demand, ...]:
    """Return everything on in one set-up, in a fixed order."""
    found = [
        Demand(setup.id, head, place, count)
        for head, places in setup.heads.items()
        for place, count in counts_by_place(places).items()
    ]
    named = setup.on if isinstance(setup.on, dict) else dict.fromkeys(setup.on, 0)
    for load_id, load in job.loads.items():
        count = _count_on(load, setup, named.get(load_id))
        if count:
            found.append(
                Demand(
                    setup.id,
                    load_id,
                    load.place,
                    count,
                    load.circuit,
                    may_be_off=load.policy is Policy.MAY_BE_OFF,
                )
            )
    return tuple(sorted(found, key=lambda d: (d.load, d.place or "")))


def _count_on(load: Load, setup: Setup, named: int | None) -> int:
    """Return how many units are on; ``named`` is 0 for "all of them", None for "not named"."""
    if load.policy is Policy.MUST_BE_OFF:
        return 0
    if named is not None:
        return named or load.count
    return load.count if runs_unasked(load, setup) else 0


def runs_all_day(load: Load) -> bool:
    """Whether a load draws before and after every set-up as well: nobody may switch it off."""
    return load.policy is Policy.MUST_STAY_ON and load.starts_from is None


def runs_unasked(load: Load, setup: Setup) -> bool:
    """Whether a load is on in a set-up that does not name it.

    What must stay on draws all day, unless the hours are known in which it starts: hot water that
    nobody may switch off still draws nothing before them.
    """
    return runs_all_day(load) or starts_in(load, setup)


def starts_in(load: Load, setup: Setup) -> bool:
    """Whether a load that starts by itself may do so during a set-up."""
    if not load.starts_by_itself and load.starts_from is None:
        return False
    if load.starts_from is None or setup.from_ is None or setup.to is None:
        return True
    start, end = clock_minutes(setup.from_), clock_minutes(setup.to)
    on, off = clock_minutes(load.starts_from), clock_minutes(load.starts_to or "24:00")
    own = pieces_of_day(on, off)
    return any(a < d and c < b for a, b in pieces_of_day(start, end) for c, d in own)


def hours(setup: Setup) -> float | None:
    """Return how long a set-up lasts [h], or None when its times are not stated."""
    if setup.from_ is None or setup.to is None:
        return None
    return (
        sum(b - a for a, b in pieces_of_day(clock_minutes(setup.from_), clock_minutes(setup.to)))
        / 60
    )
