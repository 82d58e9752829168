"""The supply as readings show it: volts with nothing on, and the impedance in front of the board.

Readings at an outlet or a sub-board hold the wiring to it as well; what is over the supply's own
impedance is that wiring.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from spreadload import practice
from spreadload.derived.facts import Facts
from spreadload.electrical.rows import Figure
from spreadload.electrical.source import SourceEstimate, Strength, estimate_source
from spreadload.network.assumed import READING_SERVICE_SHARE
from spreadload.network.readings import clashes, kept_at, poorest_line
from spreadload.network.records import BOARD

SAME_NOMINAL = Figure(
    0.12, source="share by which planning volts may stray from a nominal; our own choice"
)


@dataclass(frozen=True, slots=True)
class Service:
    """Everything in front of the main board.

    Attributes:
        idle_v: Line-to-neutral volts with nothing on [V].
        ohm: Likely impedance, line and neutral together [Ω].
        low_ohm: Low end of its uncertainty [Ω].
        high_ohm: High end of its uncertainty [Ω].
        strength: How far to trust it.
        words: Where it comes from, for a reader.
        notes: What was odd about the readings.
    """

    idle_v: float
    ohm: float
    low_ohm: float
    high_ohm: float
    strength: Strength
    words: str
    notes: tuple[str, ...]

    @property
    def may_refuse(self) -> bool:
        """Whether a plan may be refused on it; what is weak or assumed only warns."""
        return self.strength is Strength.MEASURED


def estimates_by_point(facts: Facts) -> dict[str, SourceEstimate]:
    """Return what the supply looks like from every point with a pair of readings."""
    nominal_v = facts.supply.planning_v
    points = dict.fromkeys(reading.at for reading in facts.job.supply.readings)
    return {at: estimate_source(kept_at(facts, at), nominal_v) for at in points}


def has_loaded_readings(facts: Facts) -> bool:
    """Whether any reading was taken with a known load on."""
    return any(
        reading.loaded_v is not None and (reading.load_a or reading.load_w)
        for reading in facts.job.supply.readings
    )


def service_of(facts: Facts, estimates: dict[str, SourceEstimate], wiring_ohm: float) -> Service:
    """Return the supply in front of the board.

    Args:
        facts: The job.
        estimates: See ``estimates_by_point``.
        wiring_ohm: What the wiring to the best-read outlet is taken as [Ω], where nothing was
            read at the board.
    """
    idle_v = min((each.idle_v for each in estimates.values()), default=facts.supply.planning_v)
    notes = tuple(clash.words for clash in clashes(facts))
    notes += tuple(_out_of_range(facts, idle_v)) if estimates else ()
    notes += tuple(f"{at}: {note}" for at, each in estimates.items() for note in each.notes)
    if BOARD in estimates and estimates[BOARD].used:
        here = estimates[BOARD]
        line = poorest_line(facts, BOARD)
        on = f" on {line}, the poorest line read" if line else ""
        words = f"{_ohms(here)} from {_pairs(here.used)} at the board{on}"
        return _service(here, idle_v, words, notes)
    at = best_read(estimates)
    if at is not None:
        return _behind_outlet(estimates[at], at, (idle_v, wiring_ohm), notes)
    assumed = estimates.get(BOARD) or estimate_source((), facts.supply.planning_v)
    words = f"{assumed.loop_ohm:.2f} Ω assumed, nobody read the volts under a known load"
    return _service(assumed, idle_v, words, notes)


def _out_of_range(facts: Facts, idle_v: float) -> Iterator[str]:
    """Yield what is odd about the idle volts, by what a supply of the region should have."""
    region = practice.region(facts.job.region)
    # Another system of the region, such as 277 V, has a range of its own that is not listed.
    if abs(facts.supply.planning_v / region.nominal_v - 1) > SAME_NOMINAL.value:
        return
    band = region.band
    usual = f"{band.min_v:g} to {band.max_v:g} V at the supply ({band.source})"
    if idle_v < band.min_v:
        yield (
            f"{idle_v:g} V with little on is below the usual {usual}: heads start with less, and "
            "the network's men want to know"
        )
    elif idle_v > band.max_v:
        yield (
            f"{idle_v:g} V with little on is above the usual {usual}: lamps and drivers age fast; "
            "plug in nothing dear before a licensed electrician or the network has looked"
        )


def best_read(estimates: dict[str, SourceEstimate]) -> str | None:
    """Return the point away from the board whose reading is the surest, or None."""
    used = {at: each for at, each in estimates.items() if each.used and at != BOARD}
    return min(used, key=lambda at: used[at].high_ohm - used[at].low_ohm, default=None)


def _behind_outlet(
    here: SourceEstimate, at: str, known: tuple[float, float], notes: tuple[str, ...]
) -> Service:
    """Put an impedance read at an outlet down to supply and wiring; their sum is what was read."""
    idle_v, wiring_ohm = known
    ohm = max(here.loop_ohm - wiring_ohm, READING_SERVICE_SHARE.value * here.loop_ohm)
    spread = here.high_ohm - here.loop_ohm
    words = (
        f"{ohm:.2f} Ω: {_ohms(here)} from {_pairs(here.used)} at {at}, "
        f"of which {here.loop_ohm - ohm:.2f} Ω is put down to the wiring to it"
    )
    return Service(idle_v, ohm, max(0.0, ohm - spread), here.high_ohm, here.strength, words, notes)


def _service(here: SourceEstimate, idle_v: float, words: str, notes: tuple[str, ...]) -> Service:
    return Service(idle_v, here.loop_ohm, here.low_ohm, here.high_ohm, here.strength, words, notes)


def _ohms(here: SourceEstimate) -> str:
    return f"{here.loop_ohm:.2f} Ω ({here.low_ohm:.2f} to {here.high_ohm:.2f})"


def _pairs(count: int) -> str:
    return "one pair of readings" if count == 1 else f"{count} pairs of readings"
