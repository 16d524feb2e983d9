"""What a footer names at certain moments, by the ids of the registry's actions."""

from __future__ import annotations

# What a screen's footer names at certain moments, instead of all its keys: on the Bench before a
# run, with one on offer, after one (an abort leaves what is hot to be checked), while something
# bakes and while hands are held (which an exit from an oven never is); in Flow on the pages that
# stand in place of the lanes.
FOOTERS: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {
    ("bench", "before"): (("done", "Start real run"), ("rehearse", "Rehearse"), ("bell", "Bell")),
    ("bench", "before, rehearsal"): (
        ("done", "Start rehearsal"), ("rehearse", "Real run"), ("bell", "Bell"),
    ),
    ("bench", "offer"): (("done", "Go on"), ("end_run", "End it")),
    ("bench", "complete"): (
        ("take_back", "Take back"), ("save_as", "Save as"), ("end_run", "Put away"),
    ),
    ("bench", "complete, hot"): (
        ("take_back", "Take back"), ("happened", "Mishap"), ("save_as", "Save as"),
        ("end_run", "Put away"),
    ),
    ("bench", "none"): (("bell", "Bell"),),
    ("bench", "baking"): (
        ("done", "Done"), ("tick", "Tick"), ("take_back", "Take back"), ("other", "Other"),
        ("hold", "Hold"), ("longer", "Longer"), ("happened", "Mishap"), ("end_run", "End"),
    ),
    ("bench", "following"): (("take_over", "Take over"), ("bell", "Bell")),
    ("bench", "held"): (
        ("hold", "Go on"), ("take_back", "Take back"), ("longer", "Longer"),
        ("happened", "Mishap"), ("end_run", "End"),
    ),
    ("bench", "held, exit"): (
        ("hold", "Go on"), ("done", "Done"), ("tick", "Tick"), ("take_back", "Take back"),
        ("longer", "Longer"), ("happened", "Mishap"), ("end_run", "End"),
    ),
    ("flow", "limits"): (("limits", "Read on"), ("balance", "Balance"), ("to_start", "Lanes")),
    ("flow", "limits, last"): (("limits", "Lanes"), ("balance", "Balance")),
    ("flow", "balance"): (
        ("bar(-1)", "Less room"), ("bar(1)", "More room"), ("limits", "Limits"),
        ("to_start", "Lanes"),
    ),
}  # fmt: skip

# What does something while no day is open.
WITHOUT_A_DAY = ("go('book')", "look", "help", "to_start", "leave")
