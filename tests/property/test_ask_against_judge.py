"""“May I plug this in here?” held to a full re-check by the judge, over thousands of questions."""

from random import Random

import pytest

from builders import Entry, amps, circuit, job_of, outlet
from spreadload.check import judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.on_the_day.ask.asking import ask
from spreadload.on_the_day.ask.question import Question, read_question
from spreadload.on_the_day.ask.reply import Says
from spreadload.plan import Placement, Plan

QUESTIONS_EACH = 60
REGIONS = ("AU", "US", "UK")


def busy_house(random: Random) -> Job:
    """Return a house with a few set-ups, RCDs, power boards and loads here and there."""
    circuits: Entry = {
        f"P{n}": circuit(random.choice([6.0, 10.0, 16.0]))
        | ({"rcd": "R1"} if random.random() < 0.6 else {})
        for n in range(1, random.choice([2, 3]) + 1)
    }
    names = list(circuits)
    outlets: Entry = {}
    for n in range(1, 5):
        known = random.random() < 0.8
        outlets[f"O{n}"] = outlet(
            random.choice(names) if known else None,
            random.choice(["lounge", "bed"]),
            sockets=random.choice([1, 2]),
            **({} if known else {"maybe_on": random.sample(names, 2)}),
        )
    loads = {
        f"D{n}": amps(random.choice([0.5, 1.5, 3.0, 5.0]), kind="heater", count=2)
        | {"intermittent": random.random() < 0.5, "leakage_ma": random.choice([0.2, 2.0])}
        for n in range(1, 4)
    }
    setups = []
    for n in range(1, random.choice([1, 2, 3]) + 1):
        on = {name: random.randint(1, 2) for name in loads if random.random() < 0.7}
        setups.append(
            {"id": f"SU{n}", "from": f"{8 + 4 * n}:00", "to": f"{11 + 4 * n}:00", "on": on}
        )
    return job_of(
        {
            "region": random.choice(REGIONS),
            "supply": {"limit_a": random.choice([16.0, 40.0]), "limit_source": "drawn"}
            | ({"contract_w": 4000.0} if random.random() < 0.3 else {}),
            "rcds": {"R1": {"trips_at_ma": 30.0} | ({"rating_a": 16.0} if n % 2 else {})},
            "circuits": circuits,
            "rooms": {"lounge": {"use": "living"}, "bed": {"use": "bedroom"}},
            "outlets": outlets,
            "departments": loads,
            "power_boards": [{"ways": 4, "count": 2}] if random.random() < 0.6 else [],
            "setups": setups,
        }
    )


def some_plan(job: Job, random: Random) -> Plan:
    """Return a plan that puts most loads somewhere, some of it past its limits."""
    facts = Facts.of(job)
    placements: list[Placement] = []
    for setup, asked in facts.demands.items():
        taken: dict[str, int] = {}
        for demand in asked:
            for unit in range(1, demand.count + 1):
                point = random.choice(sorted(facts.points))
                socket = taken.get(point, 0) + 1
                board = 0 if facts.boards and random.random() < 0.3 else None
                if socket > facts.points[point].sockets:
                    continue
                taken[point] = socket
                placements.append(
                    Placement(
                        setup=setup,
                        load=demand.load,
                        unit=unit,
                        point=point,
                        socket=socket,
                        board=board,
                    )
                )
    return Plan(placements=tuple(placements))


def told(job: Job, plan: Plan) -> dict[tuple[str, str, str], float]:
    """Return every limit a plan passes, and by how much."""
    return {(v.rule, v.setup, v.where): v.value for v in judge(job, plan).violations}


def with_it(job: Job, question: Question) -> Job:
    """Return the job with the load asked about, by another way than the one under test."""
    data = job.model_dump(mode="json", by_alias=True, exclude_unset=True)
    data["departments"] = data.get("departments", {}) | {
        "extra": question.load.model_dump(mode="json", exclude_unset=True)
    }
    for setup in data["setups"]:
        if setup["id"] in question.setups:
            setup["on"] = setup.get("on", {}) | {"extra": 1}
    return job_of(data)


def is_fine(job: Job, changed: Job, plan: Plan, point: str, setup: str) -> bool:
    """Whether some socket or board at a point takes the load without a new fault."""
    before = told(job, plan)
    missing = {k: v for k, v in told(changed, plan).items() if k not in before}
    boards = [None, *range(len(job.power_boards))]
    for socket in range(1, (job.outlets[point].sockets or 1) + 1):
        for board in boards:
            extra = Placement(
                setup=setup, load="extra", unit=1, point=point, socket=socket, board=board
            )
            after = told(changed, Plan(placements=(*plan.placements, extra)))
            new = {
                key
                for key, value in after.items()
                if value > before.get(key, -1.0) + 1e-9 and not (key in missing and key[1] != setup)
            }
            if not new:
                return True
    return False


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(40))
def test_ask_agrees_with_a_full_recheck(seed: int) -> None:
    """Yes exactly where the judge, given the whole plan with the load in it, finds nothing new."""
    random = Random(seed)
    job = busy_house(random)
    plan = some_plan(job, random)
    facts = Facts.of(job)
    for _ in range(QUESTIONS_EACH):
        what = f"{random.choice([0.3, 1.0, 2.5, 4.0, 6.0, 9.5])}A"
        setups = [s.id for s in job.setups]
        first = random.randrange(len(setups))
        question = read_question(
            facts,
            what,
            random.choice(sorted(job.outlets)),
            start=setups[first],
            until=random.choice(setups[first:]),
            is_intermittent=random.random() < 0.5,
        )
        reply = ask(job, plan, question)
        changed = with_it(job, question)
        asked_for = any(
            all(is_fine(job, changed, plan, point, s) for s in question.setups)
            for point in question.points
        )
        assert (reply.says is Says.YES) == asked_for, (what, question.where, question.setups)
        for spot in reply.others:
            assert all(is_fine(job, changed, plan, spot.point, s) for s in question.setups)


@pytest.mark.parametrize("seed", range(40, 60))
def test_room_left_is_what_fits(seed: int) -> None:
    """As many amps as there is room for are never too many for the breakers; more always are."""
    random = Random(seed)
    job = busy_house(random)
    plan = some_plan(job, random)
    facts = Facts.of(job)
    for outlet_id in job.outlets:
        reply = ask(job, plan, read_question(facts, "0.01A", outlet_id))
        if reply.spot is None:
            continue
        room_ma = min(link.room_ma for link in reply.spot.chain)
        over = ask(job, plan, read_question(facts, f"{(room_ma + 5) / 1000}A", outlet_id))
        assert over.says is not Says.YES
        if room_ma > 10:
            within = ask(job, plan, read_question(facts, f"{(room_ma - 2) / 1000}A", outlet_id))
            limits = [r for r in within.reasons if "contract" not in r and "board" not in r]
            assert within.says is Says.YES or not limits
