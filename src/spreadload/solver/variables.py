"""The decisions, hidden behind names that read as sentences.

Identical units are counted, not told apart, and the sockets of one plate are not told apart either:
at a point, so many units are plugged in straight and so many sit on its first, second … power board.
That leaves no symmetry of heads or sockets for the solver to break.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from ortools.sat.python import cp_model

from spreadload.derived.asked import Demand
from spreadload.derived.facts import Facts
from spreadload.derived.records import Exposure, Point
from spreadload.solver.candidates import Candidate, candidates

Linear = cp_model.LinearExprT


def total(terms: Iterable[Linear]) -> Linear:
    """Return the sum of terms; 0 for none."""
    return cp_model.LinearExpr.sum(list(terms))


def weighted(terms: Iterable[tuple[int, Linear]]) -> Linear:
    """Return the sum of coefficient times term; 0 for none."""
    pairs = [(weight, term) for weight, term in terms if weight]
    return cp_model.LinearExpr.weighted_sum([t for _, t in pairs], [w for w, _ in pairs])


class RemoteBoard(NamedTuple):
    """The n-th power board of one kind at a place, on a lead from a point."""

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
        straight: Units of a demand plugged straight into a point.
        boarded: Units of a demand on the n-th power board lying at a point.
        board_of: Whether the n-th power board at a point is of a kind.
        remote: Units of a demand on the n-th power board that stands at their place, on a lead.
        remote_of: Whether the n-th board at a place, fed from a point, is of a kind.
        spread: Units of a demand on points of one exposure.
        left_out: Units of a head's demand that stay dark.
        off: Whether a load that may be off is switched off.
        lead_flow: Leads of one kind serving one class of runs in a set-up.
        box_at: Boxes of a kind standing at an outlet in a set-up.
    """

    facts: Facts
    relaxed: Relaxations
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    options: dict[Demand, tuple[Candidate, ...]] = field(default_factory=dict)
    straight: dict[tuple[Demand, str], cp_model.IntVar] = field(default_factory=dict)
    boarded: dict[tuple[Demand, str, int], cp_model.IntVar] = field(default_factory=dict)
    board_of: dict[tuple[str, str, int, int], cp_model.IntVar] = field(default_factory=dict)
    remote: dict[tuple[Demand, str, int], cp_model.IntVar] = field(default_factory=dict)
    remote_of: dict[RemoteBoard, cp_model.IntVar] = field(default_factory=dict)
    spread: dict[tuple[Demand, Exposure], Linear] = field(default_factory=dict)
    left_out: dict[Demand, cp_model.IntVar] = field(default_factory=dict)
    off: dict[tuple[str, str], cp_model.IntVar] = field(default_factory=dict)
    lead_flow: dict[tuple[str, tuple[int, ...], int], cp_model.IntVar] = field(default_factory=dict)
    box_at: dict[tuple[str, str, str], cp_model.IntVar] = field(default_factory=dict)

    @classmethod
    def of(cls, facts: Facts, relaxed: Relaxations | None = None) -> "Variables":
        """Create the decisions for a whole day."""
        made = cls(facts, relaxed or Relaxations())
        for setup_id, asked in facts.demands.items():
            for demand in asked:
                made._add_demand(demand)
            made._add_boards(setup_id)
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
        found: list[Linear] = []
        if (demand, point_id) in self.straight:
            found.append(self.straight[demand, point_id])
        found += [
            self.boarded[demand, point_id, nth]
            for nth in range(self.board_count(point_id))
            if (demand, point_id, nth) in self.boarded
        ]
        found += [
            self.remote[demand, point_id, nth]
            for nth in range(self.board_count(point_id))
            if (demand, point_id, nth) in self.remote
        ]
        return total(found)

    def is_off(self, demand: Demand) -> Linear:
        """Return 1 when a demand is switched off by the plan, else 0."""
        return self.off.get((demand.setup, demand.load), 0)

    def board_count(self, point_id: str) -> int:
        """Return how many power boards a point may hold."""
        return self.facts.points[point_id].sockets if self.facts.boards else 0

    # Making them.

    def _add_demand(self, demand: Demand) -> None:
        if demand.may_be_off and (demand.setup, demand.load) not in self.off:
            name = f"{demand.load} off in {demand.setup}"
            self.off[demand.setup, demand.load] = self.model.new_bool_var(name)
        if demand.circuit is not None:
            return
        options = candidates(self.facts, demand)
        self.options[demand] = options
        may_stay_away = self.relaxed.loads_may_be_left_out or self.facts.loads[demand.load].is_head
        if self.relaxed.heads_may_be_left_out and may_stay_away:
            name = f"{demand.load} left out of {demand.setup}"
            self.left_out[demand] = self.model.new_int_var(0, demand.count, name)
        for option in options:
            self._add_option(option)
            self._add_remote(option)
        self._add_spread(demand, options)

    def _add_option(self, option: Candidate) -> None:
        demand, point = option.demand, option.point
        said = f"{demand.load} of {demand.place or 'anywhere'} in {demand.setup} at {point.id}"
        kinds = {run.board for run in option.runs}
        if None in kinds:
            most = min(demand.count, point.sockets)
            self.straight[demand, point.id] = self.model.new_int_var(0, most, said)
        ratings = [(b.rating_ma, b.ways) for b in self.facts.boards if b.index in kinds]
        if not option.can_board:
            return
        most_ma = min(point.socket_ma, max(rating for rating, _ in ratings))
        fits = most_ma // option.unit_ma if option.unit_ma else demand.count
        most = min(demand.count, max(ways for _, ways in ratings), fits)
        for nth in range(self.board_count(point.id)):
            if most:
                variable = self.model.new_int_var(0, most, f"{said} on board {nth + 1}")
                self.boarded[demand, point.id, nth] = variable

    def _add_remote(self, option: Candidate) -> None:
        """Let units sit on power boards at their own place, each board on one lead."""
        demand, point = option.demand, option.point
        boards = [self.facts.boards[run.board or 0] for run in option.remote]
        if not boards or demand.place is None:
            return
        beside = [d for d in self.plugged(demand.setup) if d.place == demand.place]
        units_here = sum(d.count for d in beside)
        full_ma = min(point.socket_ma, max(board.rating_ma for board in boards))
        fits = full_ma // option.unit_ma if option.unit_ma else demand.count
        most = min(demand.count, max(board.ways for board in boards), fits)
        for nth in range(min(self.board_count(point.id), units_here // 2)):
            said = f"{demand.load} in {demand.setup} from {point.id}"
            name = f"{said} on board {nth + 1} at {demand.place}"
            self.remote[demand, point.id, nth] = self.model.new_int_var(0, most, name)
            for board in boards:
                key = RemoteBoard(demand.setup, point.id, demand.place, nth, board.index)
                if key not in self.remote_of:
                    said = f"board {nth + 1} at {demand.place} from {point.id} in {demand.setup}"
                    self.remote_of[key] = self.model.new_bool_var(f"{said} is a {board.name}")

    def _add_spread(self, demand: Demand, options: tuple[Candidate, ...]) -> None:
        """Count units per exposure once, so that every limit above the outlet stays short."""
        by_exposure: dict[Exposure, list[Point]] = defaultdict(list)
        for option in options:
            by_exposure[option.point.exposure].append(option.point)
        for exposure, points in by_exposure.items():
            there = total(self.units_at(demand, point.id) for point in points)
            names = "/".join(sorted(circuit for circuit, _ in exposure.circuits))
            count = self.model.new_int_var(0, demand.count, f"{demand} on {names}")
            self.model.add(count == there)
            self.spread[demand, exposure] = count

    def _add_boards(self, setup_id: str) -> None:
        used = {(p, n) for (d, p, n) in self.boarded if d.setup == setup_id}
        for point_id, nth in sorted(used):
            for board in self.facts.boards:
                name = f"board {nth + 1} at {point_id} in {setup_id} is a {board.name}"
                self.board_of[setup_id, point_id, nth, board.index] = self.model.new_bool_var(name)

