"""The Textual app: the only room that imports textual. Widgets show state, they never keep it."""
