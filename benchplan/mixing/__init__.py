"""Jars of beads: how much a day needs, and when they must have been started to be dry for it."""

from benchplan.mixing.jars import WET_JARS, JarNeed, jars_needed

__all__ = ["WET_JARS", "JarNeed", "jars_needed"]
