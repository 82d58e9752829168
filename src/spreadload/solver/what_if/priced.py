"""The priced model: every change on the menu has a price, and the cheapest package wins.

A unit of what is asked is placed as asked, or something is paid: for another head in its place,
for leaving it dark, for a battery or a generator, for moving or silencing a department, for leave
to use what is off limits, for leads to hire or an outlet to fit.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import ceil

from spreadload.changes import ChangeKind, Cost, price_of
from spreadload.derived.asked import Demand
from spreadload.job.kit import LoadKind, Policy
from spreadload.job.preferences import Goal
from spreadload.solver.engine.cp import cp_model
from spreadload.solver.model.feasible import hold_margins
from spreadload.solver.model.goals import GOALS
from spreadload.solver.model.rules import RULES
from spreadload.solver.model.run_rules import boards_in_use
from spreadload.solver.model.variables import Linear, Relaxations, Variables, total, weighted
from spreadload.solver.what_if.menu import Menu

PRICE_STEPS = 10  # prices are whole tenths
_VA_STEP = 100
_BATTERY_HEAD_W = 200


@dataclass(frozen=True)
class Option:
    """One decision that costs something.

    Attributes:
        kind: What sort of change it is.
        about: What it is about: ids, in an order that depends on the kind.
        amount: How many of it.
        each: What one costs.
    """

    kind: ChangeKind
    about: tuple[str, ...]
    amount: cp_model.IntVar
    each: Cost


@dataclass
class Priced:
    """One model over the set-ups in trouble.

    Attributes:
        options: Every priced decision.
        used: Per kind of change, whether the package has any of it.
        fullest_pct: Per cent used of the fullest device.
        hired_m: Whole metres of leads to hire.
        away: Units of a demand that are not placed as asked, and are paid for.
    """

    menu: Menu
    v: Variables
    options: list[Option] = field(default_factory=list)
    used: dict[ChangeKind, cp_model.IntVar] = field(default_factory=dict)
    fullest_pct: Linear = 0
    hired_m: Linear = 0
    away: dict[Demand, list[Linear]] = field(default_factory=lambda: defaultdict(list))

    @classmethod
    def of(
        cls, menu: Menu, margins_pct: Mapping[str, int], *, with_works: bool = False
    ) -> "Priced":
        """Build the model with every hard rule.

        Args:
            menu: What could be done.
            margins_pct: Most per cent that any device may carry, per set-up.
            with_works: Whether a generator may be hired and an outlet be fitted.
        """
        relaxed = Relaxations(heads_may_be_left_out=True, loads_may_be_left_out=True)
        v = Variables.of(menu.wide, relaxed)
        for rule in RULES:
            rule(v)
        hold_margins(v, margins_pct)
        made = cls(menu, v)
        made._price_heads()
        made._price_loads()
        made._price_points()
        made._price_leads()
        made._price_boards()
        if with_works:
            made._price_generator()
        made._account()
        made._count_kinds()
        made.fullest_pct = GOALS[Goal.TIGHTEST](v)
        return made

    @property
    def price(self) -> Linear:
        """Price of the package in whole tenths."""
        return weighted((step_price(o.each), o.amount) for o in self.options)

    def forbid_kinds(self, kinds: Iterable[ChangeKind]) -> None:
        """Ask for a package that lacks at least one of these kinds of change."""
        # A kind this menu does not have cannot be in any of its packages.
        wanted = tuple(kinds)
        used = [self.used[kind] for kind in wanted if kind in self.used]
        if len(used) < len(wanted):
            return
        self.v.model.add(total(used) <= len(used) - 1)

    def _new(self, most: int, name: str) -> cp_model.IntVar:
        return self.v.model.new_int_var(0, most, name)

    def _offer(self, kind: ChangeKind, about: tuple[str, ...], most: int, each: Cost) -> Option:
        amount = self._new(most, f"{kind.value} {' '.join(about)}")
        option = Option(kind, about, amount, each)
        self.options.append(option)
        return option

    def _as_asked(self) -> list[Demand]:
        """Return the plugged-in demands of the job as asked."""
        return [
            demand
            for setup in self.menu.setups
            for demand in self.menu.base.demands[setup]
            if demand.circuit is None
        ]

    def _placed(self, demand: Demand) -> Linear:
        return demand.count - self.v.left_out[demand]

    def _price_heads(self) -> None:
        costs, base = self.menu.base.job.costs, self.menu.base
        for demand in self._as_asked():
            load = base.loads[demand.load]
            if not load.is_head:
                continue
            dark = price_of(
                costs, light_w=load.draw.power_w.likely, priority=load.priority, is_dark=True
            )
            about = (demand.setup, demand.load, demand.place or "")
            self._stay_away(demand, ChangeKind.DROP, about, dark)
            stated = base.job.heads[demand.load]
            if stated.kind is LoadKind.LED and load.power_w <= _BATTERY_HEAD_W:
                each = price_of(costs, money=costs.battery, minutes=costs.battery_min)
                self._stay_away(demand, ChangeKind.BATTERY, about, each)
        self._price_stand_ins()

    def _stay_away(
        self, demand: Demand, kind: ChangeKind, about: tuple[str, ...], each: Cost
    ) -> Option:
        option = self._offer(kind, about, demand.count, each)
        self.away[demand].append(option.amount)
        return option

    def _price_stand_ins(self) -> None:
        """A stand-in is hired and fitted once for the day and loses light where it is used."""
        costs, base = self.menu.base.job.costs, self.menu.base
        from_stock: dict[str, list[Linear]] = defaultdict(list)
        for name, instead in self.menu.instead.items():
            kind = ChangeKind.BALLAST if instead.is_same_light else ChangeKind.SWAP
            minutes = costs.ballast_min if instead.is_same_light else costs.swap_min
            money = costs.ballast if instead.stock is None else 0.0
            money = money if instead.is_same_light else costs.swap
            owned = base.job.heads[instead.head].count
            each = price_of(costs, money=money, minutes=minutes)
            fitted = self._offer(kind, ("fit", name), owned, each)
            lost_w = base.loads[instead.head].draw.power_w.likely
            lost_w -= self.menu.wide.loads[name].draw.power_w.likely
            priority = base.loads[instead.head].priority
            light = (
                Cost()
                if instead.is_same_light
                else price_of(costs, light_w=lost_w, priority=priority)
            )
            for setup in self.menu.setups:
                here = [d for d in self.v.plugged(setup) if d.load == name]
                for demand in here:
                    about = ("use", name, setup, demand.place or "")
                    used = self._offer(kind, about, demand.count, light)
                    self.v.model.add(used.amount == self._placed(demand))
                    self.away[self._asked(setup, instead.head, demand.place)].append(used.amount)
                self.v.model.add(total(self._placed(d) for d in here) <= fitted.amount)
            if instead.stock is not None:
                from_stock[instead.stock].append(fitted.amount)
        for stock_id, amounts in from_stock.items():
            self.v.model.add(total(amounts) <= base.job.stock[stock_id].count)

    def _asked(self, setup: str, load: str, place: str | None) -> Demand:
        return next(d for d in self.menu.base.demands[setup] if d.load == load and d.place == place)

    def _price_loads(self) -> None:
        costs, base = self.menu.base.job.costs, self.menu.base
        on_battery: dict[str, list[Linear]] = defaultdict(list)
        for demand in self._as_asked():
            load, stated = base.loads[demand.load], base.job.departments.get(demand.load)
            if stated is None:
                continue
            about = (demand.setup, demand.load)
            if stated.policy is not Policy.MUST_STAY_ON and not demand.may_be_off:
                each = price_of(costs, minutes=costs.off_min / demand.count)
                self._stay_away(demand, ChangeKind.OFF, about, each)
                if partner := self._partner(demand):
                    self._all_away(demand, ChangeKind.TURNS, (*about, partner), costs.turns_min)
            if target := self.menu.times.get(about):
                self._all_away(demand, ChangeKind.TIME, (*about, target), costs.retime_min)
            watts = load.power_w * demand.count
            if stated.kind is LoadKind.ELECTRONICS and watts <= costs.battery_max_w:
                gone = self._new(1, f"{demand.load} on battery in {demand.setup}")
                self.away[demand].append(demand.count * gone)
                on_battery[demand.load].append(gone)
        for load_id, uses in on_battery.items():
            each = price_of(costs, money=costs.battery, minutes=costs.battery_min)
            hired = self._offer(ChangeKind.BATTERY, ("load", load_id), 1, each)
            for gone in uses:
                self.v.model.add(gone == hired.amount)
        self._price_moves()

    def _price_moves(self) -> None:
        costs, base = self.menu.base.job.costs, self.menu.base
        for name, load_id in self.menu.moved.items():
            moved = self._offer(
                ChangeKind.MOVE, (load_id, name), 1, price_of(costs, minutes=costs.move_min)
            )
            for setup in self.menu.setups:
                for demand in (d for d in self.v.plugged(setup) if d.load == name):
                    place = base.job.departments[load_id].place
                    self.v.model.add(self._placed(demand) <= demand.count * moved.amount)
                    self.away[self._asked(setup, load_id, place)].append(self._placed(demand))

    def _all_away(
        self, demand: Demand, kind: ChangeKind, about: tuple[str, ...], minutes: float
    ) -> None:
        each = price_of(self.menu.base.job.costs, minutes=minutes)
        gone = self._offer(kind, about, 1, each)
        self.away[demand].append(demand.count * gone.amount)

    def _partner(self, demand: Demand) -> str | None:
        """Return a larger heat-maker on in the same set-up that could take turns with this one."""
        base = self.menu.base

        def is_brief(load_id: str) -> bool:
            stated = base.job.departments.get(load_id)
            return stated is not None and stated.intermittent

        def rank(each: Demand) -> tuple[int, str]:
            return base.unit_ma(each.load, 1) * each.count, each.load

        others = [
            d
            for d in base.demands[demand.setup]
            if d.circuit is None and is_brief(d.load) and rank(d) > rank(demand)
        ]
        return max(others, key=rank).load if others and is_brief(demand.load) else None

    def _price_points(self) -> None:
        costs, model = self.menu.base.job.costs, self.v.model
        gates: dict[tuple[str, str], list[tuple[int, Linear]]] = defaultdict(list)
        for demand, options in self.v.options.items():
            for option in options:
                point, units = option.point, self.v.units_at(demand, option.point.id)
                if point.id in self.menu.gated:
                    if not self.menu.base.is_fixed_at(demand.load, point.outlet):
                        gates[self.menu.gated[point.id]].append((demand.count, units))
                elif point.outlet in self.menu.new_outlets:
                    gates["fit", point.outlet].append((demand.count, units))
        for gate, uses in gates.items():
            if gate[0] == "fit":
                each = price_of(costs, money=costs.electrician, minutes=costs.electrician_min)
                kind = ChangeKind.OUTLET
            else:
                each = price_of(costs, minutes=costs.leave_min)
                kind = ChangeKind.LEAVE
            opened = self._offer(kind, gate, 1, each)
            for count, units in uses:
                model.add(units <= count * opened.amount)
        self._price_last_resort()

    def _price_last_resort(self) -> None:
        costs = self.menu.base.job.costs
        by_circuit: dict[str, list[Linear]] = defaultdict(list)
        for demand, options in self.v.options.items():
            if not self.v.facts.loads[demand.load].is_head:
                continue
            for option in options:
                if option.point.is_last_resort and option.point.id not in self.menu.gated:
                    name = "/".join(sorted(option.point.exposure.might_be_on))
                    by_circuit[name].append(self.v.units_at(demand, option.point.id))
        each = price_of(costs, minutes=costs.last_resort_min)
        for name, units in by_circuit.items():
            most = sum(d.count for d in self.v.options)
            used = self._offer(ChangeKind.LAST_RESORT, (name,), most, each)
            self.v.model.add(used.amount == total(units))

    def _price_leads(self) -> None:
        costs = self.menu.base.job.costs
        each = price_of(costs, money=costs.lead, minutes=costs.lead_min)
        for lead in self.menu.wide.leads[self.menu.first_extra_lead :]:
            hired = self._offer(ChangeKind.LEADS, (str(lead.index),), lead.count, each)
            self.hired_m = self.hired_m + ceil(lead.length_m) * hired.amount
            for setup in self.menu.setups:
                flows = [
                    flow
                    for (s, _, index), flow in self.v.lead_flow.items()
                    if (s, index) == (setup, lead.index)
                ]
                self.v.model.add(total(flows) <= hired.amount)

    def _price_boards(self) -> None:
        board = self.menu.extra_board
        if board is None:
            return
        costs = self.menu.base.job.costs
        each = price_of(costs, money=costs.lead, minutes=costs.lead_min)
        hired = self._offer(ChangeKind.LEADS, ("board",), board.count, each)
        for (_, index), kinds in boards_in_use(self.v).items():
            if index == len(self.menu.base.boards):
                self.v.model.add(total(kinds) <= hired.amount)

    def _price_generator(self) -> None:
        """One small generator, of a size that runs what it is given in every set-up."""
        costs, base = self.menu.base.job.costs, self.menu.base
        loads: dict[str, list[tuple[int, Linear]]] = defaultdict(list)
        for demand in self._as_asked():
            load = base.loads[demand.load]
            if load.is_head:
                va = ceil(base.unit_ma(demand.load, 1) * base.supply.planning_v / 1000)
                about = ("head", demand.setup, demand.load, demand.place or "")
                gone = self._stay_away(demand, ChangeKind.GENERATOR, about, Cost())
                loads[demand.setup].append((ceil(va / _VA_STEP), gone.amount))
        most = max((sum(va for va, _ in each) * 100 for each in loads.values()), default=0)
        per_step = price_of(costs, money=costs.generator_per_kva * _VA_STEP / 1000)
        size = self._offer(ChangeKind.GENERATOR, ("size",), most, per_step)
        each = price_of(costs, money=costs.generator, minutes=costs.generator_min)
        hired = self._offer(ChangeKind.GENERATOR, ("hire",), 1, each)
        for uses in loads.values():
            self.v.model.add(weighted(uses) <= size.amount)
            for _, units in uses:
                self.v.model.add(units <= 1000 * hired.amount)

    def _account(self) -> None:
        """Whatever is not placed as asked is paid for; what may be off is off by agreement."""
        costs = self.menu.base.job.costs
        for demand in self._as_asked():
            self.v.model.add(self.v.left_out[demand] == total(self.away[demand]))
        each = price_of(costs, minutes=costs.agreed_off_min)
        for (setup, load), off in self.v.off.items():
            if load not in self.menu.unasked:
                option = self._offer(ChangeKind.AGREED_OFF, (setup, load), 1, each)
                self.v.model.add(option.amount == off)
        self._price_asking()

    def _price_asking(self) -> None:
        """The owner is asked once whether a load of the house may be kept off."""
        costs = self.menu.base.job.costs
        for load in sorted(self.menu.unasked):
            each = price_of(costs, minutes=costs.leave_min)
            asked = self._offer(ChangeKind.ASKED_OFF, (load,), 1, each)
            for (_, other), off in self.v.off.items():
                if other == load:
                    self.v.model.add(off <= asked.amount)

    def _count_kinds(self) -> None:
        by_kind: dict[ChangeKind, list[cp_model.IntVar]] = defaultdict(list)
        for option in self.options:
            by_kind[option.kind].append(option.amount)
        for kind, amounts in by_kind.items():
            used = self.v.model.new_bool_var(f"any {kind.value}")
            self.used[kind] = used
            for amount in amounts:
                self.v.model.add(amount <= self.v.upper(amount) * used)
            self.v.model.add(total(amounts) >= used)


def step_price(cost: Cost) -> int:
    """Return a price in whole tenths, rounded up."""
    return ceil(round(cost.price * PRICE_STEPS, 6))
