"""A house taken as it is most likely wired, where an answer has to be about one house."""

from builders import Entry, amps, circuit, job_of, outlet, plan_of, put, setup, small_data
from spreadload.app.volts import sag
from spreadload.job.site import HowKnown
from spreadload.wiring.likeliest import as_wired

ODDS = {"O1": {"P1": 9.0, "P2": 1.0}, "O2": {"P1": 1.0, "P2": 9.0}}
PLAN = plan_of(put("lamp", "O1", place="lounge"), put("panel", "O2", place="bed"))


def house(**changes: Entry) -> Entry:
    """Return a flat with a long cable to either outlet, of which one hangs most likely on each."""
    far = {"cable_m": 40.0, "cable_mm2": 1.5}
    return (
        small_data(
            supply={
                "limit_a": 63.0,
                "planning_v": 230.0,
                "readings": [{"at": "board", "idle_v": 240.0, "loaded_v": 239.0, "load_a": 10.0}],
            },
            circuits={"P1": circuit(16.0, **far), "P2": circuit(16.0, **far)},
            outlets={"O1": outlet(None, "lounge"), "O2": outlet(None, "bed"), "O3": outlet("P1")},
            heads={"lamp": amps(8.0, kind="led"), "panel": amps(8.0, kind="led")},
            setups=[setup("SU1", lamp="lounge", panel="bed")],
            wiring={"outlets": ODDS},
        )
        | changes
    )


def test_what_is_known_stays_and_the_rest_is_a_guess() -> None:
    """A traced outlet keeps its circuit and how it is known."""
    job = job_of(house())
    wired = as_wired(job, {"O1": "P1", "O2": "P2", "O3": "P2"}).outlets
    assert (wired["O1"].circuit, wired["O1"].known) == ("P1", HowKnown.GUESSED)
    assert wired["O2"].circuit == "P2"
    assert wired["O3"] == job.outlets["O3"]


def test_volts_are_those_of_the_likeliest_house() -> None:
    """As if both outlets had been traced: neither load drags the other's cable down."""
    traced = house(outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed")})
    open_house, known = sag(job_of(house()), PLAN), sag(job_of(traced), PLAN)
    assert open_house.taken == {"O1": "P1", "O2": "P2"}
    assert known.taken == {}
    (seen,), (sure,) = open_house.sag.setups, known.sag.setups
    assert [u.volts for u in seen.likely.units] == [u.volts for u in sure.likely.units]
    assert "Not traced, taken as is likeliest: O1 on P1; O2 on P2." in open_house.text()
    assert "Not traced" not in known.text()


def test_sag_and_plan_say_which_wiring_their_volts_are_of() -> None:
    """Two counts of heads with too few volts on one page or the other are no contradiction."""
    opened = " ".join(sag(job_of(house()), PLAN).text().split())
    assert opened.startswith("If the supply is as assumed and the wiring as is likeliest, ")
    assert "Its own volts are those of the wiring at its best for each head" in opened
    assert "and the wiring as is likeliest" in sag(job_of(house()), PLAN).data()["answer"]
    traced = house(outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed")})
    assert "likeliest" not in sag(job_of(traced), PLAN).text()
