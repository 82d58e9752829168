"""What each load of a job does when its volts change, and the least volts it works at."""

from dataclasses import dataclass

from spreadload.derived.draw import Band
from spreadload.derived.facts import Facts
from spreadload.electrical.behaviour import LoadClass
from spreadload.electrical.neutral import WaveKind
from spreadload.electrical.rows import Figure
from spreadload.job.kit import Ballast, Draw, LoadKind
from spreadload.network.assumed import window_row

_RESISTIVE = {LoadKind.TUNGSTEN: LoadClass.TUNGSTEN, LoadKind.HEATER: LoadClass.CONSTANT_RESISTANCE}
_MAY_BE_MAGNETIC = frozenset({LoadKind.DISCHARGE, LoadKind.FLUORESCENT})
CORRECTED_FROM_PF = Figure(
    0.9, source="stated power factor from which a driver counts as corrected; our own choice"
)


@dataclass(frozen=True, slots=True)
class Behaves:
    """One unit of a load as the load flow needs it.

    Attributes:
        load_class: What it does when the volts change.
        wave: How much third harmonic it draws.
        apparent_va: Best, likely and worst volt-amps at planning volts on one pole [VA].
        power_factor: Power over volt-amps that goes with each of them.
        rated_v: Volts its figures hold at, line to neutral [V].
        min_v: Least volts it works at [V]; 0 where it does not stop.
        min_source: Where that comes from.
    """

    load_class: LoadClass
    wave: WaveKind
    apparent_va: Band
    power_factor: Band
    rated_v: float
    min_v: float
    min_source: str


def stated(facts: Facts, load_id: str) -> Draw:
    """Return a head or load as the job states it."""
    job = facts.job
    return job.heads.get(load_id) or job.loads[load_id]


def load_class(load: Draw) -> LoadClass:
    """Return what a load does when its volts change.

    What nobody knows is taken as constant power, which is worst as volts fall.
    """
    if load.kind in _RESISTIVE:
        return _RESISTIVE[load.kind]
    if load.kind is LoadKind.MOTOR:
        return LoadClass.MOTOR
    is_magnetic = load.kind in _MAY_BE_MAGNETIC and load.ballast is Ballast.MAGNETIC
    return LoadClass.MAGNETIC_BALLAST if is_magnetic else LoadClass.CONSTANT_POWER


def wave_kind(load: Draw) -> WaveKind:
    """Return how much third harmonic a load draws; unknown electronics count as uncorrected."""
    if load.kind in _RESISTIVE or load.kind is LoadKind.MOTOR:
        return WaveKind.SINE
    if load.ballast is Ballast.MAGNETIC:
        return WaveKind.CORRECTED
    good = load.power_factor is not None and load.power_factor >= CORRECTED_FROM_PF.value
    is_corrected = load.corrected if load.corrected is not None else good
    return WaveKind.CORRECTED if is_corrected else WaveKind.UNCORRECTED


def behaves(facts: Facts, load_id: str) -> Behaves:
    """Return one unit of a load as the load flow needs it."""
    load = stated(facts, load_id)
    drawn = facts.loads[load_id].draw
    planning_v = facts.supply.planning_v
    if drawn.stated_a is not None:
        apparent = drawn.stated_a.scaled(planning_v)
    else:
        apparent = drawn.apparent_va or Band(0.0, 0.0, 0.0)
    power = drawn.power_w
    factor = Band(
        _share(power.best, apparent.best),
        _share(power.likely, apparent.likely),
        _share(power.worst, apparent.worst),
    )
    has_amps = drawn.stated_a is not None or load.plate_v is None
    rated_v = planning_v if has_amps or load.kind not in _RESISTIVE else load.plate_v
    min_v, source = _least_volts(facts, load)
    return Behaves(
        load_class(load),
        wave_kind(load),
        apparent,
        factor,
        rated_v or planning_v,
        min_v,
        source,
    )


def _share(power_w: float, apparent_va: float) -> float:
    return min(1.0, power_w / apparent_va) if apparent_va else 1.0


def _least_volts(facts: Facts, load: Draw) -> tuple[float, str]:
    if load.min_v is not None:
        return load.min_v, "its working minimum as stated"
    if facts.job.supply.min_v is not None:
        return facts.job.supply.min_v, "the least volts the job asks for"
    row = window_row(load.kind)
    least_v = row.least_share * facts.supply.planning_v
    words = f"assumed {row.least_share:.0%} of {facts.supply.planning_v:g} V ({row.source})"
    return least_v, words if least_v else "it only dims"
