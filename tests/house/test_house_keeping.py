"""What a search found is kept in the bench book, and never searched twice."""

from __future__ import annotations

import math
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from benchplan import fitting
from benchplan.book import BenchBook
from benchplan.files import read_plan
from benchplan.files.samples import sample_paths
from benchplan.keeping import kept_fits, search_and_keep
from benchplan.model import Day, Pan
from benchplan.model.stop import Iterations, Stop
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


@pytest.mark.parametrize("every", [False, True])
def test_eighty_alike_pans_are_searched_once_and_not_again_another_day(
    day: Day, book: BenchBook, every: bool
) -> None:
    turned = replace(PAN, inside_mm=PAN.inside_mm[::-1], outside_mm=PAN.outside_mm[::-1])
    names = [f"pan {number}" for number in range(80)]
    pans = {
        name: replace(turned if number % 2 else PAN, name=name) for number, name in enumerate(names)
    }
    many = replace(day, pans=pans)
    told: list[str] = []

    def hear(wanted: fitting.Wanted, found: int) -> None:
        told.append(wanted.pan)

    known = search_and_keep(many, {}, book, every=every, tell=hear)
    assert set(told) == {"pan 0"}
    assert {fit.count for fit in fitting.fit_day(many, known) if fit.what == "tins on pan"} == {
        count(day, known)
    }
    told.clear()
    tomorrow = replace(many, name="another", pans={"new": replace(PAN, name="new"), **pans})
    search_and_keep(tomorrow, kept_fits(book), book, every=every, tell=hear)
    assert told == []


def test_a_pan_that_is_a_hair_larger_is_another_shape(day: Day) -> None:
    keys = set()
    for more in (0.0, 0.001, 0.5):
        pan = replace(PAN, inside_mm=(318.0 + more, 243.0))
        (wanted,) = fitting.unsearched(replace(day, pans={"eleven": pan}), {})
        keys.add(wanted.key)
    assert len(keys) == 3


def test_what_found_nothing_is_kept_too(day: Day, book: BenchBook) -> None:
    known = search_and_keep(replace(day, pans={"small": SMALL}), {}, book)
    ((key, places),) = known.items()
    assert places == ()
    assert kept_fits(book) == {key: ()}


@pytest.mark.usefixtures("_as_usual")
def test_a_search_that_is_cut_short_is_not_kept(day: Day, book: BenchBook) -> None:
    (tin,) = day.tins.values()
    wide = replace(tin, name="wide", diameter_mm=77.0)
    both = replace(day, tins={tin.name: tin, "wide": wide})
    assert len(fitting.unsearched(both, {}, every=True)) == 2
    asked = 0

    def third() -> bool:
        nonlocal asked
        asked += 1
        return asked == 3

    assert search_and_keep(both, {}, book, every=True, stop=third) == {}
    assert asked == 3, "nothing else is searched when it was cut short"
    assert kept_fits(book) == {}
    known = {"other": ((0.0, 0.0),)}
    assert search_and_keep(day, known, book, stop=lambda: True) == known
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
    assert len(search_and_keep(both, {}, None)) == 1
    assert len(search_and_keep(both, {}, None, every=True)) == 2


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
        [[10**400, 1]] * 11,
        [[0.0, 0.0]] * 12,
        [[1e9, 1e9]] * 12,
        [[math.nan, 0.0]] * 11,
        [[math.inf, 0.0]] * 11,
    ],
)
def test_wrong_things_in_the_book_are_passed_over_and_searched_again(
    day: Day, book: BenchBook, wrong: object
) -> None:
    wanted = fitting.unsearched(day, {})
    book.keep_fit(wanted[0].key, wrong)
    known = kept_fits(book)
    assert count(day, known) == 10
    assert fitting.unsearched(day, known) == wanted


@pytest.mark.parametrize("text", ["", "[[0.0", "nonsense", "[" * 100_000])
def test_what_is_no_json_in_the_book_is_passed_over(day: Day, book: BenchBook, text: str) -> None:
    book.keep_fit("other", [])
    (wanted,) = fitting.unsearched(day, {})
    with sqlite3.connect(book.path) as writing:
        writing.execute("INSERT INTO fits VALUES (?, ?)", (wanted.key, text))
    assert kept_fits(book) == {"other": ()}


@pytest.mark.usefixtures("_as_usual")
def test_a_wrong_thing_is_put_right_by_the_next_search(day: Day, book: BenchBook) -> None:
    right = search_and_keep(day, {}, None)
    (key,) = right
    book.keep_fit(key, [[0.0, 0.0]] * 11)
    assert search_and_keep(day, kept_fits(book), book) == right
    assert kept_fits(book) == right


def never(count: int) -> Stop:
    raise AssertionError(f"searched for {count}")


@pytest.mark.usefixtures("_as_usual")
def test_nothing_is_searched_the_second_time(
    day: Day, book: BenchBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = search_and_keep(day, {}, book)
    monkeypatch.setattr("benchplan.packing.usual_stop", never)
    book.close()
    again = BenchBook.open(book.path.parent)
    assert search_and_keep(day, kept_fits(again), again) == first
    again.close()


@pytest.mark.usefixtures("_as_usual")
def test_each_pan_shows_its_own_layout_in_whatever_order_they_were_found(day: Day) -> None:
    eleven = replace(day, pans={"eleven": PAN})
    longer = replace(day, pans={"longer": replace(PAN, inside_mm=(318.2, 243.0))})
    one, two = (search_and_keep(each, {}, None) for each in (eleven, longer))
    assert {len(places) for places in (*one.values(), *two.values())} == {11}
    assert [*one.values()] != [*two.values()], "each would do on the larger pan"
    for known in ({**one, **two}, {**two, **one}):
        assert fitting.fit_day(eleven, known) == fitting.fit_day(eleven, one)
        assert fitting.fit_day(longer, known) == fitting.fit_day(longer, two)
    # Where a pan has none of its own, it is the same one in whatever order they were found.
    other = replace(day, pans={"other": replace(PAN, inside_mm=(318.3, 243.1))})
    assert fitting.fit_day(other, {**one, **two}) == fitting.fit_day(other, {**two, **one})


@pytest.mark.usefixtures("_as_usual")
def test_what_was_found_for_one_pan_serves_a_larger_one_at_once(day: Day) -> None:
    known = search_and_keep(day, {}, None)
    larger = replace(day, pans={"eleven": replace(PAN, inside_mm=(318.3, 243.1))})
    assert count(larger, {}) == 10
    (wanted,) = fitting.unsearched(larger, known)
    assert wanted.count == count(larger, known) == 11
    found = fitting.search(larger, wanted, known, lambda _: Iterations(0))
    assert [found] == [*known.values()]
    other = fitting.search(larger, wanted, {}, usual_stop, seed=1)
    assert other != fitting.search(larger, wanted, {}, usual_stop)
    told: list[tuple[str, int]] = []
    both = replace(day, pans={"eleven": PAN, "larger": larger.pans["eleven"]})
    search_and_keep(both, {}, None, tell=lambda each, now: told.append((each.pan, now)))
    assert told == [("eleven", 10), ("eleven", 11), ("larger", 11)]
    tidy = replace(day, pans={"eleven": replace(PAN, pattern="tidy")})
    assert count(tidy, known) == 10
    (tin,) = day.tins
    own = fitting.fit_day(replace(day, pans={"eleven": replace(PAN, tins={tin: 9})}), known)[0]
    assert (own.count, own.by) == (9, "maker")


def test_a_book_that_cannot_be_written_keeps_nothing_and_harms_nothing(
    day: Day, book: BenchBook
) -> None:
    book.close()
    assert len(search_and_keep(day, {}, book)) == 1


def test_without_a_book_there_is_a_search_each_time(day: Day) -> None:
    assert kept_fits(None) == {}
    assert len(search_and_keep(day, {}, None)) == 1
