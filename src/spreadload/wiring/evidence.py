"""What observations rule out, what they merely make unlikely, and which of them clash.

Hard: a breaker off, a trip or an RCD opened, with what went dark and what stayed on. Soft: stories,
labels, a circuit that held all day, a load-step reading. Imports the job, practice and derived.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from spreadload.derived.points import possible_circuits
from spreadload.derived.records import CircuitFacts
from spreadload.derived.supply import circuit_facts, supply_facts
from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.job.site import HowKnown
from spreadload.practice.wiring import wiring_habits
from spreadload.units import tenths_up

_HARD = frozenset({Seen.BREAKER_OFF, Seen.TRIP, Seen.RCD})
_PAIR = 2


@dataclass(frozen=True)
class Fact:
    """One statement about single outlets, or about which outlets share a circuit.

    Attributes:
        name: How a reader finds it again: an entry of the log or of the job.
        allowed: Circuits left to each outlet it speaks of.
        same: Outlets on one circuit.
        different: Outlets on circuits that all differ.
    """

    name: str
    allowed: Mapping[str, frozenset[str]]
    same: tuple[str, ...] = ()
    different: tuple[str, ...] = ()


@dataclass(frozen=True)
class Clash:
    """Statements that cannot all be true, none of which could be left away."""

    facts: tuple[Fact, ...]

    def __str__(self) -> str:
        """Return the clash in one sentence."""
        return " clashes with ".join(fact.name for fact in self.facts)


@dataclass(frozen=True)
class Odds:
    """A soft statement about one outlet: by how much each circuit named is likelier."""

    name: str
    outlet: str
    circuits: frozenset[str]
    factor: float


def learned(job: Job, log: Log) -> Job:
    """Return the job with what the log proves put in: circuits found, circuits ruled out.

    A circuit that was only guessed gives way to what was tested. Check ``clash`` first.
    """
    facts = hard_facts(job, log)
    tested = [fact for fact in facts if fact.name.startswith("log entry")]
    circuits = _circuits(job)
    outlets = dict(job.outlets)
    for outlet_id in {o for fact in tested for o in fact.allowed}:
        outlet = outlets[outlet_id]
        said = [f.allowed[outlet_id] for f in tested if outlet_id in f.allowed]
        # A test may find an outlet on a way that nobody thought feeds outlets.
        left = frozenset.intersection(_stated(job, outlet_id, circuits), *said)
        left = left or frozenset.intersection(frozenset(circuits), *said)
        if len(left) == 1:
            found = {"circuit": min(left), "known": HowKnown.TESTED, "maybe_on": ()}
            outlets[outlet_id] = outlet.model_copy(update=found)
        elif left and outlet.circuit not in left:
            gone = {"circuit": None, "known": None, "maybe_on": tuple(sorted(left))}
            outlets[outlet_id] = outlet.model_copy(update=gone)
        elif left and outlet.circuit is None:
            outlets[outlet_id] = outlet.model_copy(update={"maybe_on": tuple(sorted(left))})
    return job.model_copy(update={"outlets": outlets})


def without_guesses(job: Job) -> Job:
    """Return the job with circuits that were only guessed left open, the guess still possible."""
    feeding = _feeding(_circuits(job))
    open_outlets = {
        o: outlet.model_copy(
            update={
                "circuit": None,
                "known": None,
                "maybe_on": tuple(sorted(feeding | {outlet.circuit})),
            }
        )
        if outlet.circuit is not None and outlet.known is HowKnown.GUESSED
        else outlet
        for o, outlet in job.outlets.items()
    }
    return job.model_copy(update={"outlets": open_outlets})


def is_wiring_open(job: Job) -> bool:
    """Whether some outlet's circuit is unknown or merely guessed."""
    return any(o.circuit is None or o.known is HowKnown.GUESSED for o in job.outlets.values())


def hard_facts(job: Job, log: Log) -> tuple[Fact, ...]:
    """Return every hard statement: of the job first, then of the log in its order."""
    circuits = _circuits(job)
    facts = [
        Fact(
            f"the job says {o} is on {outlet.circuit} ({outlet.known or 'stated'})",
            {o: frozenset({outlet.circuit})},
        )
        for o, outlet in job.outlets.items()
        if outlet.circuit is not None and outlet.known is not HowKnown.GUESSED
    ]
    facts += [
        Fact(f"the job says {o} may be on {', '.join(x.maybe_on)}", {o: frozenset(x.maybe_on)})
        for o, x in job.outlets.items()
        if x.circuit is None and x.maybe_on
    ]
    facts += [
        Fact(f"the job says {', '.join(group)} share a circuit", {}, same=group)
        for group in job.same_circuit
    ]
    facts += [
        Fact(f"the job says {', '.join(group)} are on different circuits", {}, different=group)
        for group in job.different_circuit
    ]
    own = _own_outlets(job)
    facts += [
        _fact(number, seen, circuits, own.get(seen.rcd or "", ()))
        for number, seen in log.standing
        if seen.what in _HARD
    ]
    return tuple(facts)


def clash(job: Job, log: Log) -> Clash | None:
    """Return the smallest set of statements that cannot all be true, or None.

    A pair is looked for first; otherwise statements are dropped one at a time and kept out while
    the rest still clashes (a deletion filter), so that none of those left could be spared.
    """
    facts = hard_facts(job, log)
    every = frozenset(job.circuits)

    def holds(some: Sequence[Fact]) -> bool:
        return is_consistent(some, tuple(job.outlets), every)

    if holds(facts):
        return None
    for size in (1, _PAIR):
        for some in combinations(facts, size):
            if not holds(some):
                return Clash(some)
    return Clash(_filtered(list(facts), holds))


def _filtered(facts: list[Fact], holds: Callable[[Sequence[Fact]], bool]) -> tuple[Fact, ...]:
    for fact in list(facts):
        rest = [other for other in facts if other is not fact]
        if not holds(rest):
            facts = rest
    return tuple(facts)


def is_consistent(facts: Sequence[Fact], outlets: Sequence[str], circuits: frozenset[str]) -> bool:
    """Whether some map makes every statement true."""
    leader = {o: o for o in outlets}
    for fact in facts:
        members = [o for o in fact.same if o in leader]
        heads = {leader[o] for o in members}
        if heads:
            first = min(heads)
            leader = {o: first if head in heads else head for o, head in leader.items()}
    left = dict.fromkeys(leader.values(), circuits)
    for fact in facts:
        for outlet, allowed in fact.allowed.items():
            if outlet in leader:
                left[leader[outlet]] &= allowed
    apart = {
        frozenset((leader[a], leader[b]))
        for fact in facts
        for a, b in combinations([o for o in fact.different if o in leader], _PAIR)
    }
    if any(len(pair) == 1 for pair in apart):
        return False
    return all(left.values()) and _colours(left, apart)


def _colours(left: Mapping[str, frozenset[str]], apart: set[frozenset[str]]) -> bool:
    """Whether units that must differ can: fewest choices first, with a way back."""
    open_units = {unit for pair in apart for unit in pair}
    if not open_units:
        return True
    unit = min(open_units, key=lambda u: (len(left[u]), u))
    rest = {pair for pair in apart if unit not in pair}
    near = {other for pair in apart if unit in pair for other in pair - {unit}}
    for circuit in sorted(left[unit]):
        after = {u: (c - {circuit} if u in near else c) for u, c in left.items()}
        if all(after[u] for u in near) and _colours(after, rest):
            return True
    return False


def outlet_odds(job: Job, log: Log) -> tuple[Odds, ...]:
    """Return the soft statements about single outlets: stories, stickers, written-down guesses."""
    habits = wiring_habits(job.region)
    factors = {Seen.STORY: habits.story_factor.value, Seen.LABEL: habits.label_factor.value}
    return tuple(
        Odds(f"log entry {n} ({seen.what})", outlet, frozenset(seen.circuits), strength)
        for n, seen in log.standing
        if seen.what in factors and seen.circuits
        for outlet, strength in [
            *((o, factors[seen.what]) for o in seen.dark),
            *((o, 1 / factors[seen.what]) for o in seen.still_on),
        ]
    )


def _own_outlets(job: Job) -> dict[str, tuple[str, ...]]:
    """Return the outlets that have an RCD of their own, by that RCD."""
    found: dict[str, tuple[str, ...]] = {}
    for outlet_id, outlet in job.outlets.items():
        if outlet.rcd is not None:
            found[outlet.rcd] = (*found.get(outlet.rcd, ()), outlet_id)
    return found


def _fact(
    number: int,
    seen: Observation,
    circuits: Mapping[str, CircuitFacts],
    own: tuple[str, ...],
) -> Fact:
    """Return what an opened breaker or RCD proves.

    An RCD in an outlet takes down what hangs behind that outlet, all of it on its circuit; what
    stays on may be on that circuit too, nearer to the board.

    A wrongly read way of the board must not hide a find, so any circuit counts, not only those
    thought to feed outlets.
    """
    if seen.what is Seen.RCD and own:
        behind = (own[0], *(o for o in seen.dark if o not in own))
        return Fact(_name(number, seen), {}, same=behind if len(behind) > 1 else ())
    if seen.what is Seen.RCD:
        off = frozenset(c.id for c in circuits.values() if seen.rcd in c.rcds)
    else:
        off = frozenset(seen.circuits)
    allowed = dict.fromkeys(seen.dark, off)
    lit = frozenset(circuits) - off
    for outlet in seen.still_on:
        allowed[outlet] = allowed.get(outlet, lit) & lit
    return Fact(_name(number, seen), allowed)


def _name(number: int, seen: Observation) -> str:
    opened = f"RCD {seen.rcd}" if seen.what is Seen.RCD else ", ".join(seen.circuits)
    said = [f"log entry {number}: {seen.what} {opened}"]
    said += [f"dark {', '.join(seen.dark)}"] if seen.dark else []
    said += [f"still on {', '.join(seen.still_on)}"] if seen.still_on else []
    by = ", ".join(part for part in (seen.who, seen.when) if part)
    return "; ".join(said) + (f" ({by})" if by else "")


def _circuits(job: Job) -> dict[str, CircuitFacts]:
    return circuit_facts(job, supply_facts(job))


def _feeding(circuits: Mapping[str, CircuitFacts]) -> frozenset[str]:
    return frozenset(c.id for c in circuits.values() if c.can_feed_outlets)


def _stated(job: Job, outlet_id: str, circuits: Mapping[str, CircuitFacts]) -> frozenset[str]:
    """Return what the job leaves open for an outlet, guesses aside."""
    outlet = job.outlets[outlet_id]
    if outlet.circuit is not None and outlet.known is not HowKnown.GUESSED:
        return frozenset({outlet.circuit})
    return frozenset(outlet.maybe_on) or _feeding(circuits)


def possible(job: Job) -> dict[str, frozenset[str]]:
    """Return the circuits every outlet might be on, with guesses left open."""
    open_job = without_guesses(job)
    return possible_circuits(open_job, _circuits(open_job))


def in_words(odds: Iterable[Odds]) -> tuple[str, ...]:
    """Return soft statements as short clauses."""
    return tuple(
        f"{o.name}: {o.outlet} {'on' if o.factor > 1 else 'not on'} {', '.join(sorted(o.circuits))}"
        f" {tenths_up(max(o.factor, 1 / o.factor))} times likelier"
        for o in odds
    )
