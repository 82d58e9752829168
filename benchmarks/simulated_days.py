"""Days on which something trips, in houses wired by another hand: is the answer right?

    python benchmarks/simulated_days.py --days 300 --write

Every invented house (``house_generator``) is rigged the way it is done without a plan, each plug in
the nearest free socket. Whatever then passes a breaker of the hidden wiring trips; where nothing
does, somebody plugs a heater in. The crew reports some of what is dark and lit, mostly without
looking at the board, does what it is told, and the hidden wiring says whether it trips again.
The fewest plugs are found by trying every one, and every two, on the hidden wiring.

Only breakers trip here: what the answer leaves to a dead lamp or the network is always wrong, so
the days on which it names a breaker are told apart. ``--own-prior`` draws the hidden wiring from
the program's own beliefs instead, which leaves nothing to blame but what it makes of a trip.
"""

import argparse
import json
import time
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import combinations, product
from pathlib import Path
from random import Random

from house_generator import House, invent
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.electrical.protection import earliest_s, latest_s
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.moves import open_points, seats
from spreadload.job.job import Job
from spreadload.job.observations import Log
from spreadload.on_the_day.scene.devices import circuit_device
from spreadload.on_the_day.trip.causes import Seen
from spreadload.on_the_day.trip.diagnosis import TripAnswer, after_a_trip
from spreadload.on_the_day.trip.report import Report
from spreadload.plan import Placement, Plan
from spreadload.report.style import Style
from spreadload.report.trip_text import trip_text
from spreadload.wiring.maps import drawn_maps
from spreadload.wiring.model import WiringModel

RESULTS = Path(__file__).parent / "results"
SETUP = "SU1"
# Minutes as a crew of two takes them; common practice, no source.
LOOK_MIN, PLUG_MIN, RESET_MIN = 1, 2, 2
_HOLDS = 1.13
_HEATER_MA = 9000
_HOUR_S = 3600.0
_DRAWN = 400


@dataclass(frozen=True)
class Day:
    """What came of one trip."""

    is_named: bool
    told_pct: float
    was_sure: bool
    plugs: int
    fewest: int | None
    left_dark: int
    minutes: int
    trips_again: bool
    has_intruder: bool
    names_breaker: bool
    seconds: float


class Rig:
    """One house, rigged, on its hidden wiring."""

    def __init__(self, house: House, random: Random | None = None) -> None:
        """Plug everything in where it is nearest; draw the wiring from our own prior if random."""
        self.job = Job.model_validate_json(json.dumps(house.job))
        self.truth = house.truth if random is None else _drawn(self.job, random)
        self.facts = Facts.of(self.job, "maps")
        self.judge = Judge(self.facts)
        self.plan = self._nearest()

    def _nearest(self) -> Plan:
        plan = Plan()
        for demand in self.facts.demands[SETUP]:
            for unit in range(1, demand.count + 1):
                seat = self._seat(plan, demand.load, demand.place, unit)
                if seat is not None:
                    plan = plan.model_copy(update={"placements": (*plan.placements, seat)})
        return plan

    def _seat(self, plan: Plan, load: str, place: str | None, unit: int) -> Placement | None:
        judged = JudgedPlan.of(self.facts, self.judge, plan)
        points = open_points(judged, load)
        far = {p.id: 0.0 if place is None else self.facts.route_m(place, p) for p in points}
        wish = Placement(setup=SETUP, load=load, unit=unit, place=place, point="", socket=1)
        for point in sorted(points, key=lambda p: (far[p.id], p.id)):
            found = next((s for s in seats(judged, wish, point) if s.board is None), None)
            if found is not None:
                return found
        return None

    def amps(self, p: Placement) -> int:
        """Return what a unit draws [mA]."""
        return self.facts.unit_ma(p.load, 1)

    def carried(self, plan: Plan, extra: Mapping[str, int]) -> dict[str, int]:
        """Return what every circuit really carries [mA]."""
        sums = Counter(dict.fromkeys(self.facts.circuits, 0))
        for p in plan.placements:
            sums[self.truth[p.point]] += self.amps(p)
        for outlet, current_ma in extra.items():
            sums[self.truth[outlet]] += current_ma
        return dict(sums)

    def over(self, plan: Plan, extra: Mapping[str, int]) -> list[str]:
        """Return the circuits that will trip, worst first."""
        carried = self.carried(plan, extra)
        ratio = {c: carried[c] / self.facts.circuits[c].breaker_ma for c in carried}
        return sorted((c for c in ratio if ratio[c] > _HOLDS), key=lambda c: -ratio[c])


def _drawn(job: Job, random: Random) -> dict[str, str]:
    maps = drawn_maps(WiringModel.of(job), _DRAWN, random.randrange(2**31))
    return maps.map(random.choices(range(len(maps)), weights=maps.weights.tolist())[0])


def delay_s(rig: Rig, circuit: str, carried_ma: int, random: Random) -> float:
    """Return a time to trip that the breaker's standard allows at this load [s]."""
    device = circuit_device(rig.facts, circuit)
    ratio = carried_ma / (device.rated_a * 1000)
    early = max(earliest_s(device, ratio), 2.0)
    late = max(min(latest_s(device, ratio), 3 * _HOUR_S), early)
    return float(early * (late / early) ** random.random())


def fewest_plugs(rig: Rig, circuit: str) -> int | None:
    """Return the fewest plugs that clear a circuit on the hidden wiring, None for more than two."""
    caps = {c: rig.facts.circuits[c].cap_ma for c in rig.facts.circuits}
    counted = {p: rig.facts.counted_ma(SETUP, p.load, 1) for p in rig.plan.placements}
    judged = JudgedPlan.of(rig.facts, rig.judge, rig.plan)
    held = Counter(p.point for p in rig.plan.placements)
    was = Counter(dict.fromkeys(caps, 0))
    for p in rig.plan.placements:
        was[rig.truth[p.point]] += counted[p]
    ways = {
        p: [q.id for q in open_points(judged, p.load) if q.outlet != p.point]
        for p in rig.plan.placements
    }

    def is_clear(moves: tuple[tuple[Placement, str], ...]) -> bool:
        sums, sockets = Counter(was), held.copy()
        for p, to in moves:
            sums[rig.truth[p.point]] -= counted[p]
            sums[rig.truth[to]] += counted[p]
            sockets[p.point] -= 1
            sockets[to] += 1
        fits = all(sockets[to] <= rig.facts.points[to].sockets for _, to in moves)
        within = all(sums[c] <= max(caps[c], was[c] * (c != circuit)) for c in caps)
        return fits and within

    on = [p for p in ways if rig.truth[p.point] == circuit]
    for p in on:
        if any(is_clear(((p, to),)) for to in ways[p]):
            return 1
    for a, b in combinations(ways, 2):
        if (a in on or b in on) and any(
            is_clear(((a, to_a), (b, to_b))) for to_a, to_b in product(ways[a], ways[b])
        ):
            return 2
    return None


def live(seed: int, *, is_own_prior: bool = False) -> Day | None:
    """Live through one trip; None where this house gives none."""
    random = Random(seed)  # noqa: S311 - repeatable, not secret
    rig = Rig(invent(seed), random if is_own_prior else None)
    extra: dict[str, int] = {}
    if not rig.over(rig.plan, extra):
        used = sorted({p.point for p in rig.plan.placements})
        extra[random.choice(used)] = _HEATER_MA
    tripped = rig.over(rig.plan, extra)
    if not tripped:
        return None
    circuit = tripped[0]
    report = _report(rig, circuit, extra, random)
    began = time.perf_counter()
    answer = after_a_trip(rig.job, Log(), rig.plan, SETUP, report)
    seconds = time.perf_counter() - began
    is_named = bool(answer.causes) and answer.causes[0].device == circuit
    told_pct = 100 * answer.causes[0].share if answer.causes else 0.0
    names_breaker = bool(answer.causes) and answer.causes[0].device in rig.facts.circuits
    was_sure = answer.is_certain
    if not (was_sure and is_named):
        answer = after_a_trip(rig.job, Log(), rig.plan, SETUP, replace(report, device=circuit))
    day = _obeyed(rig, answer, circuit, extra)
    return replace(
        day,
        is_named=is_named,
        told_pct=told_pct,
        was_sure=was_sure,
        names_breaker=names_breaker,
        seconds=seconds,
    )


def _report(rig: Rig, circuit: str, extra: Mapping[str, int], random: Random) -> Report:
    used = sorted({p.point for p in rig.plan.placements})
    off = [o for o in used if rig.truth[o] == circuit]
    dark = tuple(o for o in off if random.random() < 0.9) or tuple(off[:1])
    lit = tuple(o for o in used if rig.truth[o] != circuit and random.random() < 0.6)
    after_s = delay_s(rig, circuit, rig.carried(rig.plan, extra)[circuit], random)
    return Report(Seen(dark, lit), None, "", after_s, "")


def _obeyed(rig: Rig, answer: TripAnswer, circuit: str, extra: Mapping[str, int]) -> Day:
    """Return what happens when the crew does what it is told."""
    plan, minutes, left = rig.plan, LOOK_MIN + RESET_MIN, dict(extra)
    # Whoever is told to look finds the heater; the plan's own excess moves all the same.
    is_told = any(word in trip_text(answer, Style()) for word in ("Walk ", "Look for a heater"))
    found = [o for o in extra if rig.truth[o] == circuit and is_told]
    is_done = bool(found) and not answer.is_over
    for outlet in found:
        del left[outlet]
    plugs = dark = 0
    if not is_done and answer.move is not None:
        plan, plugs = answer.move.plan, len(answer.move.steps)
        minutes += PLUG_MIN * plugs + sum(s.cool_down_min for s in answer.move.steps)
    elif not is_done and answer.shed is not None:
        less = answer.shed
        off = {(p.load, p.unit) for p in (*less.waits, *less.asked, *less.dark)}
        kept = tuple(p for p in plan.placements if (p.load, p.unit) not in off)
        plan, dark = plan.model_copy(update={"placements": kept}), len(off)
    again = circuit in rig.over(plan, left) or len(rig.over(plan, left)) > len(
        rig.over(rig.plan, extra)
    )
    return Day(
        is_named=True,
        told_pct=100.0,
        was_sure=False,
        plugs=plugs,
        fewest=None if is_done else fewest_plugs(rig, circuit),
        left_dark=dark,
        minutes=minutes + (LOOK_MIN + RESET_MIN if again else 0),
        trips_again=again,
        has_intruder=bool(extra),
        names_breaker=True,
        seconds=0.0,
    )


def table(days: list[Day]) -> dict[str, object]:
    """Return the figures of many days."""
    moved = [d for d in days if d.plugs]
    known = [d for d in moved if d.fewest is not None]
    extra = Counter(d.plugs - d.fewest for d in known if d.fewest is not None)
    needed = [d for d in days if not d.has_intruder]
    named = [d for d in days if d.names_breaker]
    return {
        "days": len(days),
        "with_an_unplanned_heater": sum(d.has_intruder for d in days),
        "right_circuit_first_without_a_look_pct": _pct(sum(d.is_named for d in days), len(days)),
        "chance_told_for_it_mean_pct": _mean([d.told_pct for d in days]),
        "named_a_breaker": len(named),
        "of_those_the_right_one_pct": _pct(sum(d.is_named for d in named), len(named)),
        "of_those_chance_told_mean_pct": _mean([d.told_pct for d in named]),
        "sure_without_a_look": sum(d.was_sure for d in days),
        "sure_and_wrong": sum(d.was_sure and not d.is_named for d in days),
        "second_trip_pct": _pct(sum(d.trips_again for d in days), len(days)),
        "second_trip_after_a_move_pct": _pct(sum(d.trips_again for d in moved), len(moved)),
        "plugs_moved_mean": round(sum(d.plugs for d in moved) / max(len(moved), 1), 2),
        "plugs_beyond_the_fewest": {str(n): extra[n] for n in sorted(extra)},
        "left_something_dark": sum(d.left_dark > 0 for d in needed),
        "of_which_two_plugs_would_do": sum(
            d.left_dark > 0 and d.fewest is not None for d in needed
        ),
        "minutes_lost_mean": round(sum(d.minutes for d in days) / max(len(days), 1), 1),
        "answer_seconds_mean": round(sum(d.seconds for d in days) / max(len(days), 1), 2),
        "answer_seconds_longest": round(max((d.seconds for d in days), default=0.0), 2),
    }


def _pct(part: int, whole: int) -> float:
    return round(100 * part / max(whole, 1), 1)


def _mean(values: list[float]) -> float:
    return round(sum(values) / max(len(values), 1), 1)


def _days(first: int, number: int, minutes: float, *, is_own_prior: bool) -> Iterator[Day]:
    until = time.perf_counter() + 60 * minutes
    found = 0
    for seed in range(first, first + 10 * number):
        if found == number or time.perf_counter() > until:
            return
        day = live(seed, is_own_prior=is_own_prior)
        if day is not None:
            found += 1
            yield day


def main() -> None:
    """Read the options, run, print, and keep the result when asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=20)
    parser.add_argument("--first-seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=8.0, help="stop after so long")
    parser.add_argument("--own-prior", action="store_true", help="hidden wiring as we believe")
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    own = bool(options.own_prior)
    days = list(_days(options.first_seed, options.days, options.minutes, is_own_prior=own))
    found = {"date": datetime.now(UTC).date().isoformat(), "first_seed": options.first_seed}
    found |= table(days)
    for name, value in found.items():
        print(f"{name.replace('_', ' '):36} {value}")
    if options.write and not own:
        text = json.dumps(found, indent=2)
        (RESULTS / "simulated_days.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
