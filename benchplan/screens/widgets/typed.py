"""A line to type into that takes its keys in the order in which they were pressed."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual import events
from textual.widgets import Input

from benchplan.screens.actions import DIALOG, actions_of

if TYPE_CHECKING:
    from benchplan.screens.app import BenchApp


class Typed(Input):
    """An input whose editing keys, Tab and Enter wait for no other part of the app.

    Letters are put in by the input itself while keys with a binding travel on to the app and back.
    Where several come at once (a slow line, a machine that is busy planning) letters would
    overtake a Backspace or a Tab, and the number would be another one than was typed.
    """

    async def _on_key(self, event: events.Key) -> None:
        focused = self.app.focused
        if focused is not self and isinstance(focused, Typed):
            # Sent here before the Tab ahead of it had moved on.
            event.stop()
            event.prevent_default()
            focused.post_message(events.Key(event.key, event.character))
            return
        if event.is_printable:
            return
        bound = self.screen.active_bindings.get(event.key)
        # What the keys of the question around it do comes before an input's own.
        renamed = cast("BenchApp", self.app).session.keys
        question = {key: each.id for each in actions_of(DIALOG, renamed) for key in each.keys}
        if event.key in question:
            event.stop()
            event.prevent_default()
            await self.app.run_action(question[event.key], self.screen)
        elif bound is not None and bound.node is self:
            event.stop()
            event.prevent_default()
            await self.app.run_action(bound.binding.action, self)
