"""The bench book: the database of runs, marks, jars and recent files in the user's data folder."""

from benchplan.book.bench_book import BegunAlreadyError, BenchBook
from benchplan.book.reading import UNREADABLE
from benchplan.book.rows import Jar, RecentFile
from benchplan.book.statements import HeldElsewhereError
from benchplan.home import home

__all__ = [
    "UNREADABLE",
    "BegunAlreadyError",
    "BenchBook",
    "HeldElsewhereError",
    "Jar",
    "RecentFile",
    "home",
]
