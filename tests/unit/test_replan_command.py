"""The rest of the day planned again: what is rigged stays, and what cannot is said."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from builders import amps, circuit, job_of, outlet, plan_of, put, setup
from replanning import RIGGED, day_in, house, told
from spreadload.app.loaded import find_plan
from spreadload.app.note import note
from spreadload.app.replan import ReplanSaid, ReplanTold, replan
from spreadload.changes.edits import forbid
from spreadload.check import Judge
from spreadload.cli import cli
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode, InputError
from spreadload.io.plan_file import job_digest, save_plan
from spreadload.on_the_day.replug.changes import Replug, replugs, same_units
from spreadload.plan import Plan
from spreadload.report.replan_text import ReplanSays
from spreadload.solver.engine.found import Found
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.volts.loop import VoltsLoop
from spreadload.solver.what_if import rerig as rerig_module


def test_nothing_moves_where_nothing_changed(tmp_path: Path) -> None:
    """The plan that is rigged holds, so it stays to the last plug."""
    found = told(day_in(tmp_path))
    assert found.found is not None
    assert found.found.says is ReplanSays.KEEP
    assert found.found.replugs == ()
    assert found.plan == RIGGED
    assert found.exit_code is ExitCode.HOLDS
    assert found.text().startswith("Nothing to move from SU2 on.")


def test_a_circuit_that_is_gone_moves_what_is_on_it_and_no_more(tmp_path: Path) -> None:
    """P2 off: one lamp in SU2 and the kettle in SU3; what is over stays as it was."""
    day = day_in(tmp_path)
    found = told(day, off=("P2",))
    assert found.found is not None
    assert found.found.is_proven
    assert found.found.plugs == 2
    assert [(r.load, r.from_point, r.setups) for r in found.found.replugs] == [
        ("lamp", "O2", ("SU2",)),
        ("kettle", "O2", ("SU3",)),
    ]
    assert found.plan is not None
    assert [p for p in found.plan.placements if p.setup == "SU1"] == list(RIGGED.placements[:2])
    assert not any(p.point == "O2" for p in found.plan.placements if p.setup != "SU1")
    assert found.text().startswith("2 plugs to move from SU2 on; no plan moves fewer.")


@pytest.mark.parametrize("name", ["R2", "SHED", "FLAT", "p2"])
def test_a_device_that_stays_off_takes_what_is_behind_it_along(name: str, tmp_path: Path) -> None:
    """Named by RCD, sub-board, label or circuit, it is P2 that is dark, and the same plugs move."""
    by_name = day_in(
        tmp_path,
        rcds={"R2": {}},
        sub_boards={"SHED": {"feed_a": 32}},
        circuits={
            "P1": circuit(10.0),
            "P2": circuit(10.0, rcd="R2", sub_board="SHED", label="FLAT"),
            "P3": circuit(10.0),
        },
    )
    found = told(by_name, off=(name,)).found
    assert found is not None
    moved = [(r.load, r.from_point, r.setups) for r in found.replugs]
    assert moved == [("lamp", "O2", ("SU2",)), ("kettle", "O2", ("SU3",))]


def test_what_is_wired_to_a_dead_circuit_draws_nothing(tmp_path: Path) -> None:
    """A pump of 9 A on the circuit that is off loads neither it nor the supply; it is named."""
    wired = {"pump": amps(9.0, circuit="P3", kind="motor", starts_by_itself=True)}
    found = told(day_in(tmp_path, house=wired), off=("P3",)).found
    assert found is not None
    assert found.dark == {"P3": ("pump",)}
    assert not [u for u in found.verdict.usages if u.id == "P3" and u.counted_a > 0]


def test_an_outlet_that_is_gone_is_used_no_more(tmp_path: Path) -> None:
    """O3 gone: only the lamp of SU3 has to move, onto what has room beside the kettle."""
    found = told(day_in(tmp_path), gone=("O3",))
    assert found.found is not None
    (only,) = found.found.replugs
    assert (only.load, only.from_point, only.to_point, only.setups) == (
        "lamp",
        "O3",
        "O1",
        ("SU3",),
    )


def test_what_is_fixed_to_an_outlet_that_is_gone_goes_elsewhere_in_its_room(
    tmp_path: Path,
) -> None:
    """A fridge keeps to its room; where that has no other outlet left, the answer says so."""
    fridge = amps(1.0, kind="motor", outlet="O3", policy="must stay on")
    placed = [put("fridge", "O3", name=name) for name in ("SU1", "SU2", "SU3")]
    rigged = plan_of(*RIGGED.placements, *placed)
    day = day_in(tmp_path, house={"fridge": fridge})

    def after(*gone: str) -> ReplanTold:
        return replan(day, rigged, ReplanSaid("SU2", gone=gone))

    moved = after("O3")
    assert moved.plan is not None
    points = {p.setup: p.point for p in moved.plan.placements if p.load == "fridge"}
    assert points == {"SU1": "O3", "SU2": "O1", "SU3": "O1"}
    nowhere = " ".join(after("O1", "O3").text().split())
    assert "fridge cannot run in SU2 and SU3: no outlet left in lounge takes it" in nowhere


@pytest.mark.parametrize(
    ("moment", "ahead"),
    [("8:00", "SU1"), ("10:59", "SU1"), ("11:00", "SU2"), ("13:30", "SU3")],
)
def test_the_clock_says_what_is_still_to_come(moment: str, ahead: str, tmp_path: Path) -> None:
    """A set-up that is running, or that starts at the end of a break, is still to come."""
    hours = {"SU1": ("9:00", "11:00"), "SU2": ("11:00", "13:00"), "SU3": ("14:00", "16:00")}
    setups = [
        each | {"from": hours[each["id"]][0], "to": hours[each["id"]][1]}
        for each in house()["setups"]
    ]
    day = day_in(tmp_path, setups=setups)
    assert told(day, moment, off=("P1",)).data() == told(day, ahead, off=("P1",)).data()
    with pytest.raises(InputError, match="the day is over"):
        told(day, "16:00")


def test_an_edited_job_keeps_what_is_still_asked_for(tmp_path: Path) -> None:
    """A new head is plugged in, one less is struck, an unknown load of the old plan is no fault."""
    day = day_in(
        tmp_path,
        heads={"lamp": amps(4.0, count=2), "rim": amps(2.0)},
        departments={},
        setups=[
            setup("SU1", lamp={"lounge": 2}),
            setup("SU2", lamp={"lounge": 1}, rim="lounge"),
            setup("SU3", lamp={"lounge": 1}),
        ],
    )
    found = told(day)
    assert found.found is not None
    assert found.found.plugs == 0
    changed = {(r.load, r.from_point is None, r.to_point is None) for r in found.found.replugs}
    assert changed == {("rim", True, False), ("lamp", False, True), ("kettle", False, True)}
    text = found.text()
    assert "Plug in, new" in text
    assert "Not asked for any more" in text


def test_what_a_note_teaches_moves_plugs(tmp_path: Path) -> None:
    """Both outlets turn out to be on one circuit that cannot carry two lamps and is too full."""
    changes: dict[str, object] = {
        "circuits": {"P1": circuit(6.0), "P2": circuit(6.0), "P3": circuit(10.0)},
        "outlets": {
            "O1": outlet(None, "lounge", maybe_on=["P1", "P2"]),
            "O2": outlet("P2", "bed"),
            "O3": outlet("P3", "lounge"),
        },
    }
    day = day_in(tmp_path, **changes)
    day = note(day, "breaker P2 off: dark O1 O2, lit O3").day
    found = told(day)
    assert found.found is not None
    assert found.found.is_sure
    moves = [(r.load, r.to_point, r.setups) for r in found.found.replugs if r.is_move]
    assert moves == [("lamp", "O3", ("SU2",))]


def test_what_cannot_be_lit_is_left_dark_and_said(tmp_path: Path) -> None:
    """With one circuit of three left, one lamp stays dark, the answer is no, a plan is given."""
    day = day_in(tmp_path, circuits={n: circuit(7.0) for n in ("P1", "P2", "P3")})
    found = told(day, off=("P2", "P3"))
    assert found.found is not None
    assert found.found.says is ReplanSays.CANNOT
    assert found.exit_code is ExitCode.BREAKS_A_LIMIT
    assert len(found.found.plan.left_out) >= 1
    assert found.text().startswith("CANNOT RUN AS ASKED from SU2 on, but without ")


def test_what_nothing_can_save_is_proved(tmp_path: Path) -> None:
    """Everything off: no plan, said with exit code 1."""
    found = told(day_in(tmp_path), off=("P1", "P2", "P3"))
    assert found.exit_code is ExitCode.BREAKS_A_LIMIT
    assert found.text().startswith("CANNOT RUN")


def test_what_stays_dark_on_a_dead_circuit_is_named(tmp_path: Path) -> None:
    """The fridge has one outlet; with its circuit off it is dark whatever one plans."""
    fridge = amps(1.0, kind="motor", outlet="O2", policy="must stay on")
    day = day_in(tmp_path, house={"fridge": fridge})
    found = replan(
        day,
        plan_of(
            *RIGGED.placements,
            *(put("fridge", "O2", name=s, socket=2) for s in ("SU1", "SU2", "SU3")),
        ),
        ReplanSaid("SU2", off=("P2",)),
    )
    assert found.found is not None
    assert found.found.dark == {"P2": ("fridge",)}
    assert "fridge stays dark: P2" in found.text()


def test_every_unknown_name_is_told_at_once(tmp_path: Path) -> None:
    """A circuit and an outlet that are not there are two faults; a set-up is one."""
    day = day_in(tmp_path)
    with pytest.raises(InputError) as caught:
        told(day, off=("P9",), gone=("O9", "O1"))
    assert [f.value for f in caught.value.faults] == ["O9", "P9"]
    with pytest.raises(InputError):
        told(day, since="SU9")


def test_command_saves_the_whole_day(tmp_path: Path) -> None:
    """The plan kept has every set-up, is the job's own, and holds."""
    day = day_in(tmp_path)
    save_plan(tmp_path / "plan.json", job_digest(day.stated), RIGGED)
    kept = tmp_path / "new.json"
    words = ["replan", str(tmp_path), "--from", "SU2", "--off", "P2", "--save", str(kept), "--json"]
    result = CliRunner().invoke(cli, words)
    assert result.exit_code == 0, result.stderr
    plan, warnings = find_plan(tmp_path, day.stated, kept)
    assert warnings == ()
    assert {p.setup for p in plan.placements} == {"SU1", "SU2", "SU3"}
    assert Judge(Facts.of(day.job)).judge(plan).holds
    data = json.loads(result.stdout)
    assert {
        "format",
        "version",
        "answer",
        "text",
        "setups",
        "plugs",
        "proven",
        "sure",
        "fails_pct",
        "was_fails_pct",
        "safer",
        "replugs",
        "left_out",
        "idle",
        "look_at",
        "dark",
        "placements",
    } <= data.keys()
    assert data["answer"] == "re-plug"


@pytest.mark.parametrize(
    "words", [["--from", "SU9"], [], ["--from", "SU2", "--off", "P8", "P9"]], ids=" ".join
)
def test_bad_words_end_in_a_fault(words: list[str], tmp_path: Path) -> None:
    """Usage and names that make no sense end as everywhere, nothing on standard output."""
    day = day_in(tmp_path)
    save_plan(tmp_path / "plan.json", job_digest(day.stated), RIGGED)
    result = CliRunner().invoke(cli, ["replan", str(tmp_path), *words])
    assert result.exit_code == ExitCode.BAD_INPUT
    assert result.stdout == ""


def test_units_keep_their_numbers() -> None:
    """Identical units are told apart by what stays, whatever the solver numbered them."""
    now = plan_of(
        put("lamp", "O3", name="SU1", place="lounge", unit=1),
        put("lamp", "O2", name="SU1", place="lounge", unit=2),
    )
    was = plan_of(*RIGGED.placements[:2])
    named = same_units(was, now)
    assert {p.unit: p.point for p in named.placements} == {1: "O3", 2: "O2"}
    swapped = plan_of(
        put("lamp", "O2", name="SU1", place="lounge", unit=1),
        put("lamp", "O1", name="SU1", place="lounge", unit=2),
    )
    assert replugs(was, same_units(was, swapped), ["SU1"]) == ()
    one = plan_of(put("lamp", "O2", name="SU1", place="lounge", unit=1))
    assert {p.unit: p.point for p in same_units(was, one).placements} == {2: "O2"}


def test_one_change_in_several_setups_is_told_once() -> None:
    """Two lamps that go the same way in two set-ups are one line of four plugs."""
    was = Plan(placements=RIGGED.placements[:4])
    now = was.model_copy(
        update={"placements": tuple(p.model_copy(update={"point": "O3"}) for p in was.placements)}
    )
    found = replugs(was, now, ["SU1", "SU2"])
    assert found == (
        Replug("lamp", (1,), "O1", "O3", ("SU1", "SU2")),
        Replug("lamp", (2,), "O2", "O3", ("SU1", "SU2")),
    )
    assert sum(r.plugs for r in found) == 4


@pytest.mark.parametrize(
    ("dark", "code"),
    [(Found.NOTHING, ExitCode.UNDECIDED), (Found.NONE_EXISTS, ExitCode.BREAKS_A_LIMIT)],
)
def test_only_a_proof_with_heads_dark_is_told_as_one(
    dark: Found, code: ExitCode, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """That everything cannot be lit says nothing of a plan with heads dark that was not found."""
    day = day_in(tmp_path)
    answers = iter((Found.NONE_EXISTS, dark))
    monkeypatch.setattr(rerig_module, "rerig", lambda *_: next(answers))
    found = told(day, off=("P1",))
    assert found.exit_code is code
    assert ("even with heads dark" in found.text()) is (dark is Found.NONE_EXISTS)


@pytest.mark.parametrize("load_a", [5.5, 7.5])
def test_what_keeps_most_light_is_told_where_more_cannot_be_asked_of_it(
    load_a: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two lamps, and room for one on what is left: it is lit, though its point was not proved.

    The second question, what stays where it is rigged, ends without an answer, as it does where
    bounds on volts have ruled out every plan that the first one left.
    """
    job = job_of(
        house(
            heads={"lamp": amps(load_a, count=2)},
            departments={},
            setups=[setup("SU2", lamp={"lounge": 2})],
        )
    )
    job = forbid(job, outlets=("O2", "O3"))
    rigged = plan_of(*(p for p in RIGGED.placements if p.setup == "SU2"))
    solved, asked = VoltsLoop.solved, iter((True, False))
    monkeypatch.setattr(
        VoltsLoop, "solved", lambda *said: solved(*said) if next(asked) else Found.NOTHING
    )
    question = rerig_module.Question(Facts.of(job), rigged, may_leave_out=True)
    found = rerig_module.rerig(question, SolverConfig(time_limit_s=5.0))
    assert isinstance(found, rerig_module.Rerigged)
    assert len(found.plan.left_out) == 1
    assert (found.kept, found.is_proven) == (1, False)


def test_what_cannot_run_any_more_says_where_it_was_bound_to(tmp_path: Path) -> None:
    """With the circuit of the bedroom off the kettle has no outlet there, whatever is free."""
    kettle = amps(5.0, kind="heater", room="bed")
    day = day_in(tmp_path, departments={"kettle": kettle})
    said = " ".join(told(day, off=("P2",)).text().split())
    assert "kettle cannot run in SU3: no outlet left in bed takes it." in said


def test_a_circuit_that_is_off_is_not_the_tightest(tmp_path: Path) -> None:
    """A kettle of 5 A fixed at its outlet is dark with its circuit: what is lit takes 4 of 10 A."""
    kettle = amps(5.0, kind="heater", outlet="O2")
    day = day_in(tmp_path, departments={"kettle": kettle})
    said = " ".join(told(day, off=("P2",)).text().split())
    assert "kettle stays dark: P2 “PLUGS” is off." in said
    assert "Tightest is P2" not in said
    assert "at 40 % in SU" in said


@pytest.mark.parametrize(("lamp_a", "told_pct"), [(8.0, None), (8.5, 85)])
def test_a_breaker_that_has_tripped_and_stays_full_is_named(
    lamp_a: float, told_pct: int | None, tmp_path: Path
) -> None:
    """8.5 A on a 10 A breaker that tripped before noon is 85 %; 80 % is what one holds all day.

    Common practice, no source. What was struck out, or stays off, is no warning.
    """
    day = day_in(
        tmp_path,
        heads={"lamp": amps(lamp_a, count=2)},
        departments={},
        setups=[setup(f"SU{n}", lamp={"lounge": 2 if n < 3 else 1}) for n in (1, 2, 3)],
    )
    day = note(day, "trip P2: dark O2, lit O1").day
    found = told(day)
    assert found.found is not None
    expected = () if told_pct is None else (("P2", told_pct, "SU2"),)
    assert found.found.warm == expected
    assert ("P2 “PLUGS” has tripped before" in found.text()) is bool(expected)
    assert found.data()["warm"] == [{"circuit": c, "pct": p, "setup": s} for c, p, s in expected]
    off = told(day, off=("P2",)).found
    assert off is not None
    assert off.warm == ()
