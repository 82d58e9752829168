"""Lists of outlets typed without repeating their option."""

from typing import Any

from typer.core import TyperCommand

_GREEDY = frozenset({"--dark", "--lit", "--bright", "--off", "--gone", "--lamps"})


class GreedyCommand(TyperCommand):
    """A command whose lists of outlets need no repeated option: ``--dark B5 B6``."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:  # noqa: ANN401 - typer's own
        """Repeat a greedy option before each word that follows it."""
        spread: list[str] = []
        option: str | None = None
        is_first = False
        for word in args:
            if word.startswith("--"):
                option = word if word in _GREEDY else None
                is_first = True
                spread.append(word)
                continue
            if option is not None and not is_first:
                spread.append(option)
            spread.append(word)
            is_first = False
        return super().parse_args(ctx, spread)
