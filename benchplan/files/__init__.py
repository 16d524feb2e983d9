"""Plan files: TOML in, with every problem at once, and out, whole or not at all."""

from benchplan.files.reader import PlanFile, read_plan, read_text

__all__ = ["PlanFile", "read_plan", "read_text"]
