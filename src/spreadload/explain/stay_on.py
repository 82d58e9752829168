"""What was agreed to stay on and hangs on a breaker with heads: a trip of ours takes it along."""

from collections import defaultdict
from dataclasses import dataclass

from spreadload.derived.facts import Facts
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.names import circuit_name
from spreadload.explain.off import must_stay_on
from spreadload.plan import Placement
from spreadload.words import row, setup_names


@dataclass(frozen=True)
class Shared:
    """Loads that must stay on, on a breaker with heads or perhaps on one.

    Attributes:
        circuit: The circuit they are known to share; None where it is not known.
        setups: Set-ups in which they do, or may.
    """

    loads: tuple[str, ...]
    circuit: str | None
    setups: tuple[str, ...]

    def words(self, facts: Facts) -> str:
        """Return it in a sentence without its full stop."""
        names, when = row(self.loads), setup_names(self.setups)
        if self.circuit is None:
            return f"{names} may share a breaker with heads in {when}: nobody knows which"
        verb = "shares" if len(self.loads) == 1 else "share"
        circuit = circuit_name(facts, self.circuit)
        return f"{names} {verb} {circuit} with heads in {when}: dark with them if it trips"


def shared_with_heads(judged: JudgedPlan) -> tuple[Shared, ...]:
    """Return the loads that must stay on and hang on a breaker with heads, or may."""
    alike: dict[tuple[str | None, tuple[str, ...]], list[str]] = defaultdict(list)
    for load in must_stay_on(judged.facts):
        for circuit, setups in _shared(judged, load).items():
            alike[circuit, tuple(setups)].append(load)
    return tuple(Shared(tuple(loads), *what) for what, loads in alike.items())


def _shared(judged: JudgedPlan, load: str) -> dict[str | None, list[str]]:
    """Return the set-ups by the circuit that a load shares with heads, None where it only may."""
    found: dict[str | None, list[str]] = defaultdict(list)
    for setup, placed in judged.by_setup.items():
        own = _circuits(judged, setup, load)
        heads = [on for p in placed if judged.load(p).is_head and (on := _on(judged, p)) & own]
        is_sure = len(own) == 1 and any(len(on) == 1 for on in heads)
        if heads:
            found[next(iter(own)) if is_sure else None].append(setup)
    return found


def _circuits(judged: JudgedPlan, setup: str, load: str) -> frozenset[str]:
    """Return every circuit on which a load is, or might be, in a set-up."""
    wired = {d.circuit for d in judged.wired(setup) if d.load == load and d.circuit is not None}
    plugged = (_on(judged, p) for p in judged.by_setup[setup] if p.load == load)
    return frozenset(wired).union(*plugged)


def _on(judged: JudgedPlan, placement: Placement) -> frozenset[str]:
    return judged.point(placement).exposure.might_be_on
