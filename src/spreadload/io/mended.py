"""Numbers and positions torn apart by a comma, or misread for a point: put together again.

`at: (3, 4)` and `power_factor: 0,95` in braces are two keys to YAML, `plate_w: 1.450` is less than
two watts. Imports only its neighbours and ``errors``.
"""

import re
from collections.abc import Iterator
from dataclasses import replace

from spreadload.errors import Fault
from spreadload.io.cures import split
from spreadload.io.source import Entry, Path, Place, Source, group, row, shown

_POSITION = re.compile(r"(board_)?at(_ft)?")
_FIRST, _SECOND = re.compile(r"\(?[-+]?[\d.]+"), re.compile(r"[-+]?[\d.]+\)?")
_TWO_NUMBERS = re.compile(r"[-+]?\d+(\.\d+)?[\s;/]+[-+]?\d+(\.\d+)?")
_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?")
# Nobody reads watts to the thousandth: it is the point that some countries put between thousands.
_WATTS = re.compile(r".+_(w|va)")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}\.\d{3}")
_NOTHING = ("", Entry(Place("", 0), "nothing behind it"))
_COMMA = "a comma starts the next key: write a decimal point"


def mended(source: Source) -> tuple[Source, tuple[Fault, ...]]:
    """Return a source with what was torn apart put together, and a fault for each place."""
    mender = _Mender(source)
    root = mender.walk(source.root, ())
    return (replace(source, root=root) if mender.faults else source), tuple(mender.faults)


class _Mender:
    def __init__(self, source: Source) -> None:
        self._source = source
        self.faults: list[Fault] = []

    def walk(self, entry: Entry, path: Path) -> Entry:
        """Return an entry with everything below it mended."""
        if isinstance(entry.value, tuple):
            if len(entry.value) == 1 and _is_position(path) and _is_two(entry.value[0]):
                return self._position(path, entry, entry.value[0].raw)
            items = [self.walk(child, (*path, at)) for at, child in enumerate(entry.value)]
            return row(entry.place, items)
        if isinstance(entry.value, dict):
            return group(entry.place, dict(self._children(entry.value, path)))
        if path and _WATTS.fullmatch(str(path[-1])) and _THOUSANDS.fullmatch(entry.raw):
            return self._thousands(path, entry)
        return entry

    def _children(self, children: dict[str, Entry], path: Path) -> Iterator[tuple[str, Entry]]:
        """Yield the entries of a group, two of them as one where a comma made two of it."""
        each = list(children.items())
        skip = False
        for (name, child), (rest, other) in zip(each, [*each[1:], _NOTHING], strict=False):
            where = (*path, name)
            torn = not skip and other.is_blank
            if torn and _is_position(where) and _belong(child.raw, rest):
                yield name, self._position(where, child, f"{child.raw}, {rest}")
            elif torn and _is_decimal(name, child.raw, rest):
                yield name, self._decimal((*path, rest), child, f"{child.raw}.{rest}")
            elif skip:
                skip = False
                continue
            else:
                yield name, self.walk(child, where)
                continue
            skip = True

    def _position(self, path: Path, entry: Entry, text: str) -> Entry:
        remedy = f"write [{', '.join(_NUMBER.findall(text))}]"
        problem, limit = "not a position as it is read here", "x, y in metres or feet"
        self._tell(path, entry, (problem, shown(text), limit, remedy))
        return split(replace(entry, raw=text))

    def _decimal(self, path: Path, entry: Entry, number: str) -> Entry:
        value = shown(number.replace(".", ","))
        self._tell(path, entry, ("unknown key", value, "", f"{_COMMA}, {number}"))
        return Entry(entry.place, float(number), number)

    def _thousands(self, path: Path, entry: Entry) -> Entry:
        whole = entry.raw.replace(".", "")
        problem = "a point is read as the decimal mark, and nobody reads watts so finely"
        remedy = f"write {whole}, without a sign between thousands"
        self._tell(path, entry, (problem, entry.raw, "", remedy))
        return Entry(entry.place, int(whole), whole)

    def _tell(self, path: Path, entry: Entry, said: tuple[str, str, str, str]) -> None:
        place = entry.place
        self.faults.append(Fault(place.file, place.line, self._source.key(path), *said))


def _is_position(path: Path) -> bool:
    return bool(path) and bool(_POSITION.fullmatch(str(path[-1])))


def _belong(first: str, second: str) -> bool:
    return bool(_FIRST.fullmatch(first) and _SECOND.fullmatch(second))


def _is_decimal(key: str, whole: str, rest: str) -> bool:
    """Whether two keys are a number with a decimal comma; three digits may be thousands."""
    if not (re.fullmatch(r"[-+]?\d+", whole) and rest.isdecimal()):
        return False
    return len(rest) != 3 and not _POSITION.fullmatch(key)  # noqa: PLR2004 - as thousands go


def _is_two(entry: Entry) -> bool:
    return isinstance(entry.value, str) and bool(_TWO_NUMBERS.fullmatch(entry.raw))
