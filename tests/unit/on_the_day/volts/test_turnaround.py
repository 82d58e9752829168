"""Killing, moving and striking in an order that passes no limit."""

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup, small_data
from spreadload.app.volts import TurnTold, turn
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode
from spreadload.job.observations import Log, Observation, Seen
from spreadload.on_the_day.volts.turnaround import Do, Turn, turns
from spreadload.plan import Impossible, Plan
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.search.ranked_plans import find_plans


def day(**changes: object) -> Entry:
    """Return two set-ups of a flat with two circuits of 10 A."""
    data = small_data(
        circuits={"P1": circuit(10.0, curve="C"), "P2": circuit(10.0, curve="C")},
        heads={"lamp": amps(6.0, kind="led"), "panel": amps(3.0, kind="led")},
        setups=[setup("SU1", lamp="lounge"), setup("SU2", lamp="bed", panel="lounge")],
    )
    return data | changes


def work_out(data: Entry, plan: Plan) -> tuple[Turn, ...]:
    """Return the change-overs of a plan."""
    return turns(Judge(Facts.of(job_of(data))), plan)


def test_what_goes_is_killed_before_anything_is_struck() -> None:
    """Kill, then move, then strike; every moment within limits."""
    plan = plan_of(
        put("lamp", "O1", place="lounge"),
        put("lamp", "O2", name="SU2", place="bed"),
        put("panel", "O1", name="SU2", place="lounge"),
    )
    first, second = work_out(day(), plan)
    assert [step.do for step in first.steps] == [Do.STRIKE]
    order = [step.do for step in second.steps]
    assert order == sorted(order, key=list(Do).index)
    assert first.is_safe
    assert second.is_safe


def test_what_stays_is_left_alone() -> None:
    """A head at the same outlet in both set-ups is neither killed nor struck."""
    plan = plan_of(
        put("lamp", "O1", place="lounge"),
        put("lamp", "O1", name="SU2", place="lounge"),
        put("panel", "O2", name="SU2", place="lounge"),
    )
    data = day(setups=[setup("SU1", lamp="lounge"), setup("SU2", lamp="lounge", panel="lounge")])
    second = work_out(data, plan)[1]
    assert [(step.do, step.load) for step in second.steps] == [(Do.STRIKE, "panel")]
    assert len(second.stays) == 1


def _discharge(count: int) -> tuple[Entry, Plan]:
    lamp = amps(6.0, kind="discharge", power_factor=0.98, cool_down_min=12.0, count=count)
    data = day(
        heads={"lamp": lamp, "panel": amps(3.0, kind="led")},
    )
    plan = plan_of(
        put("lamp", "O1", place="lounge"),
        put("lamp", "O2", name="SU2", place="bed"),
        put("panel", "O1", name="SU2", place="lounge"),
    )
    return data, plan


def test_a_hot_discharge_head_waits_and_is_struck_last() -> None:
    """Its cool-down counts from the kill; what is cold is lit first."""
    second = work_out(*_discharge(count=1))[1]
    assert [(s.load, s.not_before_min) for s in second.steps if s.do is Do.STRIKE] == [
        ("panel", 0),
        ("lamp", 12),
    ]


def test_a_cold_spare_on_the_van_saves_the_wait() -> None:
    """With two units on the van the second is lit while the first cools."""
    second = work_out(*_discharge(count=2))[1]
    assert Do.MOVE not in {step.do for step in second.steps}
    assert all(step.not_before_min == 0 for step in second.steps)


def test_a_large_tungsten_on_a_sensitive_breaker_is_marked() -> None:
    """Sixteen times 9 A is above three times 10 A: curve B may open at once (IEC 60898-1)."""
    data = day(
        circuits={"P1": circuit(10.0, curve="B"), "P2": circuit(10.0, curve="B")},
        heads={"lamp": amps(9.0)},
        setups=[setup("SU1", lamp="lounge")],
    )
    (only,) = work_out(data, plan_of(put("lamp", "O1", place="lounge")))
    assert not only.is_safe
    assert any("P1" in words for words in only.steps[0].warnings)


def test_a_contract_is_no_fuse_that_an_inrush_could_blow() -> None:
    """Sixteen times 9 A blow a small service fuse; a meter of as many amps counts by its own rule.

    A fuse has to carry the pulse (IEC 60269); that a meter does not open for one is common
    practice, no source.
    """
    fuse: Entry = {"limit_a": 10.0, "limit_source": "service fuse", "planning_v": 230.0}
    meter: Entry = {"contract_va": 2300.0, "planning_v": 230.0}
    wide = {name: circuit(63.0, curve="D") for name in ("P1", "P2")}
    lamp = plan_of(put("lamp", "O1", place="lounge"))
    at_the_fuse, at_the_meter = (
        work_out(
            day(
                supply=supply,
                circuits=wide,
                heads={"lamp": amps(9.0, kind="tungsten")},
                setups=[setup("SU1", lamp="lounge")],
            ),
            lamp,
        )[0]
        for supply in (fuse, meter)
    )
    assert not at_the_fuse.is_safe
    assert at_the_meter.is_safe


def test_what_holds_another_phase_up_is_killed_late() -> None:
    """Killed largest first, 14 A of L2 or L3 would leave the key on L1 short: 229.8 V of 231.

    V1 = E - Zl·I1 - Zn·Re(In) with 0.6 and 0.4 ohm, loads in step with their volts (Kirchhoff).
    """
    names = ("L1", "L2", "L3")
    near = {"cable_m": 0.0, "cable_mm2": 2.5}
    pair = {"at": "board", "idle_v": 242.0, "loaded_v": 232.0, "load_a": 10.0}

    def lamp(current_a: float, min_v: float) -> Entry:
        return amps(current_a, kind="led", power_factor=1.0, min_v=min_v, plug="au-15")

    data = small_data(
        supply={
            "system": "three-phase",
            "limit_a": 63.0,
            "planning_v": 230.0,
            "readings": [pair],
        },
        circuits={f"P{n}": circuit(20.0, phase=p, **near) for n, p in enumerate(names, 1)},
        outlets={f"O{n}": outlet(f"P{n}", "lounge", plug="au-15") for n in (1, 2, 3)},
        heads={
            "key": lamp(10.0, 231.0),
            "spill": lamp(5.0, 200.0),
            "left": lamp(14.0, 200.0),
            "right": lamp(14.0, 200.0),
        },
        setups=[
            setup("SU1", key="lounge", spill="lounge", left="lounge", right="lounge"),
            setup("SU2", key="lounge"),
        ],
    )
    lit = [put("spill", "O1", place="lounge", socket=2)]
    lit += [put("left", "O2", place="lounge"), put("right", "O3", place="lounge")]
    both = [put("key", "O1", name=name, place="lounge") for name in ("SU1", "SU2")]
    plan = plan_of(*lit, *both)
    assert Judge(Facts.of(job_of(data))).judge(plan).holds
    second = work_out(data, plan)[1]
    assert second.steps[0].load == "spill"
    assert second.is_safe
    largest_first = plan_of(lit[0], lit[2], both[0])
    told = Judge(Facts.of(job_of(data))).judge(largest_first).violations
    assert any(v.rule == "volts" and v.where == "key 1" for v in told)


def test_a_supply_that_was_read_and_a_lead_hold_an_inrush_down() -> None:
    """I/(1 + I·Z/V) (Ohm's law); what is only assumed of supply and wiring helps nobody."""
    lead = {"leads": [{"length_m": 50, "size_mm2": 1.5, "count": 1}]}
    data = day(
        circuits={"P1": circuit(16.0, curve="C"), "P2": circuit(16.0, curve="C")},
        heads={"lamp": amps(6.0, cord_m=1)},
        setups=[setup("SU1", lamp="lounge")],
        **lead,
    )
    plan = plan_of(put("lamp", "O1", place="lounge", lead=0))
    assert "60 to 96 A" in work_out(data, plan)[0].steps[0].warnings[0]
    pair = {"at": "board", "idle_v": 240.0, "loaded_v": 232.0, "load_a": 10.0}
    data["supply"] = data["supply"] | {"readings": [pair]}
    supply_ohm = 0.8 - 2 * (0.1**2 + 0.1**2 + 0.5**2) ** 0.5 / 10
    lead_ohm = 2 * 50 * 13.3 / 1000  # IEC 60228 class 5, cold
    most_a = 96 / (1 + 96 * (supply_ohm + lead_ohm) / 240)
    assert most_a < 80  # five times 16 A, where curve C begins (IEC 60898-1)
    assert not work_out(data, plan)[0].steps[0].warnings
    data["circuits"]["P1"] |= {"curve": "B"}
    assert f"to {most_a:.0f} A" in work_out(data, plan)[0].steps[0].warnings[0]


def test_a_plan_over_its_limits_says_so_at_the_step() -> None:
    """The step that passes the breaker carries the judge's own words."""
    plan = plan_of(
        put("lamp", "O1", name="SU2", place="bed"),
        put("panel", "O1", name="SU2", place="lounge", socket=2),
    )
    data = day(heads={"lamp": amps(8.0, kind="led"), "panel": amps(3.0, kind="led")})
    second = work_out(data, plan)[1]
    passed = [step.passes for step in second.steps]
    assert passed[0] == ()
    assert any("P1" in words for words in passed[1])


def untraced(likeliest_of_o2: str) -> TurnTold:
    """Return the order for two heads of 6 A at outlets nobody traced, O1 most likely on P1."""
    odds = {"P1": 1.0, "P2": 1.0} | {likeliest_of_o2: 9.0}
    job = job_of(
        day(
            outlets={"O1": outlet(None, "lounge"), "O2": outlet(None, "bed"), "O3": outlet("P1")},
            heads={"lamp": amps(6.0, kind="led"), "panel": amps(6.0, kind="led")},
            setups=[setup("SU1", lamp="lounge", panel="bed")],
            wiring={"outlets": {"O1": {"P1": 9.0, "P2": 1.0}, "O2": odds}},
        )
    )
    return turn(job, plan_of(put("lamp", "O1", place="lounge"), put("panel", "O2", place="bed")))


def test_untraced_outlets_are_taken_as_is_likeliest() -> None:
    """A breaker that would only be over on an unlikely wiring is no mark at every step."""
    told = untraced("P2")
    assert told.taken == {"O1": "P1", "O2": "P2"}
    assert told.exit_code is ExitCode.HOLDS
    assert "Not traced, taken as is likeliest: O1 on P1; O2 on P2." in told.text()
    assert told.data()["circuits_taken"] == told.taken


def test_what_the_likeliest_wiring_cannot_carry_is_still_marked() -> None:
    """Two heads of 6 A on one breaker of 10 A are over with the second one."""
    told = untraced("P1")
    assert told.taken == {"O1": "P1", "O2": "P1"}
    assert told.exit_code is ExitCode.BREAKS_A_LIMIT
    assert [len(step.passes) for step in told.turns[0].steps] == [0, 1]
    assert "12.0 A" in told.turns[0].steps[1].passes[0]


def test_what_the_owner_told_moves_the_likeliest_wiring() -> None:
    """A story in the log proves nothing, but it is likelier than the odds of one in ten."""
    job = job_of(
        day(
            outlets={"O1": outlet(None, "lounge"), "O2": outlet(None, "bed"), "O3": outlet("P1")},
            setups=[setup("SU1", lamp="lounge")],
            wiring={"outlets": {"O1": {"P1": 6.0, "P2": 4.0}}},
        )
    )
    plan = plan_of(put("lamp", "O1", place="lounge"))
    story = Observation(what=Seen.STORY, circuits=("P2",), dark=("O1",))
    assert turn(job, plan).taken == {"O1": "P1"}
    assert turn(job, plan, log=Log(observations=(story,))).taken == {"O1": "P2"}


def test_what_moves_is_called_by_the_number_it_was_killed_under() -> None:
    """Two of three tubes are lit and go elsewhere; the third is cold: 1 and 2 move, 3 is new."""
    data = day(
        heads={"tube": amps(1.0, kind="led", count=3)},
        setups=[setup("SU1", tube={"lounge": 2}), setup("SU2", tube={"bed": 3})],
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed", sockets=3)},
    )
    plan = plan_of(
        *(put("tube", "O1", unit=n, place="lounge", socket=n) for n in (1, 2)),
        *(put("tube", "O2", unit=n, name="SU2", place="bed", socket=n) for n in (1, 2, 3)),
    )
    second = work_out(data, plan)[1]
    named = [(step.do, step.what[-1]) for step in second.steps if step.do is not Do.STRIKE]
    assert named == [(Do.KILL, "1"), (Do.KILL, "2"), (Do.MOVE, "1"), (Do.MOVE, "2")]


def test_where_no_plan_holds_the_one_that_plan_shows_is_switched() -> None:
    """SU2 asks for 21 A of 20 A; SU1 fits, and no order there passes a limit."""
    lamps = {"lamp": amps(6.0, kind="led"), "panel": amps(3.0, kind="led", count=5)}
    data = day(
        heads=lamps,
        outlets={"O1": outlet("P1", "lounge", sockets=4), "O2": outlet("P2", "bed", sockets=4)},
        setups=[
            setup("SU1", lamp="lounge", panel={"bed": 3}),
            setup("SU2", lamp="bed", panel={"bed": 5}),
        ],
    )
    told = turn(job_of(data))
    assert told.looked_at.endswith("This is the fullest one that does.")
    assert not [step.passes for each in told.turns for step in each.steps if step.passes]
    lit = [step.load for step in told.turns[0].steps]
    assert sorted(lit) == ["lamp", "panel", "panel", "panel"]


def test_the_best_split_of_everything_overloads_no_set_up_that_fits() -> None:
    """21 A of 20 A in SU2 are no reason to put 12 A on one of the two circuits in SU1."""
    data = day(
        heads={"lamp": amps(6.0, kind="led", count=2), "panel": amps(3.0, kind="led", count=3)},
        outlets={"O1": outlet("P1", "lounge", sockets=4), "O2": outlet("P2", "bed", sockets=4)},
        setups=[setup("SU1", lamp={"bed": 2}), setup("SU2", lamp={"bed": 2}, panel={"bed": 3})],
    )
    facts = Facts.of(job_of(data))
    outcome = find_plans(facts, Judge(facts), SolverConfig(time_limit_s=5.0, alternatives=0))
    assert isinstance(outcome, Impossible)
    assert outcome.nearest is not None
    assert {violation.setup for violation in outcome.nearest[1].violations} == {"SU2"}
