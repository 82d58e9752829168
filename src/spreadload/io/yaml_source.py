"""A job file and the files it pulls in, as one tree that remembers file and line.

``use:`` at the top of a file names other files by paths relative to it. What the naming file says
is laid over what it pulls in. Imports only its neighbours and ``errors``.
"""

import re
from dataclasses import replace
from pathlib import Path

from spreadload.errors import Fault, InputError
from spreadload.io.compose import compose
from spreadload.io.merge import Clash, clashes, overlay
from spreadload.io.source import Entry, Place, Source, group, shown
from spreadload.io.text_file import read_text
from spreadload.suggest import closest, did_you_mean

USE = "use"
MAX_CHAIN = 8
MAX_FILES = 50
_ELSEWHERE = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]*:|[/\\~]")
_MEANT = frozenset({"include", "includes", "import", "imports", "extends", "pull_in"})
_SUFFIXES = frozenset({".yaml", ".yml"})


def read(path: Path, first_line: str = "region: ...") -> Source:
    """Read a YAML file and everything it pulls in.

    Never raises for anything in the files: what is wrong is in ``Source.faults``, so that
    ``faults.validate`` can report it together with whatever the model refuses.

    Args:
        path: The file; faults name it as given here.
        first_line: A line such a file may start with.
    """
    reader = _Reader(first_line)
    root = reader.start(path) or group(Place(str(path), 1), {})
    files, faults = tuple(reader.files), tuple(reader.faults)
    return Source(root, files, faults, reader.complete, frozenset(reader.doubled))


class _Reader:
    """Reads each file once and gathers faults over all of them."""

    def __init__(self, first_line: str) -> None:
        self._first_line = first_line
        self.files: list[str] = []
        self.faults: list[Fault] = []
        self.complete = True
        self.doubled: set[str] = set()
        self._trees: dict[Path, Entry | None] = {}

    def start(self, path: Path) -> Entry | None:
        try:
            text = read_text(path)
        except InputError as error:
            self._lose(*error.faults)
            return None
        return self._tree(path, text, (path,))

    def _lose(self, *faults: Fault) -> None:
        self.complete = False
        self.faults.extend(faults)

    def _tree(self, path: Path, text: str, chain: tuple[Path, ...]) -> Entry | None:
        """Return the file at the end of the chain with all it pulls in laid under it."""
        self.files.append(str(path))
        composed = compose(text, str(path), self._first_line)
        self.faults.extend(composed.faults)
        self.complete = self.complete and composed.complete
        self.doubled |= composed.doubled
        if composed.root is None or not isinstance(composed.root.value, dict):
            return None
        own = {self._use_or(key, child): child for key, child in composed.root.value.items()}
        used = own.pop(USE, None)
        top = group(composed.root.place, own)
        pulled = [self._pull(name, chain) for name in self._names(used)] if used else []
        return self._joined([tree for tree in pulled if tree], top)

    def _use_or(self, key: str, child: Entry) -> str:
        """Return a key as it is meant: what names a file and is nearly `use` pulls it in."""
        is_file = Path(child.raw).suffix.lower() in _SUFFIXES
        if key == USE or not is_file or not (key.casefold() in _MEANT or closest(key, (USE,))):
            return key
        where, remedy = child.place, did_you_mean([USE], key)
        self.faults.append(
            Fault(where.file, where.line, shown(key), "unknown key", shown(child.raw), "", remedy)
        )
        return USE

    def _joined(self, pulled: list[Entry], top: Entry) -> Entry:
        base = group(top.place, {})
        for tree in pulled:
            found = clashes(base, tree)
            self.faults.extend(_clash_fault(clash) for clash in found if not _settled(clash, top))
            base = overlay(base, tree)
        own = top.value if isinstance(top.value, dict) else {}
        self.doubled |= {key for key in own if _is_replaced(base.below(key), own[key])}
        return overlay(base, top)

    def _names(self, used: Entry) -> list[Entry]:
        entries = used.value if isinstance(used.value, tuple) else (used,)
        good = [entry for entry in entries if isinstance(entry.value, str) and entry.value.strip()]
        for entry in entries:
            if entry not in good:
                self._refuse(entry, "not the path of a file", "write use: site.yaml")
        return good

    def _refuse(self, name: Entry, problem: str, remedy: str) -> None:
        place = name.place
        self._lose(Fault(place.file, place.line, USE, problem, shown(name.raw), remedy=remedy))

    def _pull(self, name: Entry, chain: tuple[Path, ...]) -> Entry | None:
        """Return the tree of one file named under ``use``, or None when it cannot be had."""
        if _ELSEWHERE.match(name.raw):
            remedy = "write a path from this file's folder, with /, such as ../houses/site.yaml"
            self._refuse(name, "only files of this job can be pulled in", remedy)
            return None
        path = chain[-1].parent / name.raw
        if path.suffix.lower() not in _SUFFIXES:
            self._refuse(name, "only .yaml files can be pulled in", "check the name of the file")
            return None
        try:
            text = read_text(path)
        except InputError as error:
            self._lose(*(_at_use(fault, name, chain) for fault in error.faults))
            return None
        return self._pulled(path, text, name, chain)

    def _pulled(self, path: Path, text: str, name: Entry, chain: tuple[Path, ...]) -> Entry | None:
        identity = path.resolve()
        if identity in {link.resolve() for link in chain}:
            way = _way((*chain, path))
            self._refuse(
                name,
                f"files pull each other in, round and round: {way}",
                "remove one of these `use` lines",
            )
        elif identity in self._trees:
            return self._trees[identity]
        elif len(chain) > MAX_CHAIN or len(self.files) >= MAX_FILES:
            self._refuse(
                name,
                f"too many files pull in files: {_way((*chain, path))}",
                f"at most {MAX_CHAIN} in a chain and {MAX_FILES} in all",
            )
        else:
            self._trees[identity] = self._tree(path, text, (*chain, path))
            return self._trees[identity]
        return None


def _is_replaced(pulled: Entry | None, own: Entry) -> bool:
    """Whether one file gives as a group what the other gives as something else."""
    if pulled is None or own.is_blank:
        return False
    return isinstance(pulled.value, dict) != isinstance(own.value, dict)


def _way(chain: tuple[Path, ...]) -> str:
    return " -> ".join(str(path) for path in chain)


def _at_use(fault: Fault, name: Entry, chain: tuple[Path, ...]) -> Fault:
    """Move a fault about a whole file to the line that pulls it in, with the way there."""
    if fault.line:
        return fault
    way = f" (pulled in by {_way(chain)})" if len(chain) > 1 else ""
    place = name.place
    return replace(
        fault,
        file=place.file,
        line=place.line,
        key=USE,
        value=shown(name.raw),
        problem=f"{fault.problem}{way}",
    )


def _settled(clash: Clash, top: Entry) -> bool:
    """Whether the file that pulls both in says itself which value holds."""
    found: Entry | None = top
    for step in clash.path:
        found = found.below(step) if found else None
    return found is not None


def _clash_fault(clash: Clash) -> Fault:
    key = ".".join(shown(str(step)) for step in clash.path)
    first, second = clash.first.place, clash.second.place
    problem = f"given differently at {first} and at {second}"
    remedy = "keep one of them, or say which holds in the file that pulls both in"
    return Fault(second.file, second.line, key, problem, shown(clash.second.raw), remedy=remedy)
