"""Everything a person wrote, as words to be searched: SQLite's full-text tables, kept up to date change by change.

The texts are the machine's own copy, in folded words; they can be deleted and are made anew.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from asfound.core.find.slots import SLOT_WEIGHTS
from asfound.core.find.terms import Term
from asfound.store.database import Store

DocKind = Literal["tag", "bag", "snag", "line", "day", "value", "purchase", "document"]
COLUMNS = tuple(SLOT_WEIGHTS)
_RANK = f"bm25(search_text, {', '.join(map(str, SLOT_WEIGHTS.values()))})"


@dataclass(frozen=True, slots=True)
class Hit:
    """One text that answers: what it is, and the id of the thing it is of."""

    kind: DocKind
    ref: int


def stale_texts(store: Store) -> list[tuple[DocKind, int]]:
    """What changed since its text was made."""
    return [(row["kind"], row["ref"]) for row in store.rows("SELECT kind, ref FROM stale_search")]


def save_texts(
    store: Store,
    stale: Collection[tuple[DocKind, int]],
    texts: Mapping[tuple[DocKind, int], tuple[int, Mapping[str, str]]],
) -> None:
    """Put the new texts (job, and words by column) in place of the old; what has none any more is dropped."""
    marks = ", ".join("?" * len(COLUMNS))
    with store.transaction():
        for kind, ref in stale:
            doc_id = store.value("SELECT doc_id FROM search_doc WHERE kind = ? AND ref = ?", kind, ref)
            if doc_id is not None:
                store.run("DELETE FROM search_text WHERE rowid = ?", doc_id)
            if (kind, ref) not in texts:
                store.run("DELETE FROM search_doc WHERE kind = ? AND ref = ?", kind, ref)
                continue
            job_id, words = texts[kind, ref]
            if doc_id is None:
                doc_id = store.run(
                    "INSERT INTO search_doc(job_id, kind, ref) VALUES (?, ?, ?)", job_id, kind, ref
                ).lastrowid
            store.run(
                f"INSERT INTO search_text(rowid, {', '.join(COLUMNS)}) VALUES (?, {marks})",
                *(doc_id, *(words.get(column, "") for column in COLUMNS)),
            )
        store.run("DELETE FROM stale_search")
        _spell(store)


def find_texts(
    store: Store,
    job_id: int,
    words: Sequence[str | Term],
    *,
    limit: int,
    every: bool = True,
    kinds: Iterable[DocKind] = (),
) -> list[Hit]:
    """Texts that hold every word, or any of them, best first; a word of two letters or more may be unfinished.

    A term is held where all words of one of its spellings are, those of the other spellings as whole words.
    """
    asked = (" AND " if every else " OR ").join(map(_any_spelling, words))
    wanted = "".join(f"'{kind}', " for kind in kinds)[:-2]
    only = f"AND search_doc.kind IN ({wanted})" if wanted else ""
    rows = store.rows(
        "SELECT search_doc.kind, search_doc.ref FROM search_text JOIN search_doc ON doc_id = search_text.rowid "
        f"WHERE search_text MATCH ? AND job_id = ? {only} ORDER BY {_RANK}, doc_id LIMIT ?",
        *(asked, job_id, limit),
    )
    return [Hit(row["kind"], row["ref"]) for row in rows]


def is_held(store: Store, word: str) -> bool:
    """Whether any text holds a word, or one that begins with it."""
    return store.row("SELECT 1 FROM search_text WHERE search_text MATCH ? LIMIT 1", _term(word)) is not None


def words_like(store: Store, word: str, *, limit: int) -> list[str]:
    """Words of the texts that share most threes of letters with a word, likeliest first."""
    threes = {word[at : at + 3] for at in range(len(word) - 2)}
    if not threes:
        return []
    asked = " OR ".join(f'"{three}"' for three in sorted(threes))
    rows = store.rows(
        "SELECT word FROM search_spelling WHERE search_spelling MATCH ? ORDER BY rank LIMIT ?", asked, limit
    )
    return [row["word"] for row in rows]


def _spell(store: Store) -> None:
    """Words to be met by misspelt ones; numbers are not. Words once held stay, for no harm: they find nothing new."""
    store.run(
        "INSERT INTO search_spelling(word) SELECT term FROM search_vocabulary "
        "WHERE LENGTH(term) > 2 AND term GLOB '[^0-9]*' AND term NOT IN (SELECT word FROM search_spelling)"
    )


def _any_spelling(asked: str | Term) -> str:
    if isinstance(asked, str):
        return _term(asked)
    # What nobody typed is not unfinished: "cab" for a wheelhouse must not find each cable.
    others = (" AND ".join(map(_quoted, spelling)) for spelling in asked.spellings[1:])
    return f"({' OR '.join(f'({one})' for one in (' AND '.join(map(_term, asked.typed)), *others))})"


def _term(word: str) -> str:
    quoted = _quoted(word)
    # A number is whole or it is another number: 17 must not find 170.
    return quoted if len(word) < 2 or word[0].isdecimal() or (word[-1].isdecimal() and " " in word) else f"{quoted}*"


def _quoted(word: str) -> str:
    return '"' + word.replace('"', "") + '"'
