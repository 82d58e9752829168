"""Offers: packages of the least change that make a list fit, each solved again and judged.

The priced model finds the cheapest package; its kind is then forbidden to find the next one, so
that no two offers are shades of one. A last package brings the set-ups in trouble down to the
comfort mark, if none so far does.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property, partial

from spreadload import practice
from spreadload.changes import Change, ChangeKind, Cost, total_cost
from spreadload.changes.edits import without_load
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.derived.records import Point
from spreadload.job.job import Job
from spreadload.job.preferences import Goal
from spreadload.plan import Plan, Usage, Verdict
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import Clock, SolverConfig
from spreadload.solver.model.feasible import Fits, fits, hold_margins, last_resort_units
from spreadload.solver.model.variables import Relaxations, Variables, evaluate, total
from spreadload.solver.search.ranked_plans import Request, Wish, find_one
from spreadload.solver.volts.cuts import reason_in_volts
from spreadload.solver.volts.loop import VoltsLoop
from spreadload.solver.what_if.cheapest import cheapest_package
from spreadload.solver.what_if.menu import Menu
from spreadload.solver.what_if.other_times import other_orders, other_times
from spreadload.solver.what_if.package import (
    apply,
    as_planned,
    kinds_of,
    last_resort_heads,
    read_package,
)
from spreadload.solver.what_if.priced import Priced
from spreadload.solver.why_not.volts_conflict import volts_conflict
from spreadload.units import FULL_PCT

_GOALS = (Goal.KEEP_HOUSE_ON, Goal.LAST_RESORT, Goal.TIGHTEST, Goal.DISCHARGE_APART)
_NEAREST = (Goal.KEEP_HEADS, Goal.KEEP_HOUSE_ON, Goal.TIGHTEST)
_WANTED = 3
_TRIES = 8
_LEAST_S = 0.5
# What each step may take of the time left: whether a set-up fits, in amps and in volts; what could
# be done at another time, and in another order; the plan of one set-up of an offer.
_FITS_SHARE, _VOLTS_SHARE = 0.1, 0.2
_TIMES_SHARE, _ORDERS_SHARE = 0.2, 0.4
_PLAN_SHARE = 0.25


@dataclass(frozen=True)
class Offer:
    """One package with the plan it makes possible.

    Attributes:
        changes: What to do differently, dearest first.
        cost: What all of it costs.
        job: The job with the changes made.
        plan: A plan of the whole day.
        verdict: What the judge says of it.
        fullest: The fullest device in the set-ups that were in trouble.
        is_proven: Whether it is proved that no package of another kind costs less.
        target_pct: Most per cent that was allowed in the set-ups in trouble.
    """

    changes: tuple[Change, ...]
    cost: Cost
    job: Job
    plan: Plan
    verdict: Verdict
    fullest: Usage | None
    is_proven: bool
    target_pct: int

    @cached_property
    def points(self) -> dict[str, Point]:
        """Where plugs can go once the changes are made."""
        return Facts.of(self.job).points

    def used_pct(self, in_trouble: tuple[str, ...]) -> int:
        """Return the most used of a device or the contract, in the set-ups that were in trouble."""
        contract = (u.used_pct for u in self.verdict.contract if u.setup in in_trouble)
        return max((self.fullest.used_pct if self.fullest else 0, *contract))


@dataclass(frozen=True)
class Offers:
    """What was found for a job.

    Attributes:
        target_pct: Most per cent allowed.
        in_trouble: Set-ups that do not fit as asked, or not under the target.
        unsure: Set-ups of which it is not decided whether they fit.
        offers: Cheapest first; one that reaches the comfort mark comes last.
        fullest: Fullest device of the plan as asked, when it fits.
        as_asked: That plan, with what may be off switched off where it has to be.
        is_complete: Whether it is proved that there are no further kinds of package.
        reasons: What the load flow says where breakers alone would say yes.
    """

    target_pct: int
    in_trouble: tuple[str, ...]
    unsure: tuple[str, ...] = ()
    offers: tuple[Offer, ...] = ()
    fullest: Usage | None = None
    as_asked: Plan | None = None
    is_complete: bool = False
    reasons: tuple[str, ...] = ()


def find_offers(
    job: Job,
    config: SolverConfig | None = None,
    *,
    margin_pct: int | None = None,
    wanted: int = _WANTED,
) -> Offers:
    """Return the cheapest packages of changes that make a job fit, each of another kind.

    Args:
        job: A checked job.
        config: Time limit for everything together, and seed.
        margin_pct: Most per cent that any device may carry; 100, with one more offer that reaches
            the comfort mark, when not given.
        wanted: How many kinds of package to look for.
    """
    return _Search(job, config or SolverConfig(), margin_pct).run(wanted)


@dataclass
class _Search:
    job: Job
    config: SolverConfig
    margin_pct: int | None
    base: Facts = field(init=False)
    clock: Clock = field(init=False)
    as_asked: dict[str, Plan | None] = field(default_factory=dict)
    reasons: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.base = Facts.of(self.job)
        self._judge = Judge(self.base)
        self.clock = Clock(self.config.time_limit_s)

    def run(self, wanted: int) -> Offers:
        target = self.margin_pct or FULL_PCT
        state = {s: self._fits(s, target) for s in self.base.demands}
        trouble = tuple(s for s, fit in state.items() if fit is not Fits.YES)
        unsure = tuple(s for s, fit in state.items() if fit is Fits.UNSURE)
        if not trouble:
            plan = self._plan_as_asked()
            fullest = None if plan is None else self._fullest_of(plan)
            return Offers(target, (), fullest=fullest, as_asked=plan, is_complete=True)
        found, complete = self._packages(trouble, target, wanted)
        found += self._orders(trouble, target)
        found.sort(key=lambda offer: offer.cost.price)
        found = found[:wanted]
        if self.margin_pct is None:
            found += self._comfort(trouble, found)
        ranked = tuple(found)
        return Offers(
            target, trouble, unsure, ranked, is_complete=complete, reasons=tuple(self.reasons)
        )

    def _fits(self, setup: str, target_pct: int) -> Fits:
        margins = {setup: target_pct}
        limit_s = self._share(_FITS_SHARE)
        only = self.base.only([setup])
        fit = fits(
            only,
            limit_s,
            margins_pct=margins,
            is_clean=True,
            is_all_on=self.margin_pct is not None,
            seed=self.config.seed,
        )
        if fit is not Fits.YES or not self._judge.house.service.may_refuse:
            return fit
        return self._fits_on_volts(only, setup, target_pct)

    def _fits_on_volts(self, only: Facts, setup: str, target_pct: int) -> Fits:
        """Return whether the load flow accepts any split, and keep in words why it does not."""
        if volts_conflict(only, setup) is not None:
            return Fits.NO
        judge, clock = Judge(only), Clock(self._share(_VOLTS_SHARE))
        wishes = (
            partial(hold_margins, margins_pct={setup: target_pct}),
            _clean,
            *((_all_on,) if self.margin_pct is not None else ()),
        )
        request = Request(goals=(Goal.KEEP_HEADS,), wishes=wishes)
        best, found = find_one(only, judge, self.config, clock, request)
        if best is not None:
            return Fits.YES
        overload = Request(relaxed=Relaxations(breakers_may_overload=True), goals=_NEAREST)
        nearest, _ = find_one(only, judge, self.config, Clock(self._share(_FITS_SHARE)), overload)
        said = reason_in_volts(nearest[1]) if nearest is not None else None
        if said is not None:
            self.reasons.append(said)
        return Fits.NO if found is Found.NONE_EXISTS else Fits.UNSURE

    def _comfort(self, trouble: tuple[str, ...], found: list[Offer]) -> list[Offer]:
        stated = self.job.rules.comfort_pct
        mark = stated or practice.region(self.job.region).comfort_pct.value
        comfort = int(mark) + 1  # a habit, not a limit, and shares are rounded up
        if any(o.fullest is not None and o.fullest.used_pct <= comfort for o in found):
            return []
        least = min((o.used_pct(trouble) for o in found), default=FULL_PCT + 1)
        # A contract as full as before leaves no more comfort, however empty the circuits.
        roomier = self._packages(trouble, comfort, 1)[0]
        return [offer for offer in roomier if offer.used_pct(trouble) < least]

    def _packages(
        self, trouble: tuple[str, ...], target: int, wanted: int
    ) -> tuple[list[Offer], bool]:
        """Return packages of unlike kinds, and whether it is proved that there are no more."""
        margins = dict.fromkeys(trouble, target)
        times = other_times(self.base, trouble, self._share(_TIMES_SHARE), self.config.seed)
        menu = replace(Menu.of(self.base, trouble, with_works=True), times=times)
        full = Priced.of(menu, margins, with_works=True)
        loop = VoltsLoop.of(full.menu.wide, full.menu.first_extra_lead)
        narrow = None
        if not loop.has_readings:
            only = self.base.only(trouble)
            narrow = Priced.of(Menu(self.base, only, trouble, times=times), margins)
        found: list[Offer] = []
        tries = _TRIES
        while tries and len(found) < wanted and self.clock.left_s > 0:
            cheapest = cheapest_package(narrow, full, self.clock, self.config.seed)
            if cheapest is None or not cheapest.values:
                return found, cheapest is not None and loop.can_prove
            if loop.has_readings and loop.refuses(full.v, cheapest.values):
                self.config.progress("volts are short: trying another package")
                continue
            tries -= 1
            value = partial(evaluate, values=cheapest.values)
            changes = read_package(cheapest.priced, value)
            is_proven = cheapest.is_proven and loop.can_prove
            spare = last_resort_heads(cheapest.priced, value)
            held = self._offer(changes, trouble, target, spare, is_proven=is_proven)
            if held is not None:
                found.append(held)
                self.config.progress(f"found: {'; '.join(c.words for c in changes)}")
            for priced in filter(None, (narrow, full)):
                priced.forbid_kinds(kinds_of(changes))
        return found, False

    def _orders(self, trouble: tuple[str, ...], target: int) -> list[Offer]:
        """Return the cheapest offer of another order of the day, where the job has leave for it."""
        orders = other_orders(self.base, trouble, self._share(_ORDERS_SHARE), self.config.seed)
        for change in orders.changes():
            held = self._offer((change,), trouble, target, {}, is_proven=orders.is_complete)
            if held is not None:
                return [held]
        return []

    def _offer(
        self,
        changes: tuple[Change, ...],
        trouble: tuple[str, ...],
        target: int,
        spare: dict[str, int],
        *,
        is_proven: bool,
    ) -> Offer | None:
        """Return a package solved again and judged, or None when it does not hold after all.

        Args:
            changes: What to do differently.
            trouble: Set-ups that do not fit as asked.
            target: Most per cent in these.
            spare: Heads that the package puts on last-resort outlets, by set-up; no plan puts more
                there than the offer says.
            is_proven: Whether no cheaper package of other kinds exists.
        """
        if not changes or not self._turns_hold(changes):
            return None
        job = apply(self.job, changes)
        facts = Facts.of(job)
        judge = Judge(facts)
        parts: list[Plan] = []
        for setup in facts.demands:
            part = self._part(facts, setup, target if setup in trouble else None, spare.get(setup))
            if part is None:
                return None
            parts.append(part)
        plan = Plan.joined(parts)
        verdict = judge.judge(plan)
        if not verdict.holds:
            return None
        fullest = _fullest(verdict.usages, trouble)
        if fullest is not None and fullest.used_pct > target:
            return None
        changes = as_planned(job, changes, plan, trouble)
        cost = total_cost(change.cost for change in changes)
        return Offer(changes, cost, job, plan, verdict, fullest, is_proven, target)

    def _part(
        self, facts: Facts, setup: str, target_pct: int | None, spare: int | None
    ) -> Plan | None:
        """Return the roomiest plan of one set-up; what no change touches is planned once."""
        only = facts.only([setup])
        if target_pct is None:
            plan = self._asked_part(setup)
            if plan is not None and Judge(only).judge(plan).holds:
                return plan
        return self._roomiest(only, {setup: target_pct or FULL_PCT}, spare)

    def _asked_part(self, setup: str) -> Plan | None:
        if setup not in self.as_asked:
            self.as_asked[setup] = self._roomiest(self.base.only([setup]), {})
        return self.as_asked[setup]

    def _roomiest(
        self, only: Facts, margins_pct: dict[str, int], spare: int | None = None
    ) -> Plan | None:
        clock = Clock(self._share(_PLAN_SHARE))
        wishes: list[Wish] = [partial(hold_margins, margins_pct=margins_pct)]
        if spare is not None:
            wishes.append(partial(_keep_to_last_resort, most=spare))
        request = Request(goals=_GOALS, wishes=tuple(wishes))
        best, _ = find_one(only, Judge(only), self.config, clock, request)
        return None if best is None else best[0]

    def _turns_hold(self, changes: tuple[Change, ...]) -> bool:
        """Whether the smaller of two that take turns can run as well while the larger is off."""
        job = apply(self.job, tuple(c for c in changes if c.kind is not ChangeKind.TURNS))
        for change in changes:
            if change.kind is ChangeKind.TURNS:
                alone = without_load(job, change.setup, change.partner)
                other = Facts.of(alone).only([change.setup])
                if fits(other, self._share(_FITS_SHARE), seed=self.config.seed) is not Fits.YES:
                    return False
        return True

    def _plan_as_asked(self) -> Plan | None:
        parts = [self._asked_part(setup) for setup in self.base.demands]
        known = [part for part in parts if part is not None]
        return Plan.joined(known) if len(known) == len(parts) else None

    def _fullest_of(self, plan: Plan) -> Usage | None:
        verdict = Judge(self.base).judge(plan)
        # No margin is kept on a contract, which no plug moved eases.
        contract = verdict.contract if self.margin_pct is None else ()
        return _fullest((*verdict.usages, *contract), tuple(self.base.demands))

    def _share(self, share: float) -> float:
        return max(self.clock.left_s * share, _LEAST_S)


def _clean(v: Variables) -> None:
    """Keep heads off last-resort outlets."""
    v.model.add(total(last_resort_units(v)) == 0)


def _keep_to_last_resort(v: Variables, *, most: int) -> None:
    """Put no more heads on last-resort outlets than so many."""
    v.model.add(total(last_resort_units(v)) <= most)


def _all_on(v: Variables) -> None:
    """Switch nothing off, not even what may be off."""
    v.model.add(total(v.off.values()) == 0)


def _fullest(limits: Iterable[Usage], setups: tuple[str, ...]) -> Usage | None:
    there = (usage for usage in limits if usage.setup in setups and usage.takes_plugs)
    return max(there, key=lambda usage: usage.used_pct, default=None)
