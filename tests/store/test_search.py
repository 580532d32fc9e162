"""Full text kept change by change, and what readers saw in pictures."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.core.find.terms import Term
from asfound.core.read.reading import Reading
from asfound.store import readings, search
from asfound.store.database import Store
from asfound.store.search import COLUMNS, DocKind, Hit
from tests.store.filled import filled_store

Texts = dict[tuple[DocKind, int], tuple[int, dict[str, str]]]

TEXTS: Texts = {
    ("tag", 1): (1, {"number": "17", "name": "lift pump feed hose", "place": "lift pump"}),
    ("tag", 2): (1, {"number": "170", "name": "glow plug wire", "note": "near the lift pump"}),
    ("bag", 1): (1, {"number": "b4", "note": "pump bolts"}),
    ("snag", 1): (1, {"note": "hose cracked"}),
    ("tag", 3): (2, {"number": "17", "name": "pump elsewhere"}),
}


def save(store: Store, texts: Texts) -> None:
    search.save_texts(store, list(texts), texts)


def find(store: Store, *words: str, job_id: int = 1, **more: object) -> list[tuple[str, int]]:
    found = search.find_texts(store, job_id, words, limit=int(str(more.pop("limit", 9))), **more)  # type: ignore[arg-type]
    return [(hit.kind, hit.ref) for hit in found]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("hose",), {("tag", 1), ("snag", 1)}),
        (("pump",), {("tag", 1), ("tag", 2), ("bag", 1)}),
        (("pump", "hose"), {("tag", 1)}),
        (("pum",), {("tag", 1), ("tag", 2), ("bag", 1)}),
        (("p",), set()),
        (("pu",), {("tag", 1), ("tag", 2), ("bag", 1)}),
        (("17",), {("tag", 1)}),
        (("170",), {("tag", 2)}),
        (("nothing",), set()),
        (('pu"mp',), {("tag", 1), ("tag", 2), ("bag", 1)}),
        (("NEAR",), {("tag", 2)}),
        (("pump OR hose",), set()),
    ],
)
def test_every_word_is_asked_for_and_a_number_is_whole(
    store: Store, words: tuple[str, ...], found: set[tuple[str, int]]
):
    save(store, TEXTS)

    assert set(find(store, *words)) == found


def test_any_word_will_do_when_it_is_asked_so_and_kinds_and_number_are_bounded(store: Store):
    save(store, TEXTS)

    assert set(find(store, "bolts", "cracked", every=False)) == {("bag", 1), ("snag", 1)}
    assert find(store, "bolts", "cracked") == []
    assert find(store, "pump", kinds=["bag"]) == [("bag", 1)]
    assert set(find(store, "pump", kinds=["bag", "tag"])) == {("tag", 1), ("tag", 2), ("bag", 1)}
    assert len(find(store, "pump", limit=2)) == 2
    assert find(store, "pump", job_id=2) == [("tag", 3)]


def test_word_that_was_chosen_for_a_name_tells_more_than_one_in_passing(store: Store):
    save(store, {("tag", 1): (1, {"note": "starter"}), ("tag", 2): (1, {"name": "starter"})})

    assert find(store, "starter") == [("tag", 2), ("tag", 1)]


@pytest.mark.parametrize("column", COLUMNS)
def test_every_column_is_searched(store: Store, column: str):
    save(store, {("tag", 1): (1, {column: "flange"})})

    assert search.find_texts(store, 1, ["flange"], limit=1) == [Hit("tag", 1)]


def test_text_made_anew_takes_the_place_of_the_old_and_what_has_none_goes(store: Store):
    save(store, TEXTS)
    search.save_texts(store, [("tag", 1), ("snag", 1), ("day", 7)], {("tag", 1): (1, {"name": "return pipe"})})

    assert find(store, "return") == [("tag", 1)]
    assert find(store, "hose") == []
    assert not search.is_held(store, "cracked")
    assert search.is_held(store, "bolt")
    assert not search.is_held(store, "b")
    assert store.value("SELECT COUNT(*) FROM search_doc") == 4


def test_what_changed_waits_until_its_text_is_made(store: Store):
    store.run("DELETE FROM stale_search")
    store.run("UPDATE tag SET name = 'x'")
    assert search.stale_texts(store) == [("tag", 1)]

    save(store, {("tag", 1): (1, {"name": "x"})})

    assert search.stale_texts(store) == []


def test_misspelt_word_meets_words_that_share_its_threes_of_letters(store: Store):
    save(store, {("tag", 1): (1, {"name": "thermostat housing", "note": "12mm ab"})})

    assert search.words_like(store, "thermostst", limit=3)[0] == "thermostat"
    assert search.words_like(store, "houseing", limit=3) == ["housing"]
    assert search.words_like(store, "12mm", limit=3) == [], "numbers are not spelt"
    assert search.words_like(store, "ab", limit=3) == []
    assert search.words_like(store, "xyzzy", limit=3) == []
    assert search.words_like(store, "ouzzz", limit=3) == []
    assert search.words_like(store, "the", limit=3) == ["thermostat"]
    assert search.words_like(store, "xxxxing", limit=3) == ["housing"], "the last three tell too"
    save(store, {("tag", 1): (1, {"name": "thermostat"})})
    assert len(search.words_like(store, "thermostat", limit=9)) == 1


words = st.text("abcdé17", min_size=1, max_size=5)


@settings(max_examples=30, deadline=None)
@given(texts=st.lists(st.lists(words, max_size=4), min_size=1, max_size=4), asked=words)
def test_text_answers_exactly_where_a_word_of_it_begins_so(
    texts: list[list[str]], asked: str, tmp_path_factory: pytest.TempPathFactory
):
    """Against the rule itself, word by word; one letter and numbers must be whole."""
    with filled_store(tmp_path_factory.mktemp("search")) as store:
        save(store, {("tag", number): (1, {"note": " ".join(one)}) for number, one in enumerate(texts)})

        whole = len(asked) < 2 or asked[0].isdecimal()
        wanted = {
            ("tag", number)
            for number, one in enumerate(texts)
            if any(word == asked if whole else word.startswith(asked) for word in one)
        }
        assert set(find(store, asked)) == wanted
        assert search.is_held(store, asked) is bool(wanted)


def reading(number: str = "17", how: str = "written", confidence: float = 0.5) -> Reading:
    return Reading(number, "A" if how == "marker" else None, how, 0.1, 0.2, 0.3, 0.4, confidence)  # type: ignore[arg-type]


def test_readings_come_back_surest_first_and_replace_earlier_ones(store: Store):
    readings.save_readings(store, 1, "own", [reading("9")])
    readings.save_readings(store, 1, "own", [reading("17"), reading("18", confidence=0.9), reading("19")])
    readings.save_readings(store, 2, "own", [])

    loaded = readings.load_readings(store, 1)

    assert [one.number for one in loaded[1]] == ["18", "17", "19"]
    assert set(loaded) == {1}
    first = loaded[1][1]
    assert (first.how, first.end, first.x_frac, first.y_frac, first.w_frac, first.h_frac, first.confidence) == (
        "written", None, 0.1, 0.2, 0.3, 0.4, 0.5,
    )  # fmt: skip
    assert readings.load_readings(store, 2) == {}


@pytest.mark.parametrize(
    ("number", "how", "other"),
    [("91", "written", "16"), ("88", "written", None), ("17", "written", None), ("91", "marker", None)],
)
def test_written_number_that_reads_otherwise_upside_down_says_so(
    store: Store, number: str, how: str, other: str | None
):
    """A printed marker knows its own way up."""
    readings.save_readings(store, 1, "own", [reading(number, how)])

    (found,) = readings.load_readings(store, 1)[1]
    assert (found.upside_down, found.end) == (other, "A" if how == "marker" else None)


def test_pictures_that_can_be_shown_wait_for_the_first_of_the_readers(store: Store):
    store.run("UPDATE picture SET phash = 7 WHERE picture_id IN (1, 3)")
    assert readings.unread_pictures(store, 1, ["own"]) == [1, 3]

    readings.save_readings(store, 3, "own", [])

    assert readings.unread_pictures(store, 1, ["own", "other"]) == [1]
    assert readings.unread_pictures(store, 1, ["other"]) == [1, 3]
    assert readings.unread_pictures(store, 2, ["own"]) == []


def test_another_spelling_is_held_whole_or_not_at_all(store: Store) -> None:
    save(store, {("tag", 1): (1, {"name": "cable"}), ("tag", 2): (1, {"name": "check valve"})})

    def held(*spellings: tuple[str, ...]) -> list[Hit]:
        return search.find_texts(store, 1, [Term(spellings)], limit=9)

    assert held(("cab",)) == [Hit("tag", 1)]
    assert held(("wheelhouse",), ("cab",)) == []
    assert held(("non", "return"), ("check", "valve")) == [Hit("tag", 2)]
    assert held(("non", "return"), ("check", "plug")) == []
