"""The chance of being on time: the plan's order, carried out on days when hand times vary.

No input, no output. Each hand step of a tray takes its planned time times a factor of its own,
drawn from a lognormal distribution of mean 1: mostly a little less, sometimes much more. Bakes,
rests and cooling take their times to the second. Nothing is replanned, as a maker could.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from math import ceil, exp, log, sqrt
from random import Random
from statistics import variance

from benchplan.chance.dispatch import Dispatch
from benchplan.chance.order import fixed_order
from benchplan.chance.records import Piece
from benchplan.model import Chance, Day, Plan
from benchplan.model.stop import Stop
from benchplan.planner import resolved

USUAL_CV = 0.3
"""How much hand work varies where nothing is known: standard deviation over mean. Between 0.25 and
0.35, and lognormal, is common practice for hand work of seconds to minutes (from memory, no
source)."""

_FEWEST_TIMES = 5
_TELL_EVERY = 50


def cv_of(times: Sequence[float]) -> float | None:
    """Return how much ``times`` of one step vary (standard deviation over mean), or None.

    By their logarithms, as lognormal times have it, so that one forgotten mark does not count for
    more than it should. None with fewer than five times above 0.
    """
    logs = [log(each) for each in times if each > 0]
    if len(logs) < _FEWEST_TIMES:
        return None
    return sqrt(exp(variance(logs)) - 1.0)


def chance(
    day: Day,
    plan: Plan,
    seed: int = 0,
    days: int = 2000,
    cv: Mapping[str, float] | None = None,
    stop: Stop = lambda: False,
    tell: Callable[[int], None] | None = None,
) -> Chance:
    """Return how a plan fares on ``days`` simulated days, or on those until ``stop`` (at least 1).

    ``cv`` says how much a step varies ("fill", "pack", "clear", "change_scent", ...); what it does
    not name varies as usual. ``tell`` hears now and then how many days are done.
    """
    finishes: list[float] = []
    blamed: Counter[tuple[str, int]] = Counter()
    for done in simulated(day, plan, seed, cv):
        finishes.append(done.finish_s)
        if done.finish_s > plan.finish_s + 1e-6:
            piece = blame(done)
            if piece is not None:
                blamed[piece.step, piece.tray] += 1
        if tell is not None and len(finishes) % _TELL_EVERY == 0:
            tell(len(finishes))
        if len(finishes) >= days or stop():
            break
    return _summary(day, plan, finishes, blamed)


def simulated(
    day: Day, plan: Plan, seed: int = 0, cv: Mapping[str, float] | None = None
) -> Iterator[Dispatch]:
    """Yield one simulated day after another, without end; arguments as for ``chance``."""
    order = fixed_order(resolved(day), plan)
    shapes = [_shape(piece, day, cv or {}) for piece in order.pieces]
    planned = [float(piece.planned_s) for piece in order.pieces]
    # a load that goes in early can make the day later; then loads wait as the plan has it
    pinned = Dispatch(order, planned).finish_s > plan.finish_s
    gauss = Random(seed).gauss
    while True:
        lasts = [mean * exp(mu + sigma * gauss(0.0, 1.0)) for mean, mu, sigma in shapes]
        yield Dispatch(order, lasts, pinned)


def _shape(piece: Piece, day: Day, cv: Mapping[str, float]) -> tuple[int, float, float]:
    """Return (seconds, mu, sigma): seconds · e^(mu + sigma · z) has the mean seconds and the cv."""
    name = "clear" if piece.step == "pack" and day.pack == "later" else piece.step
    squared = log(1.0 + cv.get(name, USUAL_CV) ** 2)
    return piece.planned_s, -squared / 2.0, sqrt(squared)


def blame(done: Dispatch) -> Piece | None:
    """Return the hand work that ran over the most on the chain of waits that ends the day."""
    order, found, most = done.order, None, 0.0
    op = done.last
    while op >= 0:
        inside = [
            each
            for each in order.within[op]
            if done.starts[op] <= done.starts[each] and done.ends[each] <= done.ends[op]
        ]
        for index in [index for each in (op, *inside) for index in order.pieces_of[each]]:
            over = done.lasts[index] - order.pieces[index].planned_s
            if over > most:
                found, most = order.pieces[index], over
        op = done.why[op]
    return found


def _summary(
    day: Day, plan: Plan, finishes: list[float], blamed: Counter[tuple[str, int]]
) -> Chance:
    seconds = sorted(ceil(finish - 1e-6) for finish in finishes)
    count = len(seconds)

    def by(share: int) -> int:
        """Return when ``share`` in 20 of the days are done (nearest rank)."""
        return seconds[-(-share * count // 20) - 1]

    late = sum(each > plan.finish_s for each in seconds)
    steps: Counter[str] = Counter()
    for (step, _), times in blamed.items():
        steps[step] += times
    step = min(steps, key=lambda name: (-steps[name], name), default="")
    trays = {tray: times for (name, tray), times in blamed.items() if name == step}
    tray = max(trays, key=trays.__getitem__, default=None)
    if tray is not None and trays[tray] * 2 <= steps[step]:
        tray = None
    due = day.finish_by_s
    return Chance(
        days=count,
        on_time=None if due is None else sum(each <= due for each in seconds) / count,
        half_s=by(10),
        nine_s=by(18),
        nineteen_s=by(19),
        late_step=step,
        late_tray=tray,
        late_share=steps[step] / late if late else 0.0,
    )
