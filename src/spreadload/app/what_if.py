"""Use cases about what could be otherwise: offers, variants, how many heads, generators.

The library's face beside ``app``. Nothing here prints; the solver is imported only where it is
needed.
"""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from spreadload.app.names import refuse, unknown, unknown_head, unknown_setup
from spreadload.app.what_if_told import (
    GeneratorTold,
    HoldsTold,
    MovesTold,
    OffersTold,
    SwapTold,
    Where,
)
from spreadload.changes.generator import size_generator
from spreadload.changes.variant import Said, Variant, read_variants
from spreadload.derived.asked import counts_by_place
from spreadload.derived.facts import Facts
from spreadload.errors import Fault, InputError
from spreadload.io.job_file import job_path
from spreadload.io.variants_file import as_job, load_variants, variant_faults
from spreadload.io.yaml_source import read
from spreadload.job.base import MAX_COUNT
from spreadload.job.job import Job
from spreadload.plan import Conflict, Impossible, Outcome, Plan, Solved, chance_shown
from spreadload.solver.engine.limits import Clock, SolverConfig, left_to_explain_s
from spreadload.wiring.evidence import is_wiring_open
from spreadload.words import setup_name

__all__ = [
    "GeneratorTold",
    "HoldsTold",
    "MovesTold",
    "OffersTold",
    "SwapTold",
    "generator_for",
    "how_many",
    "lines_of",
    "load_variants",
    "moves_of",
    "offers_of",
    "swap",
]


def lines_of(path: Path) -> Where:
    """Return a look-up from an entry of the job to ``file:line``."""
    source = read(job_path(path))

    def where(entry: tuple[str | int, ...]) -> str:
        return str(source.where(entry))

    return where


def offers_of(
    job: Job,
    config: SolverConfig | None = None,
    *,
    margin_pct: int | None = None,
    where: Where | None = None,
) -> OffersTold:
    """Say what stops a job, and find the cheapest changes that make it fit.

    Args:
        job: The job, as ``load_job`` returns it.
        config: Time limit for everything together, seed, progress.
        margin_pct: Most per cent any device may carry; just fitting when not given.
        where: Look-up from entries to file and line; see ``lines_of``.
    """
    from spreadload.solver.what_if.offers import find_offers  # noqa: PLC0415 - loads OR-Tools
    from spreadload.solver.why_not.impossible import conflicts_of  # noqa: PLC0415 - loads OR-Tools

    config = config or SolverConfig()
    facts = Facts.of(job)
    clock = Clock(config.time_limit_s)
    offers = find_offers(job, config, margin_pct=margin_pct)
    conflicts: tuple[Conflict, ...] = ()
    chance = None
    if margin_pct is None and offers.in_trouble:
        as_planned = _as_planned(job, config)
        chance = chance_shown(as_planned) if isinstance(as_planned, Solved) else None
        conflicts = as_planned.conflicts if isinstance(as_planned, Impossible) else ()
        if not conflicts:
            limit_s = left_to_explain_s(clock, config.time_limit_s)
            conflicts = conflicts_of(facts, config, limit_s)
    return OffersTold(facts, offers, conflicts, where or _dotted, chance if conflicts else None)


def _as_planned(job: Job, config: SolverConfig) -> Outcome | None:
    """Return what `plan` says of a job whose wiring is open; None where every circuit is known.

    Offers count every outlet on every circuit it might be on. What clashes there may well run on
    most wirings, and what clashes on all of them is the plainer reason.
    """
    if not is_wiring_open(job):
        return None
    from spreadload.solver.any_wiring import look_for_plans  # noqa: PLC0415 - loads OR-Tools

    return look_for_plans(job, replace(config, alternatives=0))[1]


def moves_of(job: Job, plan: Plan, config: SolverConfig | None = None) -> MovesTold:
    """Find the fewest plugs to move so that a drawn plan holds in every set-up."""
    from spreadload.solver.what_if.fewest_moves import fewest_moves  # noqa: PLC0415 - loads OR-Tools

    return MovesTold(fewest_moves(Facts.of(job), plan, config))


def swap(job: Job, variants: Iterable[str | Said], config: SolverConfig | None = None) -> SwapTold:
    """Plan variants of a job beside the job itself, several at a time where cores allow.

    Args:
        job: The job.
        variants: Each as ``name: clause; clause``, the name if you like; see ``changes.variant``.
        config: Time limit for each, seed.

    Raises:
        InputError: One fault for every clause that cannot be read or cannot be meant.
    """
    read_in = read_variants(job, variants, as_job)
    if not read_in:
        remedy = "add -v “kettle off”, or --file variants.yaml"
        raise InputError([Fault("", 0, "--variant", "no variant given", remedy=remedy)])
    faults = [
        replace(fault, file=each.said.file, line=each.said.line, key=f"variant {each.name}")
        for each in read_in
        for fault in variant_faults(each.job)
    ]
    if faults:
        raise InputError(faults)
    from spreadload.solver.what_if.compare import compare  # noqa: PLC0415 - loads OR-Tools

    jobs = [("as asked", job), *((each.name, each.job) for each in read_in)]
    facts = Facts.of(job)
    asked, *rows = compare(jobs, config or SolverConfig())
    lit = [
        replace(row, light_w=row.light_w + _lit_elsewhere_w(facts, each))
        for row, each in zip(rows, read_in, strict=True)
    ]
    return SwapTold(facts, (asked, *lit))


def _lit_elsewhere_w(facts: Facts, variant: Variant) -> int:
    """Return the watts of heads that a variant lights from a battery or a generator."""
    return sum(count * facts.loads[head].power_w for _, head, count in variant.lit_elsewhere)


def how_many(
    job: Job,
    heads: Iterable[str],
    *,
    setup: str | None = None,
    place: str | None = None,
    is_alone: bool = False,
    has_leads: bool = False,
    config: SolverConfig | None = None,
) -> HoldsTold:
    """Say how many heads of some kinds a set-up holds.

    Args:
        job: The job.
        heads: Head ids; filled in by priority.
        setup: Set-up id; the first that lights one of them when not given.
        place: Where they stand; where the set-up has them when not given.
        is_alone: Whether the rest of the lighting list stays dark.
        has_leads: Whether leads and power boards for everything are to hand.
        config: Time limit and seed.

    Raises:
        InputError: No such head, set-up or place.
    """
    names = sorted(
        dict.fromkeys(heads), key=lambda h: job.heads[h].priority if h in job.heads else 0
    )
    faults = [unknown_head(job, name) for name in names]
    faults.append(unknown_setup(job, setup))
    spots = (*job.places, *job.rooms, *job.outlets)
    faults.append(unknown("--place", "place, room or outlet", place, spots))
    refuse(*faults)
    lit = [s for s in job.setups if any(name in s.heads for name in names)] or list(job.setups)
    chosen = job.setup(setup) if setup else lit[0]
    where: list[tuple[str, str]] = []
    for name in names:
        stands = place or next(iter(counts_by_place(chosen.heads.get(name, {}))), None)
        if stands is None:
            remedy = f"say where with --place, one of {', '.join(spots[:12])}"
            refuse(
                Fault("", 0, "HEAD", f"{setup_name(chosen.id)} does not light it", name, "", remedy)
            )
        where.append((name, stands or ""))
    from spreadload.solver.what_if.most_light import Filling  # noqa: PLC0415 - loads OR-Tools
    from spreadload.solver.what_if.most_light import how_many as fill  # noqa: PLC0415 - loads OR-Tools

    filling = Filling(chosen.id, tuple(where), is_alone=is_alone, has_leads=has_leads)
    return HoldsTold(filling, fill(job, filling, config), is_wiring_open(job))


def generator_for(
    job: Job,
    loads: Iterable[str],
    *,
    phases: int = 1,
    altitude_m: float = 0.0,
    ambient_c: float = 0.0,
) -> GeneratorTold:
    """Say how large a generator has to be.

    Args:
        job: The job.
        loads: Head or load ids, each with how many as ``DH1800=2``; one when nothing is said.
        phases: 1, 2 or 3.
        altitude_m: Height of the place [m].
        ambient_c: Air temperature [°C].

    Raises:
        InputError: No such load, or no such number of them.
    """
    facts = Facts.of(job)
    faults: list[Fault | None] = []
    named: list[tuple[str, int]] = []
    for text in loads:
        is_whole_name = text in facts.loads or "=" not in text
        name, _, count = (text, "", "") if is_whole_name else text.rpartition("=")
        faults.append(unknown("LOAD", "head or load", name, facts.loads))
        is_number = count.isdecimal() and 0 < int(count) <= MAX_COUNT
        if not is_whole_name and not is_number:
            limit, remedy = f"1 to {MAX_COUNT}", f"write {name}=2, with a whole number"
            faults.append(Fault("", 0, "LOAD", "not a number of them", text, limit, remedy))
            continue
        named.append((name, int(count or 1)))
    refuse(*faults)
    size = size_generator(facts, named, phases=phases, altitude_m=altitude_m, ambient_c=ambient_c)
    return GeneratorTold(size)


def _dotted(entry: tuple[str | int, ...]) -> str:
    return ".".join(str(step) for step in entry)
