"""What ``sag`` says: the real budget, what comes on, leads, neutral and protection."""

import json

import pytest

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup, small_data
from rule_cases.volts import NEAR, READ
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.on_the_day.volts.sag import Sag, sag
from spreadload.plan import LeftOut, Placement, SwitchedOff
from spreadload.report.sag_data import sag_data
from spreadload.report.sag_text import answer_words, sag_text
from spreadload.report.style import Style


def told(data: Entry, *placements: Placement, **asked: float) -> Sag:
    """Return what the volts do with these placements."""
    return sag(Judge(Facts.of(job_of(data)), always_volts=True), plan_of(*placements), **asked)


def flat(**changes: object) -> Entry:
    """Return a flat on a supply of one ohm, with a regulated lamp of 10 A."""
    data = small_data(
        supply=READ,
        circuits={"P1": circuit(16.0, **NEAR), "P2": circuit(16.0, **NEAR)},
        heads={"lamp": amps(10.0, kind="led", power_factor=1.0)},
        setups=[setup(lamp="lounge")],
    )
    return data | changes


LIT = put("lamp", "O1", place="lounge")


def test_the_real_budget_is_what_the_volts_allow() -> None:
    """At 222 V on 242 V behind one ohm exactly 20 A flow (Ohm's law)."""
    found = told(flat(), LIT, min_v=222.0)
    assert found.budget.current_a == pytest.approx(20.0)
    assert found.budget.is_tighter
    assert "20.0 A, not the 63.0 A of the main limit" in answer_words(found)


def test_yes_is_said_of_heads_that_are_lit_and_no_others() -> None:
    """A head the plan leaves dark gets no volts, so nothing is promised for it."""
    data = flat(heads={"lamp": amps(5.0, kind="led", power_factor=1.0, count=2)})
    data["setups"] = [setup(lamp={"lounge": 2})]
    both = told(data, LIT, put("lamp", "O1", unit=2, place="lounge"))
    assert "every head gets" in answer_words(both)
    plan = plan_of(LIT).model_copy(
        update={"left_out": (LeftOut(setup="SU1", load="lamp", unit=2, place="lounge"),)}
    )
    one = sag(Judge(Facts.of(job_of(data)), always_volts=True), plan)
    assert "every head that is lit (1 left dark by this plan) gets" in answer_words(one)
    dark = {"setup": "SU1", "load": "lamp", "unit": 2, "place": "lounge"}
    assert sag_data(one)["left_dark"] == [dark]


def test_hot_water_that_comes_on_by_itself_takes_heads_down() -> None:
    """A cylinder of 3 kW behind one ohm takes the lamp below 220 V."""
    water: Entry = {
        "kind": "heater", "plate_w": 3000.0, "circuit": "HW", "policy": "may be off",
        "starts_by_itself": True,
    }  # fmt: skip
    data = flat(house={"water": water})
    data["circuits"]["HW"] = circuit(20.0, feeds="water", **NEAR)
    data["heads"] = {"lamp": amps(10.0, kind="led", power_factor=1.0, min_v=220.0)}
    data["setups"] = [setup(lamp="lounge") | {"from": "10:00", "to": "12:00"}]
    plan = plan_of(LIT, SwitchedOff(setup="SU1", load="water"))
    off = sag(Judge(Facts.of(job_of(data)), always_volts=True), plan)
    (each,) = off.setups
    (event,) = each.comes_on
    assert not event.was_on
    assert event.starting is None
    assert [unit.load for unit in event.running.short] == ["lamp"]
    assert not each.likely.short
    assert "would drop out" in sag_text(off, Style())
    night = water | {"starts_from": "01:00", "starts_to": "02:00"}
    (at_ten,) = told(data | {"house": {"water": night}}, LIT).setups
    assert at_ten.comes_on == ()  # outside its hours it draws nothing


def test_a_pump_dips_the_board_as_it_starts() -> None:
    """A motor draws several times its amps for a second, so the dip is deeper than the run."""
    pump: Entry = {
        "kind": "motor", "plate_w": 1000.0, "power_factor": 0.8, "circuit": "P2",
        "policy": "must stay on", "starts_by_itself": True,
    }  # fmt: skip
    (each,) = told(flat(house={"pump": pump}), LIT).setups
    (event,) = each.comes_on
    assert event.was_on
    assert event.starting is not None
    assert event.starting.board_v < event.running.board_v - 5


def test_the_lead_on_the_van_that_would_work_is_named() -> None:
    """The smallest lead that brings the head its volts, not the thickest."""
    data = flat(
        heads={"lamp": amps(9.0, kind="led", power_factor=1.0, min_v=228.5, cord_m=1.0)},
        places={"end": {"room": "lounge", "at": [9, 0]}},
        leads=[
            {"length_m": 15.0, "size_mm2": 1.0},
            {"length_m": 15.0, "size_mm2": 2.5},
            {"length_m": 15.0, "size_mm2": 6.0},
        ],
        setups=[setup(lamp="end")],
    )
    data["outlets"]["O1"] = outlet("P1", "lounge", at=[0, 0])
    (each,) = told(data, put("lamp", "O1", place="end", lead=0)).setups
    (advice,) = each.leads
    assert advice.better == "15 m 2.5 mm²"
    assert advice.better_v >= 228.5
    (unit,) = told(data, put("lamp", "O1", place="end", lead=1)).setups[0].likely.units
    assert unit.volts == pytest.approx(advice.better_v)


def test_what_to_do_without_is_no_more_than_needed() -> None:
    """Of three lamps the least important go, as few as bring the rest its volts."""
    heads = {
        "key": amps(8.0, kind="led", power_factor=1.0, min_v=229.0, priority=1),
        "fill": amps(5.0, kind="led", power_factor=1.0, min_v=210.0, priority=4),
        "glow": amps(2.0, kind="led", power_factor=1.0, min_v=210.0, priority=8),
    }
    data = flat(heads=heads, setups=[setup(key="lounge", fill="lounge", glow="lounge")])
    lit = [put("key", "O1", place="lounge"), put("fill", "O2", place="lounge")]
    (each,) = told(data, *lit, put("glow", "O2", place="lounge", socket=2)).setups
    assert [unit.load for unit in each.relief] == ["fill"]
    gone = {unit.load for unit in each.relief}
    left = [p for p in (*lit, put("glow", "O2", place="lounge", socket=2)) if p.load not in gone]
    assert not told(data, *left).setups[0].likely.short


def test_a_no_is_not_followed_by_a_yes_to_all_amps() -> None:
    """Where a long cable starves a head the board has volts to spare: both are said of one place.

    80 m of 1.5 mm² and 10 A lose about 20 V (IEC 60228, 13.3 ohm a km and conductor at 20 °C).
    """
    data = flat(
        supply={"limit_a": 20.0, "limit_source": "fuse", "planning_v": 230.0},
        circuits={
            "P1": circuit(16.0, cable_m=80.0, cable_mm2=1.5),
            "P2": circuit(16.0, **NEAR),
        },
        heads={"lamp": amps(10.0, kind="led", power_factor=1.0, min_v=215.0)},
    )
    found = told(data, LIT, min_v=190.0)
    assert found.setups[0].likely.short
    assert not found.budget.is_tighter
    said = answer_words(found)
    assert "At the board the volts would allow all of the 20.0 A of the main limit" in said
    assert "lost in the wiring and the leads behind it" in said


def test_what_goes_out_by_itself_is_told_in_turn() -> None:
    """The head that is shortest for what it works at goes; those it leaves room for stay on."""
    heads = {
        "far": amps(6.0, kind="led", power_factor=1.0, min_v=228.0),
        "near": amps(6.0, kind="led", power_factor=1.0, min_v=227.0),
        "easy": amps(3.0, kind="led", power_factor=1.0, min_v=220.0),
    }
    data = flat(heads=heads, setups=[setup(far="lounge", near="lounge", easy="lounge")])
    lit = [put("far", "O1", place="lounge"), put("near", "O2", place="lounge")]
    found = told(data, *lit, put("easy", "O2", place="lounge", socket=2))
    (each,) = found.setups
    assert {unit.load for unit in each.likely.short} == {"far", "near"}
    assert each.goes_out is not None
    assert [unit.load for unit in each.goes_out.units] == ["far"]
    assert (
        not told(data, lit[1], put("easy", "O2", place="lounge", socket=2)).setups[0].likely.short
    )
    text = sag_text(found, Style())
    assert "Left alone, far at lounge goes out first; after that the rest stays on." in text
    out = [{"load": "far", "unit": 1, "outlet": "O1"}]
    assert f'"goes_out": {json.dumps(out)}' in json.dumps(sag_data(found))


def test_a_collapse_ends_when_enough_has_gone_out() -> None:
    """More than E²/4R cannot be carried; what goes out of it by itself is told all the same."""
    heads = {
        "huge": amps(14.0, kind="led", power_factor=1.0, min_v=207.0),
        "small": amps(2.0, kind="led", power_factor=1.0, min_v=207.0),
    }
    pair = {"at": "board", "idle_v": 240.0, "loaded_v": 178.0, "load_a": 10.0}
    supply = {"limit_a": 63.0, "planning_v": 230.0, "readings": [pair]}
    data = flat(heads=heads, supply=supply, setups=[setup(huge="lounge", small="lounge")])
    found = told(data, put("huge", "O1", place="lounge"), put("small", "O2", place="lounge"))
    (each,) = found.setups
    assert each.likely.collapse
    assert each.goes_out is not None
    assert [unit.load for unit in each.goes_out.units] == ["huge"]
    assert not each.goes_out.collapses
    assert "huge at lounge goes out first" in sag_text(found, Style())


def test_a_split_supply_warns_of_a_broken_neutral() -> None:
    """Ten amps against one: without the neutral the light side sees most of both legs (Millman)."""
    supply: Entry = {
        "system": "split-phase", "limit_a": 100.0, "planning_v": 120.0,
        "readings": [{"at": "board", "idle_v": 120.0, "loaded_v": 119.0, "load_a": 10.0}],
    }  # fmt: skip
    data = small_data(
        region="US",
        supply=supply,
        circuits={"P1": circuit(15.0, phase="A", **NEAR), "P2": circuit(15.0, phase="B", **NEAR)},
        heads={"big": amps(10.0), "small": amps(1.0)},
        setups=[setup(big="lounge", small="bed")],
    )
    lit = put("big", "O1", place="lounge"), put("small", "O2", place="bed")
    (each,) = told(data, *lit).setups
    assert each.broken is not None
    assert each.broken.worst_v == pytest.approx(240.0 * 10 / 11, rel=0.01)
    assert "licensed electrician" in sag_text(told(data, *lit), Style())


def test_protection_is_told_in_time_not_as_a_cliff() -> None:
    """Above 80 % a circuit is told with how long it may hold; at 144 % minutes to an hour."""
    data = flat(circuits={"P1": circuit(7.0, **NEAR), "P2": circuit(16.0, **NEAR)})
    (each,) = told(data, LIT).setups
    words = [loaded.alone.words for loaded in each.protection]
    assert any("minutes to an hour" in said for said in words)


def test_nobody_says_how_long_a_contract_holds() -> None:
    """10 of 11 A are told of a fuse, and of a limiter of as much nothing."""
    fuse, meter = flat(), flat()
    fuse["supply"] = READ | {"limit_a": 11.0, "limit_source": "service fuse"}
    meter["supply"] = READ | {"limit_a": 11.0, "limit_is_contract": True}
    named = [
        [loaded.name for loaded in told(data, LIT).setups[0].protection] for data in (fuse, meter)
    ]
    assert named == [["The supply"], []]


def test_a_warm_board_leaves_less_of_the_rating() -> None:
    """15 A of 16 A hold; at 45 °C 0.9 of it is left (a maker's table), so that 15 A are 104 %."""
    data = flat(heads={"lamp": amps(15.0, kind="tungsten")})
    cool, warm = told(data, LIT), told(data, LIT, board_c=45.0)
    (held,), (less,) = cool.setups[0].protection, warm.setups[0].protection
    assert held.factor == 1.0
    assert less.factor == pytest.approx(0.9)
    assert less.grouped.ratio == pytest.approx(less.alone.ratio / 0.9)
    assert "in the board" not in sag_text(cool, Style())
    text = " ".join(sag_text(warm, Style()).split())
    assert "at 45 °C in the board 0.9 of the rating is left" in text


@pytest.mark.parametrize(("second_a", "is_told"), [(10.0, False), (2.0, True)])
def test_uneven_lines_are_told(second_a: float, *, is_told: bool) -> None:
    """Ten amps against two are 67 % off their mean of six."""
    supply: Entry = {
        "system": "split-phase",
        "limit_a": 63.0,
        "planning_v": 120.0,
        "readings": [{"at": "board", "idle_v": 121.0, "loaded_v": 119.0, "load_a": 10.0}],
    }
    data = flat(
        supply=supply,
        circuits={"P1": circuit(16.0, phase="A", **NEAR), "P2": circuit(16.0, phase="B", **NEAR)},
        heads={"lamp": amps(10.0), "other": amps(second_a)},
        setups=[setup(lamp="lounge", other="lounge")],
    )
    text = sag_text(told(data, LIT, put("other", "O2", place="lounge")), Style())
    assert ("off their mean" in text) is is_told


def test_an_assumed_supply_is_said_to_be_assumed() -> None:
    """Without readings the answer hangs on an assumption and says so, and how to do better."""
    data = flat(supply={"limit_a": 63.0, "planning_v": 230.0})
    text = sag_text(told(data, LIT), Style())
    assert text.startswith("If the supply is as assumed")
    assert "Nothing is refused on an assumed supply" in text


def test_every_line_fits_the_terminal() -> None:
    """No line is wider than asked for, whatever the names."""
    data = flat(heads={"lamp": amps(10.0, kind="led", what="a head with a very long name " * 3)})
    for line in sag_text(told(data, LIT), Style(width=60)).splitlines():
        assert len(line) <= 80


def test_data_and_text_tell_the_same_volts() -> None:
    """The data carries the volts of every unit that the text shows."""
    found = told(flat(), LIT)
    data = json.loads(json.dumps(sag_data(found)))
    assert data["setups"][0]["units"][0]["volts"] == found.setups[0].likely.units[0].volts


def test_even_lines_give_more_than_one_line_alone() -> None:
    """On three phases an empty neutral takes no volts: 0.6 of the loop counts (IEC 60725)."""
    found = told(flat(supply=READ | {"system": "three-phase"}), LIT, min_v=222.0)
    assert found.budget.alone_a == pytest.approx(20.0)
    assert found.budget.current_a == pytest.approx(20.0 / 0.6)
    assert "per phase with the phases evenly loaded, 20.0 A on one phase alone" in answer_words(
        found
    )


def test_a_shared_neutral_is_told_once_though_both_circuits_state_it() -> None:
    """Whether one of a pair states it or both, a reader hears it once."""
    supply: Entry = {
        "system": "split-phase", "limit_a": 100.0, "planning_v": 120.0,
        "readings": [{"at": "board", "idle_v": 120.0, "loaded_v": 119.0, "load_a": 10.0}],
    }  # fmt: skip
    pair = {
        "P1": circuit(15.0, phase="A", shares_neutral_with="P2", **NEAR),
        "P2": circuit(15.0, phase="B", shares_neutral_with="P1", **NEAR),
    }
    data = small_data(region="US", supply=supply, circuits=pair)
    assert len(told(data, put("lamp", "O1", place="lounge")).shared_neutrals) == 1


def test_the_least_of_a_day_is_told_with_its_set_up() -> None:
    """On a day of one nobody has to be told which."""
    one = told(flat(), LIT)
    assert "lamp at lounge." in answer_words(one)
    two = flat(setups=[setup(lamp="lounge"), setup("SU2", lamp="lounge")])
    seen = told(two, LIT, put("lamp", "O1", name="SU2", place="lounge"))
    assert "at lounge in SU" in answer_words(seen)
