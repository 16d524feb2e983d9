"""Beads that pass the dry test, so that their trays may go into an oven."""

from __future__ import annotations

from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.model import Action, Item, ItemId


def beads_are_dry(carrier: Carrier, session: Session) -> None:
    """Say of every scent of the day that its beads passed the dry test."""
    assert session.day is not None
    for order in session.day.orders:
        assert carrier.tick(Action("fill", (1,)), 1, Item(ItemId.BEADS_DRY, order.scent))
