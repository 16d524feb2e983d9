"""The tables of the bench book. A later version appends a step; a step that was shipped stays."""

from __future__ import annotations

APPLICATION = 0x42504C4E
"""Tells this database from others; "BPLN"."""

STEPS: tuple[tuple[str, ...], ...] = (
    (
        """
        CREATE TABLE runs (
            number INTEGER PRIMARY KEY AUTOINCREMENT,
            name TEXT NOT NULL,
            file TEXT NOT NULL,
            start TEXT NOT NULL,
            day_text TEXT NOT NULL,
            plan_text TEXT NOT NULL,
            rehearsal INTEGER NOT NULL,
            speed REAL NOT NULL,
            state TEXT NOT NULL CHECK (state IN ('running', 'stopped', 'complete')),
            finished_s INTEGER
        )
        """,
        "CREATE INDEX runs_by_file ON runs (file, state)",
        """
        CREATE TABLE marks (
            run INTEGER NOT NULL REFERENCES runs (number),
            number INTEGER NOT NULL,
            what TEXT NOT NULL CHECK (what IN ('done', 'tick', 'take back')),
            happened_s INTEGER NOT NULL,
            entered_s INTEGER NOT NULL,
            action TEXT,
            trays TEXT NOT NULL,
            place TEXT NOT NULL,
            turn INTEGER NOT NULL,
            item TEXT NOT NULL,
            person INTEGER NOT NULL,
            takes_back INTEGER NOT NULL,
            PRIMARY KEY (run, number)
        ) WITHOUT ROWID
        """,
        """
        CREATE TABLE recent (
            path TEXT PRIMARY KEY,
            name TEXT NOT NULL,
            opened TEXT NOT NULL
        ) WITHOUT ROWID
        """,
        """
        CREATE TABLE jars (
            number INTEGER PRIMARY KEY AUTOINCREMENT,
            scent TEXT NOT NULL,
            started TEXT NOT NULL,
            note TEXT NOT NULL
        )
        """,
        "CREATE TABLE fits (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID",
    ),
)
VERSION = len(STEPS)
