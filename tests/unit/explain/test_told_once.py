"""What is the same of several loads or set-ups is told once."""

from spreadload.explain.off import Idle
from spreadload.explain.told_once import may_run, must_be_off


def idle(load: str, setup: str, *, breaks: str = "", holds_at: tuple[str, ...] = ()) -> Idle:
    """Return a load of catering that is not on."""
    return Idle(
        setup=setup,
        load=load,
        by="catering",
        is_switched_off=False,
        is_agreed=False,
        breaks=breaks,
        over_pct=None,
        holds_at=holds_at,
        freed_at=(),
        tried=1,
    )


def test_loads_that_are_off_for_one_reason_share_a_line() -> None:
    """Only those that are so in the same set-ups: another set-up is another line."""
    both = [idle(load, "SU1", breaks="P1 would trip") for load in ("urn", "kettle")]
    later = idle("urn", "SU2", breaks="the supply would trip")
    assert must_be_off([*both, later]) == (
        "urn (catering) and kettle (catering) in SU1: P1 would trip",
        "urn (catering) in SU2: the supply would trip",
    )


def test_loads_that_may_run_at_the_same_outlets_share_a_line() -> None:
    """In all the set-ups in which they may."""
    each = [idle(load, s, holds_at=("O1",)) for load in ("urn", "kettle") for s in ("SU1", "SU2")]
    assert may_run(each) == ("urn (catering) and kettle (catering) in SU1 and SU2: one, at O1",)
