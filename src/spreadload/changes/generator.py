"""A generator for named heads and loads: how large, and how to spread them over its phases."""

from collections.abc import Sequence
from dataclasses import dataclass

from spreadload.derived.facts import Facts
from spreadload.electrical.generator import GeneratorLoad, GeneratorNeed, generator_need
from spreadload.electrical.inrush import StartKind, start_row
from spreadload.electrical.rows import Figure
from spreadload.job.kit import Ballast, LoadKind
from spreadload.units import MILLI

USUAL_VA = tuple(
    Figure(va * 1000.0, source="usual sizes of hired sets; common practice, no source")
    for va in (1, 2, 3, 5, 6.5, 8, 10, 13, 15, 20, 30, 45, 60, 80, 100, 150, 200, 300)
)


@dataclass(frozen=True)
class GeneratorSize:
    """A set that runs some loads.

    Attributes:
        need: What it must give.
        plate_va: The usual size to hire [VA]; what is needed where no usual size is enough.
        phases: Loads on each phase, largest first.
        phase_va: Volt-amps on each phase.
        imbalance_pct: How far the fullest phase is above the mean, in per cent of the mean.
    """

    need: GeneratorNeed
    plate_va: float
    phases: tuple[tuple[str, ...], ...]
    phase_va: tuple[float, ...]
    imbalance_pct: float


def size_generator(
    facts: Facts,
    loads: Sequence[tuple[str, int]],
    *,
    phases: int = 1,
    altitude_m: float = 0.0,
    ambient_c: float = 0.0,
) -> GeneratorSize:
    """Return the set that runs some loads together, started one at a time.

    Args:
        facts: The job, worked out.
        loads: Load id and how many.
        phases: 1, 2 or 3; single-phase loads are spread, the largest first.
        altitude_m: Height of the place [m].
        ambient_c: Air temperature [°C].

    Source:
        Sizing: ``electrical.generator``; starting: ``electrical.starting``. Every phase of a set
        gives its share of the plate, so the fullest phase decides.
    """
    each = [(load_id, _generator_load(facts, load_id)) for load_id, n in loads for _ in range(n)]
    need = generator_need([load for _, load in each], altitude_m=altitude_m, ambient_c=ambient_c)
    spread, spread_va = _spread(each, phases)
    running_va = sum(spread_va)
    fullest_va = max(spread_va) * phases
    grown = fullest_va / running_va if running_va else 1.0
    wanted_va = max(need.plate_va * grown, need.plate_peak_w)
    usual = [row.value for row in USUAL_VA if row.value >= wanted_va]
    return GeneratorSize(
        need=need,
        plate_va=usual[0] if usual else wanted_va,
        phases=spread,
        phase_va=spread_va,
        imbalance_pct=round((grown - 1) * 100, 1),
    )


def _generator_load(facts: Facts, load_id: str) -> GeneratorLoad:
    load = facts.loads[load_id]
    running_w = float(load.power_w)
    apparent_va = facts.unit_ma(load_id, 1) / MILLI * facts.supply.planning_v
    factor = min(1.0, running_w / apparent_va) if apparent_va else 1.0
    return GeneratorLoad(running_w, factor, extra_start_w=running_w * _extra_start(facts, load_id))


def _extra_start(facts: Facts, load_id: str) -> float:
    """Return what a load takes on top while it starts, in parts of its running watts."""
    job = facts.job
    stated = job.heads.get(load_id) or facts.load_stated(load_id)
    if stated is None:
        return 0.0
    if stated.kind is LoadKind.MOTOR:
        return start_row(StartKind.MOTOR).high - 1
    if stated.kind is LoadKind.DISCHARGE and stated.ballast is Ballast.MAGNETIC:
        return start_row(StartKind.MAGNETIC_DISCHARGE).run_up - 1
    return 0.0


def _spread(
    loads: list[tuple[str, GeneratorLoad]], phases: int
) -> tuple[tuple[tuple[str, ...], ...], tuple[float, ...]]:
    """Put the largest load on the emptiest phase, again and again."""
    names: list[list[str]] = [[] for _ in range(phases)]
    on_va = [0.0] * phases
    for name, load in sorted(loads, key=lambda e: (-e[1].running_w / e[1].pf, e[0])):
        emptiest = on_va.index(min(on_va))
        names[emptiest].append(name)
        on_va[emptiest] += load.running_w / load.pf
    return tuple(tuple(each) for each in names), tuple(on_va)
