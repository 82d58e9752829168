"""What the network is asked about and what it answers, as plain records."""

from dataclasses import dataclass

BOARD = "board"


@dataclass(frozen=True, slots=True)
class Hung:
    """One unit plugged in.

    Attributes:
        name: The unit in crew words.
        load: Load id.
        unit: Which of the identical units.
        point: Point id.
        socket: Socket of the point.
        board_lead: Index of the lead in front of the power board, or None.
        lead: Index of its own lead, or None.
        poles: Poles it uses.
        circuits: Circuits it might be on.
        place: Where it stands, or "".
        is_left_to_maps: Whether which of the circuits it is on is left to the wiring maps.
    """

    name: str
    load: str
    unit: int
    point: str
    socket: int
    board_lead: int | None
    lead: int | None
    poles: int
    circuits: frozenset[str]
    place: str = ""
    is_left_to_maps: bool = False


@dataclass(frozen=True, slots=True)
class Fixed:
    """Units wired to a circuit."""

    load: str
    count: int
    circuit: str


@dataclass(frozen=True, slots=True)
class Case:
    """Which figures to solve with.

    Attributes:
        service_ohm: Loop impedance in front of the board [Ω]; the likely one if None.
        bend: Which end of every load's figures counts.
        all_outlets: Tell the volts of every outlet whose circuit is known, used or not.
        starting: A motor to look at in the moment it starts, or "".
    """

    service_ohm: float | None = None
    bend: str = "worst"
    all_outlets: bool = False
    starting: str = ""


@dataclass(frozen=True, slots=True)
class UnitVolts:
    """What one unit gets; hard-wired units of one load stand together as unit 0.

    Attributes:
        volts: Across its terminals, brought down to line to neutral [V].
        amps_ratio: Current there over its current at planning volts.
        light_pct: Light it gives in per cent of full.
        min_v: Least volts it works at [V]; 0 where it only dims.
        min_source: Where that comes from.
        circuit: Circuit it is on in the case that is worst for it.
    """

    name: str
    load: str
    unit: int
    point: str
    circuit: str
    volts: float
    amps_ratio: float
    light_pct: float
    min_v: float
    min_source: str
    is_head: bool
    place: str = ""

    @property
    def is_short(self) -> bool:
        """Whether it gets less than it works at."""
        return self.volts < self.min_v


@dataclass(frozen=True, slots=True)
class DropOuts:
    """What goes out as the volts fall, one after the other, until the rest stays on.

    Attributes:
        units: Heads that go out, the first to go first.
        collapses: Whether the volts collapse even then.
    """

    units: tuple[UnitVolts, ...]
    collapses: bool


@dataclass(frozen=True, slots=True)
class HouseVolts:
    """A set-up under load, worst of the ways the unknown wiring might be.

    Attributes:
        setup: Set-up id.
        idle_v: Volts with nothing on [V].
        board_v: Lowest line-to-neutral volts at the main board [V].
        sub_boards_v: The same at each sub-board.
        outlets_v: The same at each outlet in use, or at every outlet where asked for.
        units: Every unit that is on.
        line_a: Current in each line of the service [A].
        neutral_a: Current in its neutral at mains frequency [A].
        neutral_triplen_a: The same with what harmonics may add [A]; as above but on three phases.
        circuits_a: Largest current of a line of each circuit in use [A].
        losses_w: Watts lost between the transformer and the plugs.
        taken_w: Watts taken by everything that is on.
        collapse: Why no volts can be told, in plain words, or "".
    """

    setup: str
    idle_v: float
    board_v: float
    sub_boards_v: dict[str, float]
    outlets_v: dict[str, float]
    units: tuple[UnitVolts, ...]
    line_a: tuple[float, ...]
    neutral_a: float
    neutral_triplen_a: float
    circuits_a: dict[str, float]
    losses_w: float
    taken_w: float
    collapse: str = ""

    @property
    def lowest(self) -> UnitVolts | None:
        """The unit of ours with the least volts, or of all where we have none on."""
        heads = [unit for unit in self.units if unit.is_head] or list(self.units)
        return min(heads, key=lambda unit: (unit.volts, unit.name), default=None)

    @property
    def short(self) -> tuple[UnitVolts, ...]:
        """Heads that get less than they work at, lowest first."""
        found = [unit for unit in self.units if unit.is_head and unit.is_short]
        return tuple(sorted(found, key=lambda unit: (unit.volts, unit.name)))
