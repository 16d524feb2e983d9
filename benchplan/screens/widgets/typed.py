"""A line to type into that takes its keys in the order in which they were pressed."""

from __future__ import annotations

from textual import events
from textual.widgets import Input

from benchplan.screens.actions import DIALOG, actions_of

# What the keys of the question around it do; they come before an input's own.
_QUESTION = {key: each.id for each in actions_of(DIALOG) for key in each.keys}


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
        if event.key in _QUESTION:
            event.stop()
            event.prevent_default()
            await self.app.run_action(_QUESTION[event.key], self.screen)
        elif bound is not None and bound.node is self:
            event.stop()
            event.prevent_default()
            await self.app.run_action(bound.binding.action, self)
