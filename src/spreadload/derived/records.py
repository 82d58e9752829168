"""The worked-out facts as plain frozen records, in whole solver units where limits are compared."""

from dataclasses import dataclass

from spreadload.derived.contract import Contract, Counted
from spreadload.derived.draw import LoadDraw
from spreadload.job.phases import LEGS


@dataclass(frozen=True)
class CircuitFacts:
    """One circuit with its capacity.

    Attributes:
        cap_ma: Breaker or fuse capacity per pole [mA], with any planning factor applied.
        breaker_ma: Plain rating [mA].
        poles: 1, 2 or 3.
        phases: Line conductors it uses; for one pole of unknown phase, all it might use.
        rcds: RCDs it is behind.
        feeds: Sub-board feeds it is behind, nearest first.
        can_feed_outlets: Whether outlets may be on it at all.
        is_usable: Whether the crew may use it.
        source: Where its capacity comes from.
    """

    id: str
    label: str
    cap_ma: int
    breaker_ma: int
    poles: int
    phases: tuple[str, ...]
    rcds: frozenset[str]
    feeds: tuple[str, ...]
    can_feed_outlets: bool
    is_usable: bool
    is_last_resort: bool
    source: str

    @property
    def is_taken_last(self) -> bool:
        """Whether an outlet on it, or that may be, is taken only where no other is left."""
        return self.is_last_resort or not self.is_usable


@dataclass(frozen=True)
class FeedFacts:
    """The feed of a sub-board: capacity per phase [mA]."""

    id: str
    cap_ma: int
    phases: tuple[str, ...]
    source: str


@dataclass(frozen=True)
class RcdFacts:
    """A residual-current device: leakage limits [µA] and rated amps per phase [mA] if stated."""

    id: str
    guide_ua: int
    may_trip_ua: int
    trips_at_ma: float
    rating_ma: int | None
    source: str


@dataclass(frozen=True)
class SupplyFacts:
    """The limit at the head of everything.

    Attributes:
        cap_ma: Amps per phase [mA].
        contract: What the contract allows of everything together, or None.
        is_contract: Whether the limit in amps is held by the meter or a limiter of a contract.
        is_assumed: Whether the amps are assumed because nobody stated them.
    """

    phases: tuple[str, ...]
    planning_v: float
    line_to_line_v: float
    cap_ma: int
    source: str
    is_assumed: bool
    contract: Contract | None
    is_contract: bool = False

    @property
    def contract_w(self) -> int | None:
        """Watts of the contract, or None where there is none or it counts amps."""
        is_watts = self.contract is not None and self.contract.counted is Counted.WATTS
        return self.contract.cap if is_watts and self.contract is not None else None

    @property
    def line_word(self) -> str:
        """What crews call one line of several: the two of a split-phase supply are legs."""
        return "leg" if len(self.phases) == LEGS else "phase"

    def line_name(self, phase: str) -> str:
        """Return what crews call a line, ``leg A`` or ``phase L1``; an only one is the supply."""
        return f"{self.line_word} {phase}" if len(self.phases) > 1 else "the supply"


@dataclass(frozen=True)
class Exposure:
    """Everything a load at a point might be on.

    Attributes:
        circuits: (circuit, pole); the pole is "" on a circuit of one pole, else its phase.
        feeds: (sub-board, phase).
        left_to_maps: Outlet whose circuit is left to the wiring maps; then the sets hold only what
            is so on every map, and ``maybe`` names the circuits it might be on.
    """

    circuits: frozenset[tuple[str, str]]
    phases: frozenset[str]
    rcds: frozenset[str]
    feeds: frozenset[tuple[str, str]]
    left_to_maps: str | None = None
    maybe: frozenset[str] = frozenset()

    @property
    def might_be_on(self) -> frozenset[str]:
        """Ids of every circuit a load here might be on."""
        return frozenset(circuit for circuit, _ in self.circuits) | self.maybe


@dataclass(frozen=True)
class Point:
    """Something with sockets: an outlet, or one phase of a box standing at an outlet.

    Attributes:
        id: Outlet id, or ``outlet/box/phase``.
        sockets: How many.
        rated_ma: Rating of one socket [mA].
        socket_ma: What one load may take of it, by the rule of the region [mA].
        plate_ma: Rating of the whole plate [mA].
        plug: Plug standard of its sockets.
        poles: Poles a load plugged in here uses.
        box_cable_m: How far the box may stand from the outlet [m]; 0 for an outlet.
        is_proven: Whether its circuit is known and not merely guessed.
    """

    id: str
    outlet: str
    box: str | None
    box_phase: str | None
    sockets: int
    rated_ma: int
    socket_ma: int
    plate_ma: int
    plug: str
    poles: int
    exposure: Exposure
    room: str | None
    box_cable_m: float
    is_proven: bool
    is_last_resort: bool
    is_off_limits: bool
    source: str

    @property
    def is_three_phase(self) -> bool:
        """Whether a load plugged in here uses all three phases."""
        return self.poles > LEGS


@dataclass(frozen=True)
class LoadFacts:
    """One kind of head or load, ready to be counted.

    Attributes:
        count: How many there are.
        draw: Best, likely and worst draw of one unit.
        unit_ma: Worst current of one unit by number of poles [mA]: index 1, 2 or 3.
        power_w: Worst power of one unit, whole watts.
        leakage_ua: Standing leakage of one unit [µA].
        plug: Plug standard on its cord.
        plug_ma: What that plug, or the fuse in it, carries [mA].
        cord_m: Length of its own cord [m].
        is_big_discharge: Whether two of them should not share a circuit.
        is_heat: Whether it makes heat.
        is_department_heat: Whether it is a department's heat-maker.
        may_fill_socket: Whether it is a heat-maker sold with the everyday plug that runs for
            minutes, and so may take all a socket and a breaker are rated at.
        replug_cost: 1 plus whole minutes of cool-down.
        left_out_cost: What leaving one unit dark costs; 0 for what is not a head.
    """

    id: str
    what: str
    is_head: bool
    count: int
    draw: LoadDraw
    unit_ma: tuple[int, int, int, int]
    power_w: int
    leakage_ua: int
    leakage_source: str
    plug: str
    plug_ma: int
    plug_is_assumed: bool
    cord_m: float
    is_big_discharge: bool
    is_heat: bool
    is_department_heat: bool
    is_intermittent: bool
    may_fill_socket: bool
    replug_cost: int
    left_out_cost: int
    priority: int


@dataclass(frozen=True)
class LeadFacts:
    """One kind of lead in stock.

    Attributes:
        written: Its length as it is written on it: ``10 m``, ``25 ft``.
        size: Conductor size as the conductor tables name it.
        rating_ma: What it may carry, wound drums reduced [mA].
        loop_ohm: Resistance of both conductors at working temperature [Ω].
    """

    index: int
    name: str
    written: str
    length_m: float
    size: str
    plug: str
    socket: str
    rating_ma: int
    loop_ohm: float
    count: int
    source: str


@dataclass(frozen=True)
class BoardFacts:
    """One kind of power board in stock; ``rating_ma`` is for all its ways together.

    Attributes:
        may_trip_ua: Standing leakage from which an RCD of its own may open [µA], or None.
    """

    index: int
    name: str
    ways: int
    rating_ma: int
    may_trip_ua: int | None
    plug: str
    count: int
    source: str


@dataclass(frozen=True)
class BoxFacts:
    """One kind of distribution box in stock."""

    id: str
    inlet: str
    inlet_ma: int
    outlet: str
    count: int
