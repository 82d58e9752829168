"""Ctrl-C while a solver works: the search stops soon and hands back the best plan it has.

A solver runs in a thread of its own, so that Python sees the signal at once in the main thread. A
second Ctrl-C ends the program as usual.
"""

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from threading import Thread, current_thread, main_thread
from types import FrameType
from typing import Generic, TypeVar, cast

T = TypeVar("T")
_LOOK_EVERY_S = 0.05


class Interruption:
    """A flag that Ctrl-C raises, and the way to stop what runs at the moment."""

    def __init__(self) -> None:
        """Nothing is interrupted yet."""
        self.is_raised = False

    def run(self, work: Callable[[], T], stop: Callable[[], None]) -> T | None:
        """Return the result of some work; None when it was abandoned after an interruption.

        Args:
            work: What to do; it must let other threads run.
            stop: Called once when the flag goes up; the work has a short while to end by itself.
        """
        was_raised = self.is_raised  # then this is the last short effort to have a plan at all
        task = Task(work)
        task.start()
        task.wait(lambda: self.is_raised and not was_raised)
        if task.is_alive():
            stop()
            task.join(_PATIENCE_S)
        return task.result()

    def up(self, _number: int = 0, _frame: FrameType | None = None) -> None:
        """Raise the flag; the next Ctrl-C is nobody's business here any more."""
        self.is_raised = True
        signal.signal(signal.SIGINT, signal.default_int_handler)


_PATIENCE_S = 2.0


class Task(Thread, Generic[T]):
    """Work of a solver in a thread of its own that never keeps the program alive."""

    def __init__(self, work: Callable[[], T]) -> None:
        """Keep the work for later."""
        super().__init__(daemon=True)
        self._work = work
        self._result: T | None = None
        self._error: BaseException | None = None

    def run(self) -> None:
        """Do the work and keep what came of it."""
        try:
            self._result = self._work()
        except BaseException as error:  # noqa: BLE001 - handed on to the thread that waits
            self._error = error

    def wait(self, is_over: Callable[[], bool]) -> None:
        """Wait for the end or for a reason to stop waiting."""
        while self.is_alive() and not is_over():
            self.join(_LOOK_EVERY_S)

    def outcome(self) -> T:
        """Wait for the end, and return the result or raise what the work raised."""
        self.join()
        return cast("T", self.result())

    def result(self) -> T | None:
        """Return the result, or raise what the work raised."""
        if self._error is not None:
            raise self._error
        return self._result


@contextmanager
def interruptible() -> Iterator[Interruption]:
    """Catch Ctrl-C while the block runs, where that is possible; the old handling comes back."""
    active = _ACTIVE.get()
    if active is not None or current_thread() is not main_thread():
        yield active or Interruption()
        return
    interruption = Interruption()
    token = _ACTIVE.set(interruption)
    before = signal.signal(signal.SIGINT, interruption.up)
    try:
        yield interruption
    finally:
        signal.signal(signal.SIGINT, before)
        _ACTIVE.reset(token)


def active_interruption() -> Interruption:
    """Return what Ctrl-C raises at the moment, or a flag that nobody raises."""
    return _ACTIVE.get() or Interruption()


_ACTIVE: ContextVar[Interruption | None] = ContextVar("interruption", default=None)
