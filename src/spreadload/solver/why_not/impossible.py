"""Why not: the smallest set of stated limits and wishes of a set-up that cannot all hold.

A deletion filter with plain solves: whole sorts of requirement are given up first, then one at a
time, those that are hardest to explain before the rest; what cannot be given up without the rest
becoming possible stays. Sums are put into the headline, because they need no solver to be believed.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby

from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Conflict, Member
from spreadload.solver.engine.limits import SLOWER, Clock, SolverConfig
from spreadload.solver.model.candidates import candidates
from spreadload.solver.model.feasible import Fits, fits
from spreadload.solver.why_not.lead_remedy import lead_remedy
from spreadload.solver.why_not.one_circuit import Crowded, crowded_circuit
from spreadload.solver.why_not.requirement import Requirement, Sort
from spreadload.solver.why_not.requirements import requirements
from spreadload.solver.why_not.sums import Kind, leakage_over, sums_over
from spreadload.solver.why_not.volts_conflict import volts_conflict
from spreadload.units import MILLI, shown_amps, shown_capacity_amps
from spreadload.words import called, labelled, row, setup_name

REMEDIES: dict[Kind, str] = {
    "arithmetic": "less must be on at once: a thriftier head, a battery, something off, or power "
    "from elsewhere",
    "packing": "it would fit in total: split a large load into smaller ones, move what is fixed, "
    "or free a little on one circuit",
    "plug": "another plug or a smaller head: no outlet here takes this one",
    "reach": "longer leads, or the head nearer to an outlet",
    "volts": "heavier or shorter leads, or the head nearer to an outlet",
    "leakage": "fewer electronic loads behind one RCD, or some of them behind another",
}
_MORE_WAYS = (
    "power boards, listed under power_boards if they are on the van, or fewer plugs at once"
)
_RUN_OUT = "or the drums run out, which carry less while wound"
_ELSEWHERE = "or leads that reach an outlet elsewhere"
_THICKER = "or list the leads on the van: thin ones are assumed, and thicker ones may do"
# Work of one try, in the seconds it usually takes: by the wall clock a busy machine would keep more
# of what clashes than an idle one.
_EACH_S = 2.0
_UNPROVEN = "; an outlet of unproven circuit counts on every circuit it might be on"
_OBVIOUS = (Sort.LOAD, Sort.HEAD, Sort.CIRCUIT)
_MOST_NAMED = 3


def conflicts_of(facts: Facts, config: SolverConfig, limit_s: float) -> tuple[Conflict, ...]:
    """Return one minimal conflict for every set-up that cannot run.

    Args:
        facts: A job for which it is proved that no plan exists.
        config: Seed and progress.
        limit_s: Wall time for all set-ups together [s]. When it is over, what could not be tried
            stays a member that is not sure.
    """
    clock = Clock(limit_s)
    found = []
    for setup in facts.demands:
        fit = _tried(facts.only([setup]), config, clock)
        if fit is Fits.NO or (fit is Fits.UNSURE and any(sums_over(facts, setup))):
            config.progress(f"finding out why {setup_name(setup)} cannot run")
            found.append(conflict_of(facts, setup, config, clock))
        elif (short := volts_conflict(facts, setup)) is not None:
            found.append(short)
    return tuple(found)


def _tried(facts: Facts, config: SolverConfig, clock: Clock) -> Fits:
    limit_s = min(_EACH_S * SLOWER, clock.left_s)
    return fits(facts, limit_s, work_s=_EACH_S, seed=config.seed)


def conflict_of(facts: Facts, setup: str, config: SolverConfig, clock: Clock) -> Conflict:
    """Return a minimal conflict of one set-up that cannot run."""
    filtering = _Filter(facts, setup, config, clock)
    kept = filtering.run()
    left = facts.changed(filtering.job)
    is_cut_short = bool(filtering.unsure) and clock.left_s <= 0
    kind = _kind_in_short(facts, setup) if is_cut_short else _kind(facts, left, setup, kept)
    wishes = [r for r in kept if r.is_wish]
    limits = [r for r in kept if not r.is_wish]
    wishes.sort(key=lambda r: (r.sort is Sort.LOAD, -r.rank, r.words))
    return Conflict(
        kind=kind,
        setup=setup,
        headline=_headline_in_short(facts, setup)
        if is_cut_short
        else _headline(facts, left, setup, kept, kind),
        remedy=_remedy(facts, setup, kind, kept),
        members=tuple(
            Member(words=r.words, path=r.path, is_sure=r not in filtering.unsure)
            for r in (*wishes, *limits)
        ),
    )


def _remedy(facts: Facts, setup: str, kind: Kind, kept: Iterable[Requirement]) -> str:
    """Return the way out, with the lead that would do where leads are what clashes."""
    sorts = {r.sort for r in kept}
    is_short_of_sockets = kind == "packing" and Sort.SOCKETS in sorts
    said = [_MORE_WAYS if is_short_of_sockets else REMEDIES[kind]]
    if kind in ("reach", "volts"):
        said.append(lead_remedy(facts, setup))
    elif kind == "arithmetic" and Sort.LEADS in sorts:
        said.append(_ELSEWHERE)
    if Sort.LEADS in sorts and any(lead.wound for lead in facts.job.leads):
        said.append(_RUN_OUT)
    if facts.leads_are_assumed and sorts & {Sort.LEADS, Sort.LEAD_DROP}:
        said.append(_THICKER)
    return "; ".join(filter(None, said))


@dataclass
class _Filter:
    """Gives up requirements while what remains is still impossible.

    Attributes:
        job: The job without everything given up so far.
        unsure: Kept because a check was not decided in its time.
    """

    facts: Facts
    setup: str
    config: SolverConfig
    clock: Clock
    job: Job = field(init=False)
    unsure: list[Requirement] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.job = self.facts.job

    def run(self) -> tuple[Requirement, ...]:
        """Return what is left of the requirements, in the order of ``requirements``."""
        left = list(requirements(self.facts, self.setup))
        hopeless = self._hopeless()
        if hopeless is not None:
            others = [r for r in left if r.is_wish and r.name != hopeless]
            left = self._give_up(left, others)
        total = next(sums_over(self.facts, self.setup), None)
        if total is not None:
            # The total that the headline tells is to be among what clashes.
            left = self._give_up(
                left, [r for r in left if not r.is_wish and r.sort is not total.sort]
            )
        if self._give_up(left, [r for r in left if r.sort not in _OBVIOUS]) != left:
            left = [r for r in left if r.sort in _OBVIOUS]
        for _, group in groupby(tuple(left), key=lambda r: r.sort):
            members = list(group)
            shorter = self._give_up(left, members)
            if shorter != left:
                left = shorter
            elif len(members) > 1:
                for member in members:
                    left = self._give_up(left, [member], is_last=True)
            elif self._last is Fits.UNSURE:
                self.unsure += members
        return tuple(left)

    _last: Fits = Fits.NO

    def _give_up(
        self, left: list[Requirement], some: list[Requirement], *, is_last: bool = False
    ) -> list[Requirement]:
        """Return the requirements without some of them, if the rest is still impossible."""
        if not some:
            return left
        if self.clock.left_s <= 0:
            # Without time nothing more is given up, and no model is built to find that out.
            self._last = Fits.UNSURE
            self.unsure += some if is_last else []
            return left
        job = self.job
        for requirement in some:
            job = requirement.without(job)
        only = self.facts.changed(job).only([self.setup])
        self._last = _tried(only, self.config, self.clock)
        if self._last is Fits.NO:
            self.job = job
            return [r for r in left if r not in some]
        if is_last and self._last is Fits.UNSURE:
            self.unsure += some
        return left

    def _hopeless(self) -> str | None:
        """Return a load that fits nowhere at all, even alone."""
        for demand in self.facts.demands[self.setup]:
            plugged = demand.circuit is None and not demand.may_be_off
            if plugged and not candidates(self.facts, demand):
                return demand.load
        return None


def _kind(facts: Facts, left: Facts, setup: str, kept: Iterable[Requirement]) -> Kind:
    """Return what sort of no a minimal conflict is."""
    sorts = {r.sort for r in kept}
    single = sum(1 for r in kept if r.is_wish) <= 1
    if Sort.LEAKAGE in sorts:
        return "leakage"
    total = next(sums_over(facts, setup), None)
    if total is not None and total.sort in sorts:
        # Leads may clash too, since longer ones would reach what that total does not count.
        return total.kind
    if sorts & {Sort.LEADS, Sort.LEAD_DROP}:
        is_reach = Sort.LEADS in sorts and not (Sort.LEAD_DROP in sorts and single)
        return "reach" if is_reach else "volts"
    if single and sorts & {Sort.PLUG, Sort.RATING, Sort.SINGLE_LOAD, Sort.BOXES, Sort.OFF_LIMITS}:
        return "plug"
    is_wired = single and all(d.circuit is not None for d in left.demands[setup])
    if is_wired or any(sums_over(left, setup)):
        return "arithmetic"
    is_plug = single and _is_one_unit(left, setup)
    return "plug" if is_plug else "packing" if total is None else total.kind


def _is_one_unit(left: Facts, setup: str) -> bool:
    """Whether a single unit is too much already, rather than the next of its kind."""
    plugged = [d for d in left.demands[setup] if d.circuit is None and not d.may_be_off]
    return sum(d.count for d in plugged) <= 1 or any(not candidates(left, d) for d in plugged)


def _headline(
    facts: Facts, left: Facts, setup: str, kept: tuple[Requirement, ...], kind: Kind
) -> str:
    wishes = [r for r in kept if r.is_wish]
    when = setup_name(setup)
    # Of so many that they fail whatever limit is lifted the plain sum says most.
    if kind in ("arithmetic", "leakage") or (kind == "packing" and len(wishes) == len(kept)):
        over = leakage_over if kind == "leakage" else sums_over
        # The sum of a part of what is asked says whose it is.
        names = _row_of_many([r.name for r in wishes])
        totals = ((total, "") for total in over(facts, setup))
        for total, whose in (*totals, *((total, names) for total in over(left, setup))):
            return total.said(setup, whose)
    if kind == "packing" and (crowded := crowded_circuit(left, setup)) is not None:
        return _crowded_in_words(facts, when, crowded, kept)
    limits = _limits(facts, kept)
    if len(wishes) == 1 and kind == "packing":
        return f"{when} would fit in total, but in no split: {wishes[0].words}; {limits}"
    if len(wishes) == 1:
        return f"{when} cannot have {wishes[0].words}; {limits}"
    names = _row_of_many([r.name for r in sorted(wishes, key=lambda r: -r.rank)])
    if kind == "packing":
        said = f"{when} would fit in total, but {names} cannot be split so that all holds: {limits}"
        return said + (_UNPROVEN if _counts_twice(left, setup) else "")
    return f"{when} cannot have {names} together: {limits}"


def _crowded_in_words(
    facts: Facts, when: str, crowded: Crowded, kept: tuple[Requirement, ...]
) -> str:
    label = facts.circuits[crowded.circuit].label
    name = labelled(called(crowded.circuit, "circuit"), label)
    gives = shown_capacity_amps(crowded.cap_ma / MILLI)
    bound = [r.words for r in kept if r.sort is Sort.FIXED]
    why = f", and {row(bound)}" if bound else ""
    return (
        f"{when} needs {shown_amps(crowded.need_ma / MILLI)} A on {name}; it gives {gives} A{why}"
    )


def _kind_in_short(facts: Facts, setup: str) -> Kind:
    """Return what sort of no it is where the time did not do to find what exactly clashes."""
    return next((total.kind for total in sums_over(facts, setup)), "packing")


def _headline_in_short(facts: Facts, setup: str) -> str:
    for total in sums_over(facts, setup):
        return total.said(setup)
    return (
        f"{setup_name(setup)} would fit in total, but no way of splitting the loads holds; "
        "what exactly clashes was not found in the time"
    )


def _limits(facts: Facts, kept: tuple[Requirement, ...]) -> str:
    """Return the limits that clash, circuits in one phrase when nothing else is named."""
    limits = [r for r in kept if not r.is_wish]
    circuits = [facts.circuits[str(r.path[1])] for r in limits if r.sort is Sort.CIRCUIT]
    if len(circuits) == len(limits) > 1:
        most = shown_capacity_amps(max(c.cap_ma for c in circuits) / MILLI)
        return f"no circuit here carries more than {most} A"
    return row([r.words for r in limits][:_MOST_NAMED]) or _nowhere(facts)


def _nowhere(facts: Facts) -> str:
    """Return why nothing can be plugged in, where no limit is to blame."""
    if not facts.job.outlets:
        return "no outlet is listed"
    if not any(circuit.can_feed_outlets for circuit in facts.circuits.values()):
        return "no way of the board reads as one for outlets: state `feeds: outlets` where one is"
    return "no plug or outlet is made for that"


def _counts_twice(facts: Facts, setup: str) -> bool:
    """Whether some load can only be where it counts on several circuits."""
    plugged = [d for d in facts.demands[setup] if d.circuit is None and not d.may_be_off]
    reached = [
        [len(option.point.exposure.might_be_on) for option in candidates(facts, d)] for d in plugged
    ]
    return any(counts and min(counts) > 1 for counts in reached)


def _row_of_many(names: list[str]) -> str:
    if len(names) <= _MOST_NAMED + 1:
        return row(names)
    return f"{', '.join(names[:_MOST_NAMED])} and {len(names) - _MOST_NAMED} more"
