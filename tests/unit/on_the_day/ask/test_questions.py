"""Reading a question on the day: what can be asked, and one clear fault for what cannot."""

import pytest

from builders import amps, circuit, plan_of, put, small_job
from spreadload.app.may_i import may_i, question_of
from spreadload.derived.facts import Facts
from spreadload.errors import InputError
from spreadload.on_the_day.ask.question import Question, read_question


def facts(*, night: bool = False) -> Facts:
    """Return a day of two set-ups with a gap, or a night past twelve."""
    times = (
        [("18:00", "21:00"), ("22:00", "2:00")]
        if night
        else [("9:00", "12:00"), ("13:00", "16:00")]
    )
    setups = [
        {"id": f"SU{n}", "from": start, "to": end, "heads": {"lamp": "lounge"}}
        for n, (start, end) in enumerate(times, start=1)
    ]
    return Facts.of(small_job(departments={"kettle": amps(9.0, intermittent=True)}, setups=setups))


def read(what: str = "5A", where: str = "O1", **window: str) -> Question:
    """Return a question about the day."""
    return read_question(facts(), what, where, **window)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("what", "current_a", "power_w"),
    [
        ("5A", 5.0, None),
        ("2,5 a", 2.5, None),
        ("500mA", 0.5, None),
        ("5", 5.0, None),
        ("1200W", None, 1200.0),
        ("1.5 kW", None, 1500.0),
    ],
)
def test_amps_and_watts_are_read_with_their_unit(
    what: str, current_a: float | None, power_w: float | None
) -> None:
    """Amps and watts, with comma or point."""
    load = read(what).load
    assert (load.measured_a, load.plate_w) == (current_a, power_w)


@pytest.mark.parametrize("what", ["1,200W", "1.200 W", "1.200", "12,000w", "1.234.567W"])
def test_a_sign_between_thousands_is_never_a_decimal_mark(what: str) -> None:
    """Read as 1.2 W a kettle would fit anywhere: it is refused, with what to write."""
    with pytest.raises(InputError) as refused:
        read(what)
    (fault,) = refused.value.faults
    assert fault.key == "WHAT"
    assert fault.remedy.startswith(f"write {''.join(c for c in what if c.isdigit())}")


@pytest.mark.parametrize(
    ("what", "current_a"),
    [("1.250A", 1.25), ("\N{FULLWIDTH DIGIT FIVE}A", 5.0), ("5\N{CYRILLIC CAPITAL LETTER A}", 5.0)],
)
def test_three_decimals_of_an_amp_and_look_alikes_are_read(what: str, current_a: float) -> None:
    """A clamp shows thousandths; a full-width digit or a Cyrillic A is what it looks like."""
    assert read(what).load.measured_a == current_a


@pytest.mark.parametrize(
    ("written", "meant"),
    [("13.30", "13:30"), ("1330", "13:30"), ("1:30pm", "13:30"), ("3 am", "3:00"), ("9h", "9:00")],
)
def test_a_time_written_another_way_is_told_how(written: str, meant: str) -> None:
    """As in a job file."""
    with pytest.raises(InputError) as refused:
        read(start=written)
    assert [fault.remedy for fault in refused.value.faults] == [f"write {meant}"]


def test_a_load_of_the_job_keeps_its_nature_but_no_place() -> None:
    """One kettle more, brief as the kettle is, wherever it is asked for."""
    load = read("kettle").load
    assert (load.measured_a, load.intermittent, load.outlet, load.room) == (9.0, True, None, None)


@pytest.mark.parametrize(
    ("what", "brief", "says", "other_a"),
    [
        ("1500W", True, "YES", 12.0),
        ("1500W", False, "NO", None),
        ("15A", True, "YES", 12.0),
        ("15.2A", True, "NO", None),
        ("12A", True, "YES", None),
        ("12A", False, "YES", None),
    ],
)
def test_what_runs_for_minutes_may_fill_a_socket(
    what: str, says: str, other_a: float | None, *, brief: bool
) -> None:
    """1500 W, 12.5 A, for minutes: a kettle or an iron, which any 15 A receptacle takes.

    NEC 210.21(B)(2) holds what one cord takes from a 15 A receptacle to 12 A, however long it is
    on; that appliances that make heat are sold with a plug they fill is common practice (a hair
    dryer of 1875 W at 125 V). The answer says that it is taken for one, and what else may take.
    """
    job = small_job(
        region="US",
        supply={"system": "split-phase", "limit_a": 100.0, "limit_source": "main breaker"},
        circuits={"P1": circuit(20.0, phase="A"), "P2": circuit(20.0, phase="B")},
        heads={"lamp": amps(1.0)},
        setups=[{"id": "SU1", "from": "9:00", "to": "10:00", "heads": {"lamp": "lounge"}}],
    )
    plan = plan_of(put("lamp", "O1", place="lounge"))
    answer = may_i(job, plan, question_of(job, what, "O2", is_intermittent=brief))
    assert answer.text().startswith(says)
    assert answer.data()["unless_heat_a"] == other_a
    assert ("Taken to make heat" in answer.text()) is (other_a is not None)


def test_a_load_that_is_on_already_is_asked_for_once_more() -> None:
    """Who names the kettle of the list is told about a second kettle, and told so."""
    job = small_job(
        departments={"kettle": amps(2.0), "urn": amps(2.0)},
        setups=[{"id": "SU1", "heads": {"lamp": "lounge"}, "on": ["kettle"]}],
    )
    plan = plan_of(put("lamp", "O1", place="lounge"), put("kettle", "O2"))
    for load, said in (("kettle", "YES: one more kettle (2.0 A)"), ("urn", "YES: urn (2.0 A)")):
        answer = may_i(job, plan, question_of(job, load))
        assert answer.text().startswith(said)
        assert answer.data()["load"] == load


@pytest.mark.parametrize(
    ("window", "setups"),
    [
        ({}, ("SU1", "SU2")),
        ({"start": "SU2"}, ("SU2",)),
        ({"until": "SU1"}, ("SU1",)),
        ({"start": "11:59", "until": "12:30"}, ("SU1",)),
        ({"start": "10:00", "until": "SU2"}, ("SU1", "SU2")),
        ({"start": "12:00"}, ("SU2",)),
        ({"until": "13:01"}, ("SU1", "SU2")),
    ],
)
def test_times_and_set_ups_say_which_set_ups_are_meant(
    window: dict[str, str], setups: tuple[str, ...]
) -> None:
    """Times and set-ups mix; a set-up that only ends as the window begins is not in it."""
    assert read(**window).setups == setups


def test_a_window_may_pass_midnight() -> None:
    """One in the morning of a night shoot is after eleven at night."""
    night = facts(night=True)
    assert read_question(night, "1A", start="1:00").setups == ("SU2",)
    assert read_question(night, "1A", until="19:00").setups == ("SU1",)


def test_rooms_outlets_and_anywhere() -> None:
    """A room means its outlets."""
    assert read(where="lounge").points == ("O1",)
    assert read(where="anywhere").points == ("O1", "O2")


@pytest.mark.parametrize(
    ("what", "where", "window", "key"),
    [
        ("0A", "O1", {}, "WHAT"),
        ("-3A", "O1", {}, "WHAT"),
        ("7000A", "O1", {}, "WHAT"),
        ("1.2.3A", "O1", {}, "WHAT"),
        ("5 bananas", "O1", {}, "WHAT"),
        ("", "O1", {}, "WHAT"),
        ("5A", "O9", {}, "WHERE"),
        ("5A", "lounge", {"start": "17:00"}, "--from"),
        ("5A", "lounge", {"until": "8:00"}, "--until"),
        ("5A", "lounge", {"start": "12:00", "until": "13:00"}, "--until"),
        ("5A", "lounge", {"start": "15:00", "until": "10:00"}, "--until"),
        ("5A", "lounge", {"start": "25:00"}, "--from"),
        ("5A", "lounge", {"start": "SU2", "until": "SU1"}, "--until"),
        ("5A", "lounge", {"until": "SU7"}, "--until"),
    ],
)
def test_bad_questions_get_one_clear_error(
    what: str, where: str, window: dict[str, str], key: str
) -> None:
    """One fault that names what is wrong."""
    with pytest.raises(InputError) as refused:
        read(what, where, **window)
    (fault,) = refused.value.faults
    assert fault.key == key


def test_all_faults_in_one_pass() -> None:
    """Amount, place and time at once, with what was meant."""
    with pytest.raises(InputError) as refused:
        read("ketle", "O3", start="SU3")
    assert [fault.key for fault in refused.value.faults] == ["--from", "WHAT", "WHERE"]
    assert "did you mean kettle?" in [fault.remedy for fault in refused.value.faults]
    assert all(fault.remedy for fault in refused.value.faults)


def test_one_more_of_a_kind_is_not_had_by_switching_its_like_off() -> None:
    """4.5 A of lamp and 4.5 of fan on 10 A: one more lamp fits without the fan.

    Without the first lamp it fits as well, but then there is one lamp, as there was.
    """
    job = small_job(
        circuits={"P1": {"label": "PLUGS", "breaker_a": 10.0, "feeds": "outlets"}},
        outlets={"O1": {"room": "lounge", "sockets": 4, "circuit": "P1", "known": "tested"}},
        heads={"lamp": amps(4.5, count=2)},
        departments={"fan": amps(4.5, room="lounge")},
        setups=[{"id": "SU1", "heads": {"lamp": "lounge"}, "on": ["fan"]}],
    )
    plan = plan_of(put("lamp", "O1", place="lounge"), put("fan", "O1", socket=2))
    reply = may_i(job, plan, question_of(job, "lamp", "anywhere", start="SU1")).reply
    assert [(each.load, each.point) for each in reply.only_if] == [("fan", "O1")]


def test_only_if_names_the_outlet_wherever_that_may_be() -> None:
    """9 A on either breaker of 10: off with the fan leaves room at O2, off with the iron at O1."""
    job = small_job(
        heads={},
        departments={
            "fan": amps(9.0, outlet="O2"),
            "iron": amps(9.0, outlet="O1", intermittent=True),
        },
        setups=[{"id": "SU1", "on": ["fan", "iron"]}],
    )
    plan = plan_of(put("fan", "O2"), put("iron", "O1"))
    told = may_i(job, plan, question_of(job, "5A", "anywhere", start="SU1"))
    assert [(each.load, each.point) for each in told.reply.only_if] == [
        ("iron", "O1"),
        ("fan", "O2"),
    ]
    text = told.text()
    assert text.startswith("ONLY IF iron or fan is off: 5.0 A anywhere, in SU1")
    assert "At O1 if iron is off in SU1" in text
    assert "At O2 if fan is off in SU1" in text
    assert [each["at"] for each in told.data()["only_if_off"]] == ["O1", "O2"]


def test_only_if_means_one_outlet_for_the_whole_time() -> None:
    """The fan is at O1 in SU1 and at O2 in SU2; what goes off must free one outlet in both.

    The iron keeps O2 full in SU1, the kettle O1 in SU2: without the fan there is room at O1 in SU1
    and at O2 in SU2, and nobody moves a plug in between.
    """
    job = small_job(
        heads={},
        departments={
            "fan": amps(9.0),
            "iron": amps(9.0, outlet="O2"),
            "kettle": amps(9.0, outlet="O1"),
        },
        setups=[{"id": "SU1", "on": ["fan", "iron"]}, {"id": "SU2", "on": ["fan", "kettle"]}],
    )
    plan = plan_of(
        put("fan", "O1"),
        put("iron", "O2"),
        put("fan", "O2", name="SU2"),
        put("kettle", "O1", name="SU2"),
    )
    reply = may_i(job, plan, question_of(job, "5A", "anywhere", start="SU1", until="SU2")).reply
    assert reply.says == "no"
