"""How often does nothing trip? Several ways of planning on houses wired by another hand.

    python benchmarks/simulated_houses.py --houses 1000 --write

For every invented house (``house_generator``): the nearest outlet, heads spread over rooms, the
trade's rules, ours without a test, ours after switching off one breaker, and an oracle that knows
the wiring. The table of calibration holds what was forecast against what happened.
"""

import argparse
import json
import platform
import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from importlib.metadata import version
from itertools import count, pairwise
from multiprocessing import get_context
from multiprocessing.pool import Pool
from pathlib import Path

import numpy as np

from house_generator import House, invent
from spreadload.derived.facts import Facts
from spreadload.derived.reach import outlet_spot, spot
from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.model.variables import Variables
from spreadload.solver.robust.chance import wilson
from spreadload.solver.robust.hedging import Hedge, Unit, units_of
from spreadload.solver.robust.model import Bounded, failing
from spreadload.solver.robust.risk_table import RiskTable
from spreadload.wiring.maps import Maps, maps_of
from spreadload.wiring.model import WiringModel

RESULTS = Path(__file__).parent / "results"
WAYS = ("nearest", "spread", "rules", "ours", "ours after one test", "oracle")
# Less than a plan gets (400, 1500, 6000), so that a thousand houses take minutes.
DRAWS, FITTED, FRESH = 120, 300, 1000
_KICKS = 2
_BATCH = 20
_MINUTE_S = 60
BINS = (0.0, 1.0, 3.0, 10.0, 25.0, 50.0, 75.0, 100.01)
_FAR = {"laundry": 0, "garage": 1}
_LAST = {"kitchen": 9, "pantry": 9}


@dataclass(frozen=True)
class Scored:
    """One plan on one house: what was forecast [%], and whether anything tripped."""

    way: str
    forecast_pct: float | None
    trips: bool


def job_of(house: House) -> Job:
    """Return the job of a house, by the same strict door as a file."""
    return Job.model_validate_json(json.dumps(house.job))


def truth_as_maps(house: House, maps: Maps) -> Maps:
    """Return the true wiring as the only map."""
    row = [[maps.circuits.index(house.truth[o]) for o in maps.outlets]]
    return replace(maps, on=np.array(row, dtype=np.int16), weights=np.ones(1), is_exact=True)


class Bench:
    """One house with everything its plans are made and scored with."""

    def __init__(self, house: House, log: Log | None = None) -> None:
        """Work the house out as far as the crew knows it."""
        self.house = house
        self.model = WiringModel.of(job_of(house), log, DRAWS)
        self.facts = Facts.of(self.model.job, unknown="maps")
        self.options = Variables.of(self.facts).options
        points = [o.point for some in self.options.values() for o in some]
        drawn = maps_of(self.model, FITTED, SolverConfig.seed)
        fresh = drawn if drawn.is_exact else maps_of(self.model, FRESH, 104_729)
        real = truth_as_maps(house, drawn)
        self.table = RiskTable.of(self.facts, drawn, points, self.options)
        self.fresh = RiskTable.of(self.facts, fresh, points)
        self.real = RiskTable.of(self.facts, real, points)
        self.units = units_of(self.options, self.table.setups, frozenset())

    def at_outlets(self, order: list[str], *, one_each: bool) -> Bounded:
        """Plug heads, largest first, into outlets in an order, going round if one each."""
        search = Hedge(self.table, self.units, self.table.base(frozenset()))
        at = [0] * len(self.units)
        search.start(at)
        ranked = sorted(range(len(self.units)), key=lambda n: -_amps(self.units[n]))
        turn = 0
        for n in ranked:
            unit = self.units[n]
            if not self.facts.loads[unit.demand.load].is_head:
                continue
            shifted = order[turn:] + order[:turn] if one_each else order
            turn = (turn + 1) % len(order) if one_each else turn
            for outlet in shifted:
                k = next((k for k, o in enumerate(unit.options) if o.point.id == outlet), None)
                if k is not None and (k == search.at[n] or search._try(((n, k),))):  # noqa: SLF001
                    break
        return Bounded(search.counts(), frozenset(), 1.0, 0.0)

    def ours(self) -> Bounded:
        """Return our plan by local search on the fitted maps."""
        search = Hedge(self.table, self.units, self.table.base(frozenset()))
        search.start([n % len(unit.options) for n, unit in enumerate(self.units)])
        risk = search.search(np.random.default_rng(SolverConfig.seed), kicks=_KICKS)
        return Bounded(search.counts(), frozenset(), risk, 0.0)

    def scored(self, way: str, plan: Bounded) -> Scored:
        """Return a plan's forecast on fresh maps and its fate on the true wiring."""
        share = float(self.fresh.maps.weights @ failing(self.fresh, plan)) * 100
        return Scored(way, share, bool(failing(self.real, plan)[0]))


def _amps(unit: Unit) -> int:
    return max((o.unit_ma for o in unit.options), default=0)


def orders(bench: Bench) -> dict[str, list[str]]:
    """Return outlets in the order each rule of thumb would use them."""
    job = bench.model.job
    place = next(iter(job.setups[0].heads.values()))
    here = spot(job, str(place))
    away = {o: bench.facts.route.length_m(outlet_spot(job, o), here) for o in job.outlets}
    nearest = sorted(job.outlets, key=lambda o: (away[o], o))
    by_room: dict[str, list[str]] = defaultdict(list)
    for outlet in nearest:
        by_room[str(job.outlets[outlet].room)].append(outlet)
    no_kitchen = [o for rooms in by_room.values() for o in rooms[:1] if not _is_kitchen(job, o)]
    spread = no_kitchen + [o for o in nearest if o not in no_kitchen]

    def rule(outlet: str) -> tuple[int, float]:
        room = job.rooms[str(job.outlets[outlet].room)]
        rank = 2 if room.floor != "G" else 3
        rank = _FAR.get(room.use.value, _LAST.get(room.use.value, rank))
        return rank, -away[outlet]

    firsts = [rooms[0] for rooms in by_room.values()]
    return {"nearest": nearest, "spread": spread, "rules": sorted(firsts, key=rule) + nearest}


def _is_kitchen(job: Job, outlet: str) -> bool:
    return job.rooms[str(job.outlets[outlet].room)].use.value in _LAST


def best_test(bench: Bench, plan: Bounded) -> str:
    """Return the breaker whose switching off splits the maps most evenly on the outlets in use."""
    used = sorted({bench.facts.points[p].outlet for _, p in plan.counts})
    maps = bench.fresh.maps
    columns = [maps.outlets.index(o) for o in used if o in maps.outlets]
    worth = {}
    for n, circuit in enumerate(maps.circuits):
        share = maps.weights @ (maps.on[:, columns] == n)
        worth[circuit] = float((share * (1 - share)).sum())
    return max(worth, key=lambda c: (worth[c], c))


def oracle_finds_a_plan(house: House) -> bool:
    """Whether somebody who knows the wiring finds a plan on which nothing trips."""
    stated = json.loads(json.dumps(house.job))
    for outlet, circuit in house.truth.items():
        stated["outlets"][outlet] |= {"circuit": circuit, "known": "tested"}
    facts = Facts.of(Job.model_validate_json(json.dumps(stated)), unknown="maps")
    options = Variables.of(facts).options
    if any(not some for some in options.values()):
        return False
    points = [o.point for some in options.values() for o in some]
    circuits = tuple(facts.circuits)
    row = [[circuits.index(c) for c in house.truth.values()]]
    real = Maps(
        tuple(house.truth),
        circuits,
        np.array(row, dtype=np.int16),
        np.ones(1),
        is_exact=True,
        effective=1.0,
        seed=0,
    )
    table = RiskTable.of(facts, real, points, options)
    units = units_of(options, table.setups, frozenset())
    search = Hedge(table, units, table.base(frozenset()))
    search.start([n % len(unit.options) for n, unit in enumerate(units)])
    return search.search(np.random.default_rng(SolverConfig.seed), kicks=8) == 0


def run_house(seed: int) -> tuple[str, list[Scored]] | None:
    """Plan one house every way; None when not even the oracle finds a plan."""
    house = invent(seed)
    if not oracle_finds_a_plan(house):
        return None
    bench = Bench(house)
    if any(not unit.options for unit in bench.units):
        return None
    found = [Scored("oracle", None, trips=False)]
    for way, order in orders(bench).items():
        found.append(bench.scored(way, bench.at_outlets(order, one_each=way != "nearest")))
    ours = bench.ours()
    found.append(bench.scored("ours", ours))
    breaker = best_test(bench, ours)
    dark = tuple(o for o, c in house.truth.items() if c == breaker)
    lit = tuple(o for o, c in house.truth.items() if c != breaker)
    seen = Observation(what=Seen.BREAKER_OFF, circuits=(breaker,), dark=dark, still_on=lit)
    after = Bench(house, Log(observations=(seen,)))
    found.append(after.scored("ours after one test", after.ours()))
    return house.style, found


def report(houses: int, first: int, processes: int, minutes: float) -> dict[str, object]:
    """Run the benchmark and return its tables."""
    began = time.perf_counter()
    fates: dict[str, list[bool]] = defaultdict(list)
    by_style: dict[str, dict[str, list[bool]]] = defaultdict(lambda: defaultdict(list))
    forecasts: list[tuple[float, bool]] = []
    own: list[tuple[float, bool]] = []
    skipped = 0
    with get_context("spawn").Pool(processes) as pool:
        for got in _in_batches(pool, first):
            if got is None:
                skipped += 1
                continue
            style, scored = got
            for each in scored:
                fates[each.way].append(not each.trips)
                by_style[style][each.way].append(not each.trips)
                if each.forecast_pct is not None:
                    forecasts.append((each.forecast_pct, each.trips))
                    if each.way.startswith("ours"):
                        own.append((each.forecast_pct, each.trips))
            is_late = time.perf_counter() - began > minutes * _MINUTE_S
            if len(fates["ours"]) == houses or is_late:
                break
        pool.terminate()
    return {
        "date": datetime.now(UTC).date().isoformat(),
        "houses": len(fates["ours"]),
        "first_seed": first,
        "reduced_search": {
            "groupings": DRAWS,
            "fitted_maps": FITTED,
            "fresh_maps": FRESH,
            "kicks": _KICKS,
        },
        "skipped_because_even_the_oracle_found_none": skipped,
        "seconds": round(time.perf_counter() - began, 1),
        "machine": platform.machine(),
        "python": platform.python_version(),
        "ortools": version("ortools"),
        "nothing_trips_pct": {w: _share(fates[w]) for w in WAYS},
        "nothing_trips_pct_by_wiring_style": {
            style: {"houses": len(ways["ours"])} | {w: _share(ways[w])["pct"] for w in WAYS}
            for style, ways in sorted(by_style.items())
        },
        "calibration_of_ours": _calibration(own),
        "calibration": _calibration(forecasts),
    }


def _in_batches(pool: Pool, first: int) -> Iterator[tuple[str, list[Scored]] | None]:
    """Yield houses in the order of their seeds without end, a batch ahead at most."""
    for start in count(first, _BATCH):
        yield from pool.map(run_house, range(start, start + _BATCH), chunksize=2)


def _share(fates: list[bool]) -> dict[str, float]:
    share = sum(fates) / max(len(fates), 1)
    low, high = wilson(share, len(fates))
    return {"pct": round(100 * share, 1), "low": round(100 * low, 1), "high": round(100 * high, 1)}


def _calibration(forecasts: list[tuple[float, bool]]) -> list[dict[str, float]]:
    rows = []
    for low, high in pairwise(BINS):
        inside = [(f, t) for f, t in forecasts if low <= f < high]
        if inside:
            rows.append(
                {
                    "forecast_from_pct": low,
                    "forecast_to_pct": min(high, 100.0),
                    "plans": len(inside),
                    "forecast_mean_pct": round(sum(f for f, _ in inside) / len(inside), 1),
                    "failed_pct": round(100 * sum(t for _, t in inside) / len(inside), 1),
                }
            )
    return rows


def main() -> None:
    """Read the options, run, print, and keep the result when asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--houses", type=int, default=20)
    parser.add_argument("--first-seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=600.0, help="stop after so long")
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    found = report(options.houses, options.first_seed, options.processes, options.minutes)
    text = json.dumps(found, indent=2)
    print(text)
    if options.write:
        (RESULTS / "simulated_houses.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
