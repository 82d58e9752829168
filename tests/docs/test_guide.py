"""The guide for developers and the notes beside it: every path, link and heading named is there."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]
SOURCE = TOP / "src" / "spreadload"
GUIDES = (
    "DEVELOPERS.md",
    "README.md",
    "benchmarks/results/search.md",
    "benchmarks/results/wiring.md",
)
# Files that a user writes, or a command does, where it is run.
OF_A_USER = frozenset(
    {"job.yaml", "log.yaml", "terrace.yaml", "terrace.log.yaml", "house.yaml", "plan.json",
     "drawn.json", "sheet.html", "recce.html", "other.yaml", "variants.yaml"}
)  # fmt: skip
PATH = re.compile(r"[\w.-]+(?:/[\w.-]+)*\.(?:py|md|yaml|json|js|css|toml|j2)|(?:[\w.-]+/)+[\w.-]*")
BLOCK = re.compile(r"^```.*?^```", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
# An id of a point, and files of any region or scenario.
NO_PATHS = frozenset(
    {
        "outlet/box/phase",
        "practice/data/regions/xx.yaml",
        "scenarios/X",
        "tests/browser/plans/X.json",
    }
)


def paths_in(guide: str) -> Iterator[str]:
    """Yield what stands between backticks outside of blocks and reads as a path."""
    text = re.sub(
        r"^```.*?^```",
        "",
        (TOP / guide).read_text(encoding="utf-8"),
        flags=re.MULTILINE | re.DOTALL,
    )
    for quoted in re.findall(r"`([^`\n]+)`", text):
        yield from (word for word in quoted.split() if PATH.fullmatch(word))


def is_there(path: str) -> bool:
    """Whether a path is one of the project, of a room, or of a part of a room."""
    return (
        any(
            (top / path).exists() or next(top.rglob(path.rstrip("/")), None) is not None
            for top in (SOURCE, *(TOP / name for name in ("tests", "benchmarks", "scenarios")))
        )
        or (TOP / path).exists()
    )


@pytest.mark.parametrize("guide", GUIDES)
def test_every_path_named_is_there(guide: str) -> None:
    """A guide that sends a reader to a file that was moved is worse than none."""
    named = {path for path in paths_in(guide) if path not in OF_A_USER | NO_PATHS}
    assert named, "no path was found at all"
    assert sorted(path for path in named if not is_there(path)) == []


@pytest.mark.parametrize("guide", GUIDES)
def test_every_link_leads_somewhere(guide: str) -> None:
    """To a file beside the guide, or to a heading in it."""
    text = (TOP / guide).read_text(encoding="utf-8")
    headings = {
        re.sub(r"[^\w -]", "", title.lower()).strip().replace(" ", "-")
        for title in re.findall(r"^#+ (.*)$", text, re.MULTILINE)
    }
    for link in LINK.findall(text):
        if link.startswith("#"):
            assert link[1:] in headings, link
        elif not link.startswith("http"):
            assert ((TOP / guide).parent / link).exists(), link
