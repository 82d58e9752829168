"""Readings as pairs of volts, and those that cannot all be true.

Every reading bounds the impedance in front of its point. What lies behind another point can show
no less than that one, and one point shows one impedance, so where readings contradict each other
two of them do: the smallest set that clashes is always a pair.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from spreadload.derived.facts import Facts
from spreadload.derived.supply import feed_chain
from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.source import ReadingPair, SourceEstimate, estimate_source
from spreadload.job.phases import phase_names
from spreadload.job.site import Reading
from spreadload.network.assumed import service_neutral_share
from spreadload.network.records import BOARD
from spreadload.words import row

TWO = 2


@dataclass(frozen=True, slots=True)
class Shown:
    """What one reading shows by itself.

    Attributes:
        number: Which of the readings of the job, from 1.
        at: Where it was taken.
        line: The line of the supply it was taken on, or "" where that is not known.
        estimate: The impedance in front of that point.
    """

    number: int
    at: str
    line: str
    estimate: SourceEstimate

    @property
    def words(self) -> str:
        """Return the reading for a reader."""
        ohm, low, high = (
            self.estimate.loop_ohm,
            self.estimate.low_ohm,
            self.estimate.high_ohm,
        )
        on = f" on {self.line}" if self.line else ""
        at = "the board" if self.at == BOARD else self.at
        return f"reading {self.number} at {at}{on} ({ohm:.2f} Ω, {low:.2f} to {high:.2f})"


@dataclass(frozen=True, slots=True)
class Clash:
    """Two readings that cannot both be true.

    Attributes:
        upstream: The one nearer to the supply, or the poorer of two at one point.
        other: The one that shows less than it can.
        again: Which to take again, by their numbers; the odd one out where one is.
        is_on_lines: Whether they may have been taken on two lines of the supply.
    """

    upstream: Shown
    other: Shown
    again: tuple[int, ...]
    is_on_lines: bool = False

    @property
    def words(self) -> str:
        """Return what clashes and what to do, without a full stop."""
        if self.upstream.at == self.other.at:
            why = "one point has one impedance"
        else:
            why = f"{self.other.at} lies behind {_place(self.upstream.at)} and cannot show less"
        which = row(f"reading {number}" for number in self.again)
        lines = ", and say on which line, as `phase`" if self.is_on_lines else ""
        return (
            f"{self.upstream.words} and {self.other.words} cannot both be true: {why}. Take "
            f"{which} again with the largest load there is, idle and loaded within a "
            f"minute{lines}; until then the poorer counts"
        )


def _place(at: str) -> str:
    return "the board" if at == BOARD else at


def line_of(facts: Facts, reading: Reading) -> str:
    """Return the line of the supply a reading was taken on, or "" where that is not known."""
    if len(facts.supply.phases) == 1:
        return ""
    if reading.phase is not None:
        return "".join(phase_names(reading.phase))
    outlet = facts.job.outlets.get(reading.at)
    if outlet is None or outlet.circuit is None:
        return ""
    phases = facts.circuits[outlet.circuit].phases
    return phases[0] if len(phases) == 1 else ""


def shown(facts: Facts) -> tuple[Shown, ...]:
    """Return what each pair of readings shows by itself; idle readings show nothing."""
    found = []
    for number, reading in enumerate(facts.job.supply.readings, 1):
        estimate = estimate_source([pair_of(facts, reading)], facts.supply.planning_v)
        if estimate.used:
            found.append(Shown(number, reading.at, line_of(facts, reading), estimate))
    return tuple(found)


def clashes(facts: Facts) -> tuple[Clash, ...]:
    """Return the pairs of readings that cannot both be true, each reading to repeat told once."""
    every = shown(facts)
    pairs = [
        (one, other)
        for one in every
        for other in every
        if one is not other and _contradict(facts, one, other)
    ]
    told: list[Clash] = []
    while pairs:
        counts = {s.number: sum(s in pair for pair in pairs) for pair in pairs for s in pair}
        most = max(counts.values())
        odd = [number for number, count in counts.items() if count == most]
        again = tuple(sorted(odd)) if most == 1 else (odd[0],)
        mine = [p for p in pairs if any(s.number in again[:1] for s in p)]
        widest = max(mine, key=lambda p: p[0].estimate.low_ohm - p[1].estimate.high_ohm)
        if most == 1:
            again = tuple(sorted(s.number for s in widest))
        told.append(Clash(*widest, again, is_on_lines=_may_be_on_lines(facts, widest)))
        pairs = [p for p in pairs if p not in mine]
    return tuple(told)


def _may_be_on_lines(facts: Facts, pair: tuple[Shown, Shown]) -> bool:
    return len(facts.supply.phases) > 1 and not all(each.line for each in pair)


def _contradict(facts: Facts, upstream: Shown, other: Shown) -> bool:
    """Whether a reading shows less than what lies in front of it, or than another at its point."""
    if upstream.line != other.line and upstream.line and other.line:
        return False
    is_in_front = upstream.at == other.at or upstream.at in _in_front_of(facts, other.at)
    return is_in_front and upstream.estimate.low_ohm > other.estimate.high_ohm


def _in_front_of(facts: Facts, at: str) -> Iterator[str]:
    """Yield the points that surely lie between the supply and a point."""
    job = facts.job
    if at in job.sub_boards:
        yield from feed_chain(job, job.sub_boards[at].fed_from)
    elif at in job.outlets and job.outlets[at].circuit is not None:
        yield from facts.circuits[job.outlets[at].circuit or ""].feeds
    if at != BOARD:
        yield BOARD


def kept_at(facts: Facts, at: str) -> list[ReadingPair]:
    """Return the readings taken at a point that count: of those that clash, the poorer."""
    here = [each for each in shown(facts) if each.at == at]
    set_aside = _set_aside(facts, here)
    poorest = poorest_line(facts, at)
    return [
        pair_of(facts, reading)
        for number, reading in enumerate(facts.job.supply.readings, 1)
        if reading.at == at
        and number not in set_aside
        and (not poorest or line_of(facts, reading) in {"", poorest})
    ]


def poorest_line(facts: Facts, at: str) -> str:
    """Return the line with the most impedance at a point where several were read, else ""."""
    here = [each for each in shown(facts) if each.at == at]
    set_aside = _set_aside(facts, here)
    kept = [each for each in here if each.number not in set_aside and each.line]
    if len({each.line for each in kept}) < TWO:
        return ""
    return max(kept, key=lambda each: each.estimate.loop_ohm).line


def _set_aside(facts: Facts, here: Sequence[Shown]) -> set[int]:
    """Return the more hopeful ones of the readings at one point that clash."""
    return {other.number for one in here for other in here if _contradict(facts, one, other)}


def pair_of(facts: Facts, reading: Reading) -> ReadingPair:
    """Return a reading as line-to-neutral volts; one taken between lines is brought down to it."""
    supply = facts.supply
    lines = len(supply.phases)
    between = supply.line_to_line_v / supply.planning_v
    is_between = lines > 1 and reading.idle_v > supply.planning_v * (1 + between) / 2
    if not is_between:
        return ReadingPair(
            idle_v=reading.idle_v,
            loaded_v=reading.loaded_v,
            load_a=reading.load_a,
            load_w=reading.load_w,
            load_rated_v=supply.planning_v,
            load_class=LoadClass.CONSTANT_RESISTANCE,
        )
    whole = ReadingPair(
        reading.idle_v, reading.loaded_v, reading.load_a, reading.load_w, supply.line_to_line_v
    )
    idle_v = reading.idle_v / between
    fall_v = 0.0 if reading.loaded_v is None else reading.idle_v - reading.loaded_v
    # Between lines the drop is that of two lines; to neutral it is one line and the neutral.
    fall_v /= 2 * (1 - service_neutral_share(lines))
    loaded_v = None if reading.loaded_v is None else idle_v - fall_v
    return ReadingPair(idle_v, loaded_v, load_a=whole.amps_a)
