"""Widgets of our own; each draws what it is handed and keeps no state of the day."""
