"""The package data is whole: every row sourced, every reference known, faults refused."""

from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from spreadload import practice
from spreadload.errors import InternalError
from spreadload.practice.load import (
    HabitBook,
    build,
    caution_book,
    check_entries,
    check_family,
    check_regions,
    draw_book,
    habit_book,
    parse,
    plugs,
    spellings,
)
from spreadload.practice.records import Figure, Figures, Plug, Region

REGIONS = practice.region_ids()
KINDS = ("discharge", "led", "tungsten", "fluorescent", "heater", "motor", "electronics", "other")


def sourced_rows(node: object) -> Iterator[practice.Sourced]:
    """Yield every sourced row inside a record."""
    if isinstance(node, practice.Sourced):
        yield node
    if isinstance(node, BaseModel):
        node = dict(node)
    if isinstance(node, dict):
        node = tuple(node.values())
    if isinstance(node, tuple):
        for part in node:
            yield from sourced_rows(part)


def numbers_outside_rows(node: object, path: str = "") -> Iterator[str]:
    """Yield paths of bare numbers that no sourced row holds."""
    if isinstance(node, practice.Sourced):
        return
    if isinstance(node, int | float) and not isinstance(node, bool):
        yield path
    parts = dict(node) if isinstance(node, BaseModel | dict) else {}
    for key, part in parts.items():
        yield from numbers_outside_rows(part, f"{path}.{key}")


def region_data() -> dict[str, Any]:
    """Return one good region as plain data, to be spoilt."""
    return practice.region("AU").model_dump(mode="json")


def test_regions_are_the_eight_the_project_promises() -> None:
    """Every promised region has practice and is reachable under its own id."""
    assert REGIONS == ("AU", "NZ", "UK", "EU", "IT", "US", "CA", "JP")
    assert [practice.region(region).id for region in REGIONS] == list(REGIONS)


@pytest.mark.parametrize("region", REGIONS)
def test_every_number_of_a_region_sits_in_a_sourced_row(region: str) -> None:
    """No bare number in a region, and a source and a status on every row."""
    row = practice.region(region)
    rows = tuple(sourced_rows(row))
    assert not list(numbers_outside_rows(row))
    assert len(rows) > 25
    assert all(found.source and found.status in practice.Status for found in rows)


def test_every_other_row_has_a_source_and_a_status() -> None:
    """Plugs, cautions, label words, draws and habits say where they come from."""
    books = (tuple(plugs().values()), caution_book(), draw_book(), habit_book())
    labels = tuple(practice.labels(region) for region in REGIONS)
    rows = tuple(found for book in (*books, *labels) for found in sourced_rows(book))
    assert len(rows) > 1000
    assert all(found.source and found.status in practice.Status for found in rows)


def test_common_practice_is_never_passed_off_as_a_clause() -> None:
    """A row marked common practice names no standard as its authority for a number."""
    rows = [row for region in REGIONS for row in sourced_rows(practice.region(region))]
    habits = [row for row in rows if row.status is practice.Status.COMMON_PRACTICE]
    standards = ("IEC ", "BS 7671", "NEC ", "CSA ", "UL ", "ANSI ", "AS/NZS ", "JIS ")
    assert habits
    assert not [row.source for row in habits if row.source.startswith(standards)]


@pytest.mark.parametrize("region", REGIONS)
def test_region_is_coherent(region: str) -> None:
    """Plates, sockets, plugs, boards and guides of a region fit one another."""
    row = practice.region(region)
    plug = practice.plug(row.ordinary_plug)
    assert row.socket_a.value == plug.rated_a
    assert row.socket_a.value <= row.double_plate_a.value <= 2 * row.socket_a.value
    assert plug.plate_a in (None, row.double_plate_a.value)
    assert row.board_rating_a.value <= plug.rated_a
    assert row.lead_a.value <= practice.plug(row.lead_plug).rated_a
    assert row.leakage_guide_pct.value < row.leakage_may_trip_pct.value < 100
    assert row.lead_drop_pct.value < row.total_drop_pct.value
    assert row.assumed_main_a.value >= min(row.usual_outlet_breakers_a)
    assert practice.plug_family(region)[0] == plug


@pytest.mark.parametrize("region", REGIONS)
def test_region_has_a_word_for_every_canonical_term(region: str) -> None:
    """Reports never meet a term without a display word."""
    expected = set(practice.region("AU").words)
    assert set(practice.region(region).words) == expected
    assert {"outlet", "breaker", "switchboard", "lead", "power board", "earth", "rcd", "phase",
            "head"} <= expected  # fmt: skip


def test_words_differ_where_crews_differ() -> None:
    """A crew reads its own words; a term without one is shown as it is."""
    assert practice.region("AU").word("outlet") == "power point"
    assert practice.region("UK").word("outlet") == "socket"
    assert practice.region("US").word("earth") == "ground"
    assert practice.region("US").word("phase") == "leg"
    assert practice.region("IT").words["outlet"].also == ("presa",)
    assert practice.region("AU").word("crane") == "crane"


def test_units_of_length_follow_the_region() -> None:
    """Feet in the United States and Canada, metres elsewhere."""
    feet = [region for region in REGIONS if practice.region(region).units_of_length == "ft"]
    assert feet == ["US", "CA"]


@pytest.mark.parametrize("plug", plugs().values(), ids=lambda plug: plug.id)
def test_plug_never_enters_a_smaller_outlet(plug: Plug) -> None:
    """Every outlet a plug enters exists, carries as much and has as many phases."""
    for outlet in map(practice.plug, plug.enters):
        assert outlet.rated_a >= plug.rated_a
        assert outlet.phases == plug.phases
    assert plug.enters_outlet(plug.id)


@pytest.mark.parametrize(
    ("plug", "outlet", "enters"),
    [
        # AS/NZS 3112: the 15 A earth pin is wider than a 10 A slot.
        ("au-10", "au-15", True),
        ("au-15", "au-10", False),
        # NEMA WD 6: a 5-20R takes both, a 5-15R only the 5-15P.
        ("us-15", "us-20", True),
        ("us-20", "us-15", False),
        # CEI 23-50: the two in-line sizes are not interchangeable.
        ("it-10", "it-16", False),
        ("it-16", "it-10", False),
        ("eu-16", "it-16", False),
        # IEC 60309: sizes and pin counts do not mix.
        ("cee-16", "cee-32", False),
        ("cee-32", "cee-32-5pin", False),
        ("uk-13", "eu-16", False),
    ],
)
def test_plug_enters_what_its_standard_lets_it(plug: str, outlet: str, enters: bool) -> None:  # noqa: FBT001 - a table of cases
    """Which plug goes where follows the published patterns."""
    assert practice.plug(plug).enters_outlet(outlet) is enters


def test_only_the_british_plug_has_a_fuse() -> None:
    """BS 1363 puts a fuse of at most 13 A in the plug (BS 1362); no other pattern here does."""
    fused = {plug.id: plug.fuse_a for plug in plugs().values() if plug.fuse_a is not None}
    assert fused == {"uk-13": 13}


def test_unknown_names_are_our_fault() -> None:
    """Readers of input check ids first, so an unknown one here is an internal error."""
    with pytest.raises(InternalError, match="XX"):
        practice.region("XX")
    with pytest.raises(InternalError, match="au-11"):
        practice.plug("au-11")
    with pytest.raises(InternalError, match="RCCB"):
        practice.rcd_row("RCCB")
    with pytest.raises(InternalError, match="plate"):
        practice.watts_row("plate")
    with pytest.raises(InternalError, match="laser"):
        practice.power_factor_row(kind="laser", watts=1.0, corrected=None, magnetic=False)
    for look_up in (practice.start_row, practice.cool_down_min):
        with pytest.raises(InternalError, match="laser"):
            look_up("laser")
    with pytest.raises(InternalError, match="laser"):
        practice.leakage_row("laser", None)


def test_unknown_region_in_a_list_is_refused() -> None:
    """A caution or label for a region that does not exist would never be seen."""
    with pytest.raises(InternalError, match="ZZ"):
        check_regions(("AU", "ZZ"), "test")


def test_key_given_twice_is_refused() -> None:
    """Plain YAML would keep the last of two equal keys in silence."""
    with pytest.raises(InternalError, match="twice"):
        parse("a: {b: 1, b: 2}", "test")


@pytest.mark.parametrize("text", ["[1, 2]", "a: [", ""])
def test_data_that_is_no_mapping_is_refused(text: str) -> None:
    """Broken or odd data is named, not guessed at."""
    with pytest.raises(InternalError, match="practice data test"):
        parse(text, "test")


@pytest.mark.parametrize(
    "spoil",
    [
        {"assumed_main_a": {"value": 63, "status": "verified"}},
        {"assumed_main_a": {"value": 63, "source": "", "status": "verified"}},
        {"assumed_main_a": {"value": 63, "source": "network rule", "status": "sure"}},
        {"assumed_main_a": {"value": "63", "source": "network rule", "status": "memory"}},
        {"assumed_main_amps": 63},
        {"band": {"min_v": 240, "max_v": 250, "source": "network rule", "status": "memory"}},
        {"line_to_line": {}},
        {"lead_size_awg": {"value": 14, "source": "two sizes", "status": "memory"}},
        {"usual_breakers": {}},
        {"plug_family": ["au-15"]},
    ],
    ids=lambda spoil: next(iter(spoil)),
)
def test_spoilt_region_is_refused(spoil: dict[str, Any]) -> None:
    """A row without source, with a wrong type or against its neighbours stops the loader."""
    assert build(Region, region_data(), "test").id == "AU"
    with pytest.raises(InternalError, match="practice data test"):
        build(Region, region_data() | spoil, "test")


@pytest.mark.parametrize(
    "spoil",
    [{"enters": ["au-15"]}, {"enters": ["au-20", "au-99"]}, {"enters": ["au-20", "au-10"]},
     {"enters": ["au-20", "au-32-5pin"]}],
    ids=["not its own", "unknown", "smaller", "more phases"],
)  # fmt: skip
def test_plug_with_a_wrong_entry_is_refused(spoil: dict[str, Any]) -> None:
    """The plug table cannot state an unsafe or unknown match."""
    plug = practice.plug("au-20").model_copy(update=spoil)
    with pytest.raises(InternalError, match="au-20"):
        check_entries(plug, plugs())


@pytest.mark.parametrize("family", [("au-10", "au-99"), ("au-10", "au-20", "au-15")])
def test_region_with_wrong_plugs_is_refused(family: tuple[str, ...]) -> None:
    """A region's plugs exist and stand in order of rating."""
    region = practice.region("AU").model_copy(update={"plug_family": family})
    with pytest.raises(InternalError, match="practice data AU"):
        check_family(region, plugs())


def test_rows_cannot_be_changed() -> None:
    """A row read once is the same for everyone."""
    with pytest.raises(ValidationError):
        practice.route_rule().detour = 1.0  # type: ignore[misc]


def test_figures_must_ascend() -> None:
    """Ratings are listed smallest first, each once."""
    with pytest.raises(ValidationError):
        Figures(values=(20.0, 16.0), source="test row", status=practice.Status.MEMORY)
    with pytest.raises(ValidationError):
        Figure(value=-1.0, source="test row", status=practice.Status.MEMORY)


def test_habits_without_a_row_are_refused() -> None:
    """A book with a row missing does not load."""
    with pytest.raises(InternalError, match="route"):
        build(HabitBook, {}, "test")


def test_spellings_drop_case_punctuation_and_accents() -> None:
    """A label word is found however the board spells it."""
    assert spellings("Chauffe-Eau") == ("chauffe eau",)
    assert spellings("Éclairage") == ("éclairage", "eclairage")
    assert spellings("A/C") == ("a c",)
    assert spellings("コンセント") == ("コンセント",)


@pytest.mark.parametrize("region", REGIONS)
def test_label_words_are_normal_and_name_known_rooms(region: str) -> None:
    """Words are lower case, single-spaced, unique; rooms are those a job may state."""
    rows = practice.labels(region)
    words = [row.word for row in rows]
    rooms = {"", "living", "dining", "kitchen", "pantry", "laundry", "bathroom", "bedroom", "study",
             "hall", "garage", "outside", "stage", "workshop"}  # fmt: skip
    assert len(set(words)) == len(words)
    assert all(word in spellings(word) for word in words)
    assert {row.room for row in rows} <= rooms
    assert {row.feeds for row in rows} == {
        "outlets", "lighting", "cooking", "water", "heating", "air", "sub-board", "other",
    }  # fmt: skip


def test_languages_stay_in_their_regions() -> None:
    """French "four" is an oven in Europe and a bedroom number in Canada."""
    spoken = {r: {row.language for row in practice.labels(r)} for r in REGIONS}
    assert spoken["EU"] == {"en", "de", "fr", "it", "es"}
    assert spoken["IT"] == {"en", "it"}
    assert spoken["CA"] == {"en", "fr"}
    assert spoken["AU"] == {"en"}
    assert "four" not in {row.word for row in practice.labels("CA")}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("watts", [None, 1.0, 75.0, 500.0, 1200.0, 20000.0])
@pytest.mark.parametrize("corrected", [None, True, False])
@pytest.mark.parametrize("magnetic", [True, False])
def test_every_load_finds_its_rows(
    kind: str,
    watts: float | None,
    corrected: bool | None,  # noqa: FBT001 - a table of cases
    magnetic: bool,  # noqa: FBT001 - a table of cases
) -> None:
    """No load is without a power factor, a leakage, a start or a cool-down, in sane order."""
    row = practice.power_factor_row(kind=kind, watts=watts, corrected=corrected, magnetic=magnetic)
    start = practice.start_row(kind)
    assert 0 < row.worst <= row.likely <= row.best <= 1
    assert 0 < practice.leakage_row(kind, watts).value <= 3.5
    assert 1 <= start.likely <= start.worst
    assert practice.cool_down_min(kind).value >= 0


@pytest.mark.parametrize("basis", ["class", "lamp", "lamp, magnetic"])
def test_allowances_on_watts_ascend(basis: str) -> None:
    """The worst allowance leads to the most watts."""
    row = practice.watts_row(basis)
    assert 1 <= row.best <= row.likely <= row.worst


@pytest.mark.parametrize("region", REGIONS)
def test_every_plan_gets_its_cautions(region: str) -> None:
    """Each region hears of codes, electricians, causes, protection, leads, boards and people."""
    heard = {row.id for row in practice.cautions(region)}
    assert {"planning aid", "electrician", "find the cause", "two trips", "test button", "unwind",
            "one board", "heat off boards", "medical"} <= heard  # fmt: skip
    assert len(heard & {"rcd", "gfci"}) == 1
    assert len([name for name in heard if name.startswith("local code")]) == 1
    trips = practice.cautions(region, "after a trip")
    assert trips[0].id == "find the cause"
    assert len(trips) < len(practice.cautions(region))


def test_protection_is_called_by_its_local_name() -> None:
    """A US crew reads GFCI, an Australian one RCD."""
    assert "gfci" in {row.id for row in practice.cautions("US")}
    assert "rcd" in {row.id for row in practice.cautions("AU")}


def test_no_caution_tells_anyone_to_open_a_board_or_reset_again() -> None:
    """Cautions defer to licensed people and never invite a second reset."""
    told = " ".join(row.text.lower() for row in caution_book())
    assert "licensed electrician" in told
    assert "leave it off" in told
    for bad in ("open the board", "remove the cover", "keep resetting", "try again", "bypass"):
        assert bad not in told
