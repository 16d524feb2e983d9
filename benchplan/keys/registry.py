"""Every key: what it does, where, and what footer and help say of it."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.keys.names import words_of

EVERYWHERE = "everywhere"
DIALOG = "dialog"
SHEET = "sheet"


@dataclass(frozen=True, slots=True)
class KeyAction:
    """Something a key does.

    ``id`` is the name of the ``action_...`` method (with an argument in brackets, if any),
    ``where`` the screens on which it works, ``text`` the word in the footer (empty: not shown
    there), ``help`` a whole sentence for the help screen.
    """

    id: str
    keys: tuple[str, ...]
    text: str
    help: str
    where: tuple[str, ...]

    @property
    def name(self) -> str:
        """What the table ``[keys]`` of a file calls it."""
        return _NAMES.get(self.id) or self.id

    @property
    def key_words(self) -> str:
        """The keys as the footer and the help screen show them."""
        return words_of(self.keys)


# What a file calls an action whose id holds an argument.
_NAMES = {
    "move(-1)": "line_above",
    "move(1)": "line_below",
    "line(-1)": "line_above",
    "line(1)": "line_below",
    "tins(1)": "more_tins",
    "tins(-1)": "fewer_tins",
    "move_tray(-1)": "tray_earlier",
    "move_tray(1)": "tray_later",
    "sight(1)": "next_sight",
    "sight(-1)": "sight_before",
    "lane(-1)": "lane_above",
    "lane(1)": "lane_below",
    "bar(-1)": "bar_before",
    "bar(1)": "bar_after",
    "zoom(1)": "nearer",
    "zoom(-1)": "farther",
    "scroll_by(-1)": "back_in_time",
    "scroll_by(1)": "on_in_time",
    "end(-1)": "first_bar",
    "end(1)": "last_bar",
    "read(-1)": "read_back",
    "read(1)": "read_on",
    "pick(-1)": "field_above",
    "pick(1)": "field_below",
    "page(-1)": "page_back",
    "page(1)": "page_on",
    "far(-1)": "to_top",
    "far(1)": "to_bottom",
}

# The screens that a digit opens, in order: name, words, what it is for.
SCREENS = (
    ("orders", "Orders", "what must be ready, and the queue of trays that comes of it"),
    ("fit", "Fit", "pan, oven shelf and mat drawn to scale with tins on them"),
    ("flow", "Flow", "hands, scale, oven, stand and mat over the day, and what limits it"),
    ("bench", "Bench", "the run itself: what to do now, and everything that is hot"),
    ("jars", "Jars", "what is drying, what must be shaken today, what is ready"),
    ("book", "Book", "past runs and learned times"),
)

_NAMES |= {f"go('{name}')": name for name, _, _ in SCREENS}


def _letter(letter: str) -> tuple[str, ...]:
    """Return both cases: Caps Lock must not make a key dead."""
    return (letter, letter.upper())


ON_EVERY_SCREEN = (
    *(
        KeyAction(
            f"go('{name}')", (str(number),), words, f"Open {words}: {purpose}.", (EVERYWHERE,)
        )
        for number, (name, words, purpose) in enumerate(SCREENS, 1)
    ),
    KeyAction("save", _letter("s"), "Save", "Save the day to its plan file.", (EVERYWHERE,)),
    KeyAction(
        "save_as",
        _letter("a"),
        "",
        "Save the day under another name and date: next time's plan.",
        (EVERYWHERE,),
    ),
    KeyAction(
        "look", _letter("l"), "", "Change the look: dark, light, or without colour.", (EVERYWHERE,)
    ),
    KeyAction("help", ("question_mark", "f1"), "Help", "Show every key.", (EVERYWHERE,)),
    KeyAction(
        "to_start",
        ("escape",),
        "",
        "Clear the band, and go back: to the lanes of Flow, or without a day to the start page.",
        (EVERYWHERE,),
    ),
    KeyAction(
        "leave",
        (*_letter("q"), "ctrl+q", "ctrl+c"),
        "Quit",
        "Leave benchplan; while a run is on it asks first.",
        (EVERYWHERE,),
    ),
)

_START = (
    KeyAction("move(-1)", ("up",), "Line above", "Choose the line above.", ("start",)),
    KeyAction("move(1)", ("down",), "Line below", "Choose the line below.", ("start",)),
    KeyAction("choose", ("enter",), "Open", "Open the chosen line.", ("start",)),
)

_ORDERS = (
    KeyAction("line(-1)", ("up",), "", "Choose the line above.", ("orders",)),
    KeyAction("line(1)", ("down",), "", "Choose the line below.", ("orders",)),
    KeyAction(
        "other_list",
        ("tab", "shift+tab"),
        "List",
        "Go from the orders to the queue of trays, or back.",
        ("orders",),
    ),
    KeyAction(
        "tins(1)",
        ("plus", "equals_sign"),
        "More",
        "One tin more of the chosen order; the day is planned anew.",
        ("orders",),
    ),
    KeyAction(
        "tins(-1)",
        ("minus",),
        "Fewer",
        "One tin fewer of the chosen order; the day is planned anew.",
        ("orders",),
    ),
    KeyAction(
        "numbers",
        ("enter",),
        "Edit",
        "Type how many tins of the chosen order must be ready, and how many are filled already.",
        ("orders",),
    ),
    KeyAction(
        "move_tray(-1)",
        ("less_than_sign", "comma"),
        "Earlier",
        "Move the chosen tray earlier in the queue; your own order is kept from then on.",
        ("orders",),
    ),
    KeyAction(
        "move_tray(1)",
        ("greater_than_sign", "full_stop"),
        "Later",
        "Move the chosen tray later in the queue; your own order is kept from then on.",
        ("orders",),
    ),
    KeyAction(
        "planners_order",
        _letter("p"),
        "Planner's order",
        "Give up your own order of trays: the planner chooses trays and order again.",
        ("orders",),
    ),
)

_FIT = (
    KeyAction(
        "line(-1)", ("up",), "Line above", "Choose what stands on what: the line above.", ("fit",)
    ),
    KeyAction(
        "line(1)", ("down",), "Line below", "Choose what stands on what: the line below.", ("fit",)
    ),
    KeyAction(
        "sight(1)",
        ("right",),
        "Next tray",
        "Show the day's next tray on this pan or load in this oven; on the mat, go down the list.",
        ("fit",),
    ),
    KeyAction(
        "sight(-1)",
        ("left",),
        "Tray before",
        "Show the tray or load before; on the mat, go up the list.",
        ("fit",),
    ),
    KeyAction(
        "gaps",
        _letter("g"),
        "Gaps",
        "Show or hide how near each tin stands to the next one and to the rim.",
        ("fit",),
    ),
)

_FLOW = (
    KeyAction("lane(-1)", ("up",), "", "Go to the lane above, at the same time.", ("flow",)),
    KeyAction("lane(1)", ("down",), "", "Go to the lane below, at the same time.", ("flow",)),
    KeyAction(
        "bar(-1)", ("left",), "Before", "Go to what comes before, or to less room.", ("flow",)
    ),
    KeyAction("bar(1)", ("right",), "After", "Go to what comes next, or to more room.", ("flow",)),
    KeyAction("zoom(1)", ("plus", "equals_sign"), "Nearer", "Show less time, larger.", ("flow",)),
    KeyAction("zoom(-1)", ("minus",), "Farther", "Show more time, smaller.", ("flow",)),
    KeyAction("scroll_by(-1)", ("pageup",), "", "Move half a window back in time.", ("flow",)),
    KeyAction("scroll_by(1)", ("pagedown",), "", "Move half a window on in time.", ("flow",)),
    KeyAction("end(-1)", ("home",), "", "Go to the first in this lane.", ("flow",)),
    KeyAction("end(1)", ("end",), "", "Go to the last in this lane.", ("flow",)),
    KeyAction("to_now", _letter("n"), "Now", "In a run: go to what happens now.", ("flow",)),
    KeyAction(
        "limits",
        _letter("w"),
        "Limits",
        "Read what sets the finish, how busy each thing is and what would help; again to read on.",
        ("flow",),
    ),
    KeyAction(
        "balance",
        _letter("b"),
        "Balance",
        "Show how other room to cool in would change the finish, and where its knee is.",
        ("flow",),
    ),
)

_BENCH = (
    KeyAction(
        "done",
        ("enter",),
        "Done",
        "Before a run: start the day. In a run: mark the card's action done.",
        ("bench",),
    ),
    KeyAction(
        "tick",
        ("space",),
        "Tick",
        "Tick the next item of the checklist; [!] must be seen to.",
        ("bench",),
    ),
    KeyAction("take_back", _letter("u"), "Take back", "Take back the last mark.", ("bench",)),
    KeyAction(
        "done_ago",
        _letter("d"),
        "Ago",
        "Mark the card's action done some minutes ago.",
        ("bench",),
    ),
    KeyAction(
        "other",
        _letter("o"),
        "Other",
        "Mark something else done: choose from what may be done now.",
        ("bench",),
    ),
    KeyAction(
        "hold",
        _letter("h"),
        "Hold",
        "Hold the run: hands stop, the oven does not. Again: go on.",
        ("bench",),
    ),
    KeyAction(
        "longer",
        ("plus", "equals_sign"),
        "",
        "Bake one minute longer what is on the card, or else what comes out next.",
        ("bench",),
    ),
    KeyAction(
        "happened",
        _letter("w"),
        "Mishap",
        "Something else happened: choose from a list (late, interrupted, under-baked, scrapped, "
        "a thermometer, people who come and go, an oven that fails).",
        ("bench",),
    ),
    KeyAction(
        "pass_over",
        _letter("p"),
        "",
        "Pass over the next item of the checklist, with a reason; at the dry test, say that the "
        "beads are not dry.",
        ("bench",),
    ),
    KeyAction(
        "take_over",
        _letter("t"),
        "",
        "Take over a run that another window carries: this one only follows it until then. Before "
        "a run: read the command and the keys that the plan file asks for, and take them over.",
        ("bench",),
    ),
    KeyAction("next_card", ("tab",), "", "Move to the next person's card.", ("bench",)),
    KeyAction("last_card", ("shift+tab",), "", "Move to the card before.", ("bench",)),
    KeyAction(
        "end_run",
        _letter("e"),
        "End",
        "End the run before it is complete: stop for today, or abort (asks).",
        ("bench",),
    ),
    KeyAction(
        "rehearse",
        _letter("r"),
        "",
        "Before a run: change between the real clock and a rehearsal, sixty times as fast.",
        ("bench",),
    ),
    KeyAction(
        "bell",
        _letter("b"),
        "",
        "Ring the bell once and run your alarm command, to hear that they work.",
        ("bench",),
    ),
    KeyAction("read(-1)", ("pageup", "up"), "", "Before and after a run: read back.", ("bench",)),
    KeyAction("read(1)", ("pagedown", "down"), "", "Before and after a run: read on.", ("bench",)),
)

_JARS = (
    KeyAction("line(-1)", ("up",), "Line above", "Choose the line above.", ("jars",)),
    KeyAction("line(1)", ("down",), "Line below", "Choose the line below.", ("jars",)),
    KeyAction(
        "other_list",
        ("tab", "shift+tab"),
        "List",
        "Go from what the day needs to the jars in the book, or back.",
        ("jars",),
    ),
    KeyAction(
        "start_jar",
        _letter("j"),
        "Jar started",
        "Note in the bench book that a jar was started, today or some days ago.",
        ("jars",),
    ),
    KeyAction(
        "used_up", _letter("d"), "Used up", "Take the chosen jar off the list (asks).", ("jars",)
    ),
)

_BOOK = (
    KeyAction("line(-1)", ("up",), "Line above", "Choose the run above, a newer one.", ("book",)),
    KeyAction("line(1)", ("down",), "Line below", "Choose the run below, an older one.", ("book",)),
    KeyAction(
        "read_record",
        ("enter",),
        "Read it",
        "Read the chosen run back: planned and real times, and every mark.",
        ("book",),
    ),
)

_DIALOG = (
    KeyAction("accept", ("enter",), "Yes", "Accept what the question asks.", (DIALOG,)),
    KeyAction("cancel", ("escape",), "No", "Close the question and change nothing.", (DIALOG,)),
    KeyAction("pick(-1)", ("up", "shift+tab"), "", "Go to the line or field above.", (DIALOG,)),
    KeyAction("pick(1)", ("down", "tab"), "", "Go to the line or field below.", (DIALOG,)),
    KeyAction("every_key", ("f1",), "", "Show every key.", (DIALOG,)),
)

_SHEET = (
    KeyAction("page(-1)", ("pageup",), "", "Read back by a page.", (SHEET,)),
    KeyAction("page(1)", ("pagedown",), "", "Read on by a page.", (SHEET,)),
    KeyAction("far(-1)", ("home",), "", "Go to the beginning.", (SHEET,)),
    KeyAction("far(1)", ("end",), "", "Go to the end.", (SHEET,)),
)

ACTIONS: tuple[KeyAction, ...] = (
    *ON_EVERY_SCREEN,
    *_START,
    *_ORDERS,
    *_FIT,
    *_FLOW,
    *_BENCH,
    *_JARS,
    *_BOOK,
    *_DIALOG,
    *_SHEET,
)
