"""The lists for the truck, on jobs made up for them."""

from typing import Any

from builders import amps, outlet, plan_of, put, small_job
from sheets import sheet_of
from spreadload.check import Judge
from spreadload.derived.facts import Facts
from spreadload.explain.briefing import brief
from spreadload.explain.sheet.records import Table
from spreadload.explain.sheet.tables import SIGNED_BY, tables
from spreadload.job.job import Job
from spreadload.job.observations import Log, Observation, Seen
from spreadload.plan import Placement, Plan, SwitchedOff


def lists_of(job: Job, *placements: Placement, log: Log | None = None) -> dict[str, Table]:
    """Return every list of a plan written by hand, by name."""
    facts = Facts.of(job)
    briefing = brief(facts, Judge(facts), plan_of(*placements))
    return {table.name: table for table in tables(briefing, log)}


def rows_of(table: Table, kind: str) -> list[tuple[str, ...]]:
    """Return the rows of one kind."""
    return [row for row in table.rows if kind in row[:2]]


def test_leads_are_listed_in_the_units_written_on_them() -> None:
    """A lead sold in feet is pulled in feet, one in metres in metres."""
    job = small_job(
        region="US",
        supply={"limit_a": 100.0, "limit_source": "read"},
        heads={"lamp": amps(1.0, cord_m=0.5), "spot": amps(1.0, cord_m=0.5)},
        leads=[{"length_ft": 50.0, "size_awg": 12}, {"length_m": 10.0, "size_awg": 12}],
        setups=[{"id": "SU1", "heads": {"lamp": "lounge", "spot": "lounge"}}],
    )
    placed = (
        put("lamp", "O1", place="lounge", lead=0),
        put("spot", "O1", place="lounge", lead=1, socket=2),
    )
    leads = rows_of(lists_of(job, *placed)["pull-list"], "lead")
    assert {row[3] for row in leads} == {"50 ft", "10 m"}


def test_every_lead_or_board_at_a_bare_outlet_gets_an_rcd_to_plug_in() -> None:
    """Two leads at outlets behind no RCD need two; behind one, none is listed."""
    heads = {"lamp": amps(1.0, cord_m=0.5, count=2)}
    common: dict[str, Any] = {
        "heads": heads,
        "leads": [{"length_m": 10.0, "count": 4}],
        "setups": [{"id": "SU1", "heads": {"lamp": {"lounge": 2}}}],
    }
    placed = [put("lamp", "O1", unit=n, place="lounge", lead=0, socket=n) for n in (1, 2)]
    (rcd,) = rows_of(lists_of(small_job(**common), *placed)["pull-list"], "RCD")
    assert rcd[1] == "plug-in RCD 30 mA"
    assert rcd[4] == "2"
    behind = small_job(
        **common,
        rcds={"R1": {"trips_at_ma": 30}},
        outlets={"O1": outlet("P1", "lounge", rcd="R1"), "O2": outlet("P2", "lounge")},
    )
    assert rows_of(lists_of(behind, *placed)["pull-list"], "RCD") == []


def test_a_box_says_what_is_built_in_or_nothing() -> None:
    """A distribution box with a device of 30 mA says so; one without leaves the cell empty."""
    bare = {"inlet": "au-10", "outlet": "au-10", "outlets_per_phase": 2}
    for built_in, said in (({}, ""), ({"rcd_ma": 30.0}, "30 mA")):
        job = small_job(boxes={"box": bare | built_in})
        (row,) = rows_of(lists_of(job, put("lamp", "O1/box/L1"))["pull-list"], "box")
        assert row[8] == said


def test_spare_fuses_are_pulled_where_plugs_have_fuses() -> None:
    """Under BS 1363 five heads need two spare fuses of their rating; elsewhere there are none."""
    heads = {"lamp": amps(0.5, count=5)}
    setups = [{"id": "SU1", "heads": {"lamp": {"lounge": 1}}}]
    british = small_job(region="UK", heads=heads, setups=setups)
    (fuse,) = rows_of(lists_of(british, put("lamp", "O1", place="lounge"))["pull-list"], "fuse")
    assert fuse[4] == "2"
    local = small_job(heads=heads, setups=setups)
    table = lists_of(local, put("lamp", "O1", place="lounge"))["pull-list"]
    assert rows_of(table, "fuse") == []


def test_a_row_of_the_load_schedule_adds_up() -> None:
    """Watts over power factor and volts are the amps beside them, whatever had to be assumed.

    575 W of lamp x 1.2 = 690 W, / 0.6 / 230 V = 5.0 A (common practice, as its source says).
    """
    heads = {"small": {"kind": "discharge", "lamp_w": 575, "cord_m": 50}}
    job = small_job(heads=heads, setups=[{"id": "SU1", "heads": {"small": "lounge"}}])
    table = lists_of(job, put("small", "O1", place="lounge"))["load-schedule"]
    ((_, _, _, watts, current_a, factor, *_),) = table.rows
    assert (watts, current_a, factor) == ("690", "5.0", "0.60")
    assert float(watts) / float(factor) / 230 <= float(current_a)


def test_the_load_schedule_says_where_each_figure_comes_from() -> None:
    """Measured amps are called measured; what is wired has no plug; what starts alone says when."""
    job = small_job(
        house={
            "pump": amps(2.0, circuit="P2", policy="must stay on", starts_by_itself=True,
                         starts_from="06:00", starts_to="08:00"),
        }
    )  # fmt: skip
    table = lists_of(job, put("lamp", "O1", place="lounge"))["load-schedule"]
    by_id = {row[0]: dict(zip(table.columns, row, strict=True)) for row in table.rows}
    assert by_id["lamp"]["source of the figure"].startswith("measured")
    assert by_id["pump"]["plug"] == "wired"
    assert by_id["pump"]["starts"] == "by itself 06:00 to 08:00"
    assert by_id["lamp"]["starts"] == ""


def test_labels_are_for_outlets_leads_boards_the_board_and_departments() -> None:
    """Each is stuck somewhere; a lead lying the same all day is labelled once at each end."""
    job = small_job(
        heads={"lamp": amps(1.0, cord_m=0.5), "spot": amps(1.0, cord_m=3.0)},
        departments={"iron": amps(2.0, by="costume", room="bed", kind="heater")},
        leads=[{"length_m": 10.0, "count": 4}],
        power_boards=[{"ways": 4, "rating_a": 10.0}],
        setups=[
            {"id": n, "heads": {"lamp": "lounge", "spot": "lounge"}, "on": ["iron"]}
            for n in ("SU1", "SU2")
        ],
    )
    placed = [
        placement
        for n in ("SU1", "SU2")
        for placement in (
            put("lamp", "O1", name=n, place="lounge", lead=0),
            put("spot", "O1", name=n, place="lounge", board=0, socket=2),
            put("iron", "O2", name=n),
        )
    ]
    labels = [row[1:] for row in lists_of(job, *placed)["tape-labels"].rows]
    assert ("outlet", "O1 · P1", "LIGHTING ONLY") in labels
    assert ("outlet", "O2 · P2", "costume") in labels
    plugs = [label for label in labels if label[0] == "lead, plug end"]
    assert plugs == [("lead, plug end", "O1", "lamp, lounge · SU1 and SU2")]
    assert ("power board", "fed from O1", "9.0 A left · SU1 and SU2") in labels
    assert ("card", "costume", "yours: outlet O2, up to 2.0 A") in labels
    assert ("board card", "do not reset, call lighting:", "phone") in labels


def test_an_outlet_nobody_knows_is_not_labelled_with_a_guess() -> None:
    """With three circuits possible the label carries a question mark."""
    ways = {name: {"breaker_a": 10.0, "feeds": "outlets"} for name in ("P1", "P2", "P3")}
    job = small_job(circuits=ways, outlets={"O1": outlet(None, "lounge")})
    labels = [row[2] for row in lists_of(job)["tape-labels"].rows]
    assert "O1 · ?" in labels


def test_department_sheets_forbid_heaters_where_the_load_is_none() -> None:
    """Monitors may not be swapped for a heater; a heater's own outlet takes nothing else."""
    job = small_job(
        departments={
            "video": amps(1.0, by="video", room="lounge", kind="electronics"),
            "iron": amps(2.0, by="costume", room="bed", kind="heater"),
        },
        setups=[{"id": "SU1", "heads": {}, "on": ["video", "iron"]}],
    )
    table = lists_of(job, put("video", "O1"), put("iron", "O2"))["department-sheets"]
    barred = {row[0]: row[7] for row in table.rows}
    assert barred == {
        "video": "nothing else, no heaters",
        "costume": "nothing else on this outlet",
    }


def test_the_trip_log_opens_with_what_was_logged() -> None:
    """A trip in the log is the first line; lines to write on follow; stories are not trips."""
    log = Log(
        observations=(
            Observation(what=Seen.STORY, circuits=("P1",), dark=("O1",)),
            Observation(
                what=Seen.TRIP, circuits=("P1",), dark=("O1",), still_on=("O2",), when="09:12"
            ),
        )
    )
    table = lists_of(small_job(), put("lamp", "O1", place="lounge"), log=log)["trip-log"]
    (line,) = table.rows
    assert line[:3] == ("09:12", "P1", "trip")
    assert line[5:7] == ("O1", "O2")
    assert table.blank >= 5


def test_the_return_sheet_has_energy_photos_and_signatures() -> None:
    """Two hours of a lamp of 4 A at 230 V are about 1.8 kWh; everybody who signs has a line."""
    job = small_job(
        heads={"lamp": {"kind": "tungsten", "plate_w": 900.0, "plug": "au-10"}},
        setups=[{"id": "SU1", "heads": {"lamp": "lounge"}, "from": "09:00", "to": "11:00"}],
    )
    table = lists_of(job, put("lamp", "O1", place="lounge"))["return-sheet"]
    (planned, _) = rows_of(table, "energy")
    assert planned[3] == "about 1.8 kWh in 2 h with all of it on"
    assert [row[1] for row in rows_of(table, "signature")] == list(SIGNED_BY)
    assert "photos" in table.note


def test_every_list_is_as_wide_as_its_heading() -> None:
    """No row is longer or shorter than the columns, whatever is on it."""
    job = small_job(
        rcds={"R1": {"trips_at_ma": 30}},
        departments={"iron": amps(2.0, by="costume", room="bed")},
        house={"pump": amps(2.0, circuit="P2", policy="must stay on")},
    )
    for table in lists_of(job, put("lamp", "O1", place="lounge")).values():
        assert {len(row) for row in table.rows} <= {len(table.columns)}, table.name


def two_dryers(**more: Any) -> Job:  # noqa: ANN401 - any entry of a job file
    """Return a flat where make-up has two dryers and irons, costume a steamer that can be off."""
    by = {"by": "make-up", "room": "bed", "kind": "heater"}
    return small_job(
        heads={},
        departments={
            "dryer": amps(2.0, count=2, **by),
            "irons": amps(0.5, **by),
            "steamer": amps(3.0, by="costume", room="bed", kind="heater", policy="may be off"),
        },
        rooms={"lounge": {"use": "living"}, "bed": {"use": "bedroom", "name": "bedroom 1"}},
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed", sockets=4)},
        setups=[
            {"id": "SU1", "heads": {}, "on": ["dryer", "steamer"], "from": "07:00", "to": "09:00"},
            {"id": "SU2", "heads": {}, "on": ["dryer", "irons"], "from": "09:00", "to": "12:00"},
        ],
        **more,
    )


def dryers_placed() -> tuple[Placement, ...]:
    """Place both dryers all day, the irons in the second set-up and the steamer in none."""
    dryers = [put("dryer", "O2", name=n, unit=u, socket=u) for n in ("SU1", "SU2") for u in (1, 2)]
    return (*dryers, put("irons", "O2", name="SU2", socket=3))


def test_a_department_is_given_the_amps_of_all_it_has_there_at_once() -> None:
    """Two dryers of 2 A are 4 A, with irons 4.5 A; each has its times and the room's own name."""
    job = two_dryers()
    facts = Facts.of(job)
    plan = Plan(
        placements=dryers_placed(), switched_off=(SwitchedOff(setup="SU1", load="steamer"),)
    )
    found = {table.name: table for table in tables(brief(facts, Judge(facts), plan))}
    rows = {(line[1], line[8]): line for line in found["department-sheets"].rows}
    alone = rows["2 x dryer", "SU1 07:00 to 09:00"]
    assert alone[2:6] == ("bedroom 1", "O2", "P2", "4.0")
    both = rows["2 x dryer, irons", "SU2 09:00 to 12:00"]
    assert both[5] == "4.5"
    assert rows["steamer", "SU1 07:00 to 09:00"][3:8] == (
        "off",
        "",
        "0.0",
        "steamer",
        "must be off",
    )
    cards = [line[3] for line in rows_of(found["tape-labels"], "card")]
    assert cards == [
        "yours: outlet O2, up to 4.0 A · SU1",
        "yours: outlet O2, up to 4.5 A · SU2",
    ]


def test_every_lead_has_its_tape_one_for_each_unit_and_one_for_a_board() -> None:
    """Two heads on leads of their own take two pairs, three on a board at a lead's end one."""
    job = small_job(
        heads={"lamp": amps(0.5, cord_m=0.5, count=2), "tube": amps(0.5, cord_m=3.0, count=3)},
        leads=[{"length_m": 10.0, "count": 4}],
        power_boards=[{"ways": 4, "rating_a": 10.0}],
        setups=[{"id": "SU1", "heads": {"lamp": {"lounge": 2}, "tube": {"bed": 3}}}],
    )
    lamps = [put("lamp", "O1", unit=n, place="lounge", lead=0, socket=n) for n in (1, 2)]
    tubes = [put("tube", "O2", unit=n, place="bed", board=0, board_lead=0) for n in (1, 2, 3)]
    labels = lists_of(job, *lamps, *tubes)["tape-labels"]
    ends = [line[2:] for line in labels.rows if line[1] == "lead, plug end"]
    assert ends == [
        ("O1", "lamp #1, lounge · SU1"),
        ("O1", "lamp #2, lounge · SU1"),
        ("O2", "power board, bed · SU1"),
    ]
    (board,) = rows_of(labels, "power board")
    assert board[2] == "fed from O2, lies at bed"


def test_leads_nobody_listed_are_not_counted_as_stock() -> None:
    """Where a job lists no leads, those taken to be there are pulled with no stock beside them."""
    heads = {"lamp": amps(1.0, cord_m=0.5)}
    setups = [{"id": "SU1", "heads": {"lamp": "lounge"}}]
    listed = {"leads": [{"length_m": 10.0, "count": 4}]}
    for leads, stock in (({}, "not counted"), (listed, "4")):
        job = small_job(heads=heads, setups=setups, **leads)
        table = lists_of(job, put("lamp", "O1", place="lounge", lead=0))["pull-list"]
        (line,) = rows_of(table, "lead")
        assert line[6] == stock


def test_rcds_to_plug_in_are_on_the_test_record_and_what_is_off_limits_is_left_alone() -> None:
    """A lead at a bare outlet brings an RCD whose button is pressed like any other."""
    job = small_job(
        heads={"lamp": amps(1.0, cord_m=0.5)},
        leads=[{"length_m": 10.0}],
        outlets={"O1": outlet("P1", "lounge"), "O2": outlet("P2", "bed", use="off limits")},
        setups=[{"id": "SU1", "heads": {"lamp": "lounge"}}],
    )
    record = lists_of(job, put("lamp", "O1", place="lounge", lead=0))["test-record"]
    assert rows_of(record, "plug-in 1") == [("RCD", "plug-in 1", "30 mA", "", "", "", "", "")]
    assert {line[1]: line[7] for line in record.rows if line[0] == "outlet"} == {
        "O1": "",
        "O2": "off limits, leave alone",
    }


def test_lists_hold_what_the_truck_needs() -> None:
    """Leads with a spare, loads with the source of their amps, labels numbered in print order."""
    job = small_job(
        heads={"lamp": amps(4.0, cord_m=1.0)},
        leads=[{"length_m": 20.0, "size_mm2": 1.5, "count": 3}],
        departments={"iron": amps(2.0, by="costume", room="bed")},
    )
    made = sheet_of(job, put("lamp", "O1", place="lounge", lead=0))
    lists = {table.name: table for table in made.tables}
    assert list(lists) == [
        "pull-list", "load-schedule", "department-sheets", "tape-labels", "test-record",
        "trip-log", "return-sheet",
    ]  # fmt: skip
    lead = lists["pull-list"].rows[0]
    assert lead[:7] == ("lead", "1.5 mm²", "au-10", "20 m", "1", "1", "3")
    assert lead[7] == "SU1 O1, lounge"
    loads = {row[0]: row for row in lists["load-schedule"].rows}
    assert loads["lamp"][4] == "4.0"
    assert loads["lamp"][7].startswith("measured")
    assert lists["department-sheets"].rows[0][:2] == ("costume", "iron")
    labels = lists["tape-labels"].rows
    assert [row[0] for row in labels] == [str(n) for n in range(1, len(labels) + 1)]
    assert ("outlet", "O1 · P1", "LIGHTING ONLY") in {row[1:] for row in labels}
    assert ("lead, plug end", "O1", "lamp, lounge · SU1") in {row[1:] for row in labels}
    for table in made.tables:
        assert all(len(row) == len(table.columns) for row in table.rows), table.name


def test_spares_never_exceed_the_stock() -> None:
    """With the last lead in use there is no spare to promise."""
    job = small_job(
        heads={"lamp": amps(4.0, cord_m=1.0)}, leads=[{"length_m": 20.0, "size_mm2": 1.5}]
    )
    (pull, *_) = sheet_of(job, put("lamp", "O1", place="lounge", lead=0)).tables
    assert pull.rows[0][4:7] == ("1", "0", "1")


def test_a_plan_that_names_what_there_is_not_still_makes_a_sheet() -> None:
    """Leads and boards by numbers that do not exist are shown as faults, never a crash."""
    made = sheet_of(
        small_job(leads=[{"length_m": 20.0, "size_mm2": 1.5}]),
        put("lamp", "O1", place="lounge", lead=7, board=-1, board_lead=9),
        put("ghost", "O2"),
        put("lamp", "nowhere", name="SU9"),
    )
    assert made.says == "breaks"
    assert made.breaks
