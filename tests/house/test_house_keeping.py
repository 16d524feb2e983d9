"""What a search found is kept in the bench book, and never searched twice."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from benchplan import fitting
from benchplan.book import BenchBook
from benchplan.files import read_plan
from benchplan.files.samples import sample_paths
from benchplan.keeping import kept_fits, search_and_keep
from benchplan.model import Day, Pan
from benchplan.model.stop import Iterations
from benchplan.packing.search import usual_stop

PAN = Pan("eleven", (318.0, 243.0), (325.0, 250.0), gap_mm=8.0, edge_mm=0.0)
SMALL = Pan("small", (291.0, 290.0), (300.0, 300.0), gap_mm=4.0)  # twelve, and 14 not ruled out


@pytest.fixture
def day() -> Day:
    """The first sample with larger tins, on a pan of which rows leave one tin out."""
    found = read_plan(sample_paths()[0]).day
    (tin,) = found.tins.values()
    recipes = {name: replace(recipe, pan=None) for name, recipe in found.recipes.items()}
    wide = replace(tin, diameter_mm=76.0)
    return replace(found, pans={"eleven": PAN}, tins={tin.name: wide}, recipes=recipes)


@pytest.fixture
def book(tmp_path: Path) -> BenchBook:
    return BenchBook.open(tmp_path)


@pytest.fixture
def _as_usual(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("benchplan.packing.usual_stop", usual_stop)


def count(day: Day, known: fitting.KnownFits) -> int:
    return fitting.fit_day(day, known)[0].count


@pytest.mark.usefixtures("_as_usual")
def test_the_second_time_is_the_first_to_the_last_bit(day: Day, book: BenchBook) -> None:
    told: list[tuple[str, int]] = []

    def hear(wanted: fitting.Wanted, found: int) -> None:
        told.append((wanted.pan, found))

    first = search_and_keep(day, {}, book, tell=hear)
    assert told == [("eleven", 10), ("eleven", 11)]
    assert count(day, {}) == 10
    assert count(day, first) == 11
    kept = kept_fits(book)
    assert kept == first
    assert fitting.fit_day(day, kept) == fitting.fit_day(day, first)
    assert fitting.unsearched(day, kept) == ()
    told.clear()
    assert search_and_keep(day, kept, book, tell=hear) == kept
    assert told == []


@pytest.mark.usefixtures("_as_usual")
def test_a_turned_pan_and_one_twice_the_size_are_the_same_shape(day: Day, book: BenchBook) -> None:
    known = search_and_keep(day, {}, book)
    turned = replace(PAN, inside_mm=(243.0, 318.0))
    ((name, tin),) = day.tins.items()
    twice = replace(PAN, inside_mm=(636.0, 486.0), gap_mm=16.0)
    for pan, size in ((turned, 76.0), (twice, 152.0)):
        other = replace(day, pans={"eleven": pan}, tins={name: replace(tin, diameter_mm=size)})
        assert fitting.unsearched(other, known) == ()
        assert count(other, known) == 11


def test_what_found_nothing_is_kept_too(day: Day, book: BenchBook) -> None:
    known = search_and_keep(replace(day, pans={"small": SMALL}), {}, book)
    ((key, places),) = known.items()
    assert places == ()
    assert kept_fits(book) == {key: ()}


@pytest.mark.usefixtures("_as_usual")
def test_a_search_that_is_cut_short_is_not_kept(day: Day, book: BenchBook) -> None:
    looks = Iterations(3)
    found = search_and_keep(day, {}, book, stop=looks)
    assert found == {}
    assert kept_fits(book) == {}


def test_what_a_search_cannot_better_is_not_searched(day: Day) -> None:
    (tin,) = day.tins
    for pan in (
        replace(PAN, pattern="tidy"),
        replace(PAN, tins={tin: 9}),
        replace(PAN, inside_mm=(90.0, 90.0)),  # one tin, and no more is proven
        replace(PAN, inside_mm=(50.0, 50.0)),
    ):
        assert fitting.unsearched(replace(day, pans={"eleven": pan}), {}) == ()


def test_pans_that_no_order_can_use_are_searched_when_every_one_is_wanted(day: Day) -> None:
    recipes = {name: replace(recipe, pan="small") for name, recipe in day.recipes.items()}
    both = replace(day, pans={"eleven": PAN, "small": SMALL}, recipes=recipes)
    assert [each.pan for each in fitting.unsearched(both, {})] == ["small"]
    assert {each.pan for each in fitting.unsearched(both, {}, every=True)} == {"eleven", "small"}


@pytest.mark.parametrize(
    "wrong",
    [
        "",
        None,
        7,
        {"a": 1},
        [[1.0]],
        [[1.0, "x"]],
        [1.0, 2.0],
        [[0.0, 0.0]] * 12,
        [[1e9, 1e9]] * 12,
    ],
)
def test_wrong_things_in_the_book_are_passed_over(day: Day, book: BenchBook, wrong: object) -> None:
    (wanted,) = fitting.unsearched(day, {})
    book.keep_fit(wanted.key, wrong)
    assert count(day, kept_fits(book)) == 10


def test_a_book_that_cannot_be_written_keeps_nothing_and_harms_nothing(
    day: Day, book: BenchBook
) -> None:
    book.close()
    assert len(search_and_keep(day, {}, book)) == 1


def test_without_a_book_there_is_a_search_each_time(day: Day) -> None:
    assert kept_fits(None) == {}
    assert len(search_and_keep(day, {}, None)) == 1
