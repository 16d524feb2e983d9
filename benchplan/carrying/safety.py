"""What must be so before something is marked: dry beads, a place to land, and its time.

Screens and typed lines ask here, so nothing is let by in one that is held up in the other, and
whatever is marked goes past ``refused`` at last.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from benchplan import live
from benchplan.carrying.mishaps import SAY_WHY, Bench, Found, mark_of, named
from benchplan.model import Action, Item, ItemId, Mark, MarkKind, Reason, standing
from benchplan.model.run_words import upper_first
from benchplan.model.words import either_words, list_words, tray_words

if TYPE_CHECKING:
    from benchplan.carrying.session import Session

LOOKED_AT = Item(ItemId.LOOKED_AT)
PAST_AN_OVEN = ("load", "unload", "transfer", "pack")
STAYS_HOT_S = 20 * 60
"""No oven that was shut on a bake is cool sooner (our estimate, not measured)."""
SEEN = (MarkKind.TICK, MarkKind.PASS_OVER)


def refused(session: Session, mark: Mark) -> str:
    """Say why a tray may not go into an oven by a mark; an empty text where nothing speaks against.

    Every scent in a tray needs a dry test in this run, and the latest must say dry.
    """
    into_oven = mark.what == MarkKind.BACK_IN or (
        mark.what == MarkKind.DONE and mark.action is not None and mark.action.what in PAST_AN_OVEN
    )
    plan = session.good_plan()
    if not into_oven or mark.action is None or session.day is None or plan is None:
        return ""
    found = live.as_marked(session.day, plan, session.marks)
    so_far = live.progress(found, session.marks)
    loaded = so_far.at["load"] if mark.what == MarkKind.DONE else {}
    trays = [tray for tray in mark.action.trays if tray not in loaded]
    wet = [scent for scent in live.scents_of(found, trays) if not so_far.dry.get(scent)]
    if not wet:
        return ""
    return (
        f"Test the beads first: {list_words(wet)}. "
        f"{upper_first(tray_words(tuple(trays)))} must not go into an oven before they are dry."
    )


# --- the checklist ------------------------------------------------------------------------------


def unseen(bench: Bench, action: Action | None) -> tuple[Item, ...]:
    """Return what must be ticked or passed over before an action, on a card or not, is done.

    Never anything at an oven's exit: it cannot wait, and is asked about once the tray is out.
    """
    if action is None or action.what == "unload":
        return ()
    on_card = bench.card is not None and bench.action == action
    checks = bench.card.checklist if on_card and bench.card else ()
    if not on_card:
        found, so_far = bench.looked_up()
        checks = live.checklist(found, so_far, action)
        if all(oven != action.place for oven, _ in so_far.heated):  # then that is asked about
            checks = tuple(each for each in checks if each.item.id is not ItemId.OVEN_AT_HEAT)
    return tuple(check.item for check in checks if check.required and not check.seen)


def not_looked_at(bench: Bench, trays: Iterable[int]) -> Action | None:
    """Return the unload after which nobody has said yet how trays are baked; None: all is said.

    Tins scrapped as over-baked say it of their tray.
    """
    wanted, looked, said = set(trays), False, set[int]()
    out: Action | None = None
    for mark in standing(bench.marks):
        action = mark.action
        if action is None or not wanted & set(action.trays):
            continue
        if mark.what == MarkKind.SCRAPPED and mark.reason is Reason.OVER_BAKED:
            said |= set(action.trays)
        elif action.what != "unload":
            continue
        elif mark.what == MarkKind.DONE:
            out, looked = action, False
        elif mark.what == MarkKind.BACK_IN:
            out, looked, said = None, False, set()
        elif mark.what in SEEN and mark.item.id is ItemId.LOOKED_AT:
            looked = True
    return None if looked or wanted <= said else out


def passed_over(bench: Bench, action: Action | None, item: Item, why: Reason | str) -> Found:
    """An item of an action's checklist is left out for a reason; the dry test never is."""
    if action is None or item == Item():
        return "Nothing is left to tick."
    if item.id is ItemId.BEADS_DRY:
        return "The dry test can't be skipped. Test again, or remove these trays from today."
    return mark_of(bench, MarkKind.PASS_OVER, action, why=why, item=item) if why else SAY_WHY


def to_pass_over(bench: Bench) -> Item:
    """Return the item on the card that would be passed over next: what must be seen to comes first,
    and the dry test, which cannot be, last. An empty item: all is seen to."""
    left = [each for each in bench.card.checklist if not each.seen] if bench.card else []
    left.sort(key=lambda each: (each.item.id is ItemId.BEADS_DRY, not each.required))
    return left[0].item if left else Item()


# --- wet beads ----------------------------------------------------------------------------------


def wet(bench: Bench, scent: str = "") -> Found:
    """A scent failed the dry test: its trays leave the day, unless they are past an oven.

    It need not be named where the card asks for its test, or there is no other. What bakes with it
    is shut in.
    """
    known = list(dict.fromkeys(name for tray in bench.plan.trays for name in tray.scent_names))
    checks = bench.card.checklist if bench.card else ()
    asked = [each.item.scent for each in checks if each.item.scent and not each.seen]
    meant = asked if len(asked) == 1 else known
    scent = named(known, scent) if scent else meant[0] if len(meant) == 1 else ""
    if not scent:
        return f"Say which scent: {either_words(known)}."
    found, so_far = bench.looked_up()
    trays = tuple(
        each.number
        for each in bench.plan.trays
        if scent in each.scent_names
        and each.number in found.load_of
        and each.number not in so_far.at["load"]
    )
    action = Action("fill", trays) if trays else None
    return mark_of(bench, MarkKind.WET, action, item=Item(ItemId.BEADS_DRY, scent))


def shut_in(bench: Bench) -> tuple[int, ...]:
    """Return the trays in an oven that must stay shut, not judged yet."""
    return tuple(tray for hot in bench.state.hot if hot.kind == "shut in" for tray in hot.trays)


def judged(bench: Bench, tray: int | None, good: int | None) -> Found:
    """So many tins of a tray that was shut in are good, now that its oven is cool and open."""
    hot = next((each for each in bench.state.hot if each.kind == "shut in" and tray in each.trays),
               None)  # fmt: skip
    if hot is None or tray is None:
        return "No tray is shut in an oven."
    tins = bench.plan.tray(tray).tins
    if bench.state.now_s - hot.until_s < STAYS_HOT_S:
        return f"{hot.place} can't be cool yet. Leave it shut."
    if good is None or good > tins:
        return f"Type 0 to {tins}: how many of its tins are good."
    return mark_of(bench, MarkKind.JUDGED, Action("unload", (tray,), hot.place), good)


# --- before its time ----------------------------------------------------------------------------


def unready(bench: Bench, action: Action, happened_s: int) -> live.Unready | None:
    """Return what is not so yet when an action is said to have happened; None: it was its time."""
    return live.not_yet(*bench.looked_up(), action, happened_s)


def early_exit(bench: Bench, action: Action) -> live.Unready | None:
    """Return by how much an unload that is done was early, where nobody has said yet why."""
    if action.what != "unload":
        return None
    kept = standing(bench.marks)
    done = [each for each in kept if each.what == MarkKind.DONE and each.action == action]
    said = [each for each in kept if each.what == MarkKind.EARLY and each.action == action]
    if not done or any(each.number > done[-1].number for each in said):
        return None
    return live.not_yet(*bench.looked_up(), action, done[-1].happened_s)


def is_last(bench: Bench, action: Action) -> bool:
    """Whether the last mark that stands says that an action is done."""
    last = standing(bench.marks)[-1:]
    return any(each.what == MarkKind.DONE and each.action == action for each in last)


def why_early(bench: Bench, action: Action, reason: Reason) -> Mark:
    """Say why an unload was done before its bake was over."""
    return mark_of(bench, MarkKind.EARLY, action, why=reason)


def too_early(bench: Bench, action: Action, happened_s: int) -> str:
    """Say why an action cannot have happened so early: nothing is out before it went in, nor moved
    or packed before it was out."""
    found, so_far = bench.looked_up()
    if action.what not in ("unload", "transfer", "pack"):
        return ""
    before = so_far.at[found.chain[found.chain.index(action.what) - 1]]
    if happened_s >= max((before[tray] for tray in action.trays if tray in before), default=0):
        return ""
    was = "in" if action.what == "unload" else "out" if action.what == "transfer" else "there"
    return f"{upper_first(tray_words(action.trays))} was not {was} yet then. Nothing was marked."


def undo_asks(marks: tuple[Mark, ...]) -> str:
    """Say what is at stake where the last mark keeps somebody safe; often nothing."""
    last = next(iter(standing(marks)[-1:]), None)
    if last is None:
        return ""
    if last.what == MarkKind.WET:
        return f"{last.item.scent} would count as it did before its beads were found wet."
    went_in = last.what == MarkKind.DONE and last.action and last.action.what == "load"
    if last.action and (went_in or last.what == MarkKind.BACK_IN):
        trays = upper_first(tray_words(last.action.trays))
        return f"{trays} would count as not in {last.action.place}: look into it first."
    return ""


def unready_again(bench: Bench, back: Mark) -> live.Unready | None:
    """Return what is not so yet of the oven that trays go back into by a mark; None: all is."""
    if back.action is None or back.reason is not None:
        return None
    return live.not_yet_again(*bench.looked_up(), back.action, back.happened_s)


def unchecked(bench: Bench) -> tuple[int, ...]:
    """Return the trays that the day is done with and that nobody has checked yet: after an abort
    all that was hot."""
    over, hot = bench.state.complete, bench.state.hot
    kinds = [each for each in hot if each.kind == "aside" or (over and each.kind != "shut in")]
    return tuple(tray for each in kinds for tray in each.trays)


def checked(bench: Bench, tray: int | None) -> Found:
    """Somebody checked the tins of a tray that the day is done with: none of them is hot."""
    left = unchecked(bench)
    if tray not in left:
        of = either_words([str(each) for each in left])
        return f"Say which tray: {of}." if left else "No tray waits for a check."
    return mark_of(bench, MarkKind.CHECKED, Action("pack", (tray,)))
