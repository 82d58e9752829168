"""A limit that is reached exactly is kept, one step more passes it; leads and boxes add up."""

import pytest

from builders import Entry, amps, circuit, circuits, outlet, plan_of, put, setup, small_job
from spreadload.check import judge
from spreadload.derived.facts import Facts
from spreadload.plan import Plan

TWO = setup(lamp={"lounge": 2})
ROOM: Entry = {"rooms": {"lounge": {}}}
ON_BOARD = plan_of(*(put("lamp", "O1", unit=unit, board=0) for unit in (1, 2)))
TOGETHER = plan_of(put("lamp", "O1"), put("lamp", "O1", unit=2, socket=2))


def rules_broken(plan: Plan, **changes: object) -> set[str]:
    """Return the names of the rules that a plan of the small flat breaks."""
    return {v.rule for v in judge(small_job(**changes), plan).violations}


@pytest.mark.parametrize(("current_a", "broken"), [(5.0, set()), (5.001, {"circuit"})])
def test_a_breaker_is_full_at_its_rating(current_a: float, broken: set[str]) -> None:
    """Two lamps of 5 A fill a 10 A breaker."""
    assert rules_broken(TOGETHER, heads={"lamp": amps(current_a)}, setups=[TWO]) == broken


@pytest.mark.parametrize(("current_a", "broken"), [(5.0, set()), (5.001, {"socket amps"})])
def test_a_socket_is_full_at_its_rating(current_a: float, broken: set[str]) -> None:
    """A board of two 5 A lamps fills a 10 A socket."""
    found = rules_broken(
        ON_BOARD,
        circuits=circuits(P1=20.0, P2=10.0),
        heads={"lamp": amps(current_a)},
        power_boards=[{"ways": 4, "rating_a": 16.0}],
        setups=[TWO],
    )
    assert found == broken


@pytest.mark.parametrize(("current_a", "broken"), [(4.0, set()), (4.001, {"socket amps"})])
def test_a_power_board_is_full_at_its_rating(current_a: float, broken: set[str]) -> None:
    """Two lamps of 4 A fill an 8 A power board."""
    found = rules_broken(
        ON_BOARD,
        heads={"lamp": amps(current_a)},
        power_boards=[{"ways": 4, "rating_a": 8.0}],
        setups=[TWO],
    )
    assert found == broken


@pytest.mark.parametrize(("current_a", "broken"), [(4.0, set()), (4.001, {"plate amps"})])
def test_a_plate_is_full_at_its_rating(current_a: float, broken: set[str]) -> None:
    """Two lamps of 4 A fill a plate of 8 A."""
    found = rules_broken(
        TOGETHER,
        outlets={"O1": outlet("P1", plate_a=8.0)},
        heads={"lamp": amps(current_a)},
        setups=[TWO],
        **ROOM,
    )
    assert found == broken


@pytest.mark.parametrize(("current_a", "broken"), [(5.0, set()), (5.001, {"single load"})])
def test_one_load_may_take_its_whole_share(current_a: float, broken: set[str]) -> None:
    """Half of a 10 A breaker is 5 A, where a job states such a rule."""
    found = rules_broken(
        plan_of(put("lamp", "O1")),
        heads={"lamp": amps(current_a)},
        rules={"single_load_fraction": 0.5},
    )
    assert found == broken


@pytest.mark.parametrize(("contract_w", "broken"), [(920.0, set()), (919.0, {"contract"})])
def test_a_contract_may_be_used_up(contract_w: float, broken: set[str]) -> None:
    """4 A at 230 V is 920 W."""
    supply = {"limit_a": 63.0, "planning_v": 230.0, "contract_w": contract_w}
    assert rules_broken(plan_of(put("lamp", "O1")), supply=supply) == broken


def test_the_italian_meter_allows_a_tenth_more() -> None:
    """3 kW of contract allow 3.3 kW, as public pages on the household meter say."""
    supply = {"limit_a": 63.0, "planning_v": 230.0, "contract_w": 3000.0}
    for plate_w, broken in ((3300.0, set[str]()), (3301.0, {"contract"})):
        lamp = amps(4.0) | {"plate_w": plate_w}
        lamp.pop("measured_a")
        found = rules_broken(
            plan_of(put("lamp", "O1")),
            region="IT",
            supply=supply,
            circuits=circuits(P1=16.0, P2=16.0),
            heads={"lamp": lamp},
        )
        assert found == broken


def test_volts_lost_on_a_board_lead_and_an_own_lead_add_up() -> None:
    """The board's lead carries both lamps, a lamp's own lead only itself."""
    changes: Entry = {
        "heads": {"lamp": amps(3.0)},
        "places": {"sofa": {"room": "lounge"}},
        "leads": [{"length_m": 30.0, "size_mm2": 1.0, "count": 3}],
        "power_boards": [{"ways": 4}],
        "setups": [setup(lamp={"sofa": 2})],
        "rules": {"lead_drop_pct": 1.0},
    }
    job = small_job(**changes)
    loop_ohm = Facts.of(job).leads[0].loop_ohm
    plan = plan_of(
        put("lamp", "O1", unit=1, board=0, board_lead=0, lead=0),
        put("lamp", "O1", unit=2, board=0, board_lead=0, lead=0),
    )
    found = judge(job, plan).violations
    assert [violation.rule for violation in found] == ["lead drop", "lead drop"]
    assert found[0].value == pytest.approx((6.0 + 3.0) * loop_ohm)
    assert found[0].limit == pytest.approx(2.3)
    just_enough = {"rules": {"lead_drop_pct": 100 * 9.0 * loop_ohm / 230.0}}
    assert rules_broken(plan, **(changes | just_enough)) == set()


def test_a_board_that_only_some_units_hang_on_a_lead_is_refused() -> None:
    """One unit names the board's lead, the other does not."""
    found = rules_broken(
        plan_of(
            put("lamp", "O1", unit=1, board=0, board_lead=0), put("lamp", "O1", unit=2, board=0)
        ),
        places={"sofa": {"room": "lounge"}},
        leads=[{"length_m": 5.0, "size_mm2": 1.5}],
        power_boards=[{"ways": 4}],
        setups=[setup(lamp={"sofa": 2})],
    )
    assert found == {"board lead"}


@pytest.mark.parametrize("stray", [{"board": 7}, {"board_lead": 7}])
def test_gear_that_does_not_exist_hides_no_other_fault_of_its_socket(stray: dict[str, int]) -> None:
    """A board or lead nobody has is told once; what it would have meant is not guessed at."""
    first = put("lamp", "O1", unit=1, board=0)
    second = first.model_copy(update={"unit": 2} | stray)
    found = judge(small_job(power_boards=[{"ways": 2}], setups=[TWO]), plan_of(first, second))
    assert [violation.rule for violation in found.violations] == ["unknown"]


def test_a_box_loads_the_plate_it_stands_at_phase_by_phase() -> None:
    """Two boxes at one plate: the fullest phase and the plate's own plug count together."""
    box: Entry = {"inlet": "au-32-5pin", "outlet": "au-10", "outlets_per_phase": 3}
    changes: Entry = {
        "supply": {"system": "three-phase", "limit_a": 63.0},
        "circuits": {"T": circuit(63.0, phase="L1 L2 L3")},
        "outlets": {"F": outlet("T", sockets=3, plug="au-32-5pin", plate_a=20.0)},
        "boxes": {"box": box, "spare": box},
        "heads": {"lamp": amps(7.0), "big": amps(6.0, plug="au-32-5pin")},
        "setups": [setup(lamp={"lounge": 4}, big="lounge")],
    } | ROOM
    fits = plan_of(
        put("big", "F"),
        put("lamp", "F/box/L1", unit=1),
        put("lamp", "F/spare/L1", unit=2),
        put("lamp", "F/box/L2", unit=3),
        put("lamp", "F/box/L3", unit=4),
    )
    assert rules_broken(fits, **changes) == set()
    over = plan_of(
        put("big", "F"),
        put("lamp", "F/box/L1", unit=1),
        put("lamp", "F/box/L1", unit=2, socket=2),
        put("lamp", "F/spare/L1", unit=3),
        put("lamp", "F/box/L2", unit=4),
    )
    (found,) = judge(small_job(**changes), over).violations
    assert (found.rule, found.where, found.value, found.limit) == ("plate amps", "F", 27.0, 20.0)


def test_each_sub_board_has_the_phases_of_its_own_circuits() -> None:
    """Two sub-boards of unknown circuits: each is listed with the phases it may be loaded on."""
    job = small_job(
        supply={"system": "three-phase", "limit_a": 63.0},
        sub_boards={
            "shed": {"feed_a": 20.0, "phase": "L1"},
            "barn": {"feed_a": 20.0, "phase": ["L2", "L3"]},
        },
        circuits={
            "P1": circuit(10.0, sub_board="shed"),
            "P2": circuit(10.0, sub_board="barn", phase="L2"),
        },
    )
    used = [u for u in judge(job, plan_of(put("lamp", "O2"))).usages if u.kind == "feed"]
    assert [(u.id, u.phase, u.current_a) for u in used] == [
        ("shed", "L1", 0.0),
        ("barn", "L2", 4.0),
        ("barn", "L3", 0.0),
    ]


def test_a_tripped_sum_of_a_feed_an_rcd_or_the_supply_names_it() -> None:
    """Each kind of device has its own words."""
    job = small_job(
        supply={"limit_a": 3.0},
        rcds={"R1": {"rating_a": 3.0}},
        sub_boards={"shed": {"feed_a": 3.0, "label": "SHED"}},
        circuits={
            "P1": {"label": "PLUGS", "fuse_a": 3.0, "feeds": "outlets", "rcd": "R1"}
            | {"sub_board": "shed"}
        },
        outlets={"O1": outlet("P1")},
    )
    assert [v.text for v in judge(job, plan_of(put("lamp", "O1"))).violations] == [
        "P1 “PLUGS” carries 4.0 A in SU1; its fuse is good for 3.0 A",
        "The feed of sub-board SHED carries 4.0 A in SU1; its breaker is 3.0 A",
        "RCD R1 carries 4.0 A in SU1; it is rated 3.0 A",
        "The supply carries 4.0 A in SU1; the limit is 3.0 A",
    ]


@pytest.mark.parametrize(("inlet_a", "broken"), [(8.0, set()), (7.999, {"box inlet"})])
def test_an_inlet_is_full_at_its_rating(inlet_a: float, broken: set[str]) -> None:
    """Two lamps of 4 A on one phase fill an inlet of 8 A."""
    found = rules_broken(
        plan_of(put("lamp", "F/box/L1"), put("lamp", "F/box/L1", unit=2, socket=2)),
        supply={"system": "three-phase", "limit_a": 63.0},
        circuits={"T": circuit(32.0, phase="L1 L2 L3")},
        outlets={"F": outlet("T", sockets=1, plug="au-32-5pin")},
        boxes={
            "box": {"inlet": "au-32-5pin", "outlet": "au-10", "outlets_per_phase": 2}
            | {"inlet_a": inlet_a}
        },
        setups=[TWO],
        **ROOM,
    )
    assert found == broken


def test_leakage_of_what_is_wired_adds_to_what_is_plugged_in() -> None:
    """Two pumps of 5 mA and a lamp of 6 mA are 16 mA behind one 30 mA device."""
    job = small_job(
        rcds={"R1": {}},
        circuits={"P1": circuit(10.0, rcd="R1")},
        outlets={"O1": outlet("P1")},
        heads={"lamp": amps(4.0) | {"leakage_ma": 6.0}},
        house={
            "pump": amps(1.0, circuit="P1", policy="must stay on", count=2) | {"leakage_ma": 5.0}
        },
    )
    (found,) = judge(job, plan_of(put("lamp", "O1"))).violations
    assert (found.rule, found.value, found.limit) == ("rcd leakage", 16.0, 15.0)


def test_a_stray_lead_and_a_missing_board_in_one_socket() -> None:
    """A lead for a board is refused when one of two plugs has no board at all."""
    found = rules_broken(
        plan_of(
            put("lamp", "O1", unit=1, board=0, board_lead=0),
            put("lamp", "O1", unit=2, board_lead=0),
        ),
        places={"sofa": {"room": "lounge"}},
        leads=[{"length_m": 5.0, "size_mm2": 1.5}],
        power_boards=[{"ways": 4}],
        setups=[setup(lamp={"sofa": 2})],
    )
    assert found == {"board lead", "socket"}
