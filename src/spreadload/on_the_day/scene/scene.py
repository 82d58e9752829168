"""The house at one moment: the plan, the set-up, and how each outlet may be wired as known now.

Never imports the solver.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from spreadload.check import Judge
from spreadload.check.state import SetupState
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.explain.judged import JudgedPlan
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.job.site import Permission
from spreadload.plan import Placement, Plan
from spreadload.wiring.evidence import Fact, hard_facts, is_wiring_open
from spreadload.wiring.likeliest import as_wired
from spreadload.wiring.maps import Maps, drawn_maps, maps_of
from spreadload.wiring.model import Allowed, WiringModel
from spreadload.wiring.taught import agrees

MAPS = 1500
SEED = 31_337
FEWER_MAPS = 200
FEW = 60
_NO_CHANCE = 1e-12
SURE = 0.995

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Scene:
    """A set-up of a plan in a house whose wiring is known as far as it is.

    Attributes:
        facts: The remaining set-ups, unknown circuits left to the maps.
        judge: Judges the remaining set-ups.
        plan: The plan, placements of remaining set-ups only.
        setup: The set-up that runs now; the first of the remaining ones.
        maps: Wirings still possible, weighed by all that is known.
        model: What the wirings are drawn from; None where the house is fully known.
        proof: The wirings before a clock weighed them; None where none has. A clock makes a wiring
            likelier and proves nothing.
    """

    facts: Facts
    judge: Judge
    plan: Plan
    setup: str
    maps: Maps
    model: WiringModel | None = None
    proof: Maps | None = None

    @classmethod
    def of(
        cls, job: Job, log: Log, plan: Plan, setup: str, model: WiringModel | None = None
    ) -> "Scene":
        """Build the scene of a job that does not clash with its log.

        Args:
            job: The job.
            log: What was seen so far.
            plan: What is rigged.
            setup: Set-up that runs now.
            model: The wirings the house may have by job and log, where the caller knows them.
        """
        model = model or model_of(job, log)
        maps = _known(job) if model is None else maps_of(model, MAPS, SEED)
        learnt = job if model is None else model.job
        setups = [each.id for each in job.setups]
        remaining = setups[setups.index(setup) :]
        facts = Facts.of(learnt, "maps").only(remaining)
        return cls(facts, Judge(facts), plan.only(remaining), setup, maps, model)

    def at(self, setup: str) -> "Scene":
        """Return the scene when a later set-up runs."""
        setups = list(self.facts.demands)
        remaining = setups[setups.index(setup) :]
        facts = self.facts.only(remaining)
        plan = self.plan.only(remaining)
        return replace(self, facts=facts, judge=Judge(facts), plan=plan, setup=setup)

    def knowing(self, job: Job, log: Log) -> "Scene":
        """Return the scene with one more entry at the end of the log taken as true.

        Maps it rules out are dropped; where too few of those drawn would be left, they are drawn
        again.

        Args:
            job: The job.
            log: The log of this scene with the entry.
        """
        facts = hard_facts(job, log)
        true = agrees(facts[-1], self.maps) if facts else np.ones(len(self.maps), dtype=bool)
        if true.all():
            return self
        if true.sum() < FEW and not self.maps.is_exact:
            there = self.given(facts[-1].allowed, MAPS)[1]
            return there or Scene.of(job, log, self.plan, self.setup)
        if not true.any():
            return Scene.of(job, log, self.plan, self.setup)
        return self.on_maps(self.maps.only(true))

    def on_maps(self, maps: Maps) -> "Scene":
        """Return the scene on other wirings."""
        return replace(self, maps=maps)

    def given(self, allowed: Allowed, count: int = FEWER_MAPS) -> tuple[float, "Scene | None"]:
        """Return how likely a statement is, and the scene where it is true, if it can be.

        Where hardly any wiring drawn makes it true, its chance is summed over all layouts and
        wirings are drawn anew.

        Args:
            allowed: Circuits left to each outlet it speaks of.
            count: How many wirings to draw.
        """
        true = agrees(Fact("", allowed), self.maps)
        model = self.model
        if model is None or model.apart or self.maps.is_exact or true.sum() >= FEW:
            share = self.maps.share(true)
            return share, self.on_maps(self.maps.only(true)) if share > 0 else None
        share = model.chance(allowed)
        if share < _NO_CHANCE:
            return 0.0, None
        return share, self.on_maps(drawn_maps(model, count, SEED, allowed))

    def weighed(self, odds: Floats) -> "Scene":
        """Return the scene with wirings that explain something better taken as likelier."""
        return replace(self, maps=self.maps.weighed(odds), proof=self.proof or self.maps)

    def with_plan(self, plan: Plan) -> "Scene":
        """Return the scene with something re-plugged."""
        return replace(self, plan=plan)

    @cached_property
    def likely(self) -> dict[str, str]:
        """The circuit of every outlet on the likeliest wiring, all of it one possible map."""
        return self.maps.typical()

    @cached_property
    def as_likely_wired(self) -> Job:
        """The job as if the likeliest wiring were known."""
        return as_wired(self.facts.job, self.likely)

    @cached_property
    def likely_off_limits(self) -> frozenset[str]:
        """Outlets that most likely hang on what the crew may not use: no plug moves there."""
        circuits = self.facts.job.circuits
        return frozenset(
            outlet
            for outlet, circuit in self.likely.items()
            if circuits[circuit].use is Permission.OFF_LIMITS
        )

    @cached_property
    def judged(self) -> JudgedPlan:
        """The plan on the likeliest wiring."""
        verdict = self.judge.judge(self.plan, self.likely)
        return JudgedPlan(self.facts, self.judge, self.plan, verdict)

    @cached_property
    def states(self) -> dict[str, SetupState]:
        """What every device carries in every remaining set-up, on the likeliest wiring."""
        return {s.setup: s for s in self.judge.states(self.plan, self.likely)}

    @cached_property
    def _rows(self) -> dict[tuple[str, str], frozenset[int]]:
        found: dict[tuple[str, str], set[int]] = {}
        for n, row in enumerate(self.judge.devices.rows):
            found.setdefault((row.kind, row.id), set()).add(n)
        return {device: frozenset(rows) for device, rows in found.items()}

    def rows_of(self, kind: str, device: str) -> frozenset[int]:
        """Return the rows of ``Judge.devices`` that are the conductors of one device."""
        return self._rows.get((kind, device), frozenset())

    @property
    def remaining(self) -> tuple[str, ...]:
        """Set-ups from now on."""
        return tuple(self.facts.demands)

    def circuit_of(self, placement: Placement) -> str:
        """Return the likeliest circuit of a placement."""
        outlet = self.facts.points[placement.point].outlet
        return self.likely[outlet]

    def on_circuit(self, circuit: str) -> tuple[Placement, ...]:
        """Return what the plan has on a circuit on the likeliest wiring, largest first."""
        here = self.judged.by_setup[self.setup]
        found = [p for p in here if self.circuit_of(p) == circuit]
        return tuple(sorted(found, key=lambda p: (-self.counted_ma(p), p.load, p.unit)))

    def counted_ma(self, placement: Placement, at: Point | None = None) -> int:
        """Return what a unit counts against breakers, where it is or at another point [mA]."""
        poles = self.facts.poles_at(placement.load, at or self.facts.points[placement.point])
        return self.facts.counted_ma(placement.setup, placement.load, poles)

    def unit_ma(self, placement: Placement, at: Point | None = None) -> int:
        """Return what a unit really draws at worst, where it is or at another point [mA]."""
        poles = self.facts.poles_at(placement.load, at or self.facts.points[placement.point])
        return self.facts.unit_ma(placement.load, poles)

    def circuit_ma(self, circuit: str) -> int:
        """Return what the fullest pole of a circuit counts as carrying, likeliest wiring [mA]."""
        state = self.states[self.setup]
        rows = self.rows_of("circuit", circuit)
        return max((state.counted_ma[row] for row in rows), default=0)

    def cap_ma(self, circuit: str) -> int:
        """Return what a circuit may carry [mA]."""
        return self.facts.circuits[circuit].cap_ma

    def chance(self, outlet: str, circuit: str) -> float:
        """Return how likely an outlet is on a circuit."""
        return self.maps.chances(outlet).get(circuit, 0.0)

    def is_known(self, outlet: str) -> bool:
        """Whether an outlet can hardly be on any circuit but its likeliest."""
        return outlet in self._known

    @cached_property
    def _known(self) -> frozenset[str]:
        proof = self.proof or self.maps
        return frozenset(
            o for o, on in self.likely.items() if proof.chances(o).get(on, 0.0) >= SURE
        )


def wirings(job: Job, log: Log) -> tuple[Job, Maps]:
    """Return the job with what was learnt put in, and the wirings still possible."""
    model = model_of(job, log)
    if model is None:
        return job, _known(job)
    return model.job, maps_of(model, MAPS, SEED)


def model_of(job: Job, log: Log) -> WiringModel | None:
    """Return what wirings are drawn from, or None for a house that is fully known."""
    return WiringModel.of(job, log) if is_wiring_open(job) or log.standing else None


def _known(job: Job) -> Maps:
    """Return the one wiring of a house that is fully known."""
    circuits = tuple(job.circuits)
    row = [circuits.index(str(outlet.circuit)) for outlet in job.outlets.values()]
    on = np.array([row], dtype=np.int16)
    return Maps(tuple(job.outlets), circuits, on, np.ones(1), is_exact=True, effective=1.0, seed=0)
