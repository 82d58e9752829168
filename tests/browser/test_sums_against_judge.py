"""The page's own arithmetic against the judge: the same cases, the same answers."""

import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from spreadload.app import planning
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.job.kit import Load, LoadKind
from spreadload.plan import Placement, Plan

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = [pytest.mark.browser, pytest.mark.slow]

ROOT = Path(__file__).parents[2]
PLANS = Path(__file__).parent / "plans"
KNOWN = ("first_job", "contract_flat", "end_of_the_line", "community_hall")
GUEST = "guest load"
ABOUT = frozenset(
    {
        "circuit", "feed", "phase", "rcd amps", "socket amps", "plate amps", "single load",
        "contract", "off limits",
    }
)  # fmt: skip

Open = Callable[[str], "Page"]
Made = Callable[[str], str]


def job_and_plan(scenario: str) -> tuple[Job, Plan]:
    """Return a shipped job and its kept plan."""
    job = planning.load_job(ROOT / "scenarios" / scenario)
    return job, planning.load_plan(PLANS / f"{scenario}.json", job).plan


@pytest.mark.parametrize("scenario", KNOWN)
def test_every_device_carries_what_the_judge_says(
    scenario: str, sheet_page: Made, open_page: Open
) -> None:
    """With all on and with a random third off, sums and per cents agree to the milliamp."""
    job, plan = job_and_plan(scenario)
    judge = Judge(Facts.of(job))
    page = open_page(sheet_page(scenario))
    rng = random.Random(7)
    for share in (0.0, 0.33, 0.33):
        off = [p for p in plan.placements if rng.random() < share]
        kept = plan.model_copy(
            update={"placements": tuple(p for p in plan.placements if p not in off)}
        )
        told = [
            (u.setup, round(u.current_a * 1000), round(u.counted_a * 1000), u.used_pct)
            for u in judge.judge(kept).usages
        ]
        seen = page.evaluate(
            """(off) => {
                const live = JSON.parse(document.getElementById("live").textContent);
                const gone = new Set();
                for (const setup of live.setups) for (const unit of setup.units)
                    if (off.some(([s, l, n, p]) => s === setup.id && l === unit.load
                        && n === unit.unit && p === unit.place))
                        gone.add(Sums.keyOf(setup, unit));
                return live.setups.flatMap((setup) => Sums.meters(live, setup, gone).map((each) =>
                    [setup.id, each.current_ma, each.against_ma, each.pct]));
            }""",
            [(p.setup, p.load, p.unit, p.place or "") for p in off],
        )
        assert [tuple(each) for each in seen] == told


def test_the_contract_stands_among_the_mains(sheet_page: Made, open_page: Open) -> None:
    """What is left of it may be less than any line has left, so it is shown as they are."""
    job, plan = job_and_plan("contract_flat")
    used = {usage.setup: usage.used_pct for usage in Judge(Facts.of(job)).judge(plan).contract}
    page = open_page(sheet_page("contract_flat"))
    setup = page.evaluate(
        """() => JSON.parse(document.getElementById("live").textContent).setups.map((each) => [
            each.id, Sums.contract(JSON.parse(document.getElementById("live").textContent), each,
            new Set()).pct])"""
    )
    assert dict(setup) == used
    shown = page.locator("#mains .meter").last.inner_text()
    assert shown.startswith("contract")
    assert " W left" in shown
    assert f"{used[setup[0][0]]} %" in shown


def with_guest(job: Job, point: str, current_a: float, setups: list[str], *, briefly: bool) -> Job:
    """Return the job with one more load of so many amps, on in some set-ups."""
    facts = Facts.of(job)
    guest = Load(
        kind=LoadKind.HEATER,
        measured_a=current_a,
        leakage_ma=0.0,
        plug=facts.points[point].plug,
        outlet=facts.points[point].outlet,
        intermittent=briefly,
        heat=False,
    )
    day = []
    for setup in job.setups:
        on: Any = setup.on
        if setup.id in setups:
            on = {**on, GUEST: 1} if isinstance(on, dict) else (*on, GUEST)
        day.append(setup.model_copy(update={"on": on}))
    departments = {**job.departments, GUEST: guest}
    return job.model_copy(update={"departments": departments, "setups": tuple(day)})


def judged(job: Job, plan: Plan, case: dict[str, Any]) -> bool:
    """Return whether the judge lets the guest in: nothing about amps is broken that was not."""
    bigger = with_guest(job, case["point"], case["amps"], case["setups"], briefly=not case["hours"])
    judge = Judge(Facts.of(bigger))
    before = {(v.rule, v.setup, v.where) for v in Judge(Facts.of(job)).judge(plan).violations}
    seats = tuple(
        Placement(setup=s, load=GUEST, unit=1, point=case["point"], socket=case["socket"][s])
        for s in case["setups"]
    )
    verdict = judge.judge(plan.model_copy(update={"placements": (*plan.placements, *seats)}))
    return not any(
        v.rule in ABOUT and (v.rule, v.setup, v.where) not in before for v in verdict.violations
    )


def cases(job: Job, plan: Plan, count: int) -> list[dict[str, Any]]:
    """Return questions at free sockets: amps near what is left, one set-up or several."""
    facts = Facts.of(job)
    rng = random.Random(11)
    found: list[dict[str, Any]] = []
    order = [s.id for s in job.setups]
    points = [p for p in facts.points.values() if p.box is None and not p.is_off_limits]
    for _ in range(20 * count):
        point = rng.choice(points)
        first = rng.randrange(len(order))
        setups = order[first : rng.randrange(first, len(order)) + 1]
        socket = {}
        for setup in setups:
            used = {p.socket for p in plan.placements if (p.setup, p.point) == (setup, point.id)}
            boxed = any(
                p.setup == setup and p.point.startswith(f"{point.id}/") for p in plan.placements
            )
            free = [n for n in range(1, point.sockets + 1) if n not in used]
            if free and not boxed:
                socket[setup] = free[0]
        if len(socket) == len(setups):
            amps = rng.randrange(1, rng.choice([1_000, 5_000, 25_000])) / 1000
            found.append(
                {"point": point.id, "amps": amps, "setups": setups, "socket": socket, "hours": True}
            )
        if len(found) == count:
            break
    return found


@pytest.mark.parametrize("scenario", KNOWN)
def test_may_i_plug_in_answers_as_the_judge_does(
    scenario: str, sheet_page: Made, open_page: Open
) -> None:
    """Random amps at random outlets for random stretches of the day get the judge's answer."""
    job, plan = job_and_plan(scenario)
    asked = cases(job, plan, 40 if len(job.outlets) < 15 else 20)
    page = open_page(sheet_page(scenario))
    answers = page.evaluate(
        """(cases) => {
            const live = JSON.parse(document.getElementById("live").textContent);
            const points = new Map(live.points.map((point) => [point.id, point]));
            return cases.map((each) => Sums.mayPlug(live,
                live.setups.filter((setup) => each.setups.includes(setup.id)), new Set(),
                points.get(each.point), Sums.up(each.amps * 1000), each.hours).length === 0);
        }""",
        asked,
    )
    told = [judged(job, plan, case) for case in asked]
    assert answers == told, [c for c, a, t in zip(asked, answers, told, strict=True) if a != t]
    assert {True, False} == set(told), "cases that all end alike prove nothing"


def test_continuous_loads_are_counted_as_the_judge_counts_them(
    sheet_page: Made, open_page: Open
) -> None:
    """Under the region's rule a plug that runs for hours counts for more than one for minutes."""
    page = open_page(sheet_page("ranch_house"))
    sums = page.evaluate("[Sums.up(1.25 * 6001), Sums.up(1.25 * 6000), Sums.percent(15001, 15000)]")
    assert sums == [7502, 7500, 101]
    live = json.loads(page.evaluate("document.getElementById('live').textContent"))
    assert live["continuous"] == pytest.approx(1.25)
    job, plan = job_and_plan("ranch_house")
    facts = Facts.of(job)
    for setup in live["setups"]:
        for unit in setup["units"]:
            if unit["point"]:
                poles = facts.poles_at(unit["load"], facts.points[unit["point"]])
                assert unit["counted_ma"] == facts.counted_ma(setup["id"], unit["load"], poles)
    assert plan.placements


def trips_by_judge(job: Job, plan: Plan, case: dict[str, Any] | None, live: Any) -> float:  # noqa: ANN401 - the page's own data
    """Return the weight of the page's wirings on which the judge finds a circuit over."""
    setups = [s.id for s in job.setups]
    if case is not None:
        setups = case["setups"]
        job = with_guest(job, case["point"], case["amps"], setups, briefly=False)
        seats = tuple(
            Placement(setup=s, load=GUEST, unit=1, point=case["point"], socket=case["socket"][s])
            for s in setups
        )
        plan = plan.model_copy(update={"placements": (*plan.placements, *seats)})
    judge = Judge(Facts.of(job, "maps"))
    circuits, outlets = live["wirings"]["circuits"], live["wirings"]["outlets"]
    over, total = 0, 0
    for weight, *row in live["wirings"]["maps"]:
        wiring = {o: circuits[c] for o, c in zip(outlets, row, strict=True)}
        found = judge.judge(plan, wiring).violations
        over += weight * any(v.rule == "circuit" and v.setup in setups for v in found)
        total += weight
    return over / total


def test_how_often_an_open_house_trips_is_the_judges_figure(
    sheet_page: Made, open_page: Open
) -> None:
    """With nothing more and with one more plug, over the wirings the page carries."""
    job, plan = job_and_plan("family_house")
    page = open_page(sheet_page("family_house"))
    live = json.loads(page.evaluate("document.getElementById('live').textContent"))
    live["wirings"]["maps"] = live["wirings"]["maps"][:60]
    asked = cases(job, plan, 4)
    told = page.evaluate(
        """([live, cases]) => {
            const points = new Map(live.points.map((point) => [point.id, point]));
            const then = (each) => Sums.trips(live,
                live.setups.filter((setup) => each.setups.includes(setup.id)), new Set(),
                points.get(each.point), Sums.up(each.amps * 1000), each.hours);
            return [Sums.trips(live, live.setups, new Set()), ...cases.map(then)];
        }""",
        [live, asked],
    )
    judged_so = [trips_by_judge(job, plan, case, live) for case in (None, *asked)]
    assert told == pytest.approx(judged_so)
    assert max(told) > told[0], "cases that change nothing prove nothing"


def test_an_open_house_is_told_how_likely_a_yes_is(sheet_page: Made, open_page: Open) -> None:
    """Half an amp hardly matters; four amps all day do, and seven are most likely too much."""
    page = open_page(sheet_page("family_house"))
    said = {}
    page.select_option("#ask-until", "SU4")
    for amps in ("0.5", "4", "7"):
        page.select_option("#ask-outlet", "B18")
        page.fill("#ask-amps", amps)
        page.click("#ask button")
        said[amps] = page.inner_text("#ask-said")
    assert said["0.5"].startswith("YES, MOST LIKELY")
    assert "of 100 ways this house could be wired" in said["0.5"]
    assert said["4"].startswith("NOT SURE")
    assert said["7"].startswith("MOST LIKELY NOT")
    assert "Find out what B18" in said["7"]


def test_another_outlet_is_named_where_it_most_likely_takes_the_plug(
    sheet_page: Made, open_page: Open
) -> None:
    """B1 has no socket free; an outlet that hardly makes the house trip more often is offered."""
    page = open_page(sheet_page("family_house"))
    page.select_option("#ask-until", "SU4")
    page.select_option("#ask-outlet", "B1")
    page.fill("#ask-amps", "0.5")
    page.click("#ask button")
    assert "It may go in at B4" in page.inner_text("#ask-said")
