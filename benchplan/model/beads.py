"""How much of dry beads an order needs: one number for the plan, for the jars and for the paper."""

from __future__ import annotations

from benchplan.model.day import Day, Order

OVERFILL_G = 0.5
"""A hand puts some tenths of a gram too much into a tin (common practice, no source)."""


def beads_g(day: Day, order: Order) -> float:
    """Return the grams of dry beads that an order's tins still take, overfilling included."""
    return (order.tins - order.filled) * (day.recipes[order.recipe].fill_g + OVERFILL_G)
