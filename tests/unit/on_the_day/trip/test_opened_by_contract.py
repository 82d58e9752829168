"""A contract's meter that opened: only what the plan has too much of is a reason to take it off.

A meter counts and compares, so that no warmth brings it down below its limit as it does a breaker
(common practice, no source). By hand at 230 V: lamp 4 A, spot 3 A and kettle 7 A are 14 A, 3220 W.
"""

import pytest

from builders import Entry, amps, circuit, put, setup, small_job
from spreadload.job.job import Job
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.on_the_day.trip.lines import radio_line
from spreadload.plan import SwitchedOff
from spreadload.report.style import Style
from spreadload.report.trip_text import trip_text
from trips import told

IN_WATTS: Entry = {
    "limit_a": 63.0,
    "limit_source": "stated",
    "planning_v": 230.0,
    "contract_w": 3300.0,
}
IN_VOLT_AMPS: Entry = {"planning_v": 230.0, "contract_va": 3300.0}


def flat(supply: Entry, region: str = "EU") -> Job:
    """Return a flat with a tank that may be off, on a way of its own."""
    tank = amps(5.0, kind="heater", circuit="W1", policy="may be off", starts_by_itself=True)
    return small_job(
        region=region,
        supply=supply,
        circuits={n: circuit(16.0) for n in ("P1", "P2")} | {"W1": circuit(10.0, feeds="water")},
        heads={"lamp": amps(4.0), "spot": amps(3.0)},
        departments={"kettle": amps(7.0, kind="heater", room="bed")},
        house={"tank": tank},
        setups=[setup(lamp="lounge", spot="lounge", on=["kettle"])],
    )


def after(
    job: Job,
    device: str = "meter",
    just: str = "",
    after_s: float | None = None,
    *,
    is_off: bool = True,
) -> TripAnswer:
    """Return the answer where everything went dark."""
    on = (
        put("lamp", "O1", place="lounge"),
        put("spot", "O1", place="lounge", socket=2),
        put("kettle", "O2"),
    )
    off = (SwitchedOff(setup="SU1", load="tank"),) if is_off else ()
    return told(job, *on, *off, dark=("O1", "O2"), device=device, just=just, after_s=after_s)


@pytest.mark.parametrize(
    ("job", "ours"),
    [
        (flat({**IN_WATTS, "contract_w": 3000.0}, "IT"), "ours is 3220 of 3300 W, so 80 W"),
        (flat(IN_WATTS), "ours is 3220 of 3300 W, so 80 W"),
        (flat(IN_VOLT_AMPS), "ours is 14.0 of 14.3 A, so 0.3 A"),
    ],
)
def test_what_is_within_its_contract_stays_on(job: Job, ours: str) -> None:
    """98 % of a contract opens nothing: the tank that the plan has off is the first to look at."""
    answer = after(job)
    assert (answer.move, answer.shed, answer.kept_off) == (None, None, ("tank",))
    line = radio_line(answer)
    assert line.startswith(f"See that tank is off, then look for a heater: {ours} or more")
    assert line.endswith("Then re-arm at the meter.")
    said = " ".join(trip_text(answer, Style(width=80)).split())
    assert "Tank is off by the plan: see that it is." in said
    assert answer.back is not None
    assert {p.load for p in answer.back.order} == {"lamp", "spot", "kettle"}


def test_what_was_named_comes_first() -> None:
    """An iron that is not in the plan is the reason, whatever else may be on."""
    line = radio_line(after(flat(IN_WATTS), just="iron"))
    assert line.startswith("Unplug the iron: ours is 3220 of 3300 W")


@pytest.mark.parametrize("device", ["meter", "main"])
def test_the_clock_of_a_fuse_is_not_read_off_a_contract(device: str) -> None:
    """After ten minutes a fuse would have had 1.4 to 2 times its rating; a contract tells nothing.

    Nor is 14.0 of 14.3 A by contract a warm main breaker: what its rating is nobody has said.
    """
    answer = after(flat(IN_VOLT_AMPS), device, after_s=600.0)
    assert (answer.delay, answer.intruder, answer.move, answer.shed) == (None, None, None, None)


@pytest.mark.parametrize("supply", [IN_WATTS, IN_VOLT_AMPS])
def test_what_is_over_its_contract_is_relieved(supply: Entry) -> None:
    """With the tank on it is 4370 W of 3300: something of the plan has to wait."""
    answer = after(flat(supply), is_off=False)
    assert answer.kept_off == ()
    assert answer.shed is not None


def test_a_main_that_opened_asks_for_the_tank_as_well() -> None:
    """Ours is 14 of 63 A: what the house has switched on by itself is the question."""
    line = radio_line(after(flat({"limit_a": 63.0, "limit_source": "main breaker"}), "main"))
    assert "see that tank is off, look for what the house switched on by itself" in line
