"""Figures of the practice data against what is published."""

import re

import pytest

from spreadload import practice


def fed_by(label: str, region: str) -> str | None:
    """Return what the first matching label word says a way feeds."""
    text = " " + " ".join(re.findall(r"[^\W_]+", label.lower())) + " "
    rows = practice.labels(region)
    return next((row.feeds for row in rows if f" {row.word} " in text), None)


@pytest.mark.parametrize(
    ("region", "nominal_v", "below_pct", "above_pct"),
    [
        ("AU", 230, 6, 10),  # AS 60038:2000
        ("NZ", 230, 6, 6),  # Electricity (Safety) Regulations 2010
        ("UK", 230, 6, 10),  # ESQCR 2002 regulation 27
        ("EU", 230, 10, 10),  # EN 50160
        ("IT", 230, 10, 10),  # EN 50160
        ("US", 120, 5, 5),  # ANSI C84.1 service range A
    ],
)
def test_supply_band_is_the_published_percentage(
    region: str, nominal_v: float, below_pct: float, above_pct: float
) -> None:
    """Bands follow from the nominal voltage and the published tolerance."""
    row = practice.region(region)
    assert row.nominal_v == nominal_v
    assert row.band.min_v == pytest.approx(nominal_v * (1 - below_pct / 100))
    assert row.band.max_v == pytest.approx(nominal_v * (1 + above_pct / 100))


def test_japanese_band_is_101_volts_give_or_take_6() -> None:
    """Electricity Business Act of Japan, enforcement rule article 38."""
    band = practice.region("JP").band
    assert (band.min_v, band.max_v) == (101 - 6, 101 + 6)


@pytest.mark.parametrize(
    ("region", "system", "volts"),
    [
        ("AU", "three-phase", 400),
        ("US", "split-phase", 240),
        ("US", "three-phase", 208),
        ("JP", "split-phase", 200),
    ],
)
def test_volts_between_lines_follow_iec_60038(region: str, system: str, volts: float) -> None:
    """IEC 60038 table 1; they agree with geometry within half a per cent."""
    row = practice.region(region)
    times = 3**0.5 if system == "three-phase" else 2
    found = {str(name): figure.value for name, figure in row.line_to_line.items()}
    assert found[system] == volts
    assert found[system] == pytest.approx(times * row.nominal_v, rel=0.005)


@pytest.mark.parametrize("region", ["US", "CA"])
def test_continuous_rule_gives_the_usual_12_and_16_amps(region: str) -> None:
    """NEC 210.20(A): 125 % of a continuous load, so 12 A on 15 A and 16 A on 20 A."""
    row = practice.region(region)
    assert row.has_continuous_rule
    assert row.continuous.min_hours.value == 3
    allowed = [rating / row.continuous.factor.value for rating in row.usual_outlet_breakers_a]
    assert allowed == [12, 16]


@pytest.mark.parametrize("region", ["AU", "NZ", "UK", "EU", "IT", "JP"])
def test_other_regions_have_no_continuous_or_single_load_rule(region: str) -> None:
    """The 125 % and 80 % rules are North American; 80 % elsewhere is comfort only."""
    row = practice.region(region)
    assert not row.has_continuous_rule
    assert row.single_load_fraction is None
    assert row.socket_load_fraction is None
    assert row.comfort_pct.value == 80
    assert row.comfort_pct.status is practice.Status.COMMON_PRACTICE


def test_canada_limits_only_what_runs_for_long_to_80_per_cent() -> None:
    """CSA C22.1 rule 8-104 is about continuous load; rule 26-746 lets 1500 W share a circuit.

    So a kettle of 1500 W, 12.5 A, runs in a kitchen of split 15 A receptacles.
    """
    row = practice.region("CA")
    assert row.has_continuous_rule
    assert row.single_load_fraction is None
    assert row.socket_load_fraction is None


def test_one_cord_and_plug_load_takes_80_per_cent() -> None:
    """NEC 210.23(A)(1) for the circuit, table 210.21(B)(2) for the receptacle: 12 A on 15 A."""
    row = practice.region("US")
    assert row.single_load_fraction is not None
    assert row.socket_load_fraction is not None
    assert row.single_load_fraction.value * 20 == 16
    assert row.socket_load_fraction.value * row.socket_a.value == 12


def test_leakage_shares_of_a_30_ma_rcd() -> None:
    """BS 7671:2018 531.3.2: guide 9 mA; IEC 61008-1: may open above 15 mA."""
    row = practice.region("AU")
    assert row.rcd_ma.value * row.leakage_guide_pct.value / 100 == 9
    assert row.rcd_ma.value * row.leakage_may_trip_pct.value / 100 == 15


def test_us_devices_lie_within_ul_943() -> None:
    """UL 943 class A: trips at 6 mA, not below 4 mA."""
    assert practice.region("US").rcd_kind == "GFCI"
    assert 4 <= practice.region("US").rcd_ma.value <= 6
    assert practice.rcd_row("GFCI").value == practice.region("US").rcd_ma.value
    assert practice.rcd_row("equipment").value == 30


def test_contract_tolerance_is_italian_only() -> None:
    """Italian household meters leave 10 % above the contract; nobody else is given any."""
    assert practice.region("IT").contract_tolerance.value == 1.1
    others = [r for r in practice.region_ids() if r != "IT"]
    assert {practice.region(r).contract_tolerance.value for r in others} == {1.0}
    contract = practice.region("IT").assumed_contract_w
    assert contract is not None
    assert contract.value == 3000


def test_power_boards_protect_themselves_where_standards_say_so() -> None:
    """AS/NZS 3105: 10 A with a cut-out; BS 1363: one 13 A plug fuse for the whole block."""
    boards = {r: practice.region(r) for r in ("AU", "NZ", "UK", "US")}
    assert [row.board_rating_a.value for row in boards.values()] == [10, 10, 13, 15]
    assert [row.board_protection for row in boards.values()] == [
        "cut-out", "cut-out", "plug fuse", "none",
    ]  # fmt: skip


def test_uk_ring_ratings_are_usual_for_outlets_and_au_32_is_not() -> None:
    """BS 7671 433.1.204: a ring on 30 or 32 A; in AU outlets stand on 20 A (AS/NZS 3000 use)."""
    assert {30, 32} <= set(practice.region("UK").usual_outlet_breakers_a)
    assert 20 in practice.region("AU").usual_outlet_breakers_a
    assert 32 not in practice.region("AU").usual_outlet_breakers_a


def test_unknown_ballast_reproduces_the_published_800_watt_head() -> None:
    """A film magazine: 800 W at power factor 0.58 draws 12.5 A at 120 V, not 7 A."""
    row = practice.power_factor_row(kind="discharge", watts=None, corrected=None, magnetic=False)
    worst_a = 800 * practice.watts_row("lamp").worst / (row.worst * 120)
    best_a = 800 * practice.watts_row("lamp").best / (row.best * 120)
    assert best_a < 12.5 <= worst_a


def test_lamp_allowance_is_a_fifth_and_class_allowance_a_quarter() -> None:
    """Common practice, no source: 20 % on lamp watts, up to 25 % on the class of an LED head."""
    assert practice.watts_row("lamp").worst == 1.2
    assert practice.watts_row("class").worst == 1.25


@pytest.mark.parametrize(
    ("kind", "watts", "corrected", "magnetic", "worst"),
    [
        ("tungsten", 650, None, False, 1),
        ("heater", 2000, None, False, 1),
        ("discharge", 1200, True, False, 0.95),
        ("discharge", 1200, None, False, 0.6),
        ("discharge", 1200, None, True, 0.4),  # luminaire maker's note: 0.4 to 0.5 uncorrected
        ("fluorescent", 300, False, True, 0.5),  # engineering table: 0.5 uncorrected
        ("led", 75, None, False, 0.6),
        ("led", 76, None, False, 0.9),
        ("led", None, None, False, 0.6),
        ("electronics", 400, None, False, 0.6),
        ("motor", 150, None, False, 0.65),
        ("other", 2200, None, False, 1),
        ("other", 100, None, False, 0.6),
    ],
)
def test_power_factor_by_kind(
    kind: str,
    watts: float | None,
    corrected: bool | None,  # noqa: FBT001 - a table of cases
    magnetic: bool,  # noqa: FBT001 - a table of cases
    worst: float,
) -> None:
    """Worst power factors follow kind, size, correction and ballast."""
    row = practice.power_factor_row(kind=kind, watts=watts, corrected=corrected, magnetic=magnetic)
    assert row.worst == worst


def test_starts_lie_in_the_published_spans() -> None:
    """Installation guides: tungsten 10 to 15 times, motors 5 to 7, LED drivers 40 to 100."""
    tungsten, motor, led = map(practice.start_row, ("tungsten", "motor", "led"))
    assert 10 <= tungsten.likely <= tungsten.worst <= 15
    assert 5 <= motor.likely <= motor.worst <= 7
    assert 40 <= led.likely <= led.worst <= 100


def test_cool_down_is_for_discharge_heads_only() -> None:
    """Lamp makers' notes: minutes for discharge lamps; others light at once."""
    assert practice.cool_down_min().value == 10
    assert practice.cool_down_min("tungsten").value == 0


def test_big_leakage_stays_within_the_equipment_limit() -> None:
    """IEC 60335-1: 3.5 mA for stationary class I equipment; bigger heads leak more."""
    leakages = [practice.leakage_row("discharge", w).value for w in (400, 800, 1350, 4000)]
    assert leakages == sorted(leakages)
    assert leakages[-1] == 3.5


def test_route_and_cords_are_the_habit_of_the_trade() -> None:
    """Common practice, no source: 1.3 x (dx + dy) + 2 m, 4 m a floor, 5 and 15 m unknown."""
    rule = practice.route_rule()
    assert (rule.detour, rule.slack_m, rule.per_floor_m) == (1.3, 2, 4)
    assert (rule.same_room_m, rule.other_room_m) == (5, 15)
    assert rule.status is practice.Status.COMMON_PRACTICE
    assert practice.cord_m(is_head=True).value == 3
    assert practice.cord_m(is_head=False).value == 1.5
    assert practice.rewireable_factor().value == 0.7


@pytest.mark.parametrize(
    ("region", "size"), [("AU", "1 mm2"), ("UK", "1.25 mm2"), ("EU", "1.5 mm2"), ("US", "14 AWG")]
)
def test_lead_of_unknown_size_is_the_thinnest_usual_one(region: str, size: str) -> None:
    """AS/NZS 3199 practice, IET code, IEC and UL 817 practice."""
    assert practice.region(region).assumed_lead_size == size


@pytest.mark.parametrize(
    ("label", "region", "feeds"),
    [
        # Invented boards, worded as crews meet them; common practice, no source.
        ("GPO 1", "AU", "outlets"),
        ("Power upstairs", "NZ", "outlets"),
        ("PLUGS / KIT", "NZ", "outlets"),
        ("LIGHTS DN", "AU", "lighting"),
        ("Family room lights", "AU", "lighting"),
        ("Lights & plugs", "CA", "outlets"),
        ("HWS (controlled load)", "AU", "water"),
        ("Oven power", "AU", "cooking"),
        ("Living room A/C", "AU", "air"),
        ("Range hood", "US", "other"),
        ("Garage door", "US", "other"),
        ("Garage", "US", "outlets"),
        ("WATER HTR 240 V", "US", "water"),
        ("DRYER", "US", "other"),
        ("BR 3 / HALL", "US", "outlets"),
        ("Shed sub", "AU", "sub-board"),
        ("Ring main first floor", "UK", "outlets"),
        ("Immersion", "UK", "water"),
        ("Cooker", "UK", "cooking"),
        ("Steckdosen Küche", "EU", "outlets"),
        ("E-Herd", "EU", "cooking"),
        ("Licht OG", "EU", "lighting"),
        ("Eclairage RDC", "EU", "lighting"),
        ("Chauffe-eau", "EU", "water"),
        ("Four", "EU", "cooking"),
        ("Bedroom four", "CA", "outlets"),
        ("Prese cucina", "IT", "outlets"),
        ("Luci zona giorno", "IT", "lighting"),
        ("Alumbrado", "EU", "lighting"),
        ("Baño", "EU", "outlets"),
        ("Bano", "EU", "outlets"),
        ("エアコン 寝室", "JP", "air"),
        ("qwerty", "AU", None),
    ],
)
def test_labels_read_as_a_crew_would(label: str, region: str, feeds: str | None) -> None:
    """The first word of the dictionary found on a label says what the way feeds."""
    assert fed_by(label, region) == feeds
