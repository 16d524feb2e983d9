"""The bench book: the database of runs, marks, jars and recent files in the user's data folder."""

from benchplan.book.bench_book import BenchBook, Jar, RecentFile
from benchplan.book.connection import home

__all__ = ["BenchBook", "Jar", "RecentFile", "home"]
