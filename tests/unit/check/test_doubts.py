"""A plan that holds on the likely supply says what a poorer one, or a motor starting, would do."""

import pytest

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup, small_data
from rule_cases.volts import NEAR
from spreadload.check import Judge
from spreadload.check.doubts import Doubt, comes_on, doubts
from spreadload.derived.facts import Facts
from spreadload.plan import SwitchedOff

# One ohm in front of the board, and some room for more.
READING = {"at": "board", "idle_v": 242.0, "loaded_v": 232.0, "load_a": 10.0}


def near_house(min_v: float, **changes: object) -> Entry:
    """Return one outlet at the board with a regulated lamp of 8 A."""
    data = small_data(
        supply={"limit_a": 63.0, "planning_v": 230.0, "readings": [READING]},
        circuits={"P1": circuit(16.0, **NEAR), "PU": circuit(16.0, **NEAR) | {"feeds": "other"}},
        outlets={"O1": outlet("P1", "lounge")},
        heads={"lamp": amps(8.0, kind="led", power_factor=1.0, min_v=min_v)},
        setups=[setup(lamp="lounge")],
    )
    return data | changes


def doubts_of(data: Entry) -> tuple[Doubt, ...]:
    """Return the doubts about the only plan there is."""
    judge = Judge(Facts.of(job_of(data)))
    plan = plan_of(put("lamp", "O1", place="lounge"))
    return doubts(judge, plan)


def test_a_poorer_supply_is_told_with_volts() -> None:
    """At 233.8 V the likely supply holds and the worst the reading allows does not."""
    judge = Judge(Facts.of(job_of(near_house(233.8))))
    assert judge.judge(plan_of(put("lamp", "O1", place="lounge"))).holds
    (doubt,) = doubts_of(near_house(233.8))
    assert "lamp would get" in doubt.brief
    assert "of the 233.8 V it works from" in doubt.brief
    assert len(doubt.details) == 1


@pytest.mark.parametrize("min_v", [200.0, 236.0])
def test_there_is_no_doubt_where_the_answer_is_plain(min_v: float) -> None:
    """Far from the limit nothing is said; past it the judge refuses and no doubt is left."""
    assert not doubts_of(near_house(min_v))


def test_a_weak_reading_leaves_no_more_to_doubt_than_it_says_itself() -> None:
    """Nothing is refused on a weak reading, so there is no doubt to add."""
    weak = {"at": "board", "idle_v": 242.0, "loaded_v": 241.5, "load_a": 0.5}
    data = near_house(233.8, supply={"limit_a": 63.0, "planning_v": 230.0, "readings": [weak]})
    assert not doubts_of(data)


@pytest.mark.parametrize(("policy", "is_told"), [("must stay on", True), ("must be off", False)])
def test_a_pump_that_starts_dips_the_board(policy: str, *, is_told: bool) -> None:
    """A motor draws several times its amps as it starts; one agreed off does not start."""
    pump = amps(6.0, kind="motor", power_factor=0.8, circuit="PU", policy=policy)
    data = near_house(220.0, house={"pump": pump | {"starts_by_itself": True}})
    found = doubts_of(data)
    assert bool(found) is is_told
    if is_told:
        assert "each time pump starts by itself" in found[0].brief
        assert "lamp may go out" in found[0].brief


def test_what_has_to_cool_down_is_said_to() -> None:
    """A discharge head that went out lights again only when cool."""
    pump = amps(6.0, kind="motor", power_factor=0.8, circuit="PU", policy="must stay on")
    lamp = amps(8.0, kind="discharge", power_factor=1.0, min_v=220.0)
    data = near_house(
        220.0, house={"pump": pump | {"starts_by_itself": True}}, heads={"lamp": lamp}
    )
    assert "only when cool" in doubts_of(data)[0].brief


@pytest.mark.parametrize(
    ("hours", "comes"),
    [({}, True), ({"starts_from": "22:00"}, False), ({"starts_from": "9:00"}, True)],
)
def test_what_starts_at_its_own_hours_does_not_come_on_outside_them(
    hours: dict[str, str], *, comes: bool
) -> None:
    """From eight to ten a cylinder that heats from ten at night is not on, and does not come on."""
    morning = setup(lamp="lounge") | {"from": "8:00", "to": "10:00"}
    water = amps(6.0, circuit="PU", starts_by_itself=True, policy="may be off") | hours
    judge = Judge(Facts.of(job_of(near_house(200.0, house={"water": water}, setups=[morning]))))
    lamp = put("lamp", "O1", place="lounge")
    off = plan_of(lamp, SwitchedOff(setup="SU1", load="water"))
    (state,) = judge.states(off if hours != {"starts_from": "22:00"} else plan_of(lamp))
    assert bool(list(comes_on(judge, state))) is comes
