"""The goal that takes longest: few metres of cable, with every other goal held.

The plan in hand is shortened piece by piece (``pieces/small_rounds.py``), and a tree of clauses is
asked for one below it. Where that settles nothing, one core goes on with both while another grows a
tree of linear rows (``linear.py``); where the root of that tree takes longer than what would come
first, it is begun at once. Neither looks at the other before it ends, except that nothing can be
gained by a plan that is proved the shortest: so the outcome does not hang on which is faster.
"""

from collections.abc import Sequence
from dataclasses import replace

from spreadload.solver.cable.held import narrow
from spreadload.solver.cable.linear import Bounded, bounded, root_work_s
from spreadload.solver.engine.calls import Answer, Effort, Status, asking_for_less, solve
from spreadload.solver.engine.interruption import Task
from spreadload.solver.engine.limits import DETERMINISTIC_PER_S, SLOWER, Clock, Progress
from spreadload.solver.model.variables import Linear, Variables
from spreadload.solver.pieces.polish import PATIENCE
from spreadload.solver.pieces.small_rounds import SmallRounds

# Shares of the work: rounds alone, then a first proof; and of it what the root of a tree may cost.
_ALONE_SHARE = 0.1
_CLAUSES_SHARE = 0.05
_ROOT_SHARE = 0.9
# What narrowing the decisions costs, of what the root of a tree does.
_NARROWING = 0.25
_PATIENCE_ALONE = 12
_PATIENCE_BESIDE = 30
# Rounds from the same plan in another order often end with another one.
_STARTS = 2
# What the rounds beside a tree may do, of its work: they take less time for it.
_BESIDE = 1.4


def shorten(
    v: Variables,
    answer: Answer,
    effort: Effort,
    clock: Clock,
    progress: Progress,
    held: Sequence[tuple[Linear, int]] = (),
) -> Answer:
    """Return the shortest plan found, with what is proved of the shortest there is.

    Args:
        v: The decisions, with the cable as the sum to be minimised.
        answer: A plan with its bound.
        effort: Seed, workers and the work of both together.
        clock: The clock of the whole search.
        progress: Told what is tried.
        held: What the goals before this one reached, which the model holds.
    """
    work_s = effort.deterministic / DETERMINISTIC_PER_S
    is_large = root_work_s(v.model) > work_s * (1 - _ALONE_SHARE - _CLAUSES_SHARE) * _ROOT_SHARE
    if not is_large:
        narrow(v.model, held)
        clock.spend_s(root_work_s(v.model) * _NARROWING)
    polish = SmallRounds(v, effort, clock, has_loads=True)
    if not is_large and root_work_s(v.model) > work_s * (_ALONE_SHARE + _CLAUSES_SHARE):
        progress("improving: cable, by branch and bound")
        return _side_by_side(v, polish, answer, min(work_s, clock.work_left_s), clock)
    polish.more(clock.part(work_s if is_large else work_s * _ALONE_SHARE))
    answer = polish.by_pieces(answer, patience=PATIENCE if is_large else _PATIENCE_ALONE)
    if is_large or answer.best <= answer.bound:
        return answer
    progress("improving: cable, by branch and bound")
    answer = _proved(v, effort, answer, clock.part(work_s * _CLAUSES_SHARE))
    left_s = min(clock.left_s, clock.work_left_s, work_s)
    if answer.best <= answer.bound:
        return answer
    if root_work_s(v.model) > left_s * _ROOT_SHARE:
        polish.more(clock.part(work_s))
        return polish.by_pieces(answer)
    return _side_by_side(v, polish, answer, min(work_s, clock.work_left_s), clock)


def _side_by_side(
    v: Variables, polish: SmallRounds, answer: Answer, work_s: float, clock: Clock
) -> Answer:
    """Return the shorter plan of two searches with what is proved."""
    beside: Task[Bounded] = Task(lambda: bounded(v.model, answer, work_s, clock))
    beside.start()

    def proved() -> int:
        """Return what the tree has proved, once it has ended."""
        ended = None if beside.is_alive() else beside.result()
        return 0 if ended is None else ended.answer.bound

    share = clock.beside(work_s, _BESIDE)
    polish.more(share)
    here = answer
    for _ in range(_STARTS):
        if here.best > proved():
            again = polish.by_pieces(answer, proved, _PATIENCE_BESIDE)
            here = min(here, again, key=lambda found: found.best)
    if here.best > proved():
        here = _proved(v, polish.effort, here, share)
    beside.join()
    tree = beside.result() or Bounded(answer, work_s)
    best = min(here.best, tree.answer.best)
    is_proved = best <= tree.answer.bound
    rounds_s = work_s - share.work_left_s / _BESIDE
    clock.spend_s(tree.work_s if is_proved else max(rounds_s, tree.work_s))
    bound = max(here.bound, tree.answer.bound)
    if here.best <= here.bound or here.best <= tree.answer.best:
        return replace(here, bound=min(bound, here.best))
    return replace(tree.answer, bound=min(bound, tree.answer.best))


def _proved(v: Variables, effort: Effort, answer: Answer, share: Clock) -> Answer:
    """Return what a tree of clauses finds below a plan, or proves, with the work of a share."""
    if answer.best <= answer.bound or not share.work_left_s or not share.left_s:
        return answer
    asked, ask_below = asking_for_less(v.model)
    asked.clear_hints()
    ask_below(answer.best)
    work_s = share.work_left_s
    wall_s = min(share.left_s, work_s * SLOWER)
    deterministic = work_s * DETERMINISTIC_PER_S
    effort = replace(effort, deterministic=deterministic, wall_s=wall_s, is_for_bound=True)
    found = solve(asked, effort, share)
    if found.status is Status.NONE_EXISTS:
        return replace(answer, bound=answer.best)
    if found.values:
        return found
    return replace(answer, bound=max(answer.bound, min(found.bound, answer.best)))
