"""What the machine worked out about places, beside what a person said about them.

Computed: `examined`, `likeness`, `member`, `last_spot`, `seen_afar`, `pair`.
A person's word: `placed`, `spot_name`, `pair_word`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from asfound.errors import NotFound
from asfound.model.pictures import Pair, Spot
from asfound.store.database import Store
from asfound.store.pictures import NO_DOCUMENT, list_pictures

_AFTER, _B = (NO_DOCUMENT.replace("picture_id", name, 1) for name in ("after_id", "b_id"))


@dataclass(frozen=True, slots=True)
class StoredLikeness:
    """How far two pictures were found to show one place; `detail` is what `core.match` packed."""

    a_id: int
    b_id: int
    agreeing: int
    probability: float
    centre_gap: float | None
    scale_ratio: float
    detail: bytes | None


def unexamined_pictures(store: Store, job_id: int, method: str) -> list[int]:
    """Pictures that can be shown and whose features this method has not worked out yet, in order of id."""
    rows = store.rows(
        "SELECT picture_id FROM machine_picture WHERE job_id = ? AND phash IS NOT NULL AND picture_id NOT IN "
        "(SELECT picture_id FROM examined WHERE method = ?) ORDER BY picture_id",
        job_id,
        method,
    )
    return [row[0] for row in rows]


def save_examined(store: Store, picture_id: int, method: str, place: bytes) -> None:
    """Write down that a picture was examined, with its place vector (float16)."""
    store.run("INSERT OR REPLACE INTO examined(picture_id, method, place) VALUES (?, ?, ?)", picture_id, method, place)


def load_places(store: Store, job_id: int, method: str) -> list[tuple[int, bytes]]:
    """(picture, place vector) of all pictures of a job that have one, in order of id."""
    rows = store.rows(
        "SELECT picture_id, place FROM examined JOIN machine_picture USING (picture_id) "
        "WHERE job_id = ? AND method = ? AND LENGTH(place) > 0 "
        "ORDER BY picture_id",
        job_id,
        method,
    )
    return [(row[0], row[1]) for row in rows]


def save_likenesses(store: Store, method: str, likenesses: Iterable[StoredLikeness]) -> None:
    """Write down what comparing pictures gave; pairs that look nothing alike are kept too, without detail."""
    store.run_many(
        "INSERT OR REPLACE INTO likeness(a_id, b_id, method, agreeing, probability, centre_gap, scale_ratio, detail) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        [
            (x.a_id, x.b_id, method, x.agreeing, x.probability, x.centre_gap, x.scale_ratio, x.detail)
            for x in likenesses
        ],
    )


def compared_with(store: Store, picture_id: int, method: str) -> set[int]:
    """Pictures that this one has been compared with already by a method."""
    rows = store.rows(
        "SELECT b_id FROM likeness WHERE a_id = ? AND method = ? "
        "UNION ALL SELECT a_id FROM likeness WHERE b_id = ? AND method = ?",
        picture_id,
        method,
        picture_id,
        method,
    )
    return {row[0] for row in rows}


def load_likenesses(
    store: Store, job_id: int, *, least_agreeing: int = 1, method: str | None = None
) -> list[StoredLikeness]:
    """All likenesses of a job without their detail, or those by one method, in order of ids."""
    rows = store.rows(
        "SELECT a_id, b_id, agreeing, probability, centre_gap, scale_ratio, NULL FROM likeness "
        "JOIN machine_picture ON picture_id = a_id WHERE job_id = ? AND agreeing >= ? "
        f"AND method = COALESCE(?, method) AND {_B} "
        "ORDER BY a_id, b_id",
        job_id,
        least_agreeing,
        method,
    )
    return [StoredLikeness(*row) for row in rows]


def load_details(store: Store, picture_ids: Iterable[int]) -> list[StoredLikeness]:
    """Likenesses among the pictures given, with their detail, in order of ids."""
    ids = sorted(set(picture_ids))
    marks = ", ".join("?" * len(ids))
    rows = store.rows(
        "SELECT a_id, b_id, agreeing, probability, centre_gap, scale_ratio, detail FROM likeness "
        f"WHERE a_id IN ({marks}) AND b_id IN ({marks}) AND detail IS NOT NULL ORDER BY a_id, b_id",
        *ids,
        *ids,
    )
    return [StoredLikeness(*row) for row in rows]


def clear_computed(store: Store, job_id: int) -> None:
    """Forget what can be worked out again. A person's words stay, and who was where, so that spots keep their ids."""
    for table, column in (("examined", "picture_id"), ("seen_afar", "picture_id")):
        store.run(f"DELETE FROM {table} WHERE {column} IN (SELECT picture_id FROM picture WHERE job_id = ?)", job_id)
    store.run("DELETE FROM likeness WHERE a_id IN (SELECT picture_id FROM picture WHERE job_id = ?)", job_id)
    store.run("DELETE FROM pair WHERE before_id IN (SELECT picture_id FROM picture WHERE job_id = ?)", job_id)


def are_spots_stale(store: Store) -> bool:
    """Whether something was said since the last sort that changes spots or pairs."""
    return store.value("SELECT value FROM setting WHERE name = 'stale spots'") is not None


def mark_spots_fresh(store: Store) -> None:
    """Say that spots and pairs agree with all that was said."""
    store.run("DELETE FROM setting WHERE name = 'stale spots'")


def new_spot(store: Store, job_id: int) -> int:
    """Make an empty spot and return its id; ids are never given twice."""
    return int(store.run("INSERT INTO spot(job_id) VALUES (?)", job_id).lastrowid or 0)


def get_spot(store: Store, spot_id: int) -> Spot:
    """One spot with its pictures; `NotFound` if there is none."""
    row = store.row("SELECT spot.*, name FROM spot LEFT JOIN spot_name USING (spot_id) WHERE spot_id = ?", spot_id)
    if row is None:
        raise NotFound(f"There is no spot {spot_id}. List them with: asfound spots")
    return Spot(spot_id, row["job_id"], row["name"] or "", tuple(_members(store, row["job_id"]).get(spot_id, ())))


def list_spots(store: Store, job_id: int) -> list[Spot]:
    """Spots that hold a picture or a name, in order of their first picture's time."""
    members = _members(store, job_id)
    rows = store.rows(
        "SELECT spot_id, COALESCE(name, '') AS name FROM spot LEFT JOIN spot_name USING (spot_id) "
        "WHERE job_id = ? ORDER BY spot_id",
        job_id,
    )
    names = {row["spot_id"]: row["name"] for row in rows}
    first = [spot_id for spot_id in members if spot_id in names]
    empty = [spot_id for spot_id, name in names.items() if name and spot_id not in members]
    return [Spot(spot_id, job_id, names[spot_id], tuple(members.get(spot_id, ()))) for spot_id in first + empty]


def list_names(store: Store, job_id: int) -> list[tuple[int, str]]:
    """Spots that a person named, with their names, oldest first."""
    rows = store.rows(
        "SELECT spot_id, name FROM spot_name JOIN spot USING (spot_id) WHERE job_id = ? ORDER BY spot_id", job_id
    )
    return [(row["spot_id"], row["name"]) for row in rows]


def load_membership(store: Store, job_id: int) -> dict[int, int]:
    """Picture to spot as of the last sort and the person's words."""
    rows = store.rows(
        "SELECT picture_id, spot_id FROM member JOIN machine_picture USING (picture_id) WHERE job_id = ?", job_id
    )
    return {row[0]: row[1] for row in rows}


def load_last_spots(store: Store, job_id: int) -> dict[int, int]:
    """Picture to the spot that the machine itself last put it into, also where a person has said otherwise since.

    When that word is taken back, the picture comes home to the same spot, with its id and name.
    """
    rows = store.rows(
        "SELECT picture_id, spot_id FROM last_spot JOIN machine_picture USING (picture_id) WHERE job_id = ?", job_id
    )
    return {row[0]: row[1] for row in rows}


def save_membership(
    store: Store, job_id: int, spot_of: Mapping[int, int], seen_afar: Mapping[int, Iterable[int]]
) -> None:
    """Replace what the machine worked out about who belongs where."""
    said = load_placed(store, job_id)
    store.run_many(
        "INSERT OR REPLACE INTO last_spot(picture_id, spot_id) VALUES (?, ?)",
        [row for row in spot_of.items() if row[0] not in said],
    )
    mine = "(SELECT picture_id FROM picture WHERE job_id = ?)"
    store.run(f"DELETE FROM member WHERE picture_id IN {mine}", job_id)
    store.run(f"DELETE FROM seen_afar WHERE picture_id IN {mine}", job_id)
    store.run_many("INSERT INTO member(picture_id, spot_id) VALUES (?, ?)", list(spot_of.items()))
    afar = [(picture_id, spot_id) for picture_id, spots in seen_afar.items() for spot_id in spots]
    store.run_many("INSERT OR IGNORE INTO seen_afar(picture_id, spot_id) VALUES (?, ?)", afar)


def load_seen_afar(store: Store, job_id: int) -> dict[int, tuple[int, ...]]:
    """Overview picture to the spots it shows from afar."""
    rows = store.rows(
        "SELECT picture_id, spot_id FROM seen_afar JOIN machine_picture USING (picture_id) WHERE job_id = ? "
        "ORDER BY 1, 2",
        job_id,
    )
    found: dict[int, list[int]] = defaultdict(list)
    for row in rows:
        found[row[0]].append(row[1])
    return {picture_id: tuple(spots) for picture_id, spots in found.items()}


def load_placed(store: Store, job_id: int) -> dict[int, int | None]:
    """A person's word: picture to spot, or to None for "in no spot"."""
    rows = store.rows(
        "SELECT picture_id, spot_id FROM placed JOIN machine_picture USING (picture_id) WHERE job_id = ?", job_id
    )
    return {row[0]: row[1] for row in rows}


def place_picture(store: Store, picture_id: int, spot_id: int | None) -> None:
    """Write down a person's word on where a picture belongs, and let it hold at once."""
    store.run(
        "INSERT INTO placed(picture_id, spot_id) VALUES (?, ?) ON CONFLICT DO UPDATE SET spot_id = excluded.spot_id",
        picture_id,
        spot_id,
    )
    store.run("DELETE FROM member WHERE picture_id = ?", picture_id)
    if spot_id is not None:
        store.run("INSERT INTO member(picture_id, spot_id) VALUES (?, ?)", picture_id, spot_id)


def name_spot(store: Store, spot_id: int, name: str) -> None:
    """Write down a person's name for a spot."""
    get_spot(store, spot_id)
    if not name:
        store.run("DELETE FROM spot_name WHERE spot_id = ?", spot_id)
        return
    store.run(
        "INSERT INTO spot_name(spot_id, name) VALUES (?, ?) ON CONFLICT DO UPDATE SET name = excluded.name",
        spot_id,
        name,
    )


def save_pairs(store: Store, job_id: int, pairs: Iterable[Pair]) -> None:
    """Replace the pairs that the machine proposes."""
    store.run("DELETE FROM pair WHERE before_id IN (SELECT picture_id FROM picture WHERE job_id = ?)", job_id)
    store.run_many(
        "INSERT INTO pair(before_id, after_id, spot_id, kind, score) VALUES (?, ?, ?, ?, ?)",
        [(pair.before_id, pair.after_id, pair.spot_id, pair.kind, pair.score) for pair in pairs],
    )


def list_pairs(store: Store, job_id: int) -> list[Pair]:
    """Pairs by spot, best first: the machine's, and those a person made; what a person called "not a pair" is left out.

    A person's pair is sure (score 1), and is listed as long as both pictures are in one spot.
    """
    rows = store.rows(
        "SELECT spot_id, before_id, after_id, pair.kind, score FROM pair "
        "JOIN machine_picture ON picture_id = before_id LEFT JOIN pair_word USING (before_id, after_id) "
        f"WHERE job_id = ? AND {_AFTER} AND COALESCE(word, '') != 'not a pair' "
        "UNION ALL "
        "SELECT here.spot_id, before_id, after_id, pair_word.kind, 1.0 FROM pair_word "
        "JOIN machine_picture ON machine_picture.picture_id = before_id "
        "JOIN member AS here ON here.picture_id = before_id "
        "JOIN member AS there ON there.picture_id = after_id AND there.spot_id = here.spot_id "
        f"WHERE job_id = ? AND {_AFTER} AND word = 'pair' AND NOT EXISTS "
        "(SELECT 1 FROM pair WHERE pair.before_id = pair_word.before_id AND pair.after_id = pair_word.after_id) "
        "ORDER BY spot_id, score DESC, before_id, after_id",
        job_id,
        job_id,
    )
    return [Pair(row["spot_id"], row["before_id"], row["after_id"], row["kind"], row["score"]) for row in rows]


def say_pair(store: Store, before_id: int, after_id: int, word: str, kind: str = "changed") -> None:
    """Write down a person's word on a pair: "pair" or "not a pair", and what happened between the two."""
    store.run(
        "INSERT INTO pair_word(before_id, after_id, word, kind) VALUES (?, ?, ?, ?) "
        "ON CONFLICT DO UPDATE SET word = excluded.word, kind = excluded.kind",
        before_id,
        after_id,
        word,
        kind,
    )


def load_pair_words(store: Store, job_id: int) -> dict[tuple[int, int], str]:
    """A person's words on pairs, by (before, after)."""
    rows = store.rows(
        "SELECT before_id, after_id, word FROM pair_word JOIN picture ON picture_id = before_id WHERE job_id = ?",
        job_id,
    )
    return {(row[0], row[1]): row[2] for row in rows}


def _members(store: Store, job_id: int) -> dict[int, list[int]]:
    """Spot to pictures in the order in which they were most likely taken, spots in order of their first picture."""
    spot_of = load_membership(store, job_id)
    members: dict[int, list[int]] = defaultdict(list)
    for picture in list_pictures(store, job_id):
        if picture.picture_id in spot_of:
            members[spot_of[picture.picture_id]].append(picture.picture_id)
    return members
