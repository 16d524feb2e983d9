"""Plan files: TOML in, with every problem at once, and out, whole or not at all."""

from benchplan.files.reader import PlanFile, read_plan, read_text
from benchplan.files.writer import save_plan, snapshot

__all__ = ["PlanFile", "read_plan", "read_text", "save_plan", "snapshot"]
