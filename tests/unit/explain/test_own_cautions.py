"""Cautions that come from the plan itself."""

import pytest

from builders import Entry, amps, circuit, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.judged import JudgedPlan
from spreadload.explain.own_cautions import own_cautions
from spreadload.plan import Placement


def told(*placements: Placement) -> tuple[str, ...]:
    """Return the cautions of a plan with an iron and a lamp at one plate.

    The advice is that of the caution "heat off boards" in practice/data/cautions.yaml.
    """
    job = small_job(
        outlets={"O1": outlet("P1", "lounge", sockets=1)},
        departments={"iron": amps(3.0, kind="heater", outlet="O1")},
        power_boards=[{"ways": 4}],
        setups=[setup(lamp="lounge", on=["iron"])],
    )
    facts = Facts.of(job)
    return own_cautions(JudgedPlan.of(facts, Judge(facts), plan_of(*placements)))


def test_heat_on_a_board_is_told() -> None:
    """The load, the outlet and the set-up are named."""
    lamp = put("lamp", "O1", place="lounge", board=0)
    (said,) = told(put("iron", "O1", board=0), lamp)
    assert said.startswith("iron at O1 hangs on a power board in SU1")


@pytest.mark.parametrize(("leakage_ma", "is_told"), [(5.0, False), (5.1, True)])
def test_a_board_that_leaks_near_its_own_rcd_is_told(leakage_ma: float, *, is_told: bool) -> None:
    """Three heads of 5 mA stay at half of 30 mA; a little more may open it.

    A device need not hold above half its rating: IEC 61008-1.
    """
    job = small_job(
        heads={"lamp": amps(1.0, count=3, leakage_ma=leakage_ma)},
        power_boards=[{"ways": 4, "rcd_ma": 30}],
        setups=[setup(lamp={"lounge": 3})],
    )
    facts = Facts.of(job)
    lamps = [put("lamp", "O1", unit=n, place="lounge", board=0) for n in (1, 2, 3)]
    said = own_cautions(JudgedPlan.of(facts, Judge(facts), plan_of(*lamps)))
    assert [text.startswith("The 4-way board at O1 leaks 15.3 mA in SU1") for text in said] == (
        [True] if is_told else []
    )


@pytest.mark.parametrize(
    ("region", "lead", "is_told"),
    [
        # IET in-service inspection code, table 15.4: 15 m of 1.5 mm²; verified in public text.
        ("UK", {"length_m": 15.0, "size_mm2": 1.5}, False),
        ("UK", {"length_m": 16.0, "size_mm2": 1.5}, True),
        # AS/NZS 3012 lead-length table: 35 m of 1.5 mm² at 10 A; from memory.
        ("AU", {"length_m": 35.0, "size_mm2": 1.5}, False),
        ("AU", {"length_m": 36.0, "size_mm2": 1.5}, True),
        # UL 817 practice: 14 AWG to 100 ft at 13 A, 50 ft at 15 A; verified in public text.
        ("US", {"length_ft": 50.0, "size_awg": 14}, False),
        ("US", {"length_ft": 51.0, "size_awg": 14}, True),
        ("US", {"length_ft": 100.0, "size_awg": 14, "rating_a": 13.0}, False),
        # No figure was found for the continent, so none is told.
        ("EU", {"length_m": 60.0, "size_mm2": 1.5}, False),
    ],
)
def test_a_lead_longer_than_is_advised_is_told(
    region: str, lead: dict[str, float], *, is_told: bool
) -> None:
    """Only of leads in use, and with the document the length is from."""
    job = small_job(region=region, leads=[lead | {"count": 1}], supply={"limit_a": 60.0})
    facts = Facts.of(job)
    for used, expected in ((0, is_told), (None, False)):
        plan = plan_of(put("lamp", "O1", place="lounge", lead=used))
        said = own_cautions(JudgedPlan.of(facts, Judge(facts), plan))
        assert any("is advised for" in text for text in said) is expected


def test_heat_in_an_outlet_needs_no_word() -> None:
    """A lamp on a board beside it is no matter."""
    assert told(put("iron", "O1"), put("lamp", "O1", place="lounge", board=0)) == ()


@pytest.mark.parametrize(
    ("ring", "amps_each", "is_told"),
    [(True, 10.1, True), (True, 10.0, False), (False, 10.1, False)],
)
def test_a_ring_above_what_one_leg_carries_is_told(
    amps_each: float, *, ring: bool, is_told: bool
) -> None:
    """BS 7671 433.1.204: the cable of a 32 A ring is good for 20 A; one leg open, it has them all.

    By hand: 2 x 10.1 A are 20.2 A, more than 20 A and well within the 32 A breaker.
    """
    job = small_job(
        region="UK",
        circuits={"P1": circuit(32.0, ring=ring), "P2": circuit(32.0)},
        outlets={"O1": outlet("P1", "lounge", plug="uk-13"), "O2": outlet("P2", "bed")},
        heads={"lamp": amps(amps_each, count=2)},
        setups=[setup(lamp={"lounge": 2})],
    )
    facts = Facts.of(job)
    lamps = [put("lamp", "O1", unit=n, socket=n, place="lounge") for n in (1, 2)]
    said = own_cautions(JudgedPlan.of(facts, Judge(facts), plan_of(*lamps)))
    told_of = ["The ring P1 “PLUGS” carries more than 20 A in SU1"] if is_told else []
    assert [text.split(":")[0] for text in said] == told_of


@pytest.mark.parametrize(
    ("region", "amps_each", "is_told"),
    [("JP", 15.1, True), ("JP", 15.0, False), ("US", 15.1, False)],
)
def test_legs_that_pass_a_contract_together_are_told(
    region: str, amps_each: float, *, is_told: bool
) -> None:
    """Of a Japanese contract of 30 A both legs together may take 30 A, each alone far less.

    Source: the note on the service limiter in practice/data/regions/jp.yaml. By hand: 2 x 15.1 A.
    """
    job = small_job(
        region=region,
        supply={"system": "split-phase", "limit_a": 30.0, "planning_v": 100.0},
        circuits={"P1": circuit(20.0, phase="A"), "P2": circuit(20.0, phase="B")},
        outlets={name: outlet(way, plug="us-20") for name, way in (("O1", "P1"), ("O2", "P2"))},
        heads={"lamp": amps(amps_each, count=2)},
        setups=[setup(lamp={"lounge": 1, "bed": 1})],
    )
    facts = Facts.of(job)
    lamps = (put("lamp", "O1", place="lounge"), put("lamp", "O2", unit=2, place="bed"))
    said = own_cautions(JudgedPlan.of(facts, Judge(facts), plan_of(*lamps)))
    assert [text.split(".")[0] for text in said] == (
        ["A limiter by contract may count both legs together: they take 30"] if is_told else []
    )


def on_two_circuits(p1: Entry, p2: Entry, current_a: float) -> list[str]:
    """Return the cautions of one lamp on each of two 15 A circuits of a split-phase house."""
    job = small_job(
        region="US",
        supply={"system": "split-phase", "limit_a": 100.0, "planning_v": 120.0},
        circuits={"P1": circuit(15.0, **p1), "P2": circuit(15.0, **p2)},
        outlets={"O1": outlet("P1", "lounge", switched=True), "O2": outlet("P2", "bed")},
        heads={"lamp": amps(current_a, count=2)},
        setups=[setup(lamp={"lounge": 1, "bed": 1})],
    )
    facts = Facts.of(job)
    lamps = (put("lamp", "O1", place="lounge"), put("lamp", "O2", unit=2, place="bed"))
    told_of = own_cautions(JudgedPlan.of(facts, Judge(facts), plan_of(*lamps)))
    return [text for text in told_of if "wall" not in text]


def test_a_neutral_shared_on_one_leg_adds_up() -> None:
    """2 x 8 A of one leg come back as 16 A on a wire that 15 A breakers guard.

    Source: NEC 210.4 lets circuits share a neutral only between ungrounded conductors of different
    legs, because of just this sum.
    """
    (said,) = on_two_circuits({"phase": "A", "shares_neutral_with": "P2"}, {"phase": "A"}, 8.0)
    assert "share a neutral on one line, which carries 16.0 A in SU1" in said
    assert on_two_circuits({"phase": "A", "shares_neutral_with": "P2"}, {"phase": "A"}, 7.5) == []


def test_a_neutral_shared_between_legs_is_told_once() -> None:
    """Either circuit, or both, may say it; the sign of a loose one is lamps that get brighter."""
    (said,) = on_two_circuits(
        {"phase": "A", "shares_neutral_with": "P2"},
        {"phase": "B", "shares_neutral_with": "P1"},
        8.0,
    )
    assert said.startswith("P1 “PLUGS” and P2 “PLUGS” share a neutral: should lamps")


def test_arc_fault_breakers_under_heads_are_told() -> None:
    """Common practice, no source: some drivers and dimmers look like an arc."""
    (said,) = on_two_circuits({"phase": "A", "arc_fault": True}, {"phase": "B"}, 8.0)
    assert said.startswith("P1 “PLUGS” has an arc-fault breaker: dimmers")


def test_a_plate_behind_a_wall_switch_is_told_where_it_is_used() -> None:
    """Half-switched receptacles go dead with the switch by the door (common practice)."""
    job = small_job(outlets={"O1": outlet("P1", switched=True), "O2": outlet("P2", switched=True)})
    facts = Facts.of(job)
    plan = plan_of(put("lamp", "O1", place="lounge"))
    (said,) = own_cautions(JudgedPlan.of(facts, Judge(facts), plan))
    assert said.startswith("O1 goes dead with a switch on the wall")


def test_an_outlet_that_may_be_off_limits_is_told() -> None:
    """Nobody knows whether O1 is on P1 or on P9, which is off limits; a tested one is not told."""
    circuits = {"P1": circuit(10.0), "P9": circuit(10.0, use="off limits")}

    def said(o1: Entry) -> str:
        job = small_job(circuits=circuits, outlets={"O1": {"room": "lounge", "sockets": 2} | o1})
        facts = Facts.of(job)
        lit = plan_of(put("lamp", "O1", place="lounge"))
        return " ".join(own_cautions(JudgedPlan.of(facts, Judge(facts), lit)))

    assert "O1 may be on P9 “PLUGS”, which is off limits: find out" in said({})
    assert "off limits" not in said({"circuit": "P1", "known": "tested"})


@pytest.mark.parametrize(("known", "holds"), [("guessed", True), ("told", False)])
def test_a_mere_guess_puts_no_outlet_off_limits(known: str, *, holds: bool) -> None:
    """The commands of the day go by the likeliest wiring: what it guesses forbids nothing.

    Else a plan whose odds are good would be refused on the day as one that nobody may use.
    """
    job = small_job(
        circuits={"P1": circuit(10.0), "P9": circuit(10.0, use="off limits")},
        outlets={"O1": outlet("P9", "lounge", known=known)},
    )
    judged = Judge(Facts.of(job)).judge(plan_of(put("lamp", "O1", place="lounge")))
    assert judged.holds is holds


@pytest.mark.parametrize(
    ("region", "second_phase", "is_told"),
    [("EU", "L2", True), ("EU", "L1", False), ("AU", "L3", True), ("US", "L2", False)],
)
def test_phases_that_meet_at_one_place_are_told(
    region: str, second_phase: str, *, is_told: bool
) -> None:
    """Two lamps in the lounge on two phases of a 230/400 V supply (IEC 60038), one of them by lead.

    On one phase there is nothing to tell, and where phases have 208 V between them no word is kept.
    """
    job = small_job(
        region=region,
        supply={"system": "three-phase", "limit_a": 32.0},
        circuits={"P1": circuit(10.0, phase="L1"), "P2": circuit(10.0, phase=second_phase)},
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed")},
        heads={"lamp": amps(2.0, count=2, cord_m=30.0)},
        setups=[setup(lamp={"lounge": 2})],
    )
    facts = Facts.of(job)
    plan = plan_of(put("lamp", "O1", place="lounge"), put("lamp", "O2", unit=2, place="lounge"))
    said = own_cautions(JudgedPlan.of(facts, Judge(facts), plan))
    assert [text.split(".")[0] for text in said] == ["Phases meet at lounge"] * is_told


@pytest.mark.parametrize(("use", "is_told"), [("bathroom", True), ("bedroom", False)])
def test_heads_on_a_bathroom_outlet_are_told(use: str, *, is_told: bool) -> None:
    """Water and mains: heads run from there only with care (BS 7671 part 701 asks for 30 mA)."""
    job = small_job(rooms={"lounge": {"use": "living"}, "bed": {"use": use}})
    facts = Facts.of(job)
    plan = plan_of(put("lamp", "O2", place="lounge"))
    said = own_cautions(JudgedPlan.of(facts, Judge(facts), plan))
    assert [text.split(":")[0] for text in said] == (["O2 is in a bathroom"] if is_told else [])
