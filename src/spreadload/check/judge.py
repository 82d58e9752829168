"""The judge: reads a plan, holds it against every rule, and says what it is worth.

Never imports the solver: a plan is judged the same whoever wrote it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from spreadload.check.accounting import unknown
from spreadload.check.devices import Devices
from spreadload.check.goals import Day, goal_value
from spreadload.check.limits import contract_usage
from spreadload.check.neutral import neutral_usage
from spreadload.check.outlets import Outlets
from spreadload.check.reading import Entries, Found, Reader, entries_by_setup
from spreadload.check.rules import HARD_RULES, OF_ONE_OUTLET, READING_RULES
from spreadload.check.state import SetupState, Wired, leakages, sums
from spreadload.check.told import volts_told
from spreadload.check.volts import notes as volts_notes
from spreadload.check.volts import under_load
from spreadload.check.wiring import Behind, Wiring
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.job.job import Job
from spreadload.network.house import House
from spreadload.plan import Plan, Usage, Verdict, Violation
from spreadload.units import MILLI


def judge(job: Job, plan: Plan) -> Verdict:
    """Judge one plan of a job whose references have been checked.

    To judge many plans of one job, build a ``Judge`` once.
    """
    return Judge(Facts.of(job)).judge(plan)


@dataclass(frozen=True)
class _Weighed:
    """One set-up held against every limit."""

    state: SetupState
    faults: tuple[Violation, ...]

    @cached_property
    def usages(self) -> tuple[Usage, ...]:
        """How far each device is used; not worked out for who only asks what is broken."""
        return tuple(_usages(self.state))


class Judge:
    """Judges any number of plans of one job."""

    def __init__(self, facts: Facts, *, always_volts: bool = False) -> None:
        """Work out everything that depends on the job alone.

        Args:
            facts: The job, worked out.
            always_volts: Tell volts even where the supply is only assumed.
        """
        self.facts = facts
        self.house = House(facts)
        self._tells_volts = always_volts or self.house.has_readings
        self._devices = Devices(facts)
        self._wiring = Wiring(facts, self._devices)
        self._reader = Reader(facts, self._wiring)
        self._outlets = Outlets()
        self._setups = tuple(facts.demands)
        self._wired = {setup: self._wired_in(setup) for setup in self._setups}
        self._rank = {rule: rank for rank, rule in enumerate((*READING_RULES, *HARD_RULES))}
        self._appearances = self._appearances_of_loads()
        self._last: dict[str, tuple[Entries, dict[str, str] | None, _Weighed]] = {}

    def judge(self, plan: Plan, circuits_of_outlets: Mapping[str, str] | None = None) -> Verdict:
        """Return every limit a plan passes, every goal's value and every device's use.

        Args:
            plan: Any plan; ids that the job does not know become violations.
            circuits_of_outlets: One wiring map to judge on: the circuit of each outlet. Without it
                a load counts in full on every circuit its outlet might be on. What the crew may
                use and what is proven stay as the job says.
        """
        weighed, faults = self._weighed(plan, circuits_of_outlets)
        states = tuple(each.state for each in weighed)
        faults += (fault for each in weighed for fault in each.faults)
        day = Day(states, self._appearances)
        return Verdict(
            violations=self._in_order(faults),
            goals=tuple(goal_value(goal, day) for goal in self.facts.job.rules.goals),
            usages=tuple(usage for each in weighed for usage in each.usages),
            volts=tuple(volts_told(state.volts) for state in states if state.volts is not None),
            notes=self._notes(states),
            contract=tuple(filter(None, map(contract_usage, states))),
            neutral=tuple(filter(None, map(neutral_usage, states))),
        )

    def violations(
        self, plan: Plan, circuits_of_outlets: Mapping[str, str] | None = None
    ) -> tuple[Violation, ...]:
        """Return every limit a plan passes, as ``judge`` does, without weighing its worth."""
        weighed, faults = self._weighed(plan, circuits_of_outlets)
        return self._in_order([*faults, *(f for each in weighed for f in each.faults)])

    def states(
        self, plan: Plan, circuits_of_outlets: Mapping[str, str] | None = None
    ) -> tuple[SetupState, ...]:
        """Return every set-up of a plan as the rules see it; strangers are left out."""
        return tuple(each.state for each in self._weighed(plan, circuits_of_outlets)[0])

    def behind(self, point: Point, circuits_of_outlets: Mapping[str, str] | None = None) -> Behind:
        """Return everything that a unit plugged in at a point is on, as in ``judge``."""
        return self._wiring.of_point(point, circuits_of_outlets)

    @property
    def devices(self) -> Devices:
        """Every conductor with a rating, in the order of the sums of ``states``."""
        return self._devices

    def _notes(self, states: tuple[SetupState, ...]) -> tuple[str, ...]:
        guide_pct = self.facts.total_drop_pct
        told = (note for state in states for note in volts_notes(state, guide_pct))
        return tuple(dict.fromkeys(told))

    def _weighed(
        self, plan: Plan, circuits_of_outlets: Mapping[str, str] | None
    ) -> tuple[tuple[_Weighed, ...], list[Violation]]:
        """Return every set-up, weighed, and the faults that belong to none."""
        entries, strangers = entries_by_setup(plan, self._setups)
        faults = [
            unknown(setup, setup, f"The plan speaks of set-up “{setup}”, which is not in the job")
            for setup in strangers
        ]
        known = None if circuits_of_outlets is None else dict(circuits_of_outlets)
        return tuple(self._weigh(s, entries[s], known) for s in self._setups), faults

    def _weigh(
        self, setup: str, entries: Entries, circuits_of_outlets: dict[str, str] | None
    ) -> _Weighed:
        """Weigh one set-up; one that is as it was last time is not weighed again.

        Who tries one change after another changes one set-up of a day and leaves the others.
        """
        before = self._last.get(setup)
        if before is not None and before[:2] == (entries, circuits_of_outlets):
            return before[2]
        state, found = self._state(setup, entries, circuits_of_outlets)
        rules = (rule for name, rule in HARD_RULES.items() if name not in OF_ONE_OUTLET)
        faults = (
            *found.faults,
            *self._outlets.faults(state),
            *(f for r in rules for f in r(state)),
        )
        weighed = _Weighed(state, faults)
        self._last[setup] = (entries, circuits_of_outlets, weighed)
        return weighed

    def _state(
        self, setup: str, entries: Entries, circuits_of_outlets: Mapping[str, str] | None
    ) -> tuple[SetupState, Found]:
        found = self._reader.read(setup, entries, circuits_of_outlets)
        plugged = tuple(found.plugged)
        off = {demand.load for demand in found.switched_off}
        wired = tuple(group for group in self._wired[setup] if group.load.id not in off)
        current_ma, counted_ma = sums(plugged, wired, len(self._devices.rows))
        state = SetupState(
            facts=self.facts,
            devices=self._devices,
            setup=setup,
            plugged=plugged,
            wired=wired,
            left_out=tuple(self.facts.loads[demand.load] for demand in found.left_out),
            switched_off=tuple(found.switched_off),
            current_ma=current_ma,
            counted_ma=counted_ma,
            leakages_ua=leakages(plugged, wired),
            waves=self.house.waves,
        )
        return self._under_load(state), found

    def _under_load(self, state: SetupState) -> SetupState:
        if not self._tells_volts:
            return state
        service = self.house.service
        return replace(
            state,
            volts=under_load(self.house, state),
            may_refuse_on_volts=service.may_refuse,
            volts_source=service.words,
        )

    def _wired_in(self, setup: str) -> tuple[Wired, ...]:
        groups: list[Wired] = []
        for demand in self._reader.asked[setup].wired.values():
            circuit = demand.circuit or ""
            behind = self._wiring.of_circuit(circuit)
            if behind is None:
                continue
            poles = self.facts.circuits[circuit].poles
            groups.append(
                Wired(
                    self.facts.loads[demand.load],
                    demand.count,
                    behind,
                    self.facts.unit_ma(demand.load, poles),
                    self.facts.counted_ma(setup, demand.load, poles),
                    circuit,
                )
            )
        return tuple(groups)

    def _appearances_of_loads(self) -> dict[str, tuple[int, ...]]:
        """Return the set-ups that ask for each load with a plug, by their place in the day."""
        found: dict[str, list[int]] = {}
        for index, setup in enumerate(self._setups):
            for load in self._reader.asked[setup].by_load:
                found.setdefault(load, []).append(index)
        return {load: tuple(indices) for load, indices in found.items()}

    def _in_order(self, faults: list[Violation]) -> tuple[Violation, ...]:
        """Sort by set-up, then rule, so that the order in the plan does not matter."""
        when = {setup: index for index, setup in enumerate(self._setups)}
        return tuple(
            sorted(
                faults,
                key=lambda v: (when.get(v.setup, -1), self._rank[v.rule], v.where, v.text),
            )
        )


def _usages(state: SetupState) -> list[Usage]:
    return [
        Usage(
            kind=device.kind,
            id=device.id,
            phase=device.phase,
            setup=state.setup,
            current_a=state.current_ma[row] / MILLI,
            counted_a=state.against_limit_ma(row) / MILLI,
            limit_a=device.cap_ma / MILLI,
            used_pct=state.used_pct[row],
            source=device.source,
            takes_plugs=device.takes_plugs,
        )
        for row, device in enumerate(state.devices.rows)
    ]
