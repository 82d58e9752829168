"""What stays at its outlet after planning again hangs as it did, wherever that holds.

Common practice, no source: nobody re-lays a lead that may stay where it lies.
"""

from builders import amps, circuit, outlet, plan_of, put, setup, small_job
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.on_the_day.replug.changes import Replug, replugs
from spreadload.on_the_day.replug.same_leads import on_the_same_leads
from spreadload.plan import Placement, Plan
from spreadload.report.replan_text import Replanned, replan_data, replan_text
from spreadload.report.style import Style

SHORT, LONG = 0, 1


def facts(short: int = 2, long: int = 2) -> Facts:
    """Return two outlets in a lounge, a few leads of 5 m and of 10 m, one power board."""
    leads = [
        {"length_m": 5, "size_mm2": 1.5, "count": short},
        {"length_m": 10, "size_mm2": 1.5, "count": long},
    ]
    return Facts.of(
        small_job(
            circuits={"P1": circuit(10.0), "P2": circuit(10.0)},
            outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "lounge")},
            leads=[lead for lead in leads if lead["count"]],
            power_boards=[{"ways": 4, "count": 1}],
            heads={"key": amps(2.0), "fill": amps(1.0)},
            setups=[setup("SU1", key="lounge", fill="lounge")],
        )
    )


def told(job_facts: Facts, was: Plan, kept: Plan) -> Replanned:
    """Return an answer of planning again that changes one plan into the other."""
    return Replanned(
        facts=job_facts,
        plan=kept,
        verdict=Judge(job_facts).judge(kept),
        setups=("SU1",),
        replugs=replugs(was, kept, ["SU1"]),
        fails=0.0,
        was_fails=0.0,
        is_sure=True,
        is_likely=False,
        is_proven=True,
        dark={},
    )


def hung(key: Placement, fill: Placement) -> Plan:
    """Return a plan of both heads."""
    return plan_of(key, fill)


def at(load: str, point: str, lead: int, *, socket: int = 1, board: int | None = None) -> Placement:
    """Return a head in the lounge on one lead."""
    return put(load, point, place="lounge", socket=socket, lead=lead, board=board)


def test_a_lead_that_lies_there_stays() -> None:
    """The search takes 5 m for both; the key keeps its 10 m, the fill goes to O2 on 5 m."""
    was = hung(at("key", "O1", LONG), at("fill", "O1", LONG, socket=2))
    now = hung(at("key", "O1", SHORT), at("fill", "O2", SHORT))
    kept = on_the_same_leads(facts(), was, now)
    assert kept == hung(at("key", "O1", LONG), at("fill", "O2", SHORT))


def test_the_one_lead_there_is_changes_hands() -> None:
    """One of each: where the search gave the key's 5 m to the fill that moves, they swap."""
    was = hung(at("key", "O1", SHORT), at("fill", "O1", LONG, socket=2))
    now = hung(at("key", "O1", LONG), at("fill", "O2", SHORT))
    kept = on_the_same_leads(facts(short=1, long=1), was, now)
    assert kept == hung(at("key", "O1", SHORT), at("fill", "O2", LONG))


def test_what_cannot_hang_as_it_did_is_told_with_its_lead() -> None:
    """A socket now has a power board for two: the key stays at O1, but on the board."""
    job = facts().job.model_copy(update={"outlets": {"O1": facts().job.outlets["O1"]}})
    one = Facts.of(
        job.model_copy(
            update={"outlets": {"O1": job.outlets["O1"].model_copy(update={"sockets": 1})}}
        )
    )
    was = plan_of(at("key", "O1", LONG))
    now = hung(at("key", "O1", SHORT, board=0), at("fill", "O1", SHORT, board=0))
    kept = on_the_same_leads(one, was, now)
    assert Judge(one).judge(kept).holds
    found = told(one, was, kept)
    assert found.replugs == (
        Replug("fill", (1,), None, "O1", ("SU1",), (0, None, SHORT)),
        Replug("key", (1,), "O1", "O1", ("SU1",), (0, None, SHORT)),
    )
    assert found.plugs == 0
    text = replan_text(found, Style())
    assert "Same outlet, other lead\n  key at O1, board, 5 m lead, in SU1" in text
    assert "Plug in, new\n  fill to O1, board, 5 m lead, in SU1" in text
    assert [r["by"] for r in replan_data(found)["replugs"]] == ["board, 5 m lead"] * 2


def test_what_is_told_to_move_names_the_lead_to_carry() -> None:
    """A crew member in the dark picks up the lead first."""
    was = hung(at("key", "O1", LONG), at("fill", "O1", SHORT, socket=2))
    now = hung(at("key", "O1", LONG), at("fill", "O2", LONG))
    kept = on_the_same_leads(facts(), was, now)
    found = told(facts(), was, kept)
    assert "fill from O1 to O2, 10 m lead, in SU1" in replan_text(found, Style())
    assert "other lead" not in replan_text(found, Style())


def test_what_would_break_a_limit_is_left_as_it_was_found() -> None:
    """With the long leads back in the van the key cannot have one, whatever hung there."""
    none_long = facts(long=0)
    was = hung(at("key", "O1", LONG), at("fill", "O2", SHORT))
    now = hung(at("key", "O1", SHORT), at("fill", "O2", SHORT))
    assert on_the_same_leads(none_long, was, now) == now
