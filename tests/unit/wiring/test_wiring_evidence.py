"""What observations prove, which of them clash, and that nothing is merged in silence."""

import pytest

from builders import circuits, outlet, small_job
from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.job.site import HowKnown
from spreadload.wiring.evidence import clash, is_wiring_open, learned, outlet_odds


def job(**outlets: object) -> Job:
    """Return a flat with three circuits, P1 and P3 behind one RCD, and some outlets."""
    three = circuits(P1=16.0, P2=16.0, P3=16.0)
    three["P1"]["rcd"] = three["P3"]["rcd"] = "R1"
    lights = {"LT": {"label": "LIGHTS", "breaker_a": 10.0, "feeds": "lighting"}}
    stated = {name: outlet(None, "lounge") for name in ("A", "B", "C")} | outlets
    return small_job(circuits=three | lights, rcds={"R1": {}}, outlets=stated)


def off(*names: str, dark: tuple[str, ...] = (), lit: tuple[str, ...] = ()) -> Observation:
    """Return a breaker test."""
    return Observation(what=Seen.BREAKER_OFF, circuits=names, dark=dark, still_on=lit)


def log(*seen: Observation) -> Log:
    """Return a log of some entries."""
    return Log(observations=seen)


def test_dark_outlet_is_on_the_breaker_that_is_off() -> None:
    """One breaker off and the outlet dark: tested, on that circuit."""
    known = learned(job(), log(off("P1", dark=("A",)))).outlets["A"]
    assert (known.circuit, known.known) == ("P1", HowKnown.TESTED)


def test_lit_outlet_is_on_any_other_power_circuit() -> None:
    """Still on: every circuit that can feed outlets but the one that was off."""
    assert learned(job(), log(off("P1", lit=("A",)))).outlets["A"].maybe_on == ("P2", "P3")


def test_several_breakers_off_leave_several_circuits() -> None:
    """Two off and dark: one of these two; a second round decides."""
    first = off("P1", "P2", dark=("A",))
    assert learned(job(), log(first)).outlets["A"].maybe_on == ("P1", "P2")
    second = off("P1", "P3", lit=("A",))
    assert learned(job(), log(first, second)).outlets["A"].circuit == "P2"


def test_rcd_gives_the_group() -> None:
    """Dead when the RCD is pressed: on one of the circuits behind it."""
    pressed = Observation(what=Seen.RCD, rcd="R1", dark=("A",), still_on=("B",))
    found = learned(job(), log(pressed)).outlets
    assert found["A"].maybe_on == ("P1", "P3")
    assert found["B"].circuit == "P2"


def test_a_trip_tells_what_a_switched_breaker_tells() -> None:
    """Found dead after a trip: on the breaker that tripped."""
    tripped = Observation(what=Seen.TRIP, circuits=("P3",), dark=("C",))
    assert learned(job(), log(tripped)).outlets["C"].circuit == "P3"


def test_a_test_may_find_an_outlet_on_a_lighting_way() -> None:
    """What a test finds wins over what the label made likely."""
    assert learned(job(), log(off("LT", dark=("A",)))).outlets["A"].circuit == "LT"


def test_a_guess_gives_way_to_a_test_without_a_clash() -> None:
    """A circuit written down as guessed is replaced by what the test shows."""
    guessed = job(A=outlet("P2", "lounge") | {"known": "guessed"})
    seen = log(off("P1", dark=("A",)))
    assert clash(guessed, seen) is None
    assert learned(guessed, seen).outlets["A"].circuit == "P1"


def test_struck_entries_say_nothing() -> None:
    """An entry that was struck out leaves the job as it was."""
    struck = off("P1", dark=("A",)).model_copy(update={"struck": True})
    assert learned(job(), log(struck)) == job()


def test_two_entries_that_clash_are_both_named() -> None:
    """Dark with P1 off and dark with P2 off alone cannot both be true; innocents are not named."""
    found = clash(job(), log(off("P3", lit=("B",)), off("P1", dark=("A",)), off("P2", dark=("A",))))
    assert found is not None
    assert [fact.name.split(":")[0] for fact in found.facts] == ["log entry 2", "log entry 3"]


def test_an_entry_may_clash_with_the_job() -> None:
    """A tested outlet that stays on when its breaker is off is a clash, never a silent change."""
    found = clash(job(A=outlet("P1", "lounge")), log(off("P1", lit=("A",))))
    assert found is not None
    assert "the job says A is on P1" in str(found)


def test_a_clash_of_three_has_no_spare_member() -> None:
    """Same circuit, and each seen on another: all three are needed, and only they are named."""
    same = small_job(
        circuits=circuits(P1=16.0, P2=16.0),
        outlets={n: outlet(None, "lounge") for n in ("A", "B", "C")},
        same_circuit=[["A", "B"]],
    )
    seen = log(off("P1", dark=("C",)), off("P1", dark=("A",)), off("P2", dark=("B",)))
    found = clash(same, seen)
    assert found is not None
    assert len(found.facts) == 3
    assert "share a circuit" in str(found)


def test_different_circuits_need_enough_circuits() -> None:
    """Three outlets on different circuits cannot be on two."""
    two = small_job(
        circuits=circuits(P1=16.0, P2=16.0),
        outlets={n: outlet(None, "lounge") for n in ("A", "B", "C")},
        different_circuit=[["A", "B", "C"]],
    )
    assert clash(two, Log()) is not None


def test_stories_and_stickers_are_odds() -> None:
    """A story makes its circuit likelier, for what stayed on less likely; it proves nothing."""
    told = Observation(what=Seen.STORY, circuits=("P2",), dark=("A",), still_on=("B",))
    odds = outlet_odds(job(), log(told))
    assert [(o.outlet, o.factor > 1) for o in odds] == [("A", True), ("B", False)]
    assert learned(job(), log(told)) == job()


@pytest.mark.parametrize(("known", "is_open"), [("tested", False), ("guessed", True)])
def test_wiring_is_open_while_something_is_a_guess(known: str, is_open: bool) -> None:  # noqa: FBT001
    """A house whose every outlet is known is closed; a guess keeps it open."""
    flat = small_job(outlets={"A": outlet("P1", "lounge") | {"known": known}})
    assert is_wiring_open(flat) is is_open
