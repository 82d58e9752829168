"""What a row of regional practice looks like: every figure with its source and its standing.

Holds data only. Imports nothing of the project but errors.
"""

from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

System = Literal["single-phase", "split-phase", "three-phase"]
Use = Literal["outlets", "lighting", "cooking", "water", "heating", "air", "sub-board", "other"]
Kind = Literal[
    "discharge", "led", "tungsten", "fluorescent", "heater", "motor", "electronics", "other"
]
Positive = Annotated[float, Field(gt=0)]
Text = Annotated[str, Field(min_length=1)]


class Status(StrEnum):
    """How well a row is known."""

    VERIFIED = "verified"
    MEMORY = "memory"
    COMMON_PRACTICE = "common practice, no source"


class Record(BaseModel):
    """Base of everything read from package data: frozen, strict, no stray keys."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, allow_inf_nan=False, defer_build=True
    )


class Sourced(Record):
    """A row that says where it comes from.

    Attributes:
        source: Standard with edition or clause, or the kind of text it was read in.
        status: Read in a public text, from memory, or a habit of the trade.
        note: What a reader should know before leaning on it.
    """

    source: Annotated[str, Field(min_length=5)]
    status: Status
    note: str = ""


class Figure(Sourced):
    """One number; its unit is in the name of the field that holds it."""

    value: Annotated[float, Field(ge=0)]


class Figures(Sourced):
    """Several numbers of one kind, smallest first."""

    values: Annotated[tuple[Positive, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _ascends(self) -> "Figures":
        if list(self.values) != sorted(set(self.values)):
            raise ValueError("values must ascend without repeats")
        return self


class VoltageBand(Sourced):
    """Volts the network may deliver at the point of supply, line to neutral."""

    min_v: Positive
    max_v: Positive


class ContinuousRule(Record):
    """How a region counts loads that run for long.

    Attributes:
        factor: What a continuous load counts for against its circuit; 1: no such rule.
        min_hours: From how many hours on a load is continuous [h].
    """

    factor: Figure
    min_hours: Figure


class ContractRule(Sourced):
    """What a contract for supply is written in, and so what its meter or limiter counts.

    Attributes:
        counts: ``W`` for active power, ``VA`` for apparent power, ``A`` for amps; several where
            countries of the region differ.
    """

    counts: Annotated[tuple[Literal["W", "VA", "A"], ...], Field(min_length=1)]


class Word(Record):
    """How one idea is called: the word to show, and what else a crew may say."""

    shown: Text
    also: tuple[Text, ...] = ()


class Region(Record):
    """Practice of one region. Currents in A, volts line to neutral in V unless the name says so.

    Attributes:
        also: What else people write for it: countries, short names.
        planning_voltage: Volts to plan with.
        band: Supply band at the point of supply.
        line_to_line: Volts between lines per supply system that has several.
        systems: Supply systems met in houses.
        ordinary_plug: Plug id of the everyday outlet.
        plug_family: Plug ids met on single-phase gear, smallest first, the ordinary one leading.
        room_plugs: Plug ids of other plates met in rooms, with as many sockets as the ordinary one.
        ordinary_plug_w: Most watts of a heat-maker sold with the everyday plug; None: its rating.
        socket_a: Rating of one everyday socket.
        double_plate_a: What a plate with two everyday sockets carries.
        sockets_per_plate: Usual number of sockets on a plate.
        single_load_fraction: Share of a branch circuit one plug-in load may take; None: no rule.
        socket_load_fraction: Share of a socket's rating one plug-in load may take; None: no rule.
        continuous: How loads that run for long are counted.
        comfort_pct: Share of a breaker that is comfortable for a day's work [%].
        usual_breakers: Ratings met, by what the circuit feeds.
        assumed_main_a: Supply limit per phase or leg to assume when nobody stated one.
        limit_may_sum_legs: Whether the limiter of a contract may count both legs together.
        contract: What the meter counts where supply is by contract, or None.
        assumed_contract_w: Contract to assume where supply is by contract [W], else None.
        contract_tolerance: What the meter allows above the contract for long, as a factor.
        rcd_ma: Rating of the usual device against shock [mA]; ``rcd_kind`` names its family.
        leakage_guide_pct: Share of an RCD's rating that standing leakage should stay under [%].
        leakage_may_trip_pct: Share of an RCD's rating from which it may open [%].
        breaker_standard: Whose times the breakers of a house open by.
        house_cables: Table of the cables to expect behind breakers, by its name in ``cables.yaml``.
        cord_table: Table the ratings of leads are read from, by its name in ``electrical.cords``.
        lead_lengths: Table of the longest leads advised, by its name in ``cables.yaml``, or None.
        lead_plug: Plug and socket on an ordinary lead.
        lead_size_mm2: Conductor assumed in an ordinary lead [mm²], or None where gauges are used.
        lead_size_awg: Gauge assumed in an ordinary lead, or None where areas are used.
        lead_a: Most to take such a lead for, whatever its plug.
        lead_drop_pct: Guide for the drop on a lead [%].
        total_drop_pct: Guide for the drop from supply to head [%].
        fixed_drop_pct: What the rules of the region allow inside the fixed wiring [%]; for readers
            of the data, since no plan is held to it.
        board_rating_a: Rating of an ordinary power board, all its ways together.
        board_ways: Usual number of its ways.
        board_protection: What opens when it is overloaded, if anything does.
        main_switch: What the handle at the head of a board usually is; an isolator opens for no
            load.
        words: Display words by canonical term.
    """

    id: Text
    name: Text
    also: tuple[Text, ...]
    units_of_length: Literal["m", "ft"]
    systems: Annotated[tuple[System, ...], Field(min_length=1)]
    frequency_hz: Figures
    planning_voltage: Figure
    band: VoltageBand
    line_to_line: Mapping[System, Figure]
    ordinary_plug: Text
    plug_family: Annotated[tuple[Text, ...], Field(min_length=1)]
    room_plugs: tuple[Text, ...]
    ordinary_plug_w: Figure | None
    socket_a: Figure
    double_plate_a: Figure
    sockets_per_plate: Figure
    single_load_fraction: Figure | None
    socket_load_fraction: Figure | None
    continuous: ContinuousRule
    comfort_pct: Figure
    usual_breakers: Mapping[Use, Figures]
    assumed_main_a: Figure
    limit_may_sum_legs: bool
    contract: ContractRule | None
    assumed_contract_w: Figure | None
    contract_tolerance: Figure
    rcd_kind: Literal["RCD", "GFCI"]
    rcd_ma: Figure
    leakage_guide_pct: Figure
    leakage_may_trip_pct: Figure
    breaker_standard: Literal["IEC 60898", "UL 489"]
    house_cables: Text
    cord_table: Text
    lead_lengths: Text | None
    lead_plug: Text
    lead_size_mm2: Figure | None
    lead_size_awg: Figure | None
    lead_a: Figure
    lead_drop_pct: Figure
    total_drop_pct: Figure
    fixed_drop_pct: Figure
    board_rating_a: Figure
    board_ways: Figure
    board_protection: Literal["cut-out", "plug fuse", "none"]
    main_switch: Literal["breaker", "isolator"]
    words: Mapping[str, Word]

    @model_validator(mode="after")
    def _is_coherent(self) -> "Region":
        if not self.band.min_v <= self.nominal_v <= self.band.max_v:
            raise ValueError("planning voltage lies outside the supply band")
        if (self.lead_size_mm2 is None) == (self.lead_size_awg is None):
            raise ValueError("state either lead_size_mm2 or lead_size_awg")
        several = {system for system in self.systems if system != "single-phase"}
        if set(self.line_to_line) != several:
            raise ValueError("line_to_line must name exactly the systems with several lines")
        if "outlets" not in self.usual_breakers:
            raise ValueError("usual_breakers must name outlets")
        if self.plug_family[0] != self.ordinary_plug:
            raise ValueError("plug_family must start with the ordinary plug")
        return self

    @property
    def nominal_v(self) -> float:
        """Volts to plan with, line to neutral [V]."""
        return self.planning_voltage.value

    @property
    def usual_outlet_breakers_a(self) -> tuple[float, ...]:
        """Usual ratings of breakers that feed outlets [A], smallest first."""
        return self.usual_breakers["outlets"].values

    @property
    def has_continuous_rule(self) -> bool:
        """Whether long-running loads count for more than they draw."""
        return self.continuous.factor.value > 1

    @property
    def assumed_lead_size(self) -> str:
        """Conductor size of an ordinary lead, as ``1.5 mm2`` or ``14 AWG``."""
        if self.lead_size_mm2 is not None:
            return f"{self.lead_size_mm2.value:g} mm2"
        gauge = self.lead_size_awg.value if self.lead_size_awg is not None else 0
        return f"{gauge:g} AWG"

    def word(self, term: str) -> str:
        """Return the word to show for a canonical term, or the term itself."""
        return self.words[term].shown if term in self.words else term


class Plug(Sourced):
    """A plug and the outlet of the same standard.

    Attributes:
        id: Neutral id, such as ``au-10``.
        standard: Standard and type.
        rated_a: Rating of plug and socket [A], per phase.
        phases: 1, or 3 for a plug with three line pins.
        fuse_a: Fuse in the plug [A], or None.
        plate: What a whole plate with several sockets carries [A], or None: sockets add up.
        enters: Outlet ids this plug goes into, its own among them.
        words: How crews call it.
    """

    id: Text
    standard: Text
    rated_a: Positive
    phases: Literal[1, 3]
    fuse_a: Positive | None = None
    plate: Figure | None = None
    enters: Annotated[tuple[Text, ...], Field(min_length=1)]
    words: Annotated[tuple[Text, ...], Field(min_length=1)]

    @property
    def plate_a(self) -> float | None:
        """What a whole plate carries [A], or None where its sockets simply add up."""
        return None if self.plate is None else self.plate.value

    @property
    def is_three_phase(self) -> bool:
        """Whether it has a pin for each of three phases."""
        return self.phases > 1

    def enters_outlet(self, outlet: str) -> bool:
        """Return whether this plug goes into an outlet, given by its plug id."""
        return outlet in self.enters


class RouteRule(Sourced):
    """Length of lead along a house: detour x (dx + dy) + slack, plus a length per floor [m]."""

    detour: Annotated[float, Field(ge=1)]
    slack_m: Positive
    per_floor_m: Positive
    same_room_m: Positive
    other_room_m: Positive


class LabelWord(Sourced):
    """One word found on switchboards and what it usually says.

    Attributes:
        word: Lower case, words separated by single blanks, no punctuation.
        feeds: What the way feeds.
        certainty: How sure that is, 0 to 1.
        room: Use of the room it names, or "".
        language: ISO 639-1 code.
        alike: Words that name the same room.
    """

    word: Text
    feeds: Use
    certainty: Annotated[float, Field(gt=0, le=1)]
    room: str
    language: Text
    alike: tuple[Text, ...] = ()


class Caution(Sourced):
    """A short caution for a plan.

    Attributes:
        when: Occasion it belongs to.
        regions: Regions it is for; empty for all.
    """

    id: Text
    text: Text
    when: Literal["always", "leads", "after a trip", "before use", "phases", "people"]
    regions: tuple[Text, ...] = ()
