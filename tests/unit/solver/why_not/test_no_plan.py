"""What is said of heads that nothing here takes, and what of the list still runs."""

from collections.abc import Callable
from typing import Any

import pytest

from builders import amps, circuit, job_of, outlet, setup, small_data, small_job
from spreadload import plan_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.job.job import Job
from spreadload.plan import Conflict, Impossible
from spreadload.solver.engine.interruption import Interruption
from spreadload.solver.engine.limits import Clock, SolverConfig, left_to_explain_s
from spreadload.solver.model.feasible import Fits
from spreadload.solver.robust.least_risk import find_robust_plans
from spreadload.solver.search.ranked_plans import find_plans
from spreadload.solver.why_not import impossible
from spreadload.solver.why_not.impossible import conflicts_of
from spreadload.wiring.model import WiringModel


def conflict(**changes: Any) -> Conflict:  # noqa: ANN401 - any entry of a job file
    """Return the one clash of a job of two circuits."""
    (found,) = conflicts_of(Facts.of(small_job(**changes)), SolverConfig(), 20)
    return found


PLUGS: list[tuple[dict[str, Any], str]] = [
    ({"plug": "au-15"}, "the plug au-15, and no outlet here takes it"),
    ({"plug": "au-10"}, "the plug au-10, which carries 10.0 A"),
    ({}, "the plug au-15, and no outlet here takes it"),
]


@pytest.mark.parametrize(("stated", "said"), PLUGS)
def test_a_plug_that_does_not_fit_is_named(stated: dict[str, Any], said: str) -> None:
    """A head of 12.3 A in a house of 10 A outlets: the plug stands in the way, in every case.

    Ratings of the plugs: AS/NZS 3112.
    """
    circuits = {"P1": {"breaker_a": 20, "feeds": "outlets"}}
    outlets = {"O1": outlet("P1", "lounge")}
    heads = {"big": {"kind": "discharge", "measured_a": 12.3, "leakage_ma": 0, **stated}}
    found = conflict(circuits=circuits, outlets=outlets, heads=heads, setups=[setup(big="lounge")])
    assert found.kind == "plug"
    assert found.headline.startswith("SU1 cannot have big")
    assert said in found.headline


def test_what_is_wired_to_two_legs_is_told_by_the_leg() -> None:
    """Ohm's law: 6000 W over 240 V are 25 A in each leg, not the 50 A that 120 V would draw.

    Counted 1.25 times, as it may run for three hours (NEC 210.20(A)).
    """
    found = conflict(
        region="US",
        supply={"system": "split-phase", "limit_a": 100.0, "limit_source": "main breaker"},
        circuits={"P1": circuit(15.0, phase="A"), "AC": circuit(20.0, phase=["A", "B"])},
        outlets={"O1": outlet("P1", "lounge")},
        heads={},
        house={"ac": {"plate_w": 6000, "power_factor": 1.0, "circuit": "AC"}},
        setups=[setup(on=["ac"])],
    )
    assert "ac on: 25.0 A a leg, counted as 31.3 A; circuit AC" in found.headline


def test_circuits_that_are_all_too_small_are_one_phrase() -> None:
    """A head over every breaker: the largest of them is named once."""
    outlets = {name: outlet(c, "lounge", plug="au-20") for name, c in (("O1", "P1"), ("O2", "P2"))}
    heads = {"big": amps(15.0, plug="au-20")}
    found = conflict(outlets=outlets, heads=heads, setups=[setup(big="lounge")])
    assert "no circuit here carries more than 10.0 A" in found.headline


@pytest.mark.parametrize(
    ("plug", "drawn_a", "said"),
    [
        ("au-32-5pin", 19.1, "big has the plug au-32-5pin, and no outlet here takes it"),
        ("au-32-5pin", 80.0, "no plug or outlet is made for that"),
        ("cee-63", 80.0, "no plug or outlet is made for that"),
    ],
)
def test_a_head_for_another_kind_of_supply_is_told_why(
    plug: str, drawn_a: float, said: str
) -> None:
    """A five-pin plug, or more than any single-phase plug carries: the first line has a reason.

    Ratings of the plugs: AS/NZS 3123, IEC 60309-1.
    """
    heads = {"big": amps(drawn_a, plug=plug)}
    found = conflict(heads=heads, setups=[setup(big="lounge")])
    assert found.kind == "plug"
    assert f"{drawn_a} A" in found.headline
    assert found.headline.endswith(f"; {said}")


def open_house(change: Callable[[dict[str, Any]], None]) -> Job:
    """Return a house of two circuits and three outlets that nobody traced."""
    data = small_data(
        outlets={f"O{n}": {"room": "lounge", "sockets": 2} for n in (1, 2, 3)},
        heads={"big": amps(12.0), "lamp": amps(4.0, count=3)},
        setups=[setup(big="lounge", lamp={"lounge": 3})],
    )
    change(data)
    return job_of(data)


def test_what_still_runs_is_planned_over_the_wirings() -> None:
    """One head that fits nowhere costs that head alone, and the rest says how sure it is."""
    stated = open_house(lambda _: None)
    outcome = find_robust_plans(WiringModel.of(stated), SolverConfig(time_limit_s=10))
    assert isinstance(outcome, Impossible)
    assert outcome.reduced is not None
    plan, verdict = outcome.reduced
    assert [(entry.load, entry.unit) for entry in plan.left_out] == [("big", 1)]
    assert {p.load for p in plan.placements} == {"lamp"}
    assert len(plan.placements) == 3
    assert verdict.holds
    assert outcome.chance is not None
    assert 0 < outcome.chance.fails_pct < 100
    assert Judge(Facts.of(stated, "maps")).judge(plan) == verdict


def test_dark_units_are_numbered_after_the_lit_ones() -> None:
    """Of six lamps where four run, the dark two have numbers of their own."""

    def more(data: dict[str, Any]) -> None:
        data["heads"]["lamp"]["count"] = 6
        data["setups"] = [setup(lamp={"lounge": 6})]

    outcome = find_robust_plans(WiringModel.of(open_house(more)), SolverConfig(time_limit_s=10))
    assert isinstance(outcome, Impossible)
    assert outcome.reduced is not None
    plan, _ = outcome.reduced
    units = [p.unit for p in plan.placements] + [entry.unit for entry in plan.left_out]
    assert sorted(units) == [1, 2, 3, 4, 5, 6]
    assert 0 < len(plan.left_out) < 6


def test_a_dark_unit_has_the_number_that_no_lit_one_has() -> None:
    """Lamp 2 keeps its plug in the next set-up, where only one lead reaches: lamp 1 is dark."""
    job = small_job(
        outlets={
            "O1": outlet("P1", "bed", at=[0, 0]),
            "O2": outlet(None, "lounge", at=[20, 0]),
        },
        places={
            "door": {"room": "bed", "at": [0, 1]},
            "sofa": {"room": "lounge", "at": [20, 1]},
            "window": {"room": "lounge", "at": [20, 8]},
        },
        heads={"lamp": amps(4.0, cord_m=6.0, count=2)},
        leads=[{"length_m": 10.0, "count": 1}],
        setups=[setup("SU1", lamp=["door", "sofa"]), setup("SU2", lamp={"window": 2})],
    )
    outcome = find_robust_plans(WiringModel.of(job), SolverConfig(time_limit_s=10))
    assert isinstance(outcome, Impossible)
    assert outcome.reduced is not None
    plan, verdict = outcome.reduced
    assert verdict.holds
    assert [(p.setup, p.unit) for p in plan.placements] == [("SU1", 1), ("SU1", 2), ("SU2", 2)]
    assert [(entry.setup, entry.unit) for entry in plan.left_out] == [("SU2", 1)]


def test_what_no_wiring_helps_is_told_by_what_is_sure() -> None:
    """The supply is too small however the outlets are wired: no circuit is blamed for it.

    Three heads of 4 A on a supply of 10 A; either breaker would carry two of them.
    """
    small = {
        "supply": {"limit_a": 10.0, "limit_source": "fuse"},
        "setups": [setup(lamp={"lounge": 3})],
    }
    job = open_house(lambda data: data.update(small))
    outcome = find_robust_plans(WiringModel.of(job), SolverConfig(time_limit_s=10, alternatives=0))
    assert isinstance(outcome, Impossible)
    (conflict,) = outcome.conflicts
    assert "the supply gives 10.0 A" in conflict.headline
    assert "circuit" not in conflict.headline


def test_one_of_a_kind_too_many_is_a_matter_of_the_split() -> None:
    """Three of 6 A on two breakers of 10 A: each outlet takes one, so no plug is to blame."""
    data = small_data(heads={"lamp": amps(6.0, count=3)}, setups=[setup(lamp={"lounge": 3})])
    (clash,) = conflicts_of(Facts.of(job_of(data)), SolverConfig(), 20)
    assert clash.kind == "packing"
    assert clash.headline.startswith("SU1 would fit in total, but in no split: lamp")


def test_a_rewireable_fuse_is_said_to_give_less_than_is_written_on_it() -> None:
    """Two fuses of 15 A at 0.7 (its row in habits.yaml) give 21 A, not 30."""
    fuse = {"feeds": "outlets", "fuse_a": 15.0, "rewireable": True}
    job = small_job(
        circuits={"P1": fuse, "P2": fuse},
        heads={"lamp": amps(7.5, count=3)},
        setups=[setup(lamp={"lounge": 3})],
    )
    told = plan_job(job, SolverConfig(time_limit_s=10, alternatives=0)).answer.text
    assert "SU1 needs 22.5 A; P1 and P2 together give 21.0 A, rewireable fuses" in told


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"outlets": {}, "setups": [setup(lamp="lounge")]}, "no outlet is listed"),
        (
            {"circuits": {"L": {"label": "LIGHTS"}}, "outlets": {"O1": outlet(None, "lounge")}},
            "no way of the board reads as one for outlets",
        ),
    ],
)
def test_a_house_without_outlets_is_told_so(changes: dict[str, Any], said: str) -> None:
    """It is no matter of plugs."""
    told = plan_job(small_job(**changes), SolverConfig(time_limit_s=5, alternatives=0))
    assert said in told.answer.text


def crowded(**changes: Any) -> Facts:  # noqa: ANN401 - any entry of a job file
    """Return a job of two 10 A circuits that asks for more than the supply or a split can give."""
    heads = {"big": amps(6.0, count=3), "lamp": amps(1.0)}
    return Facts.of(
        small_job(heads=heads, setups=[setup(big={"lounge": 3}, lamp="lounge")], **changes)
    )


@pytest.mark.parametrize(
    ("supply_a", "reason"), [(63.0, None), (15.0, "SU1 needs 19.0 A; the supply gives 15.0 A")]
)
def test_in_brief_the_answer_is_the_same_without_what_would_still_run(
    supply_a: float, reason: str | None
) -> None:
    """A row of many says no, why and how near; the fullest legal plan is not looked for.

    A sum over what there is comes first, because no search is needed for it.
    """
    facts = crowded(supply={"limit_a": supply_a, "limit_source": "stated"})
    whole = find_plans(facts, Judge(facts), SolverConfig())
    brief = find_plans(facts, Judge(facts), SolverConfig(is_brief=True))
    assert isinstance(whole, Impossible)
    assert isinstance(brief, Impossible)
    assert whole.reduced is not None
    assert brief.reduced is None
    assert brief.nearest == whole.nearest
    assert brief.reason == (reason or whole.reason)


def test_a_search_for_the_clash_without_time_claims_none_and_builds_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A sum is told, since it needs no search; else only that no split was found to hold."""
    asked: list[object] = []

    def refuse(*_: object, **__: object) -> Fits:
        asked.append(None)
        return Fits.NO

    monkeypatch.setattr(impossible, "fits", refuse)
    split = crowded()
    (found,) = conflicts_of(split, SolverConfig(), 0.0)
    assert found.kind == "packing"
    assert "what exactly clashes was not found in the time" in found.headline
    assert all(not member.is_sure for member in found.members)
    # Once for the set-up itself, never for a requirement.
    assert len(asked) == 1
    supply = crowded(supply={"limit_a": 15.0, "limit_source": "stated"})
    (found,) = conflicts_of(supply, SolverConfig(), 0.0)
    assert (found.kind, found.headline) == (
        "arithmetic",
        "SU1 needs 19.0 A; the supply gives 15.0 A",
    )


def test_an_ordinary_plug_that_enters_nothing_here_is_named_alone() -> None:
    """A Swiss flat takes no CEE 7/7 plug of 10 A pins; what has the Swiss plug is not to blame."""
    found = conflict(
        region="EU",
        outlets={"O1": {"circuit": "P1", "plug": "ch-10", "sockets": 3, "known": "tested"}},
        heads={"lamp": amps(4.0), "panel": amps(1.0, plug="ch-10")},
        setups=[setup(lamp="O1", panel="O1")],
    )
    assert found.headline == (
        "SU1 cannot have lamp lit at O1: 4.0 A; lamp needs the plug eu-16, and no outlet here "
        "takes it"
    )


def test_saying_why_has_a_set_overrun() -> None:
    """What the proof left may all be used; a proof that took everything leaves a quarter more."""
    assert left_to_explain_s(Clock(8.0), 10.0) == pytest.approx(8.0, abs=0.1)
    assert left_to_explain_s(Clock(0.0), 10.0) == pytest.approx(2.5)
    stopped = Interruption()
    stopped.up()
    assert left_to_explain_s(Clock(8.0, stopped), 10.0) == 0.0


def test_bare_numbers_are_said_to_be_circuits_and_set_ups() -> None:
    """Boards and shot lists are numbered: “2 needs 12 A; 7 gives 10 A” reads as a riddle."""
    found = conflict(
        circuits={"7": circuit(10.0)},
        outlets={"O1": outlet("7", "lounge")},
        heads={"lamp": amps(6.0, count=2)},
        setups=[setup("2", lamp={"lounge": 2})],
    )
    assert found.headline == "set-up 2 needs 12.0 A; circuit 7 gives 10.0 A"


def test_what_is_bound_to_one_circuit_is_added_up_on_it() -> None:
    """A pump wired to P1 and an iron in the one room on P1: 6 + 5 A, while P2 stands empty.

    No split of anything would help, so none is spoken of.
    """
    found = conflict(
        heads={"lamp": amps(1.0)},
        departments={"iron": amps(5.0, kind="heater", room="lounge")},
        house={"pump": amps(6.0, kind="motor", circuit="P1", policy="must stay on")},
        setups=[setup(lamp="bed", on=["iron"])],
    )
    assert found.headline == (
        "SU1 needs 11.0 A on P1 “PLUGS”; it gives 10.0 A, and iron is in lounge"
    )


def test_what_stops_the_rest_is_told_with_what_stops_the_heads() -> None:
    """A head of 12 A and a heater of 11 A on outlets of 10 A: who mends one hears of the other."""
    job = small_job(
        heads={"big": amps(12.0)},
        departments={"oven": amps(11.0, room="bed")},
        setups=[setup(big="lounge", on=["oven"])],
    )
    told = plan_job(job, SolverConfig(time_limit_s=10, alternatives=0), reasons=False)
    assert isinstance(told.outcome, Impossible)
    assert "cannot have big" in told.answer.text
    assert "SU1 cannot have oven on" in told.outcome.in_the_dark
    assert "Not even with every head dark: SU1 cannot have oven on" in told.text()
    assert told.data()["in_the_dark"] == told.outcome.in_the_dark


def test_a_plate_that_is_too_small_for_its_sockets_is_told() -> None:
    """A pot of 12 A and a fridge of 4 A are 16 A on a double plate marked 15 A for both.

    Source: JIS C 8303, double outlets; from memory.
    """
    job = small_job(
        region="JP",
        supply={"limit_a": 40.0, "limit_source": "limiter"},
        circuits={"P1": circuit(20.0)},
        outlets={"K": outlet("P1", "kitchen")},
        rooms={"kitchen": {}},
        departments={"pot": amps(12.0, kind="heater", room="kitchen")},
        house={"fridge": amps(4.0, outlet="K", policy="must stay on")},
        setups=[setup(on=["pot"])],
    )
    found = conflicts_of(Facts.of(job), SolverConfig(), 10.0)[0]
    assert "what a socket may carry: 15.0 A (all of a plate: 15.0 A)" in found.headline


def test_what_heads_have_no_part_in_is_told_once() -> None:
    """A heater of 11 A on an outlet of 10 A is what stops the day, with heads and without."""
    job = small_job(
        departments={"oven": amps(11.0, room="bed")}, setups=[setup(lamp="lounge", on=["oven"])]
    )
    told = plan_job(job, SolverConfig(time_limit_s=10, alternatives=0), reasons=False)
    assert isinstance(told.outcome, Impossible)
    assert told.outcome.in_the_dark in told.outcome.reason
    assert "Not even with every head dark." in told.text()
    assert told.text().count("cannot have oven on") == 1


def test_what_runs_in_the_dark_needs_no_more_words() -> None:
    """Where a plan with heads left dark follows, nothing else stands in the way."""
    job = small_job(heads={"big": amps(12.0)}, setups=[setup(big="lounge")])
    told = plan_job(job, SolverConfig(time_limit_s=10, alternatives=0), reasons=False)
    assert isinstance(told.outcome, Impossible)
    assert told.outcome.in_the_dark == ""
    assert "every head dark" not in told.text()


def test_what_fails_by_the_sum_is_not_said_to_fit_in_total() -> None:
    """2,000 lamps of 0.1 A are 200 A on two ways of 10 A: no split is to blame."""
    found = conflict(heads={"tube": amps(0.1, count=2000)}, setups=[setup(tube={"lounge": 2000})])
    assert found.headline.startswith("SU1 needs 200.0 A")
    assert "fit in total" not in found.headline


def test_the_sum_of_a_part_says_whose_it_is() -> None:
    """An urn of 6 A and a dryer of 5 A have one room, whose circuit gives 10; the lamp is on P1.

    By hand: the set-up takes 13 A of the 20 A of both circuits, so 11 A is no sum of the set-up.
    """
    job = small_job(
        heads={"lamp": amps(2.0)},
        departments={
            "urn": amps(6.0, kind="heater", room="bed"),
            "dryer": amps(5.0, kind="heater", room="bed"),
        },
        setups=[setup(lamp="lounge", on=["urn", "dryer"])],
    )
    (conflict,) = conflicts_of(Facts.of(job), SolverConfig(), 5.0)
    assert "needs 11.0 A for" in conflict.headline
    assert {"urn", "dryer"} <= set(conflict.headline.replace(";", "").split())
    assert "lamp" not in conflict.headline
    whole = small_job(heads={"lamp": amps(7.0, count=3)}, setups=[setup(lamp={"lounge": 3})])
    (conflict,) = conflicts_of(Facts.of(whole), SolverConfig(), 5.0)
    assert conflict.headline == "SU1 needs 21.0 A; P1 and P2 together give 20.0 A"


def test_too_few_sockets_want_power_boards_not_smaller_loads() -> None:
    """Five lamps of 1 A, two sockets and no board: nothing is gained by splitting a load."""
    job = small_job(
        circuits={"P1": circuit(16.0)},
        outlets={"O1": outlet("P1", "lounge", sockets=2)},
        heads={"lamp": amps(1.0, count=5)},
        setups=[setup(lamp={"lounge": 5})],
    )
    found = conflicts_of(Facts.of(job), SolverConfig(), 10.0)[0]
    assert "power boards on the van: none" in found.headline
    assert found.remedy.startswith("power boards, listed under power_boards")
