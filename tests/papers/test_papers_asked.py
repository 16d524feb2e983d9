"""What a file asks for is shown whole, and what could hide is spelt out."""

from __future__ import annotations

import pytest

from benchplan.model import Settings
from benchplan.papers.asked import asked_lines, asked_words, spelt
from benchplan.views.rows import cells, text_of
from benchplan.views.run_pages import asked_rows


@pytest.mark.parametrize(
    ("word", "shown"),
    [
        ("play", '"play"'),
        ("a  b ", '"a  b "'),
        ('"\\', '"\\"\\\\"'),
        ("é日", '"é日"'),
        ("\x1b[2J", '"\\U0000001b[2J"'),
        ("\u202egpj", '"\\U0000202egpj"'),
        ("e\u0301", '"e\\U00000301"'),
        ("a\u3164b", '"a\\U00003164b"'),
        ("\u05d0", '"\\U000005d0"'),
    ],
)
def test_nothing_in_a_word_can_hide(word: str, shown: str) -> None:
    assert spelt(word) == shown


def test_every_word_is_on_the_page_whole() -> None:
    command = ("sh", "-c", "x" * 900 + "  hidden", *(f"word{n}" for n in range(190)), "last one")
    asks = Settings(command, {"done": ("f5",)})
    for width in (40, 72):
        rows = [text_of(row) for row in asked_rows(asks, width)]
        assert max(map(cells, rows)) <= width
        joined = "".join(
            row.removeprefix("     ") if row.startswith("     ") else row for row in rows
        )
        for word in command:
            assert f'"{word}"' in joined
    assert "done: F5 (usually Enter)" in " ".join(asked_lines(asks))
    assert len(asked_words(asks)) < 60
