"""The records of a fixed order of work. Operations, pieces of work and people count from 0."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from benchplan.model.plan import Span

# What a node of the order is. WAIT: by itself. DO: work in one piece. FLOW: work that may be put
# down between tins. Such work that the plan interrupts comes as OPEN, MORE ..., CLOSE.
WAIT, DO, FLOW, OPEN, MORE, CLOSE, LOAD, EXIT = range(8)

Before = tuple[tuple[int, int], ...]  # operations that must have ended, and how long ago


@dataclass(frozen=True, slots=True)
class Piece:
    """Hand work of a tray whose length varies as one; a change of scent counts for its tray."""

    step: str
    tray: int
    planned_s: int


class Unload(NamedTuple):
    """One tray's way out: its operation, its piece (-1: takes no time), the place it waits for."""

    op: int
    piece: int
    stands: Before


@dataclass(frozen=True, slots=True)
class Bake:
    """One load of one oven, from its loading to its exit. -1 is nobody.

    ``loads`` and ``unloads`` are in turn, ``hot`` is when the oven is, ``planned`` where the plan
    has the load. A start within one of ``closed`` would leave a hot oven alone or an exit without
    hands. From position ``known`` in the order on it is known when its stand places become free.
    """

    op: int
    loader: int
    unloader: int
    loads: tuple[int, ...]
    loading_s: int
    bake_s: int
    unloads: tuple[Unload, ...]
    unloading_s: int
    hot: int
    planned: int
    closed: tuple[Span, ...]
    known: int = -1


class Node(NamedTuple):
    """One entry of the order: ``op`` begins here, or goes on, when all ``before`` allows it.

    ``tins`` of the ``whole`` piece are done here; ``more`` of them are still to come (OPEN, MORE).
    For LOAD and EXIT ``piece`` is the number of the bake.
    """

    kind: int
    op: int
    who: int
    before: Before
    piece: int
    tins: int
    whole: int
    more: int


@dataclass(slots=True)
class Draft:
    """A node in the making, with the plan's times for it."""

    kind: int
    op: int
    starts: int
    ends: int
    who: int = -1
    piece: int = -1
    tins: int = 1
    whole: int = 1
    more: int = 0
    before: list[tuple[int, int]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Order:
    """The whole order. ``breaks`` are by person, ``last`` the operations that end the day.

    By operation: ``pieces_of`` names its pieces of work, ``within`` the operations of the same
    person that the plan has between its beginning and its end, ``before`` what it waits for,
    ``work_s`` how long it is worked on by the plan, and ``done_at`` the position of its last node.
    """

    pieces: tuple[Piece, ...]
    nodes: tuple[Node, ...]
    bakes: tuple[Bake, ...]
    breaks: tuple[tuple[Span, ...], ...]
    pieces_of: tuple[tuple[int, ...], ...]
    within: tuple[tuple[int, ...], ...]
    before: tuple[Before, ...]
    work_s: tuple[int, ...]
    done_at: tuple[int, ...]
    last: tuple[int, ...]
    ready_s: int
