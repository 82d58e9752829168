"""A device that tripped before stays off: what goes elsewhere, and what stays dark with it.

Common practice, no source: two trips of one device are no overload anybody understands.
"""

from builders import amps, circuit, outlet, put, setup, small_job
from spreadload.job.job import Job
from spreadload.job.kit import LoadKind
from spreadload.job.observations import Log
from spreadload.on_the_day.trip.diagnosis import TripAnswer
from spreadload.plan import Placement
from spreadload.report.style import Style
from spreadload.report.trip_data import trip_data
from spreadload.report.trip_text import trip_text
from trips import told


def house(third: dict[str, object]) -> Job:
    """Return P1 with a head and a dryer that has no other outlet, P2, and a third outlet."""
    return small_job(
        circuits={"P1": circuit(10.0), "P2": circuit(10.0)},
        rooms={"lounge": {"use": "living"}, "bath": {"use": "bathroom"}, "hall": {"use": "hall"}},
        outlets={
            "O1": outlet("P1", "lounge"),
            "O2": outlet("P1", "bath"),
            "O3": outlet(None, "hall", **third),
            "O4": outlet("P2", "hall", use="last resort"),
        },
        heads={"key": amps(3.0)},
        departments={"dryer": amps(4.0, kind="heater", room="bath")},
        setups=[
            setup("SU1", on=["dryer"], key="lounge"),
            setup("SU2", key="lounge"),
        ],
    )


def again(job: Job, *more: Placement) -> TripAnswer:
    """Return the answer to the second trip of P1."""
    rigged = (
        *more,put("key", "O1", place="lounge"), put("dryer", "O2"),
              put("key", "O1", name="SU2", place="lounge"))  # fmt: skip
    once = told(job, *rigged, dark=("O1", "O2"), device="P1")
    assert once.entry is not None
    log = Log(observations=(once.entry,))
    answer = told(job, *rigged, dark=("O1", "O2"), device="P1", log=log)
    assert answer.is_second
    return answer


def test_nothing_is_moved_to_where_it_may_be_as_dark() -> None:
    """O3 is nearer and no last resort, but may be on the dead circuit: the head goes to O4."""
    answer = again(house({"maybe_on": ["P1", "P2"]}))
    assert [step.to.point for move in answer.away for step in move.steps] == ["O4"]
    assert answer.may_be_dead == ()


def test_where_only_a_doubtful_outlet_is_left_a_lamp_goes_there_first() -> None:
    """With O4 taken there is only O3, most likely on P2 as its neighbour is."""
    job = house({"maybe_on": ["P1", "P2"]})
    taken = job.outlets["O4"].model_copy(update={"sockets": 1})
    radio = job.departments["dryer"].model_copy(
        update={"measured_a": 0.5, "kind": LoadKind.OTHER, "room": None, "outlet": "O4"}
    )
    full = job.model_copy(
        update={
            "outlets": job.outlets | {"O4": taken},
            "house": {"radio": radio},
            "setups": tuple(s.model_copy(update={"on": (*s.on, "radio")}) for s in job.setups),
        }
    )
    answer = again(full, put("radio", "O4"), put("radio", "O4", name="SU2"))
    assert [step.to.point for move in answer.away for step in move.steps] == ["O3"]
    assert answer.may_be_dead == ("O3",)
    assert "A lamp in O3 first: it may be dead as well." in trip_text(answer, Style())
    assert trip_data(answer)["may_be_dead"] == ["O3"]


def test_what_stays_dark_and_how_to_plan_the_rest_are_said() -> None:
    """The dryer has no outlet on another circuit; SU2 is planned again without P1."""
    answer = again(house({"circuit": "P2", "known": "tested"}))
    said = trip_text(answer, Style())
    assert "dryer at O2 stays dark: no other outlet takes it as the rest stands." in said
    assert "Later set-ups: replan --from SU2 --off P1." in said
    assert "Is log entry 1 this very trip, typed before" in said
    assert trip_data(answer)["stranded"] == [{"load": "dryer", "unit": 1}]
