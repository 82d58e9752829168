"""What the judge teaches the model where volts are short: linear bounds, and splits ruled out.

Volts are no sum of amps, so the model knows nothing of them. When the load flow refuses a plan, the
refused head gets a bound: what flows in the cables it shares with others may not take more volts
than it can spare. Currents are those at the volts of the limit, and only their part in step with
the volts counts, so a bound forgives more than the load flow does; a split that slips through is
forbidden as it stands.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from math import floor

from spreadload.check import Judge
from spreadload.check.volts import sagged_ma
from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.electrical.behaviour import current_exponent, current_ratio
from spreadload.network.records import HouseVolts, UnitVolts
from spreadload.network.shared import Spot
from spreadload.plan import Placement, Plan, SwitchedOff, Verdict, Violation
from spreadload.solver.model import devices
from spreadload.solver.model.candidates import Candidate
from spreadload.solver.model.variables import Linear, Variables, total, weighted
from spreadload.units import MILLI, shown_amps, tenths_down, tenths_up
from spreadload.words import setup_name

Wish = Callable[[Variables], None]

VOLTS_RULES = frozenset({"volts", "circuit under sag", "gear under sag", "neutral"})
_FORGIVING_ROUNDS = 3
_MARGIN_STEP_V = 0.25
_MANY_POINTS = 40
_MANY_BOUNDS = 600
_LEAST_SPARE = 1e-6


def is_about_volts(verdict: Verdict) -> bool:
    """Whether a plan is refused, and for nothing but what the model cannot know."""
    return not verdict.holds and all(v.rule in VOLTS_RULES for v in verdict.violations)


def reason_in_volts(verdict: Verdict) -> str | None:
    """Return why nothing holds where volts are the only thing a plan lacks."""
    if not is_about_volts(verdict):
        return None
    worst = max(verdict.violations, key=_shortfall)
    seen = next((each for each in verdict.volts if each.setup == worst.setup), None)
    if worst.rule != "volts" or seen is None:
        return worst.text
    if seen.collapse:
        return f"in {setup_name(seen.setup)} {seen.collapse}"
    amps, board = shown_amps(max(seen.line_a)), tenths_down(seen.board_v)
    return (
        f"every breaker says yes, the volts say no: in {setup_name(seen.setup)} at {amps} A the "
        f"board falls to {board} V and {seen.lowest} gets {tenths_down(seen.lowest_v)} V; "
        f"it needs {tenths_up(worst.limit)} V"
    )


def _shortfall(violation: Violation) -> float:
    if violation.rule != "volts":
        return 0.0
    return violation.limit - violation.value


@dataclass
class Cuts:
    """Everything learnt from refusals so far.

    Attributes:
        wishes: Bounds to put on the model.
        rounds: How often plans were refused.
        has_guessed: Whether any bound may rule out what the load flow would accept.
    """

    facts: Facts
    judge: Judge
    wishes: list[Wish] = field(default_factory=list)
    rounds: int = 0
    has_guessed: bool = False

    @property
    def margin_v(self) -> float:
        """Volts asked on top; none at first, then more each time a split slips through [V]."""
        return max(0, self.rounds - _FORGIVING_ROUNDS) * _MARGIN_STEP_V

    @property
    def can_prove(self) -> bool:
        """Whether bounds this forgiving rule out nothing that the load flow would accept."""
        return self.margin_v == 0 and not self.has_guessed

    def learn(self, plan: Plan, verdict: Verdict) -> None:
        """Add bounds that rule a refused plan out."""
        self.rounds += 1
        loads = {s.setup: s.volts for s in self.judge.states(plan) if s.volts is not None}
        refused = dict.fromkeys(v.setup for v in verdict.violations)
        for setup in refused:
            load = loads.get(setup)
            if load is not None and not load.collapse:
                for unit in self._worth_a_bound(load):
                    self.wishes += self._bounds(load, unit, plan)
            if any(v.rule == "circuit under sag" and v.setup == setup for v in verdict.violations):
                self.wishes.append(self._tightened(plan, setup))
            over = [v for v in verdict.violations if (v.rule, v.setup) == ("gear under sag", setup)]
            self.wishes += [self._fewer_there(plan, violation) for violation in over]
            self.wishes.append(_not_again(plan, setup))

    def learn_on(self, plan: Plan, load: HouseVolts, on: Mapping[str, str]) -> None:
        """Add bounds on one way the wiring may be, on which a plan of the day is short.

        Args:
            plan: The plan.
            load: Its volts in a set-up, wired so.
            on: The circuit of each outlet of which it is not known.
        """
        for unit in () if load.collapse else self._worth_a_bound(load):
            self.wishes += self._bounds(load, unit, plan, on)

    def _worth_a_bound(self, load: HouseVolts) -> tuple[UnitVolts, ...]:
        """Return heads to bound: one per kind and point, or the short ones where many are on."""
        heads = {(u.load, u.point): u for u in load.units if u.is_head and u.min_v > 0}
        if len(heads) * len(self.facts.points) > _MANY_BOUNDS:
            heads = {(u.load, u.point): u for u in load.short}
        return tuple(heads.values())

    def _tightened(self, plan: Plan, setup: str) -> Wish:
        """Lower every limit that sagging amps pass by as much as they grew."""
        state = next(s for s in self.judge.states(plan) if s.setup == setup)
        shares: dict[tuple[str, object], float] = {}
        if state.volts is not None:
            sagged = sagged_ma(state, state.volts)
            for row, device in enumerate(state.devices.rows):
                if sagged[row] > device.cap_ma:
                    name = device.id if device.kind == "phase" else (device.id, device.pole)
                    shares[device.kind, name] = state.against_limit_ma(row) / sagged[row]

        def wish(v: Variables) -> None:
            rows = (
                ("circuit", devices.circuits(v)),
                ("feed", devices.feeds(v)),
                ("phase", devices.phases(v)),
                ("rcd amps", devices.rcd_amps(v)),
            )
            for kind, found in rows:
                for each in found:
                    share = _share_of(shares, kind, each.name)
                    if each.setup == setup and share is not None:
                        v.model.add(each.load <= int(each.limit * share))

        return wish

    def _fewer_there(self, plan: Plan, violation: Violation) -> Wish:
        """Ask for one unit less of those that sagging amps make too much for one piece of gear.

        That is exact for a unit that is too much even with nothing else on, else a guess.
        """
        self.has_guessed |= not self._is_over_alone(plan, violation)
        here = [p for p in plan.placements if p.setup == violation.setup]
        spots = dict.fromkeys(
            (self._demand(p), p.point) for p in here if self._is_at(p, violation.where)
        )
        now = sum((self._demand(p), p.point) in spots for p in here)

        def wish(v: Variables) -> None:
            v.model.add(total(v.units_at(*spot) for spot in spots) <= now - 1)

        return wish

    def _is_over_alone(self, plan: Plan, violation: Violation) -> bool:
        """Whether one unit passes the limit on its own, with nothing else on anywhere."""
        there = [p for p in plan.placements if p.setup == violation.setup]
        at_it = [p for p in there if self._is_at(p, violation.where)]
        off = tuple(
            SwitchedOff(setup=d.setup, load=d.load)
            for d in self.facts.demands[violation.setup]
            if d.may_be_off and d.load not in {p.load for p in at_it}
        )
        update = {"placements": tuple(at_it), "left_out": (), "switched_off": off}
        alone = plan.model_copy(update=update)
        told = self.judge.judge(alone).violations
        return len(at_it) == 1 and any(
            (v.rule, v.where, v.setup) == (violation.rule, violation.where, violation.setup)
            for v in told
        )

    def _is_at(self, placement: Placement, where: str) -> bool:
        """Whether a unit is, or hangs on, what a violation points at."""
        point, outlet = placement.point, self.facts.points[placement.point].outlet
        unit = f"{placement.load} {placement.unit}"
        return where in {unit, f"{point} socket {placement.socket}", point, outlet}

    def _demand(self, placement: Placement) -> Demand:
        return next(
            d
            for d in self.facts.demands[placement.setup]
            if d.load == placement.load and d.place in (placement.place, None)
        )

    def _bounds(
        self, load: HouseVolts, unit: UnitVolts, plan: Plan, on: Mapping[str, str] | None = None
    ) -> list[Wish]:
        placement = next(
            p
            for p in plan.placements
            if (p.setup, p.load, p.unit) == (load.setup, unit.load, unit.unit)
        )
        demand = self._demand(placement)
        spare_v = load.idle_v - unit.min_v
        if spare_v <= _LEAST_SPARE:
            return [_never(demand)]
        lost_v = max(load.idle_v - unit.volts, _LEAST_SPARE)
        spare_v -= self.margin_v
        limit = _AtLimit(self.facts, self.judge, load, spare_v / lost_v, on or {})

        def wish(v: Variables) -> None:
            options = v.options[demand]
            if len(options) > _MANY_POINTS:
                options = tuple(o for o in options if o.point.id == unit.point)
            for option in options:
                _bound(v, option, limit.terms(v, option, unit), limit.millivolts(spare_v))

        return [wish]


@dataclass(frozen=True)
class _AtLimit:
    """Currents of a set-up as they are when one head is at the least volts it works at.

    Attributes:
        share: What is left of every drop of the refused plan there.
        on: One way the wiring may be, circuit by outlet; empty for what is known of it.
    """

    facts: Facts
    judge: Judge
    load: HouseVolts
    share: float
    on: Mapping[str, str] = field(default_factory=dict)

    def millivolts(self, volts: float) -> int:
        """Return volts as the model counts them."""
        return int(volts * MILLI)

    def terms(self, v: Variables, option: Candidate, unit: UnitVolts) -> list[tuple[int, Linear]]:
        """Return what each load takes from the volts at a point [mV]."""
        shared = self.judge.house.shared
        own = self._spot(option, unit.circuit)
        wanted = min(own.circuits)
        found: list[tuple[int, Linear]] = []
        for demand in v.plugged(self.load.setup):
            amps_a = self._amps_a(demand.load)
            falls = {
                other.point.id: floor(
                    amps_a * shared.least_ohm(own, self._spot(other, wanted)) * MILLI
                )
                for other in v.options[demand]
            }
            # What a unit takes wherever it is plugged in goes by how many are on: a shorter row.
            anyway = min(falls.values(), default=0)
            found.append((anyway, _units_on(v, demand)))
            found += [(f - anyway, v.units_at(demand, p)) for p, f in falls.items() if f > anyway]
        for demand in v.wired(self.load.setup):
            ohm = shared.least_ohm(own, Spot(frozenset([demand.circuit or ""]), None))
            fall = floor(self._amps_a(demand.load) * ohm * MILLI)
            found.append((fall * demand.count, 1 - v.is_off(demand)))
        found.append((int(self._amps_a(unit.load) * self._least_lead_ohm(option) * MILLI), 1))
        return found

    def _least_lead_ohm(self, option: Candidate) -> float:
        """Return the resistance of the best lead on the van for a run; 0 where none is needed."""
        runs = (*option.runs, *option.remote)
        each = [[self.facts.leads[index].loop_ohm for index in run.leads] for run in runs]
        return min((min(ohms, default=0.0) for ohms in each), default=0.0)

    def _spot(self, option: Candidate, wanted: str) -> Spot:
        """Return what a unit there is on: where all count the wanted circuit, else any of them."""
        might = option.point.exposure.might_be_on
        if option.point.outlet in self.on:
            might = frozenset([self.on[option.point.outlet]])
        elif option.point.exposure.left_to_maps is None:
            might = frozenset([wanted if wanted in might else min(might)])
        return Spot(might, option.point.outlet)

    def _amps_a(self, load_id: str) -> float:
        """Return the current in step with the volts that one unit draws at the limit [A].

        Where the refused plan is far from the limit, drops are not stretched beyond sense: what
        draws more as volts fall is counted as it draws now, and no volts are below none.
        """
        behaves = self.judge.house.behaves[load_id]
        here = [unit.volts for unit in self.load.units if unit.load == load_id]
        now_v = max(here, default=self.load.board_v)
        least_v = now_v if current_exponent(behaves.load_class) < 0 else 0.0
        volts = max(self.load.idle_v - self.share * (self.load.idle_v - now_v), least_v)
        ratio = current_ratio(behaves.load_class, volts / behaves.rated_v)
        in_step_w = behaves.apparent_va.worst * behaves.power_factor.worst
        return in_step_w / behaves.rated_v * ratio


def _units_on(v: Variables, demand: Demand) -> Linear:
    """Return how many units of a demand are on."""
    return demand.count * (1 - v.is_off(demand)) - v.left_out.get(demand, 0)


def _never(demand: Demand) -> Wish:
    """Keep a demand dark: the supply is too low for it with nothing on at all."""

    def wish(v: Variables) -> None:
        for option in v.options[demand]:
            v.model.add(v.units_at(demand, option.point.id) == 0)

    return wish


def _bound(
    v: Variables, option: Candidate, terms: Iterable[tuple[int, Linear]], spare_mv: int
) -> None:
    """Where a demand has a unit at a point, the drops before it stay within its spare volts."""
    demand = option.demand
    is_there = v.model.new_bool_var(f"{demand} at {option.point.id} on volts")
    v.model.add(v.units_at(demand, option.point.id) <= demand.count * is_there)
    v.model.add(weighted(terms) <= spare_mv).only_enforce_if(is_there)


def _share_of(shares: dict[tuple[str, object], float], kind: str, name: object) -> float | None:
    found = [
        share
        for (of, device), share in shares.items()
        if of == kind and (device == name or (isinstance(device, tuple) and device[0] == name))
    ]
    if isinstance(name, tuple):
        found += [s for (of, d), s in shares.items() if of == kind and d == (name[0], "")]
    return min(found, default=None)


def _not_again(plan: Plan, setup: str) -> Wish:
    """Forbid the same units on the same points in a set-up."""

    def wish(v: Variables) -> None:
        changes: list[Linear] = []
        for demand in v.plugged(setup):
            for option in v.options[demand]:
                was = sum(
                    (p.setup, p.load, p.place, p.point)
                    == (setup, demand.load, demand.place, option.point.id)
                    for p in plan.placements
                )
                changes += _changed(v, v.units_at(demand, option.point.id), was, demand)
        off = {entry.load for entry in plan.switched_off if entry.setup == setup}
        for (at, load), var in v.off.items():
            if at == setup:
                changes.append(1 - var if load in off else var)
        v.model.add(total(changes) >= 1)

    return wish


def _changed(v: Variables, units: Linear, was: int, demand: Demand) -> Iterator[Linear]:
    is_more = v.model.new_bool_var(f"more {demand} on volts")
    is_less = v.model.new_bool_var(f"fewer {demand} on volts")
    v.model.add(units >= was + 1).only_enforce_if(is_more)
    v.model.add(units <= was - 1).only_enforce_if(is_less)
    yield is_more
    yield is_less


def said_of(plan: Plan) -> Plan:
    """Return a plan that says it was steered by volts, so that its goals are not proved best."""
    said = "split steered by the load flow, not proved best"
    gap = "; ".join(part for part in (plan.search.gap, said) if part)
    search = plan.search.model_copy(update={"proven": False, "gap": gap})
    return plan.model_copy(update={"search": search})
