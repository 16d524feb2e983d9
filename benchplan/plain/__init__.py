"""A run told line by line, without placing text: for plain terminals, pipes and screen readers."""

from benchplan.plain.telling import Telling, tell_run

__all__ = ["Telling", "tell_run"]
