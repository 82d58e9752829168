"""A plan, what may be wrong with it, and the three outcomes of looking for one.

A plan says where every plug goes in every set-up. It holds nothing that decides: the judge in
``check`` says whether it is legal, the solver only proposes it.
"""

from collections.abc import Collection, Sequence
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field


class Frozen(BaseModel):
    """Base of the plain records below."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, allow_inf_nan=False, defer_build=True
    )


class Placement(Frozen):
    """One unit of one load, in one set-up, plugged in at one point.

    Attributes:
        setup: Set-up id.
        load: Head or load id.
        unit: Which of the identical units, from 1.
        place: Where it stands (place, room or outlet id), or None when it has no place.
        point: Outlet id, or ``outlet/box/phase`` behind a distribution box.
        socket: Which socket of the point, from 1.
        board: Index into ``job.power_boards`` when plugged in through a power board. All
            placements of one set-up with the same point and socket share that board.
        board_lead: Index into ``job.leads`` of the lead between outlet and power board, or None
            when the board lies at the outlet. A board on a lead stands at one place and serves
            that place alone; all its placements name the same lead.
        lead: Index into ``job.leads``, or None when the load's own cord reaches.
    """

    setup: str
    load: str
    unit: Annotated[int, Field(ge=1)]
    place: str | None = None
    point: str
    socket: Annotated[int, Field(ge=1)] = 1
    board: int | None = None
    board_lead: int | None = None
    lead: int | None = None


class LeftOut(Frozen):
    """A head that the plan does not light in one set-up."""

    setup: str
    load: str
    unit: Annotated[int, Field(ge=1)]
    place: str | None = None


class SwitchedOff(Frozen):
    """A load that may be off and must be off in one set-up for the plan to hold."""

    setup: str
    load: str


class Search(Frozen):
    """How a plan was found, enough to find it again."""

    seed: int = 0
    workers: int = 1
    limit_s: float = 0.0
    proven: bool = False
    gap: str = ""
    versions: dict[str, str] = {}


class Plan(Frozen):
    """Where every plug goes, for the whole day."""

    placements: tuple[Placement, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    switched_off: tuple[SwitchedOff, ...] = ()
    search: Search = Search()

    def only(self, setups: Collection[str]) -> "Plan":
        """Return what it says of some set-ups."""
        return self.model_copy(
            update={
                "placements": tuple(p for p in self.placements if p.setup in setups),
                "left_out": tuple(left for left in self.left_out if left.setup in setups),
                "switched_off": tuple(off for off in self.switched_off if off.setup in setups),
            }
        )

    @classmethod
    def joined(cls, parts: Sequence["Plan"]) -> "Plan":
        """Return one plan of the day from plans of its set-ups, found as the first of them was."""
        return cls(
            placements=tuple(p for part in parts for p in part.placements),
            left_out=tuple(left for part in parts for left in part.left_out),
            switched_off=tuple(off for part in parts for off in part.switched_off),
            search=parts[0].search if parts else Search(),
        )


class Violation(Frozen):
    """One limit that a plan passes.

    Attributes:
        rule: Short name of the hard rule.
        setup: Set-up id, or "" for the whole day.
        where: The thing that is over its limit: outlet, circuit, phase, lead and so on.
        value: What the plan asks, in ``unit``.
        limit: What is allowed, in ``unit``.
        unit: A, mA, W, V, m or "" for a count.
        source: Where the limit comes from.
        text: The same in one plain sentence.
    """

    rule: str
    setup: str
    where: str
    value: float
    limit: float
    unit: str
    source: str
    text: str


class GoalValue(Frozen):
    """How well a plan keeps one soft rule; smaller is better."""

    goal: str
    value: int
    text: str = ""


class Usage(Frozen):
    """What one limiting device carries in one set-up.

    Of a supply contract the amps are its watts over planning volts, all phases together.
    ``takes_plugs`` is false for a way with nothing but wired loads: no plug moved changes it, and
    it is never called the tightest.
    """

    kind: Literal["circuit", "feed", "phase", "rcd amps", "contract", "neutral"]
    id: str
    phase: str
    setup: str
    current_a: float
    counted_a: float
    limit_a: float
    used_pct: int
    source: str
    takes_plugs: bool = True


class UnitSeen(Frozen):
    """Volts one unit gets under load, and the light it gives in per cent of full."""

    load: str
    unit: int
    point: str
    volts: float
    min_v: float
    light_pct: float


class VoltsSeen(Frozen):
    """Volts under load in one set-up.

    Attributes:
        board_v: At the main board [V].
        lowest_v: At the head with the least [V].
        lowest: That head in crew words.
        line_a: Current in each line of the service at these volts [A].
        losses_w: Watts lost on the way.
        units: Every unit that is on, hard-wired ones as unit 0.
        collapse: Why no volts can be told, or "".
    """

    setup: str
    idle_v: float
    board_v: float
    lowest_v: float
    lowest: str
    line_a: tuple[float, ...]
    losses_w: float
    units: tuple[UnitSeen, ...]
    collapse: str = ""


class Verdict(Frozen):
    """What the judge says of a plan.

    ``volts`` is empty where nobody read any under a known load; ``notes`` say what is no violation.
    ``contract`` is what each set-up takes of a supply contract: no plug moved changes it, so it
    stands beside the devices and is in no goal. ``neutral`` is told where harmonics put more on it
    than on any phase.
    """

    violations: tuple[Violation, ...]
    goals: tuple[GoalValue, ...]
    usages: tuple[Usage, ...]
    volts: tuple[VoltsSeen, ...] = ()
    notes: tuple[str, ...] = ()
    contract: tuple[Usage, ...] = ()
    neutral: tuple[Usage, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether no hard limit is passed."""
        return not self.violations


class Driver(Frozen):
    """An outlet that makes a plan risky.

    Attributes:
        outlet: Outlet id.
        without_pct: In how many of 100 wirings the plan would fail if nothing hung on it.
        avoided_pct: In how many the best plan found without this outlet fails, if that was looked
            for.
    """

    outlet: str
    without_pct: float
    avoided_pct: float | None = None


class Loss(Frozen):
    """What is lost in one set-up if one circuit drops, over the wirings still possible.

    Attributes:
        usually: Loads on it in more than half of the wirings.
        at_worst: Loads on it in the wiring that puts the most heads there.
        dark_pct: In how many of 100 wirings no head of the set-up stays lit; 0 for a single head.
    """

    circuit: str
    setup: str
    usually: tuple[str, ...]
    at_worst: tuple[str, ...]
    dark_pct: float


class BadMap(Frozen):
    """A likely wiring on which the plan fails: what it passes there, and the outlets behind it.

    ``text`` is the judge's own sentence where the volts fail, not a sum of amps.
    """

    weight_pct: float
    where: str
    setup: str
    value: float
    limit: float
    unit: str
    outlets: dict[str, str]
    text: str = ""


class Chance(Frozen):
    """In how many of 100 ways the house could be wired a plan passes some limit.

    Attributes:
        certificate: Whether the plan holds on every wiring still possible.
        fails_pct: Estimate on wirings the plan was not fitted to.
        volts_pct: How many of these fail on nothing but the volts under load.
        low_pct: Lower end of the 95 % interval.
        high_pct: Upper end of it.
        bound_pct: No plan fails in fewer of the wirings it was fitted to, or None if not proved.
        fitted_pct: What the plan reaches on the wirings it was fitted to.
        maps: How many wirings it was held against.
        effective: How many independent, equally likely ones these are worth.
        is_exact: Whether these were all wirings there are.
        drivers: Outlets that make it risky, worst first.
        losses: What is lost if a circuit drops.
        bad_maps: The likeliest ways it fails.
        assumptions: Who made up the 100.
    """

    certificate: bool
    fails_pct: float
    low_pct: float
    high_pct: float
    volts_pct: float = 0.0
    bound_pct: float | None = None
    fitted_pct: float | None = None
    maps: int = 0
    effective: float = 0.0
    is_exact: bool = False
    drivers: tuple[Driver, ...] = ()
    losses: tuple[Loss, ...] = ()
    bad_maps: tuple[BadMap, ...] = ()
    assumptions: tuple[str, ...] = ()


class Solved(Frozen):
    """At least one judged plan; ``plans`` are ranked, best first, each with its verdict.

    ``chances`` says for each plan how often unknown wiring makes it fail; it is empty where every
    circuit is known.
    """

    plans: tuple[tuple[Plan, Verdict], ...]
    proven: bool
    gap: str = ""
    chances: tuple[Chance, ...] = ()


class Member(Frozen):
    """One stated limit or wish of a conflict.

    Attributes:
        words: The limit or wish in crew words, with its amount.
        path: Where the job states it: keys and list indices.
        is_sure: Whether it is proved that the others could hold without it.
    """

    words: str
    path: tuple[str | int, ...]
    is_sure: bool = True


class Conflict(Frozen):
    """Limits and wishes of one set-up that cannot all hold; without any one of them they could.

    Attributes:
        kind: What sort of no it is; each has another remedy.
        setup: Set-up id.
        headline: The conflict in one sentence with amounts.
        remedy: Where to look for a way out.
        members: The wishes first, then the limits.
    """

    kind: Literal["arithmetic", "packing", "plug", "reach", "volts", "leakage"]
    setup: str
    headline: str
    remedy: str
    members: tuple[Member, ...]


class Impossible(Frozen):
    """It is proved that no plan exists.

    Attributes:
        reason: Why, in one sentence with amounts.
        conflicts: Per set-up that cannot run, the smallest set of limits and wishes that clash.
        nearest: The plan with the least overload, with the limits it passes.
        reduced: The best legal plan with heads left out, lowest priority first.
        chance: How often unknown wiring makes that plan fail, where circuits are not known.
        in_the_dark: Why not even the rest runs with every head left out, or "".
    """

    reason: str
    conflicts: tuple[Conflict, ...] = ()
    nearest: tuple[Plan, Verdict] | None = None
    reduced: tuple[Plan, Verdict] | None = None
    chance: Chance | None = None
    in_the_dark: str = ""


class Undecided(Frozen):
    """Neither a plan nor a proof.

    Attributes:
        reason: Why not.
        reduced: The fullest plan that holds, heads left dark and all, if one was found.
    """

    reason: str
    reduced: tuple[Plan, Verdict] | None = None


Outcome = Solved | Impossible | Undecided


def chance_shown(outcome: Outcome) -> Chance | None:
    """Return how often unknown wiring makes the plan that is shown fail, where that is open."""
    match outcome:
        case Solved(chances=(first, *_)):
            return first
        case Impossible(chance=chance):
            return chance
        case _:
            return None
