"""What-if variants in a few words: each makes the job it says, or is refused with a way out."""

import pytest

from builders import amps, circuits, outlet, setup, small_job
from spreadload.changes.variant import read_variants
from spreadload.derived.facts import Facts
from spreadload.errors import InputError
from spreadload.io.variants_file import as_job
from spreadload.job.job import Job
from spreadload.job.site import Permission


def house() -> Job:
    """Return a flat with a stock head and a kettle in two set-ups."""
    return small_job(
        circuits=circuits(P1=10.0, P2=10.0),
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed")},
        heads={"lamp": amps(4.0, count=2, swaps=["spare"]), "fill": amps(1.0)},
        stock={"spare": amps(2.0)},
        departments={"kettle": amps(9.0, room="bed")},
        setups=[
            setup("SU1", lamp=["lounge", "bed"], fill="bed", on=["kettle"]),
            setup("SU2", lamp="lounge", on=["kettle"]),
        ],
    )


def test_a_head_on_battery_burns_on() -> None:
    """Two lamps and then one leave the house, not the picture; a fill that is off is off."""
    one, other = read_variants(house(), ["lamp on battery; fill off", "kettle on battery"], as_job)
    assert one.lit_elsewhere == (("SU1", "lamp", 2), ("SU2", "lamp", 1))
    assert other.lit_elsewhere == ()


def changed(words: str) -> Job:
    """Return the job of one variant."""
    return read_variants(house(), [words], as_job)[0].job


def on(job: Job, setup_id: str) -> dict[str, int]:
    """Return how many of each load are on in a set-up."""
    found: dict[str, int] = {}
    for demand in Facts.of(job).demands[setup_id]:
        found[demand.load] = found.get(demand.load, 0) + demand.count
    return found


def test_a_swap_replaces_a_head_all_day_or_in_one_setup() -> None:
    """Every unit of the head is replaced where the clause says, and stays elsewhere."""
    assert on(changed("lamp -> spare"), "SU1") == {"spare": 2, "fill": 1, "kettle": 1}
    assert on(changed("lamp -> spare"), "SU2") == {"spare": 1, "kettle": 1}
    assert on(changed("lamp -> spare in SU2"), "SU1") == {"lamp": 2, "fill": 1, "kettle": 1}


def test_off_and_battery_take_a_load_off_the_house() -> None:
    """Off in one set-up, or wherever it was on."""
    assert "kettle" not in on(changed("kettle off in SU1"), "SU1")
    assert "kettle" in on(changed("kettle off in SU1"), "SU2")
    assert "kettle" not in on(changed("Kettle on battery"), "SU2")
    assert "fill" not in on(changed("fill off"), "SU1")


def test_permissions_rooms_and_plain_values() -> None:
    """Circuits go off limits, loads move, and any figure of the job can be set."""
    assert changed("circuit P2 off limits").circuits["P2"].use is Permission.OFF_LIMITS
    assert changed("circuit P2 not usable").circuits["P2"].use is Permission.OFF_LIMITS
    assert changed("kettle in lounge").departments["kettle"].room == "lounge"
    assert changed("kettle at O1").departments["kettle"].outlet == "O1"
    assert changed("heads.lamp.measured_a=3.5").heads["lamp"].measured_a == 3.5
    assert changed("setups.SU2.on=[]").setups[1].on == ()


def test_clauses_add_up_under_a_name() -> None:
    """A name stands before a colon, clauses are parted by semicolons."""
    (variant,) = read_variants(house(), ["quiet: kettle off; lamp -> spare"], as_job)
    assert variant.name == "quiet"
    assert on(variant.job, "SU2") == {"spare": 1}


@pytest.mark.parametrize(
    ("words", "problem", "remedy"),
    [
        ("lanp -> spare", "no head is called lanp", "did you mean lamp?"),
        ("lamp -> spair", "no head in stock", "did you mean spare?"),
        ("kettel off", "no head or load is called kettel", "did you mean kettle?"),
        ("kettle off in SU9", "no set-up is called SU9", "did you mean SU"),
        ("circuit P7 off limits", "no circuit is called P7", "the job has P1, P2"),
        ("heads.lamp.measured=3", "measured_a", ""),
        ("heads.lanp.measured_a=3", "nothing is called lanp", "did you mean lamp?"),
        ("heads.lamp.measured_a=-3", "too small", ""),
        ("make it nice", "cannot be read", "write e.g."),
        (" : ", "says nothing", "write e.g."),
    ],
)
def test_what_cannot_be_meant_is_one_clear_fault(words: str, problem: str, remedy: str) -> None:
    """Each wrong clause gives one fault that says what and what next."""
    with pytest.raises(InputError) as refused:
        read_variants(house(), [words], as_job)
    (fault,) = refused.value.faults
    assert problem in fault.problem or problem in fault.remedy or "extra" in fault.problem
    assert remedy in fault.remedy


@pytest.mark.parametrize(
    ("words", "remedy"),
    [
        ("kettle in lounge in SU1", "write “kettle in lounge”"),
        ("circuit P2 off limits in SU2", "write “circuit P2 off limits”"),
    ],
)
def test_what_holds_all_day_is_not_said_of_one_set_up(words: str, remedy: str) -> None:
    """A load stands in one room and a circuit is anybody's or nobody's all day long."""
    with pytest.raises(InputError) as refused:
        changed(words)
    (fault,) = refused.value.faults
    assert "whole day" in fault.problem
    assert fault.remedy == remedy
    assert changed(remedy.removeprefix("write “").removesuffix("”")) != house()
    assert on(changed("kettle off in SU1"), "SU1").get("kettle") is None


@pytest.mark.parametrize(
    ("words", "problem", "remedy"),
    [
        ("heads.lamp.measured_a=abc", "must be a number", "in digits"),
        ("heads.lamp.measured_a=16A", "must be a number", "without unit or quotes: 16"),
        ("heads.lamp.measured_a=2,5", "must be a number", "without unit or quotes: 2.5"),
        ("heads.lamp.plat_w=100", "unknown key", "did you mean plate_w?"),
        ("heads.lamp.kind=ledd", "not one of the words", "did you mean led?"),
        ("heads.lamp.count=1.5", "must be a whole number", "in digits"),
    ],
)
def test_an_entry_given_anew_is_read_as_strictly_as_in_a_file(
    words: str, problem: str, remedy: str
) -> None:
    """In the words of a job file, with the same way out."""
    with pytest.raises(InputError) as refused:
        read_variants(house(), [words], as_job)
    (fault,) = refused.value.faults
    assert problem in fault.problem
    assert remedy in fault.remedy
