"""Edits of a job: each changes what it says and nothing else."""

from builders import amps, outlet, setup, small_job
from spreadload.changes.change import price_of, total_cost
from spreadload.changes.edits import add_outlet, allow, drop_heads, swap_heads, without_load
from spreadload.derived.facts import Facts
from spreadload.job.costs import Costs
from spreadload.job.job import Job
from spreadload.job.kit import Head
from spreadload.job.site import Circuit, Outlet


def house(**changes: object) -> Job:
    """Return a flat with a fridge that stays on and two set-ups."""
    stated: dict[str, object] = {
        "heads": {"lamp": amps(4.0, count=3)},
        "house": {"fridge": amps(1.0, policy="must stay on", outlet="O2")},
        "setups": [setup("SU1", lamp={"lounge": 2, "bed": 1}), setup("SU2", lamp="lounge")],
    }
    return small_job(**stated | changes)


def test_dropping_heads_leaves_the_others() -> None:
    """One unit fewer at one place; the last one takes the head off the list."""
    job = drop_heads(house(), "SU1", "lamp", "lounge", 1)
    assert job.setups[0].heads["lamp"] == {"lounge": 1, "bed": 1}
    assert job.setups[1] == house().setups[1]
    assert "lamp" not in drop_heads(house(), "SU2", "lamp", "lounge", 1).setups[1].heads


def test_a_stand_in_keeps_the_priority_of_the_head_it_replaces() -> None:
    """The place is worth to the DP what it was, and the van holds as many as are lit."""
    job = house(heads={"lamp": amps(4.0, count=3, priority=2)})
    changed = swap_heads(job, "SU1", ("lamp", "lounge", 2), "small", Head(measured_a=1.0))
    assert changed.heads["small"].priority == 2
    assert changed.heads["small"].count == 2
    assert changed.setups[0].heads == {"lamp": {"bed": 1}, "small": {"lounge": 2}}


def test_what_stays_on_can_still_be_on_a_battery_in_one_setup() -> None:
    """It is off house power there and on, by name, everywhere else."""
    facts = Facts.of(without_load(house(), "SU1", "fridge"))
    assert "fridge" not in {d.load for d in facts.demands["SU1"]}
    assert "fridge" in {d.load for d in facts.demands["SU2"]}


def test_what_is_taken_off_one_set_up_is_not_put_on_where_it_never_ran() -> None:
    """The pump runs at night: on a battery in the first night it stays off by day."""
    day = ("DAY", "09:00", "12:00")
    nights = [("N1", "20:00", "21:00"), ("N2", "21:00", "22:00")]
    timer = {"starts_by_itself": True, "starts_from": "19:00", "starts_to": "23:00"}
    job = house(
        house={"pump": amps(1.0, outlet="O2", **timer)},
        setups=[
            setup(name, lamp="lounge") | {"from": start, "to": end}
            for name, start, end in (day, *nights)
        ],
    )
    demands = Facts.of(without_load(job, "N1", "pump")).demands
    on = {name: "pump" in {d.load for d in asked} for name, asked in demands.items()}
    assert on == {"DAY": False, "N1": False, "N2": True}


def test_a_new_outlet_does_not_make_unknown_wiring_less_known() -> None:
    """An outlet of unknown circuit is on one of the circuits there were, not on the new one."""
    job = house(outlets={"O1": outlet(None, "lounge"), "O2": outlet("P2", "bed")})
    changed = add_outlet(job, "new", Outlet(room="bed", sockets=1), Circuit(breaker_a=16.0))
    before, after = Facts.of(job).points, Facts.of(changed).points
    assert after["O1"].exposure == before["O1"].exposure
    assert after["new"].exposure.might_be_on == {"new"}


def test_leave_opens_what_was_off_limits() -> None:
    """Only what is named, and only as a last resort."""
    circuits = {
        "P1": {"breaker_a": 10.0, "feeds": "outlets", "use": "off limits"},
        "P2": {"breaker_a": 10.0, "feeds": "outlets", "use": "off limits"},
    }
    points = Facts.of(allow(house(circuits=circuits), circuits=("P1",))).points
    assert not points["O1"].is_off_limits
    assert points["O1"].is_last_resort
    assert points["O2"].is_off_limits


def test_prices_follow_the_rates_of_the_job() -> None:
    """Worked by hand: 5 min at 10, 200 W lost at priority 7 with 8 each: 50 + 2 x 3 x 8 = 98."""
    costs = Costs(minute=10.0, light_per_100_w=8.0, dark_factor=3.0)
    cost = price_of(costs, minutes=5.0, light_w=200.0, priority=7)
    assert (cost.light_w, cost.minutes, cost.price) == (200, 5.0, 98.0)
    dark = price_of(costs, light_w=200.0, priority=7, is_dark=True)
    assert dark.price == 144.0
    assert price_of(costs, light_w=-50.0).price == 0.0
    assert total_cost([cost, dark]).price == 242.0
