"""Variants side by side and drawn plans put right, through the library's face."""

import json
from pathlib import Path

import pytest

from builders import amps, circuit, circuits, outlet, plan_of, put, setup, small_data, small_job
from spreadload.app import what_if
from spreadload.app.may_i import may_i, question_of
from spreadload.app.planning import load_job, plan_job, with_log
from spreadload.derived.facts import Facts
from spreadload.errors import ExitCode, InputError
from spreadload.job.job import Job
from spreadload.plan import Conflict
from spreadload.report.offers_text import headline
from spreadload.solver.engine.limits import SolverConfig
from spreadload.solver.what_if.offers import Offers


def test_variants_are_planned_beside_the_job_itself() -> None:
    """Two heads of 7 A and one of 6 A do not fit on twice 10 A; without the 6 A head they do."""
    job = small_job(
        heads={"key": amps(7.0, count=2), "fill": amps(6.0)},
        setups=[setup(key=["lounge", "bed"], fill="bed")],
    )
    told = what_if.swap(job, ["no fill: fill off", "heads.fill.measured_a=5.5"])
    base, without, weaker = told.rows
    assert [row.name for row in told.rows] == [
        "as asked",
        "no fill",
        "heads.fill.measured_a=5.5",
    ]
    assert [row.verdict for row in told.rows] == ["cannot", "fits", "cannot"]
    assert without.tightest is not None
    assert without.tightest.used_pct == 70
    assert base.demand_a - without.demand_a == pytest.approx(6.0)
    assert weaker.plan is not None
    assert told.exit_code is ExitCode.HOLDS
    assert "buys it runs, 130 % to 70 % in SU1" in " ".join(told.text().split())
    assert [row["name"] for row in told.data()["variants"]] == [row.name for row in told.rows]


def test_a_head_on_battery_costs_no_light() -> None:
    """A head of 4 A at 230 V is 920 W off the house; only the one that is off is missed."""
    told = what_if.swap(small_job(), ["lamp on battery", "lamp off"])
    said = [line.strip() for line in told.text().splitlines() if "costs" in line]
    assert said[0] == "costs nothing; buys 40 % to 0 % in SU1, 4.0 A at the peak"
    assert said[1].startswith("costs 920 W of heads over the day; buys ")


def test_a_variant_that_names_what_is_not_there_is_refused() -> None:
    """References are checked as they are in a file."""
    with pytest.raises(InputError, match="P9"):
        what_if.swap(small_job(), ["outlets.O1.circuit=P9"])


@pytest.mark.parametrize("count", ["two", "0", "-1", "1.5", "²", "", "10000000000"])
def test_what_is_no_number_of_heads_is_told_how_to_be_written(count: str) -> None:
    """A power of two is a digit to Python and no number."""
    with pytest.raises(InputError) as refused:
        what_if.generator_for(small_job(), [f"lamp={count}"])
    (fault,) = refused.value.faults
    assert fault.remedy == "write lamp=2, with a whole number"


def test_variants_from_a_file(tmp_path: Path) -> None:
    """A name with one clause or a list of them; anything else is a fault with its line."""
    file = tmp_path / "variants.yaml"
    file.write_text("dark: lamp off\nboth: [lamp off, circuit P1 off limits]\n", encoding="utf-8")
    kept = what_if.load_variants(file, small_job())
    assert [(each.text, each.line) for each in kept] == [
        ("dark: lamp off", 1),
        ("both: lamp off; circuit P1 off limits", 2),
    ]
    file.write_text("dark: 3\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        what_if.load_variants(file, small_job())
    assert refused.value.faults[0].line == 1


def test_slips_of_a_variants_file_come_in_one_pass_with_their_lines(tmp_path: Path) -> None:
    """What is no clause hides no name that is unknown; sense is checked with its line as well."""
    file = tmp_path / "variants.yaml"
    file.write_text("a: lmap off\nb: 7\nc: lamp off in SU9\nd: lamp perhaps\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        what_if.load_variants(file, small_job())
    told = [(fault.line, fault.key) for fault in refused.value.faults]
    assert told == [(1, "a"), (2, "b"), (3, "c"), (4, "d")]
    assert all(fault.remedy for fault in refused.value.faults)
    file.write_text("\nx: outlets.O1.circuit=P9\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        what_if.swap(small_job(), what_if.load_variants(file, small_job()))
    (fault,) = refused.value.faults
    assert (fault.file, fault.line, fault.value) == (str(file), 2, "P9")
    assert fault.remedy


def test_a_drawn_plan_is_put_right_by_one_plug() -> None:
    """Three heads of 4 A drawn on one 10 A circuit: one of them moves, and no other."""
    job = small_job(
        heads={"lamp": amps(4.0, count=3)}, setups=[setup(lamp={"lounge": 3})], power_boards=[{}]
    )
    drawn = plan_of(
        put("lamp", "O1", unit=1, place="lounge", socket=1),
        put("lamp", "O1", unit=2, place="lounge", socket=2, board=0),
        put("lamp", "O1", unit=3, place="lounge", socket=2, board=0),
    )
    told = what_if.moves_of(job, drawn)
    assert told.found[0].moved == 1
    assert told.exit_code is ExitCode.BREAKS_A_LIMIT
    assert "SU1: 1 plug to move (no fewer would do)" in told.text()
    plan = told.found[0].plan
    assert plan is not None
    assert what_if.moves_of(job, plan).exit_code is ExitCode.HOLDS


def untraced() -> Job:
    """Return 12 A of lamps in a house of two 10 A circuits and four outlets nobody traced."""
    rooms = ("lounge", "lounge", "bed", "bed")
    return small_job(
        outlets={f"O{n}": {"room": room, "sockets": 1} for n, room in enumerate(rooms, 1)},
        heads={"lamp": amps(4.0, count=3)},
        setups=[setup(lamp={"lounge": 3})],
    )


def test_offers_for_open_wiring_say_that_it_runs_on_most_of_it() -> None:
    """What only unknown wiring forbids is not called impossible; the offers make it certain."""
    told = what_if.offers_of(untraced(), SolverConfig(time_limit_s=10))
    assert told.text().startswith("RUNS AS ASKED, but fails in ")
    assert "Offers that hold whatever the wiring" in told.text()
    assert told.exit_code is ExitCode.HOLDS
    assert told.data()["chance"]["fails_pct"] > 0


def test_offers_and_plan_name_one_clash_where_wiring_is_open() -> None:
    """What clashes on every wiring is the plainer reason, and two reasons would contradict.

    Two heads of 9 A on two sockets of 10 A beside a dryer that has to be there clash on any wiring;
    with every outlet counted on every circuit the fans clash as well.
    """
    job = small_job(
        circuits=circuits(P1=20.0, P2=20.0, P3=20.0),
        outlets={"O1": outlet(None, "lounge"), "O2": outlet("P3", "bed")},
        heads={"key": amps(9.0, count=2, cord_m=1.0), "fan": amps(6.0, count=2)},
        departments={"dryer": amps(9.0, room="lounge")},
        setups=[setup(key={"O1": 2}, fan={"bed": 2}, on=["dryer"])],
        power_boards=[],
    )
    config = SolverConfig(time_limit_s=10)
    planned = plan_job(job, config).answer.text
    offered = headline(Facts.of(job), *_found(what_if.offers_of(job, config)))
    assert planned.startswith("CANNOT RUN AS ASKED")
    assert offered == planned


def _found(told: what_if.OffersTold) -> tuple[Offers, tuple[Conflict, ...]]:
    return told.offers, told.conflicts


def test_offers_count_equal_heads_and_fold_long_titles() -> None:
    """Two of three lamps stay on one outlet: one entry with its number, and no line runs over."""
    job = small_job(
        circuits=circuits(P1=10.0),
        outlets={"O1": outlet("P1", "lounge", sockets=3)},
        heads={"lamp": amps(4.0, count=3)},
        setups=[setup(lamp={"lounge": 3})],
    )
    text = what_if.offers_of(job, SolverConfig(time_limit_s=10)).text()
    assert "2 lamp (O1)" in text
    assert "lamp (O1), lamp (O1)" not in text
    assert max(map(len, text.splitlines())) <= 80


def test_how_many_says_that_it_holds_whatever_the_wiring() -> None:
    """Two lamps are sure on any wiring; the page says that the figure counts every circuit."""
    told = what_if.how_many(untraced(), ["lamp"])
    assert told.is_open
    assert "holds whatever the wiring" in " ".join(told.text().split())
    assert told.data()["whatever_the_wiring"] is True


def test_the_log_counts_in_every_command(tmp_path: Path) -> None:
    """An outlet found dark with P2 off is on P2 for offers, swap, sag and the rest too."""
    data = small_data(outlets={"O1": {"room": "lounge"}, "O2": {"room": "bed"}})
    (tmp_path / "job.yaml").write_text(json.dumps(data), encoding="utf-8")
    log = "observations:\n- {what: breaker off, circuits: [P2], dark: [O1], still_on: [O2]}\n"
    (tmp_path / "log.yaml").write_text(log, encoding="utf-8")
    known = with_log(load_job(tmp_path), tmp_path)
    assert (known.outlets["O1"].circuit, known.outlets["O2"].circuit) == ("P2", "P1")


@pytest.mark.parametrize("ys", [[2.8, 1.0], [2.0, 1.0, 0.5]])
def test_leads_to_hire_are_no_longer_than_they_have_to_be(ys: list[float]) -> None:
    """16 m of way less 3 m of cord: the shortest lead that is for hire, 20 m, does it.

    By hand: 1.3 x (8 + 2.8) + 2 = 16.04 m along the walls (practice/data/habits.yaml).
    """
    plate = {"sockets": 4, "known": "tested"}
    job = small_job(
        outlets={
            "O1": plate | {"circuit": "P1", "at": [0.0, 0.0]},
            "O2": plate | {"circuit": "P2", "at": [1.0, 0.0]},
        },
        places={f"spot{n}": {"at": [8.0, y]} for n, y in enumerate(ys)},
        heads={f"lamp{n}": amps(2.0, cord_m=3.0) for n in range(len(ys))},
        leads=[{"length_m": 5.0, "count": 1}],
        setups=[setup(**{f"lamp{n}": f"spot{n}" for n in range(len(ys))})],
    )
    told = what_if.offers_of(job, SolverConfig(time_limit_s=10))
    words = [change.words for offer in told.offers.offers for change in offer.changes]
    assert f"{len(ys)} more leads of 20 m 2.5 mm² to hire" in words


def test_what_is_open_is_not_called_impossible() -> None:
    """Volts refused every split that was tried, and none is proved not to exist: exit code 3."""
    tried = "every breaker says yes, the volts say no: the board falls to 217.4 V"
    open_end = Offers(100, in_trouble=("SU1",), unsure=("SU1",), reasons=(tried,))
    proved = Offers(100, in_trouble=("SU1",), reasons=(tried,))
    facts = Facts.of(small_job())
    assert headline(facts, open_end, ()) == f"NOT DECIDED whether it runs as asked: {tried}"
    assert headline(facts, proved, ()) == f"CANNOT RUN AS ASKED: {tried}"


def test_a_load_that_may_go_anywhere_is_told_so() -> None:
    """Two circuits of 10 A with a lamp of 6 A each: 5 A more only if one of them is off."""
    job = small_job(
        heads={"lamp": amps(6.0, count=2)}, setups=[setup(lamp={"lounge": 1, "bed": 1})]
    )
    plan = plan_of(put("lamp", "O1", place="lounge"), put("lamp", "O2", unit=2, place="bed"))
    text = may_i(job, plan, question_of(job, "5A")).text()
    assert text.startswith("ONLY IF lamp is off: 5.0 A at O1, in SU1")
    assert "\n  At O1 if lamp is off in SU1" in text


def test_an_offer_says_how_many_of_how_many() -> None:
    """Three lamps of 4 A on one 10 A circuit: one of them is left dark, not all of that name."""
    job = small_job(
        circuits={"P1": circuit(10.0)},
        outlets={"O1": outlet("P1", "lounge", sockets=4)},
        heads={"lamp": amps(4.0, count=3)},
        setups=[setup(lamp={"lounge": 3})],
    )
    told = what_if.offers_of(job, SolverConfig(time_limit_s=10))
    words = {change.words for offer in told.offers.offers for change in offer.changes}
    assert "1 of 3 lamp at lounge left dark in SU1" in words


def test_a_department_may_move_to_an_outlet_that_is_fitted_for_it() -> None:
    """Lamp and heater of 9 A share 10 A; an outlet put in costs least and the heater goes there."""
    job = small_job(
        circuits={"P1": circuit(10.0)},
        outlets={"O1": outlet("P1", "lounge", sockets=2)},
        heads={"lamp": amps(9.0, priority=1)},
        departments={"heater": amps(9.0, kind="heater", outlet="O1", cord_m=1.0)},
        setups=[setup(lamp="lounge", on=["heater"])],
        leads=[{"length_m": 5.0, "count": 1}],
        costs={
            "electrician": 1.0,
            "electrician_min": 0.0,
            "move_min": 0.0,
            "generator": 9000.0,
            "off_min": 900.0,
            "turns_min": 900.0,
            "battery_max_w": 0.0,
            "dark_factor": 100.0,
        },
    )
    text = what_if.offers_of(job, SolverConfig(time_limit_s=10)).text()
    assert "a way of its own in lounge" in text
    assert "heater moves to new outlet in lounge" in text


def test_the_plate_of_a_generator_is_told_as_it_is_reckoned() -> None:
    """2.3 kVA of lamps and a fifth of it on top are 2.76, at 2000 m over 0.94 are 2.94 kVA."""
    job = small_job(heads={"lamp": amps(5.0, count=2)})
    size = what_if.generator_for(job, ["lamp=2"], altitude_m=2000)
    assert size.size.need.plate_va == pytest.approx(2300 * 1.2 / 0.94)
    said = "plate       3.0 kVA, a fifth on top; a set gives 94 % of its plate here"
    assert said in size.text()


@pytest.mark.parametrize(("limit_a", "is_off"), [(16.0, True), (30.0, False)])
def test_offers_say_what_has_to_be_off_as_plan_does(limit_a: float, *, is_off: bool) -> None:
    """4 A of lamp and 13 A of water are 17 A: on 16 A the water has to be off, and both say so."""
    job = small_job(
        supply={"limit_a": limit_a, "limit_source": "fuse", "planning_v": 230.0},
        circuits=circuits(P1=10.0, P2=10.0) | {"HW": {"breaker_a": 20.0, "feeds": "water"}},
        house={"water": amps(13.0, circuit="HW", policy="may be off", starts_by_itself=True)},
    )
    config = SolverConfig(time_limit_s=10.0)
    told = what_if.offers_of(job, config)
    said = "FITS ONLY IF water is off in SU1" if is_off else "FITS AS ASKED"
    assert told.text().startswith(said)
    assert plan_job(job, config).answer.text.startswith("FITS ONLY IF water" if is_off else "FITS:")
    off = [{"setup": "SU1", "load": "water"}] if is_off else []
    assert told.data()["switched_off"] == off
    assert ("Nothing else has to change" in told.text()) is is_off


def test_usual_leads_are_told_with_what_they_carry() -> None:
    """13.5 A a metre beyond its cord is no matter of length: the thin leads assumed carry less."""
    job = small_job(
        region="JP",
        supply={"limit_a": 40.0, "limit_source": "fuse"},
        circuits=circuits(P1=20.0),
        outlets={"O1": outlet("P1", at=[0.0, 0.0])},
        places={"far": {"at": [3.0, 0.0]}},
        rooms={},
        heads={"lamp": amps(13.5, cord_m=2.0)},
        setups=[setup(lamp="far")],
    )
    text = " ".join(what_if.offers_of(job, SolverConfig(time_limit_s=10.0)).text().split())
    assert "up to 30 m, 1.25 mm² for 1" in text
    assert "list the leads on the van" in text


def test_what_runs_on_last_resort_outlets_holds_as_plan_says() -> None:
    """The kitchen has the only outlet: heads are better not there, but nothing is over a limit."""
    job = small_job(
        rooms={"lounge": {"use": "living"}, "kitchen": {"use": "kitchen"}},
        circuits=circuits(P1=10.0),
        outlets={"O1": outlet("P1", "kitchen")},
    )
    told = what_if.offers_of(job)
    assert told.text().startswith("FITS ONLY WITH LAST-RESORT OUTLETS in SU1")
    assert told.exit_code is ExitCode.HOLDS
    assert plan_job(job).exit_code is ExitCode.HOLDS
