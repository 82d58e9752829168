"""The decisions, hidden behind names that read as sentences.

Identical units are counted, not told apart, and so are the sockets of one plate: so many units are
at a point. How each of them gets there, straight or on a power board, comes second (``runs.py``).
That leaves no symmetry of heads or sockets for the solver to break.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.records import Exposure, Point
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.model.candidates import Candidate, all_candidates

if TYPE_CHECKING:
    from spreadload.solver.model.devices import Stake

Linear: TypeAlias = cp_model.LinearExprT


def total(terms: Iterable[Linear]) -> Linear:
    """Return the sum of terms; 0 for none."""
    return cp_model.LinearExpr.sum(list(terms))


def weighted(terms: Iterable[tuple[int, Linear]]) -> Linear:
    """Return the sum of coefficient times term; 0 for none."""
    pairs = [(weight, term) for weight, term in terms if weight]
    return cp_model.LinearExpr.weighted_sum([t for _, t in pairs], [w for w, _ in pairs])


def is_constant(aim: Linear) -> bool:
    """Whether a sum holds no decision at all."""
    return isinstance(aim, int) or not cp_model.FlatIntExpr(aim).vars


def evaluate(aim: Linear, values: Sequence[int]) -> int:
    """Return the value of a sum over the decisions, given the value of each."""
    if isinstance(aim, int):
        return aim
    flat = cp_model.FlatIntExpr(aim)
    terms = zip(flat.vars, flat.coeffs, strict=True)
    return int(flat.offset + sum(coeff * values[var.index] for var, coeff in terms))


class RemoteBoard(NamedTuple):
    """The n-th power board of one kind at a place, on a lead from a point.

    Numbers of one tier follow each other; ``Variables.tier`` tells the tier of a number.
    """

    setup: str
    point: str
    place: str
    nth: int
    kind: int


@dataclass(frozen=True)
class Relaxations:
    """What the model may give up that a real plan may not.

    Attributes:
        heads_may_be_left_out: Place as many heads as possible instead of all.
        breakers_may_overload: Leave circuits, feeds, phases and RCD amps unlimited, so that the
            least overloaded plan can be found when none holds.
        loads_may_be_left_out: Besides heads, let every plugged-in load stay away, for whoever adds
            what that costs; only together with ``heads_may_be_left_out``.
    """

    heads_may_be_left_out: bool = False
    breakers_may_overload: bool = False
    loads_may_be_left_out: bool = False


@dataclass
class Variables:
    """Every decision of a day, and sums over them.

    Attributes:
        told_apart: Points whose power boards are told apart; None for all.
        at: Units of a demand at a point, whichever way they get there.
        straight: Units of a demand plugged straight into a point.
        boarded: Units of a demand on the n-th power board lying at a point.
        board_of: Whether the n-th power board at a point is of a kind; at a stacked point, how many
            of a kind lie there.
        seated: Units at a stacked point that sit on its power boards instead of in a socket.
        remote: Units of a demand on the n-th power board that stands at their place, on a lead.
        remote_of: Whether the n-th board at a place, fed from a point, is of a kind; from a stacked
            point, how many of a kind are fed.
        spread: Units of a demand on points of one exposure.
        left_out: Units of a head's demand that stay dark.
        off: Whether a load that may be off is switched off.
        lead_flow: Leads of one kind serving one class of runs in a set-up.
        box_at: Boxes of a kind standing at an outlet in a set-up.
    """

    facts: Facts
    relaxed: Relaxations
    told_apart: frozenset[str] | None = None
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    options: dict[Demand, tuple[Candidate, ...]] = field(default_factory=dict)
    at: dict[tuple[Demand, str], cp_model.IntVar] = field(default_factory=dict)
    straight: dict[tuple[Demand, str], cp_model.IntVar] = field(default_factory=dict)
    boarded: dict[tuple[Demand, str, int], cp_model.IntVar] = field(default_factory=dict)
    board_of: dict[tuple[str, str, int, int], cp_model.IntVar] = field(default_factory=dict)
    seated: dict[tuple[str, str], cp_model.IntVar] = field(default_factory=dict)
    remote: dict[tuple[Demand, str, int], cp_model.IntVar] = field(default_factory=dict)
    remote_of: dict[RemoteBoard, cp_model.IntVar] = field(default_factory=dict)
    spread: dict[tuple[Demand, Exposure], cp_model.IntVar] = field(default_factory=dict)
    left_out: dict[Demand, cp_model.IntVar] = field(default_factory=dict)
    off: dict[tuple[str, str], cp_model.IntVar] = field(default_factory=dict)
    lead_flow: dict[tuple[str, tuple[int, ...], int], cp_model.IntVar] = field(default_factory=dict)
    box_at: dict[tuple[str, str, str], cp_model.IntVar] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        facts: Facts,
        relaxed: Relaxations | None = None,
        told_apart: frozenset[str] | None = None,
        options: Mapping[Demand, tuple[Candidate, ...]] | None = None,
    ) -> "Variables":
        """Create the decisions for a whole day.

        Args:
            facts: The job, worked out.
            relaxed: What may be given up.
            told_apart: Points whose power boards are told apart from the start; None for all.
            options: What each plugged-in demand may use; everything it can when None.
        """
        made = cls(facts, relaxed or Relaxations(), told_apart)
        options = all_candidates(facts) if options is None else options
        for asked in facts.demands.values():
            for demand in asked:
                made._add_demand(demand, options.get(demand, ()))
        return made

    # Sentences about the decisions.

    def setups(self) -> tuple[str, ...]:
        """Return the set-up ids in the order of the day."""
        return tuple(self.facts.demands)

    def plugged(self, setup_id: str) -> tuple[Demand, ...]:
        """Return the demands of a set-up that need a socket."""
        return tuple(d for d in self.facts.demands[setup_id] if d.circuit is None)

    def wired(self, setup_id: str) -> tuple[Demand, ...]:
        """Return the hard-wired demands of a set-up."""
        return tuple(d for d in self.facts.demands[setup_id] if d.circuit is not None)

    def units_at(self, demand: Demand, point_id: str) -> Linear:
        """Return how many units of a demand are at a point, straight or on power boards."""
        return self.at.get((demand, point_id), 0)

    def is_off(self, demand: Demand) -> Linear:
        """Return 1 when a demand is switched off by the plan, else 0."""
        return self.off.get((demand.setup, demand.load), 0)

    def board_count(self, point_id: str) -> int:
        """Return how many power boards a point may hold."""
        if not self.facts.boards:
            return 0
        return 1 if point_id in self.stacked else self.facts.points[point_id].sockets

    def tier(self, point_id: str, nth: int) -> int:
        """Return the tier of the n-th board on a lead from a point."""
        return nth // self.facts.points[point_id].sockets

    def on_remote(self, demand: Demand, point_id: str) -> list[cp_model.IntVar]:
        """Return the units of a demand on each board at their place that a point feeds."""
        return self._remote_at.get((demand, point_id), [])

    @cached_property
    def _remote_at(self) -> dict[tuple[Demand, str], list[cp_model.IntVar]]:
        found: dict[tuple[Demand, str], list[cp_model.IntVar]] = defaultdict(list)
        for (demand, point_id, _), units in self.remote.items():
            found[demand, point_id].append(units)
        return dict(found)

    def upper(self, variable: cp_model.IntVar) -> int:
        """Return the largest value a decision can take."""
        index = variable.index
        if index not in self._upper:
            self._upper[index] = int(list(self.model.proto.variables[index].domain)[-1])
        return self._upper[index]

    @cached_property
    def _upper(self) -> dict[int, int]:
        return {}

    @cached_property
    def stakes(self) -> "dict[str, tuple[Stake, ...]]":
        """What is on in each set-up that was asked for (``devices.stakes``)."""
        return {}

    @cached_property
    def stacked(self) -> frozenset[str]:
        """Points where power boards are counted, not told apart.

        Which unit sits on which board is found afterwards, as packing; the search tells apart the
        boards of a point where that fails. Only points where every unit may be straight or on any
        board, on the same leads, can be stacked.
        """
        if self.told_apart is None:
            return frozenset()
        mixed = {
            option.point.id
            for options in self.options.values()
            for option in options
            if not _is_alike(option, len(self.facts.boards))
        }
        return frozenset(self.facts.points) - mixed - self.told_apart

    # Making them.

    def _add_demand(self, demand: Demand, options: tuple[Candidate, ...]) -> None:
        if demand.may_be_off and (demand.setup, demand.load) not in self.off:
            name = f"{demand.load} off in {demand.setup}"
            self.off[demand.setup, demand.load] = self.model.new_bool_var(name)
        if demand.circuit is not None:
            return
        self.options[demand] = options
        may_stay_away = self.relaxed.loads_may_be_left_out or self.facts.loads[demand.load].is_head
        if self.relaxed.heads_may_be_left_out and may_stay_away:
            name = f"{demand.load} left out of {demand.setup}"
            self.left_out[demand] = self.model.new_int_var(0, demand.count, name)
        for option in options:
            self._add_option(option)
        self._add_spread(demand, options)

    def _add_option(self, option: Candidate) -> None:
        """Count the units at a point, no more than its sockets could ever take."""
        demand, point = option.demand, option.point
        is_single = not option.can_board and not option.remote
        ways = 1 if is_single else max(board.ways for board in self.facts.boards)
        most = min(demand.count, point.sockets * ways)
        said = f"{demand.load} of {demand.place or 'anywhere'} in {demand.setup} at {point.id}"
        self.at[demand, point.id] = self.model.new_int_var(0, most, said)

    def _add_spread(self, demand: Demand, options: tuple[Candidate, ...]) -> None:
        """Count units per exposure once, so that every limit above the outlet stays short.

        Of an exposure that only one point has, the units there are counted already.
        """
        by_exposure: dict[Exposure, list[Point]] = defaultdict(list)
        for option in options:
            by_exposure[option.point.exposure].append(option.point)
        for exposure, points in by_exposure.items():
            if len(points) == 1:
                self.spread[demand, exposure] = self.at[demand, points[0].id]
                continue
            there = total(self.units_at(demand, point.id) for point in points)
            names = "/".join(sorted(circuit for circuit, _ in exposure.circuits))
            count = self.model.new_int_var(0, demand.count, f"{demand} on {names}")
            self.model.add(count == there)
            self.spread[demand, exposure] = count


def _is_alike(option: Candidate, kinds: int) -> bool:
    """Whether a unit may be straight or on any kind of board at a point, on the same leads."""
    tiers = Counter(run.tier for run in option.remote)
    return (
        len(option.runs) == 1 + kinds
        and option.can_board
        and len({run.leads for run in option.runs}) == 1
        and all(count == kinds for count in tiers.values())
    )
