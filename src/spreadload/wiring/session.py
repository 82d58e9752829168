"""A whole session of tracing: which breakers to switch off in which round until all is known.

Three ways are held against each other on the wirings still possible: one by one, rounds numbered in
binary (several off at once, each lamp's pattern is its breaker), and choosing each round by what
the last one showed. Imports its neighbours only.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from spreadload.wiring.maps import Maps
from spreadload.wiring.rounds import Board, Off, single_bits
from spreadload.wiring.trials import LAMP_MIN, READ_MIN, SWITCH_MIN, WALK_MIN
from spreadload.wiring.ways import Rounds, Search, bits_of, least, one_by_one

_MOST_MAPS = 1000
_NEAR_ENOUGH = 1.05

Circuits = tuple[str, ...]


@dataclass(frozen=True)
class Way:
    """One way to go about it.

    Attributes:
        rounds: Expected number of rounds, each with one look at the lamps.
        most_rounds: On the worst wiring looked at.
        minutes: Expected, lamps included [min].
        first: Circuits off in its first rounds, as far as they are fixed.
    """

    name: str
    rounds: float
    most_rounds: int
    minutes: float
    first: tuple[Circuits, ...]


@dataclass(frozen=True)
class Session:
    """Everything about tracing some outlets in one go.

    Attributes:
        lamps: Outlets with a lamp.
        people: One or two.
        plain: One by one, the last one not needed once every lamp is placed.
        binary: Several at once by number, or None where one round does.
        adaptive: Each round chosen by the last.
        check: Circuits off in the round that shows any single misread lamp.
        check_min: What that round takes [min].
        bound_rounds: No way needs fewer rounds on average.
        bits: What is not known of the lamps' wiring [bit].
        unresolved: Lamps that cannot be told without a breaker nobody may switch.
        codes: Number of each circuit in the binary way.
        maps: How many wirings were looked at.
    """

    lamps: tuple[str, ...]
    people: int
    plain: Way
    binary: Way | None
    adaptive: Way
    check: Circuits
    check_min: float
    bound_rounds: float
    bits: float
    unresolved: tuple[str, ...]
    codes: Mapping[str, int]
    maps: int

    @property
    def best(self) -> Way:
        """The way with the fewest expected minutes; the calmer one of equals."""
        ways = [self.plain, self.adaptive, *([self.binary] if self.binary else [])]
        return min(ways, key=lambda way: round(way.minutes, 6))


def session(maps: Maps, lamps: Sequence[str], *, may_switch: Sequence[str], people: int) -> Session:
    """Return ways to find the circuit of every lamp.

    Args:
        maps: Wirings still possible.
        lamps: Outlets with a lamp.
        may_switch: Circuits that may be switched off.
        people: 1 or 2; one person walks to the lamps after each round.
    """
    board = Board.of(maps, lamps, may_switch, _MOST_MAPS)
    cost = _Cost(len(board.possible), people)
    rounds, order = one_by_one(board)
    plain = cost.way("one by one", rounds, [(n,) for n in order[: rounds.most]], maps)
    codes = codes_of(board)
    coded = rounds_of(codes)
    fixed = Rounds(float(len(coded)), len(coded))
    return Session(
        lamps=board.maps.outlets,
        people=people,
        plain=plain,
        binary=cost.way("several at once, by number", fixed, coded, maps)
        if len(coded) > 1
        else None,
        adaptive=_adaptive(board, cost, (rounds, order), coded),
        check=_named(maps, tuple(n for n, code in codes.items() if code.bit_count() % 2)),
        check_min=cost.round_min,
        bound_rounds=least(board),
        bits=bits_of(board),
        unresolved=_unresolved(maps, board),
        codes={maps.circuits[n]: code for n, code in codes.items()},
        maps=len(board.maps),
    )


def _adaptive(board: Board, cost: "_Cost", plain: tuple[Rounds, Off], coded: Sequence[Off]) -> Way:
    """Return the best way that may look at what the last round showed; fixed ways are such too.

    Where a fixed way is within a twentieth of what no way can beat, nothing is searched.
    """
    rounds, order = plain
    ways = [(rounds, order[:1] if rounds.most else ())]
    if coded:
        ways.append((Rounds(float(len(coded)), len(coded)), coded[0]))
    if min(way.mean for way, _ in ways) > least(board) * _NEAR_ENOUGH:
        ways.append(Search(board).run())
    best, off = min(ways, key=lambda way: round(way[0].mean, 9))
    return cost.way("each round by the last", best, [off] if off else [], board.maps)


@dataclass(frozen=True)
class _Cost:
    lamps: int
    people: int

    @property
    def round_min(self) -> float:
        """What one round takes [min]."""
        walk_min = WALK_MIN.value if self.people == 1 else 0.0
        return SWITCH_MIN.value + self.lamps * READ_MIN.value + walk_min

    def way(self, name: str, rounds: Rounds, first: Iterable[Off], maps: Maps) -> Way:
        minutes = self.lamps * LAMP_MIN.value + rounds.mean * self.round_min
        named = tuple(_named(maps, off) for off in first)
        return Way(name, rounds.mean, rounds.most, minutes, named)


def _named(maps: Maps, off: Off) -> Circuits:
    return tuple(maps.circuits[n] for n in off)


def _unresolved(maps: Maps, board: Board) -> tuple[str, ...]:
    """Return lamps that may hang on two circuits nobody may switch."""
    found = []
    for outlet in board.maps.outlets:
        dark = set(maps.on[:, maps.outlets.index(outlet)].tolist()) - set(board.switches)
        if len(dark) > 1:
            found.append(outlet)
    return tuple(found)


def codes_of(board: Board) -> dict[int, int]:
    """Return a number per circuit; two that one lamp may hang on never share one.

    Numbers start at 1, so that a lamp that never goes dark is on none of them.
    """
    rivals: dict[int, set[int]] = {n: set() for n in board.switches}
    for some in board.possible:
        numbers = [bit.bit_length() - 1 for bit in single_bits(some)]
        for a, b in combinations([n for n in numbers if n in rivals], 2):
            rivals[a].add(b)
            rivals[b].add(a)
    wanted = [n for n in board.switches if any(some >> n & 1 for some in board.possible)]
    found: dict[int, int] = {}
    for n in sorted(wanted, key=lambda n: (-len(rivals[n]), n)):
        taken = {found[m] for m in rivals[n] if m in found}
        found[n] = next(code for code in range(1, len(wanted) + 2) if code not in taken)
    return {n: found[n] for n in wanted}


def rounds_of(codes: Mapping[int, int]) -> tuple[Off, ...]:
    """Return the circuits off in each round: those whose number has that binary digit."""
    digits = max(codes.values(), default=0).bit_length()
    return tuple(
        tuple(n for n, code in codes.items() if code >> digit & 1) for digit in range(digits)
    )
