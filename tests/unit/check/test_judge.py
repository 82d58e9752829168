"""What the judge says, in words and figures, and what it looks up for reports."""

from collections.abc import Iterator

import pytest

from builders import amps, circuit, circuits, outlet, plan_of, put, setup, small_job
from spreadload.check import HARD_RULES, Judge, goals, judge
from spreadload.check.state import SetupState
from spreadload.derived.facts import Facts
from spreadload.job.preferences import Goal
from spreadload.plan import LeftOut, Plan, SwitchedOff, Violation

TWO = setup(lamp={"lounge": 2})


def words(plan: Plan, **changes: object) -> list[str]:
    """Return the text of every violation."""
    return [violation.text for violation in judge(small_job(**changes), plan).violations]


def test_an_overloaded_breaker_is_told_in_crew_words() -> None:
    """The sentence names circuit, label, amps rounded up, set-up and breaker."""
    plan = plan_of(put("lamp", "O1"), put("lamp", "O1", unit=2, socket=2))
    assert words(plan, heads={"lamp": amps(6.01)}, setups=[TWO]) == [
        "P1 “PLUGS” carries 12.1 A in SU1; its breaker is 10.0 A"
    ]


def test_a_load_that_may_be_elsewhere_is_told_as_a_possibility() -> None:
    """What is only possibly on a circuit makes it “could carry”."""
    outlets = {"O1": outlet(None, maybe_on=["P1", "P2"])}
    found = words(plan_of(put("lamp", "O1")), circuits=circuits(P1=3.0, P2=10.0), outlets=outlets)
    assert found == ["P1 “PLUGS” could carry 4.0 A in SU1; its breaker is 3.0 A"]


def test_a_continuous_overload_says_that_amps_are_counted() -> None:
    """Where continuous loads count for more the sentence does not call them carried."""
    found = words(
        plan_of(),
        region="US",
        supply={"system": "split-phase", "limit_a": 100.0},
        circuits={"P1": circuit(11.0, phase="A")},
        outlets={},
        heads={},
        house={"pump": amps(9.6, circuit="P1", policy="must stay on")},
        setups=[setup()],
    )
    assert found == ["P1 “PLUGS” counts as 12.0 A in SU1; its breaker is 11.0 A"]


def test_all_violations_are_told_at_once() -> None:
    """Plug, socket, breaker and a stranger in one plan give four kinds of violation."""
    job = small_job(
        heads={"lamp": amps(6.0), "big": amps(6.0, plug="au-15")},
        setups=[setup(lamp={"lounge": 2}, big="lounge")],
    )
    plan = plan_of(
        put("lamp", "O1"),
        put("lamp", "O1", unit=2),
        put("big", "O1", socket=2),
        put("ghost", "O2"),
    )
    rules = [violation.rule for violation in judge(job, plan).violations]
    assert rules == ["unknown", "plug", "socket", "socket amps", "circuit"]


def test_every_device_is_reported_in_every_set_up_also_unloaded() -> None:
    """Circuits, feeds, rated RCDs and phases appear once a set-up, with phase and limit."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 40.0},
        rcds={"R1": {"rating_a": 25.0}},
        sub_boards={"shed": {"feed_a": 20.0, "phase": "L2"}},
        circuits={
            "P1": circuit(10.0, phase="L1", rcd="R1"),
            "P2": circuit(10.0, phase="L2", sub_board="shed"),
            "T": circuit(16.0, phase="L1 L2 L3"),
        },
        setups=[setup("SU1", lamp="lounge"), setup("SU2")],
    )
    used = judge(job, plan_of(put("lamp", "O1"))).usages
    seen = [(u.kind, u.id, u.phase, u.limit_a, u.used_pct) for u in used if u.setup == "SU1"]
    assert seen == [
        ("circuit", "P1", "L1", 10.0, 40),
        ("circuit", "P2", "L2", 10.0, 0),
        ("circuit", "T", "L1", 16.0, 0),
        ("circuit", "T", "L2", 16.0, 0),
        ("circuit", "T", "L3", 16.0, 0),
        ("feed", "shed", "L2", 20.0, 0),
        ("rcd amps", "R1", "L1", 25.0, 16),
        ("rcd amps", "R1", "L2", 25.0, 0),
        ("rcd amps", "R1", "L3", 25.0, 0),
        ("phase", "L1", "L1", 40.0, 10),
        ("phase", "L2", "L2", 40.0, 0),
        ("phase", "L3", "L3", 40.0, 0),
    ]
    assert len(used) == 2 * len(seen)
    assert all(u.used_pct == 0 for u in used if u.setup == "SU2")


def test_a_circuit_of_unknown_phase_counts_on_every_phase() -> None:
    """Nobody knows the phase, so each phase is counted in full."""
    job = small_job(supply={"system": "three-phase", "limit_a": 40.0})
    used = judge(job, plan_of(put("lamp", "O1"))).usages
    assert [u.current_a for u in used if u.kind == "phase"] == [4.0, 4.0, 4.0]


def test_a_box_puts_its_load_on_one_pole_only() -> None:
    """A lamp behind phase L2 of a box loads pole L2 of the circuit and phase L2."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 40.0},
        circuits={"T": circuit(32.0, phase="L1 L2 L3")},
        outlets={"F": outlet("T", sockets=1, plug="au-32-5pin")},
        boxes={"box": {"inlet": "au-32-5pin", "outlet": "au-10", "outlets_per_phase": 2}},
        rooms={"lounge": {}},
    )
    verdict = judge(job, plan_of(put("lamp", "F/box/L2")))
    assert verdict.holds
    assert [u.current_a for u in verdict.usages] == [0.0, 4.0, 0.0, 0.0, 4.0, 0.0]


def test_what_is_wired_and_switched_off_no_longer_counts() -> None:
    """A hot-water cylinder that may be off frees its amps when the plan switches it off."""
    water = amps(8.0, circuit="P1", policy="may be off", starts_by_itself=True)
    job = small_job(house={"water": water})
    on = judge(job, plan_of(put("lamp", "O1")))
    off = judge(job, plan_of(put("lamp", "O1"), SwitchedOff(setup="SU1", load="water")))
    assert [v.value for v in on.violations] == [12.0]
    assert off.holds


def test_a_plan_that_fails_as_a_whole_may_hold_on_one_map() -> None:
    """Unknown outlets count everywhere, but on a given map each is on one circuit only."""
    job = small_job(
        outlets={"O1": outlet(None), "O2": outlet(None)}, heads={"lamp": amps(6.0)}, setups=[TWO]
    )
    judged = Judge(Facts.of(job))
    plan = plan_of(put("lamp", "O1"), put("lamp", "O2", unit=2))
    assert not judged.judge(plan).holds
    assert judged.judge(plan, {"O1": "P1", "O2": "P2"}).holds
    on_one = judged.judge(plan, {"O1": "P2", "O2": "P2"}).violations
    assert [(v.rule, v.where, v.value) for v in on_one] == [("circuit", "P2", 12.0)]


def test_a_map_moves_rcds_phases_and_last_resort_with_the_circuit() -> None:
    """Everything behind an outlet follows its circuit on the map, boxes' own RCDs stay."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 3.0},
        rcds={"R1": {"trips_at_ma": 10.0}},
        circuits={
            "P1": circuit(10.0, phase="L1"),
            "P2": circuit(10.0, phase="L2", rcd="R1", use="last resort"),
        },
        outlets={"O1": outlet(None)},
        boxes={"box": {"inlet": "au-10", "outlet": "au-10", "outlets_per_phase": 2, "rcd_ma": 6.0}},
        heads={"lamp": amps(4.0) | {"leakage_ma": 6.0}},
        rooms={"lounge": {}},
    )
    judged = Judge(Facts.of(job))
    plain = plan_of(put("lamp", "O1"))
    seen = {
        circuit_id: [(v.rule, v.where) for v in judged.judge(plain, {"O1": circuit_id}).violations]
        for circuit_id in ("P1", "P2")
    }
    assert seen == {"P1": [("phase", "L1")], "P2": [("rcd leakage", "R1"), ("phase", "L2")]}
    goals = {g.goal: g.value for g in judged.judge(plain, {"O1": "P1"}).goals}
    assert goals["last resort"] == 0
    boxed = plan_of(put("lamp", next(p for p in judged.facts.points if "/box/" in p)))
    found = [(v.rule, v.where) for v in judged.judge(boxed, {"O1": "P1"}).violations]
    assert found == [("rcd leakage", "O1/box"), ("phase", "L1")]


def test_a_map_that_names_strangers_changes_nothing() -> None:
    """Unknown outlets and circuits of a map are passed over."""
    judged = Judge(Facts.of(small_job()))
    plan = plan_of(put("lamp", "O1"))
    assert judged.judge(plan, {"O1": "P9", "O7": "P1"}) == judged.judge(plan)


@pytest.mark.parametrize(
    ("plan", "rules"),
    [
        (plan_of(), ["missing"]),
        (plan_of(put("lamp", "O1"), put("lamp", "O2")), ["unknown"]),
        (plan_of(put("lamp", "O1", unit=9)), ["unknown", "missing"]),
        (plan_of(put("lamp", "O1", place="moon")), ["unknown", "missing"]),
        (plan_of(put("ghost", "O1"), put("lamp", "O1", socket=2)), ["unknown"]),
        (plan_of(put("lamp", "O1"), put("lamp", "O1", name="SU7")), ["unknown"]),
        (plan_of(put("lamp", "O1"), LeftOut(setup="SU1", load="lamp", unit=1)), ["unknown"]),
        (plan_of(put("lamp", "O1"), LeftOut(setup="SU7", load="lamp", unit=1)), ["unknown"]),
        (plan_of(put("lamp", "O1"), SwitchedOff(setup="SU1", load="ghost")), ["unknown"]),
        (plan_of(put("lamp", "O1"), SwitchedOff(setup="SU7", load="lamp")), ["unknown"]),
        (plan_of(put("lamp", "O1"), SwitchedOff(setup="SU1", load="lamp")), ["switch off"]),
        (plan_of(put("lamp", "O1", board=0)), ["unknown"]),
        (plan_of(put("lamp", "O1", lead=-1)), ["unknown"]),
        (plan_of(put("lamp", "O1", board_lead=20)), ["unknown"]),
        (plan_of(put("lamp", "O1/box/L1")), ["unknown"]),
    ],
)
def test_strangers_and_gaps_of_a_hand_written_plan(plan: Plan, rules: list[str]) -> None:
    """One fault, one violation; only a unit that then stands nowhere is missing besides."""
    assert [violation.rule for violation in judge(small_job(), plan).violations] == rules


def test_strangers_are_told_apart_in_words() -> None:
    """A load nobody knows, one not asked for, and one asked for elsewhere read differently."""
    job = small_job(
        heads={"lamp": amps(1.0), "spot": amps(1.0)}, setups=[setup(lamp={"lounge": 1})]
    )
    plan = plan_of(
        put("lamp", "O1"),
        put("ghost", "O1"),
        put("spot", "O1"),
        put("lamp", "O1", place="moon"),
        put("lamp", "O2", socket=2),
    )
    assert [violation.text for violation in judge(job, plan).violations] == [
        "SU1 has ghost 1, but no load “ghost” is in the job",
        "SU1 asks for no lamp at moon",
        "lamp 1 is in the plan twice in SU1",
        "spot 1 is placed in SU1, which does not ask for it",
    ]


def test_a_mistyped_id_of_a_hand_written_plan_is_answered_with_the_one_meant() -> None:
    """Capitals and single letters are what people get wrong."""
    plan = plan_of(put("lmap", "O1"), put("lamp", "o2"), put("lamp", "O1", unit=2, socket=3))
    job = small_job(heads={"lamp": amps(1.0)}, setups=[setup(lamp={"lounge": 2})])
    assert [violation.text for violation in judge(job, plan).violations] == [
        "lamp 1 is plugged in at “o2” in SU1: no such outlet; did you mean O2?",
        "SU1 has lmap 1, but no load “lmap” is in the job; did you mean lamp?",
        "O1 has 2 sockets; SU1 puts a plug into socket 3",
    ]


def test_what_is_unknown_stays_out_of_every_sum() -> None:
    """A second placement of the same lamp does not load the circuit."""
    verdict = judge(small_job(), plan_of(put("lamp", "O1"), put("lamp", "O1", socket=2)))
    assert [u.current_a for u in verdict.usages if u.id == "P1"] == [4.0]


def test_departments_loads_cannot_be_left_out() -> None:
    """Only heads are ours to leave dark."""
    job = small_job(departments={"urn": amps(4.0)}, setups=[setup(on=["urn"])])
    found = judge(job, plan_of(LeftOut(setup="SU1", load="urn", unit=1))).violations
    assert [violation.rule for violation in found] == ["unknown", "missing"]


def test_a_wired_load_takes_no_plug_and_a_load_switched_off_none_either() -> None:
    """Placing what is wired, off, or not asked for is an unknown placement."""
    job = small_job(
        house={
            "pump": amps(1.0, circuit="P1", policy="must stay on"),
            "fridge": amps(1.0, policy="may be off"),
            "dryer": amps(1.0),
        },
        setups=[setup(on=["fridge"])],
    )
    plan = plan_of(
        put("pump", "O1"),
        put("fridge", "O1"),
        put("dryer", "O2"),
        SwitchedOff(setup="SU1", load="fridge"),
        SwitchedOff(setup="SU1", load="dryer"),
    )
    found = judge(job, plan).violations
    assert [violation.rule for violation in found] == ["unknown"] * 4
    assert {violation.where for violation in found} == {"pump 1", "fridge 1", "dryer 1", "dryer"}


def test_units_may_carry_any_numbers_of_the_van() -> None:
    """Lamp 5 of 6 may be the one that is lit; numbers may start afresh at each place."""
    job = small_job(
        heads={"lamp": amps(1.0, count=6)},
        places={"sofa": {"room": "lounge"}},
        setups=[setup(lamp={"lounge": 1, "sofa": 1})],
    )
    for units in ((5, 2), (1, 1)):
        plan = plan_of(
            put("lamp", "O1", unit=units[0], place="lounge"),
            put("lamp", "O2", unit=units[1], place="sofa"),
        )
        assert judge(job, plan).holds


def test_a_board_is_shared_and_different_things_in_a_socket_are_refused() -> None:
    """A plug and a power board cannot be in one socket, nor two kinds of board."""
    boards = [{"ways": 4}, {"ways": 6}]
    for first, second in ((0, None), (0, 1)):
        plan = plan_of(put("lamp", "O1", board=first), put("lamp", "O1", unit=2, board=second))
        found = judge(small_job(power_boards=boards, setups=[TWO]), plan).violations
        assert [violation.rule for violation in found] == ["socket"]


def test_two_leads_for_one_board_are_refused() -> None:
    """All units of a board on a lead name the same lead."""
    job = small_job(
        places={"sofa": {"room": "lounge"}},
        leads=[{"length_m": 5.0, "size_mm2": 1.5}, {"length_m": 10.0, "size_mm2": 1.5}],
        power_boards=[{"ways": 4}],
        setups=[setup(lamp={"sofa": 2})],
    )
    plan = plan_of(*(put("lamp", "O1", unit=u, board=0, board_lead=u - 1) for u in (1, 2)))
    (found,) = judge(job, plan).violations
    assert (found.rule, found.value, found.limit) == ("board lead", 2, 1)


def test_a_lead_with_the_wrong_ends_is_refused_at_each_joint() -> None:
    """A 15 A lead neither enters a 10 A outlet nor, as an adaptor, takes a 15 A plug."""
    job = small_job(
        places={"sofa": {"room": "lounge"}},
        heads={"lamp": amps(4.0, plug="au-15")},
        leads=[{"length_m": 5.0, "size_mm2": 1.5, "plug": "au-15", "socket": "au-10"}],
        setups=[setup(lamp="sofa")],
    )
    found = judge(job, plan_of(put("lamp", "O1", lead=0))).violations
    assert [violation.rule for violation in found] == ["plug", "plug"]


def test_a_capacity_that_rounds_to_nothing_does_not_stop_the_judge() -> None:
    """A breaker of half a milliamp is simply far exceeded."""
    job = small_job(circuits=circuits(P1=0.0005), outlets={"O1": outlet("P1")})
    verdict = judge(job, plan_of(put("lamp", "O1")))
    assert [violation.rule for violation in verdict.violations] == ["circuit"]


def test_the_judge_never_imports_the_solver() -> None:
    """No module of the judge names the solver or its library."""
    import subprocess  # noqa: PLC0415 - a fresh interpreter, so nothing else has imported it
    import sys  # noqa: PLC0415

    code = (
        "import sys, spreadload.check\n"
        "print([m for m in sys.modules if m.startswith(('ortools', 'spreadload.solver'))])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_a_judge_that_has_seen_other_plans_says_the_same() -> None:
    """Set-ups that did not change are not weighed again, and nothing of an old plan stays."""
    job = small_job(setups=[setup("SU1", lamp="lounge"), setup("SU2", lamp="lounge")])
    first = plan_of(put("lamp", "O1"), put("lamp", "O1", name="SU2"))
    later = plan_of(put("lamp", "O1"), put("lamp", "O2", name="SU2"))
    ghost = plan_of(put("lamp", "O1"), put("lamp", "nowhere", name="SU2"))
    seasoned = Judge(Facts.of(job))
    for plan in (first, later, first, ghost, later):
        assert seasoned.judge(plan) == judge(job, plan)


def test_what_a_set_up_costs_by_itself_is_looked_for_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Who tries one change after another changes one set-up; the others cost what they did."""
    job = small_job(setups=[setup("SU1", lamp="lounge"), setup("SU2", lamp="lounge")])
    asked: list[str] = []

    def light_stays(day: goals.Day) -> list[goals.Cause]:
        asked.extend(state.setup for state in day.states)
        return []

    monkeypatch.setitem(goals.GOALS, Goal.LIGHT_STAYS, light_stays)
    judge_ = Judge(Facts.of(job))
    judge_.judge(plan_of(put("lamp", "O1"), put("lamp", "O1", name="SU2")))
    judge_.judge(plan_of(put("lamp", "O1"), put("lamp", "O2", name="SU2")))

    assert asked == ["SU1", "SU2", "SU2"]


def test_an_outlet_that_is_as_it_was_is_not_looked_at_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Who moves one plug changes two outlets; what hangs at the others is not gone over again."""
    on = {"lounge": 3}
    job = small_job(heads={"lamp": amps(1.0, count=3)}, setups=[setup("SU1", lamp=on)])
    seen: list[list[str]] = []

    def off_limits(state: SetupState) -> Iterator[Violation]:
        seen.append(sorted(unit.where for unit in state.plugged))
        yield from ()

    monkeypatch.setitem(HARD_RULES, "off limits", off_limits)
    judge_ = Judge(Facts.of(job))
    kept = [put("lamp", "O1"), put("lamp", "O1", unit=2, socket=2)]
    judge_.judge(plan_of(*kept, put("lamp", "O2", unit=3)))
    judge_.judge(plan_of(*kept, put("lamp", "O2", unit=3, socket=2)))
    judge_.judge(plan_of(*kept, put("lamp", "O2", unit=3, socket=2)))

    assert seen == [["lamp 1", "lamp 2", "lamp 3"], ["lamp 3"]]


def test_a_judge_that_has_seen_another_wiring_says_the_same() -> None:
    """The same plan on another map of the wiring is weighed anew, even if the map was changed."""
    job = small_job(outlets={"O1": outlet(None, maybe_on=["P1", "P2"])})
    plan = plan_of(put("lamp", "O1"))
    seasoned, circuits_of_outlets = Judge(Facts.of(job)), {"O1": "P1"}
    loaded = []
    for circuit_id in ("P1", "P2"):
        circuits_of_outlets["O1"] = circuit_id
        usages = seasoned.judge(plan, circuits_of_outlets).usages
        loaded.append([u.id for u in usages if u.kind == "circuit" and u.current_a > 0])
    assert loaded == [["P1"], ["P2"]]


def test_a_contract_in_watts_is_told_in_amps_at_planning_volts() -> None:
    """3300 W at 230 V are 14.347 A, never rounded up; 10 A of tungsten are 2300 W, 70 % of it."""
    job = small_job(
        supply={"system": "single-phase", "limit_a": 63.0, "planning_v": 230.0, "contract_w": 3300},
        heads={"lamp": amps(10.0)},
    )

    contract = Judge(Facts.of(job)).judge(plan_of(put("lamp", "O1"))).contract

    (usage,) = contract
    assert (usage.kind, usage.limit_a, usage.used_pct) == ("contract", 14.347, 70)
    assert usage.current_a == pytest.approx(10.0, abs=0.01)
