"""What the volts do: at the board, at every outlet and head, and what the house can really give.

Uses the judge's own reading of a plan and the network; never the solver.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from spreadload.check import Judge
from spreadload.check.doubts import ComesOn, comes_on
from spreadload.check.neutral import neutral_under_harmonics_ma
from spreadload.check.state import SetupState
from spreadload.check.volts import fixed, hung
from spreadload.derived.facts import Facts
from spreadload.electrical.budget import budget
from spreadload.electrical.dropouts import BrokenNeutral, broken_neutral
from spreadload.electrical.tree import Wiring, build_tree
from spreadload.explain.lead_lengths import lead_lengths
from spreadload.network.assumed import service_neutral_share
from spreadload.network.house import House
from spreadload.network.records import Case, DropOuts, Fixed, HouseVolts, Hung, UnitVolts
from spreadload.on_the_day.volts.lead_advice import LeadAdvice, lead_advice
from spreadload.on_the_day.volts.protection import Loaded, loaded_devices
from spreadload.plan import LeftOut, Plan
from spreadload.units import MILLI


@dataclass(frozen=True, slots=True)
class RealBudget:
    """The most the supply gives without the board falling below a chosen voltage.

    Attributes:
        min_v: The chosen voltage at the board [V].
        why: Who asks for that voltage.
        current_a: Largest current per line, all lines evenly loaded, on the likely supply [A].
        low_a: The same at the high end of the impedance [A].
        alone_a: Largest current of one line with nothing on the others [A].
        limit_a: What the fuse or breaker at the head allows [A].
    """

    min_v: float
    why: str
    current_a: float
    low_a: float
    alone_a: float
    limit_a: float

    @property
    def is_tighter(self) -> bool:
        """Whether the volts give out before the fuse does."""
        return self.current_a < self.limit_a


@dataclass(frozen=True, slots=True)
class SetupSag:
    """One set-up under load.

    Attributes:
        likely: On the likely supply.
        at_worst: At the high end of the supply's impedance.
        neutral_a: Neutral with harmonics on three phases [A], or 0.
        broken: Volts across the legs if the shared neutral came loose, or None where there is none.
        relief: What to do without so that every head left gets its volts, or nothing.
        goes_out: What goes out as the volts fall, or None where nothing does.
    """

    setup: str
    name: str
    likely: HouseVolts
    at_worst: HouseVolts
    comes_on: tuple[ComesOn, ...]
    protection: tuple[Loaded, ...]
    leads: tuple[LeadAdvice, ...]
    neutral_a: float
    broken: BrokenNeutral | None
    relief: tuple[UnitVolts, ...] = ()
    goes_out: DropOuts | None = None


@dataclass(frozen=True)
class Sag:
    """The whole answer.

    Attributes:
        wires: Where the impedance of each circuit in use comes from.
        joints: Runs that read like more cable than there is.
        shared_neutrals: Circuits on different lines that share a neutral, in plain words.
        lead_lengths: Leads longer than the region advises.
        board_c: Air in the board that breakers were held against [°C], or None.
        left_out: Heads that the plan leaves dark, of which the volts say nothing.
    """

    facts: Facts
    house: House
    budget: RealBudget
    setups: tuple[SetupSag, ...]
    wires: dict[str, str]
    joints: tuple[str, ...]
    shared_neutrals: tuple[str, ...]
    lead_lengths: tuple[str, ...]
    board_c: float | None = None
    left_out: tuple[LeftOut, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether every head that is lit gets the volts it works at."""
        return not any(each.likely.short or each.likely.collapse for each in self.setups)


def sag(
    judge: Judge, plan: Plan, *, min_v: float | None = None, board_c: float | None = None
) -> Sag:
    """Return what the volts do in every set-up of a plan.

    Args:
        judge: The judge of the job.
        plan: The plan to look at.
        min_v: Voltage the board should not fall below [V]; else what the heads work at.
        board_c: Air in the board [°C], which breakers open sooner in.
    """
    facts, house = judge.facts, judge.house
    states = judge.states(plan)
    names = {setup.id: setup.name for setup in facts.job.setups}
    setups = tuple(_setup_sag(judge, state, names[state.setup], board_c) for state in states)
    used = dict.fromkeys(
        (unit.circuit, unit.point) for each in setups for unit in each.likely.units
    )
    return Sag(
        facts=facts,
        house=house,
        budget=_budget(facts, house, min_v),
        setups=setups,
        wires=_wires(house, list(used)),
        joints=house.wires.joints(),
        shared_neutrals=tuple(_shared_neutrals(facts)),
        lead_lengths=tuple(lead_lengths(facts, plan)),
        board_c=board_c,
        left_out=plan.left_out,
    )


def _budget(facts: Facts, house: House, min_v: float | None) -> RealBudget:
    chosen_v, why = _board_minimum(facts, house, min_v)
    service, lines = house.service, len(facts.supply.phases)
    # Evenly loaded lines leave the neutral empty, so only their own part of the loop takes volts.
    even = 1.0 if lines == 1 else 1 - service_neutral_share(lines)
    likely, worst, alone = (
        budget(service.idle_v, complex(ohm), chosen_v).current_a
        for ohm in (even * service.ohm, even * service.high_ohm, service.ohm)
    )
    return RealBudget(chosen_v, why, likely, worst, alone, facts.supply.cap_ma / MILLI)


def _board_minimum(facts: Facts, house: House, min_v: float | None) -> tuple[float, str]:
    if min_v is not None:
        return min_v, "as chosen"
    if facts.job.supply.min_v is not None:
        return facts.job.supply.min_v, "the least volts the job asks for"
    needs = [(house.behaves[head].min_v, head) for head in facts.job.heads]
    least_v, head = max(needs, default=(0.0, ""))
    if least_v <= 0:
        share_v = facts.supply.planning_v * (1 - facts.total_drop_pct / 100)
        return share_v, f"{facts.total_drop_pct:g} % below {facts.supply.planning_v:g} V"
    return least_v, f"{facts.loads[head].what} works from there"


def _setup_sag(judge: Judge, state: SetupState, name: str, board_c: float | None) -> SetupSag:
    house = judge.house
    units, wired = [hung(u) for u in state.plugged], [fixed(w) for w in state.wired]
    likely = house.solve(state.setup, units, wired, Case(all_outlets=True))
    at_worst = house.solve(state.setup, units, wired, Case(service_ohm=house.service.high_ohm))
    seen = replace(state, volts=likely)
    return SetupSag(
        setup=state.setup,
        name=name,
        likely=likely,
        at_worst=at_worst,
        comes_on=tuple(comes_on(judge, state)),
        protection=loaded_devices(seen, board_c),
        leads=tuple(lead_advice(judge, state, likely)),
        neutral_a=neutral_under_harmonics_ma(state) / MILLI,
        broken=_broken(judge.facts, likely),
        relief=_relief(judge, state, likely),
        goes_out=house.drop_outs(units, wired) if likely.short or likely.collapse else None,
    )


def _relief(judge: Judge, state: SetupState, load: HouseVolts) -> tuple[UnitVolts, ...]:
    """Return what to do without: what starts by itself first, then the least important heads.

    Taken off one by one until every head left gets its volts; what turns out not to be needed is
    put back.
    """
    if not load.short and not load.collapse:
        return ()
    on = dict(zip(_everything(state), load.units, strict=True))
    by_itself = judge.facts.job.house | judge.facts.job.departments
    fixed_ones = [u for u in on if isinstance(u, Fixed) and by_itself[u.load].starts_by_itself]
    heads = [u for u in on if isinstance(u, Hung) and judge.facts.loads[u.load].is_head]
    gone: list[Hung | Fixed] = []
    in_turn: list[Hung | Fixed] = [*fixed_ones]
    in_turn += sorted(heads, key=lambda u: _importance(judge.facts, u.load))
    for item in in_turn:
        gone.append(item)
        if not _is_short_without(judge, state, gone):
            break
    else:
        return ()
    for item in list(reversed(gone))[1:]:
        kept = [each for each in gone if each != item]
        if not _is_short_without(judge, state, kept):
            gone = kept
    return tuple(on[item] for item in gone)


def _everything(state: SetupState) -> tuple[Hung | Fixed, ...]:
    return (*(hung(u) for u in state.plugged), *(fixed(w) for w in state.wired))


def _is_short_without(judge: Judge, state: SetupState, gone: list[Hung | Fixed]) -> bool:
    staying = [item for item in _everything(state) if item not in gone]
    units = [item for item in staying if isinstance(item, Hung)]
    wired = [item for item in staying if isinstance(item, Fixed)]
    load = judge.house.solve(state.setup, units, wired)
    return bool(load.short or load.collapse)


def _importance(facts: Facts, load: str) -> tuple[int, int]:
    """Sort the least important first and, of those, the largest."""
    head = facts.loads[load]
    return -head.priority, -head.power_w


def _broken(facts: Facts, load: HouseVolts) -> BrokenNeutral | None:
    """Return the volts across the legs if the service neutral came loose; None on one line."""
    phases = facts.supply.phases
    if len(phases) == 1 or load.collapse:
        return None
    legs = [complex(load.board_v * amps) for amps in load.line_a]
    if not any(abs(leg) for leg in legs):
        return None
    return broken_neutral(build_tree(Wiring.of_lines(len(phases)), ()), load.idle_v, legs)


def _shared_neutrals(facts: Facts) -> Iterator[str]:
    told: set[frozenset[str]] = set()
    for circuit_id, circuit in facts.job.circuits.items():
        other = circuit.shares_neutral_with
        # Either circuit of a pair, or both, may be the one that states it.
        if other is None or other not in facts.circuits:
            continue
        pair = frozenset({circuit_id, other})
        if pair in told:
            continue
        told.add(pair)
        one, two = facts.circuits[circuit_id].phases, facts.circuits[other].phases
        if len(one) == 1 and one == two:
            yield f"{circuit_id} and {other} share a neutral on one line: it carries both together"
        else:
            yield (
                f"{circuit_id} and {other} share a neutral: if it came loose, the lighter loaded "
                "one would see up to the volts between lines; load them evenly and plug nothing "
                "delicate there"
            )


def _wires(house: House, used: list[tuple[str, str]]) -> dict[str, str]:
    found: dict[str, str] = {}
    for circuit, point in used:
        outlet = house.facts.points[point].outlet if point else None
        wire = house.wires.to_outlet(circuit, outlet)
        name = outlet or f"the end of {circuit}"
        found[name] = f"{circuit}: {wire.words}"
    for board in house.facts.feeds:
        wire = house.wires.to_sub_board(board)
        found[f"sub-board {board}"] = wire.words
    return found
