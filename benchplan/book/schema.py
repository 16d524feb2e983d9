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
    # A table's CHECK cannot be dropped, so both tables are made anew, in the order that SQLite's
    # manual gives (sqlite.org/lang_altertable.html, "Making Other Kinds Of Table Schema Changes").
    # Which kinds of mark and which states there are is said by the model alone. Long texts stand
    # last: who holds a run is read at every mark.
    (
        """
        CREATE TABLE new_runs (
            number INTEGER PRIMARY KEY AUTOINCREMENT,
            name TEXT NOT NULL,
            file TEXT NOT NULL,
            start TEXT NOT NULL,
            rehearsal INTEGER NOT NULL,
            speed REAL NOT NULL,
            state TEXT NOT NULL,
            finished_s INTEGER,
            holder TEXT NOT NULL DEFAULT '',
            day_text TEXT NOT NULL,
            plan_text TEXT NOT NULL
        )
        """,
        """
        INSERT INTO new_runs (number, name, file, start, day_text, plan_text, rehearsal, speed,
            state, finished_s)
        SELECT number, name, file, start, day_text, plan_text, rehearsal, speed, state, finished_s
        FROM runs
        """,
        """
        CREATE TABLE new_marks (
            run INTEGER NOT NULL REFERENCES runs (number),
            number INTEGER NOT NULL,
            what TEXT NOT NULL,
            happened_s INTEGER NOT NULL,
            entered_s INTEGER NOT NULL,
            action TEXT,
            trays TEXT NOT NULL,
            place TEXT NOT NULL,
            turn INTEGER NOT NULL,
            item TEXT NOT NULL,
            person INTEGER NOT NULL,
            takes_back INTEGER NOT NULL,
            amount REAL NOT NULL DEFAULT 0,
            note TEXT NOT NULL DEFAULT '',
            PRIMARY KEY (run, number)
        ) WITHOUT ROWID
        """,
        """
        INSERT INTO new_marks (run, number, what, happened_s, entered_s, action, trays, place, turn,
            item, person, takes_back)
        SELECT run, number, what, happened_s, entered_s, action, trays, place, turn, item, person,
            takes_back
        FROM marks
        """,
        "DROP TABLE marks",
        "DROP TABLE runs",
        "ALTER TABLE new_runs RENAME TO runs",
        "ALTER TABLE new_marks RENAME TO marks",
        "CREATE INDEX runs_by_file ON runs (file, state)",
        """
        CREATE TABLE corrections (
            run INTEGER NOT NULL REFERENCES runs (number),
            number INTEGER NOT NULL,
            mark INTEGER NOT NULL,
            field TEXT NOT NULL,
            old TEXT NOT NULL,
            new TEXT NOT NULL,
            why TEXT NOT NULL,
            entered TEXT NOT NULL,
            PRIMARY KEY (run, number)
        ) WITHOUT ROWID
        """,
    ),
    # What a rule depends on is kept as an id of the model, not as the sentence that says it. Dry
    # tests of before named no scent: they count as not done.
    (
        "ALTER TABLE marks ADD COLUMN item_id TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE marks ADD COLUMN scent TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE marks ADD COLUMN reason TEXT NOT NULL DEFAULT ''",
        """
        UPDATE marks SET item_id = 'landing free', item = ''
        WHERE item = 'Landing place on the stand will be free'
        """,
        """
        UPDATE marks SET item_id = 'looked at', item = '' WHERE item = 'Looked at: no loose beads'
        """,
        """
        UPDATE marks SET what = 'wet', item_id = 'beads dry',
            scent = substr(note, 1, length(note) - length(' is not dry')), note = ''
        WHERE what = 'leaves' AND note LIKE '% is not dry'
        """,
        """
        UPDATE marks SET reason = 'over-baked', note = ''
        WHERE what = 'scrapped' AND note = 'over-baked'
        """,
        "ALTER TABLE jars ADD COLUMN failed_run INTEGER",
        "ALTER TABLE jars ADD COLUMN failed_mark INTEGER",
    ),
)
VERSION = len(STEPS)
