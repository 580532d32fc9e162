"""The format of the database, as numbered steps. A released step is never edited; a later one corrects it.

`docs/format.md` describes the outcome for a reader without this program.
"""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Callable
from typing import TYPE_CHECKING

from asfound.errors import NewerArchive, UnfinishedArchive

if TYPE_CHECKING:
    from sqlite_utils import Database

PERSON_TABLES = (
    "job",
    "camera_word",
    "camera_same",
    "placed",
    "spot_name",
    "pair_word",
    "time_word",
    "behind",
    "tag",
    "tag_end",
    "pin",
    "rejection",
    "alias",
    "fit_rule",
    "belt",
    "event",
    "bag",
    "bag_group",
    "bag_tag",
    "snag",
    "number_word",
    "gap_word",
    "refit_move",
    "hold_word",
    "refit_step",
    "manual_value",
    "purchase",
    "set_member",
    "walk_item",
    "walk_answer",
    "document",
    "document_tie",
    "day_note",
)
"""Tables that hold a person's words. Only steps change them, and every change can be undone (making a job is none)."""

_TIME_COLUMNS = """
    taken_local TEXT, offset_minutes INTEGER, offset_from_zone INTEGER NOT NULL DEFAULT 0,
    time_source TEXT NOT NULL, time_doubt TEXT, written_utc_s REAL,
"""


def _corrected(table: str) -> str:
    """A view of a table with the camera that took the picture and its clock correction that held then."""
    return f"""
CREATE VIEW {table}_time AS
    SELECT found.*, written_utc_s + clock_correction_s AS taken_utc_s FROM (
        SELECT own.*, COALESCE((
            SELECT clock_correction_s FROM camera_word
            WHERE camera_word.camera_id = own.taken_by AND from_local <= COALESCE(taken_local, '')
            ORDER BY from_local DESC LIMIT 1), 0) AS clock_correction_s
        FROM (
            SELECT {table}.*, COALESCE(camera_same.same_as_id, {table}.camera_id) AS taken_by
            FROM {table} LEFT JOIN camera_same ON camera_same.camera_id = {table}.camera_id) AS own) AS found;
"""


_FIRST = f"""
CREATE TABLE setting(name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE job(
    job_id INTEGER PRIMARY KEY, name TEXT NOT NULL, zone TEXT NOT NULL,
    front_means TEXT NOT NULL DEFAULT '', left_means TEXT NOT NULL DEFAULT '', created_at TEXT NOT NULL) STRICT;
CREATE TABLE camera(
    camera_id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL, name TEXT NOT NULL, UNIQUE(job_id, name)) STRICT;
CREATE TABLE camera_word(
    camera_id INTEGER NOT NULL REFERENCES camera, from_local TEXT NOT NULL, clock_correction_s REAL NOT NULL,
    PRIMARY KEY(camera_id, from_local)) STRICT;
CREATE TABLE camera_same(
    camera_id INTEGER PRIMARY KEY REFERENCES camera, same_as_id INTEGER NOT NULL REFERENCES camera) STRICT;
CREATE TABLE dump(
    dump_id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL, started_at TEXT NOT NULL, finished_at TEXT,
    sources TEXT NOT NULL) STRICT;
CREATE TABLE original(
    digest TEXT PRIMARY KEY, suffix TEXT NOT NULL, bytes INTEGER NOT NULL, kind TEXT NOT NULL,
    stored_at TEXT NOT NULL) STRICT;
CREATE TABLE arrival(
    arrival_id INTEGER PRIMARY KEY, dump_id INTEGER NOT NULL REFERENCES dump, digest TEXT NOT NULL REFERENCES original,
    name TEXT NOT NULL, raw_name BLOB NOT NULL, modified_ns INTEGER NOT NULL) STRICT;
CREATE INDEX arrival_digest ON arrival(digest);
CREATE TABLE clip(
    clip_id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL, dump_id INTEGER NOT NULL REFERENCES dump,
    digest TEXT NOT NULL REFERENCES original, file TEXT NOT NULL, camera_id INTEGER REFERENCES camera,
    {_TIME_COLUMNS}
    duration_s REAL NOT NULL, width_px INTEGER NOT NULL, height_px INTEGER NOT NULL,
    rotation_deg INTEGER NOT NULL, trouble TEXT, UNIQUE(job_id, digest)) STRICT;
CREATE TABLE picture(
    picture_id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL, dump_id INTEGER NOT NULL REFERENCES dump,
    kind TEXT NOT NULL CHECK(kind IN ('photo', 'frame')), file TEXT NOT NULL, digest TEXT REFERENCES original,
    camera_id INTEGER REFERENCES camera, clip_id INTEGER REFERENCES clip, clip_seconds REAL,
    {_TIME_COLUMNS}
    width_px INTEGER NOT NULL, height_px INTEGER NOT NULL, orientation INTEGER NOT NULL, focal_35mm REAL,
    phash INTEGER, sharpness REAL, trouble TEXT,
    UNIQUE(job_id, digest), UNIQUE(clip_id, clip_seconds)) STRICT;
CREATE INDEX picture_file ON picture(file);
CREATE INDEX picture_camera ON picture(camera_id);
{_corrected("picture")}
{_corrected("clip")}

CREATE TABLE examined(picture_id INTEGER PRIMARY KEY REFERENCES picture, method TEXT NOT NULL, place BLOB) STRICT;
CREATE TABLE likeness(
    a_id INTEGER NOT NULL REFERENCES picture, b_id INTEGER NOT NULL REFERENCES picture, method TEXT NOT NULL,
    agreeing INTEGER NOT NULL, probability REAL NOT NULL, centre_gap REAL, scale_ratio REAL NOT NULL, detail BLOB,
    PRIMARY KEY(a_id, b_id), CHECK(a_id < b_id)) STRICT, WITHOUT ROWID;
CREATE INDEX likeness_b ON likeness(b_id);
CREATE TABLE spot(spot_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL) STRICT;
CREATE TABLE member(picture_id INTEGER PRIMARY KEY REFERENCES picture, spot_id INTEGER NOT NULL REFERENCES spot) STRICT;
CREATE INDEX member_spot ON member(spot_id);
CREATE TABLE last_spot(
    picture_id INTEGER PRIMARY KEY REFERENCES picture, spot_id INTEGER NOT NULL REFERENCES spot) STRICT;
CREATE TABLE seen_afar(
    picture_id INTEGER NOT NULL REFERENCES picture, spot_id INTEGER NOT NULL REFERENCES spot,
    PRIMARY KEY(picture_id, spot_id)) STRICT, WITHOUT ROWID;
CREATE TABLE placed(picture_id INTEGER PRIMARY KEY REFERENCES picture, spot_id INTEGER REFERENCES spot) STRICT;
CREATE TABLE spot_name(spot_id INTEGER PRIMARY KEY REFERENCES spot, name TEXT NOT NULL) STRICT;
CREATE TABLE pair(
    before_id INTEGER NOT NULL REFERENCES picture, after_id INTEGER NOT NULL REFERENCES picture,
    spot_id INTEGER NOT NULL REFERENCES spot, kind TEXT NOT NULL, score REAL NOT NULL,
    PRIMARY KEY(before_id, after_id)) STRICT, WITHOUT ROWID;
CREATE TABLE pair_word(
    before_id INTEGER NOT NULL REFERENCES picture, after_id INTEGER NOT NULL REFERENCES picture,
    word TEXT NOT NULL CHECK(word IN ('pair', 'not a pair')), kind TEXT NOT NULL DEFAULT 'changed',
    PRIMARY KEY(before_id, after_id)) STRICT;

CREATE TABLE time_word(picture_id INTEGER PRIMARY KEY REFERENCES picture, word TEXT NOT NULL) STRICT;
CREATE TABLE behind(
    picture_id INTEGER PRIMARY KEY REFERENCES picture, front_id INTEGER NOT NULL REFERENCES picture) STRICT;

CREATE TABLE tag(
    tag_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, number TEXT NOT NULL, nth INTEGER NOT NULL,
    kind TEXT NOT NULL DEFAULT 'other', name TEXT NOT NULL DEFAULT '', ends INTEGER NOT NULL DEFAULT 2,
    note TEXT NOT NULL DEFAULT '', flow TEXT NOT NULL DEFAULT '', size TEXT NOT NULL DEFAULT '',
    route TEXT NOT NULL DEFAULT '', how_it_sat TEXT NOT NULL DEFAULT '', hazard TEXT NOT NULL DEFAULT '',
    condition TEXT NOT NULL DEFAULT '', goes_with TEXT NOT NULL DEFAULT '', look_alike TEXT NOT NULL DEFAULT '',
    created_at TEXT NOT NULL, UNIQUE(job_id, number, nth)) STRICT;
CREATE INDEX tag_folded ON tag(job_id, number COLLATE NOCASE);
CREATE TABLE alias(
    tag_id INTEGER NOT NULL REFERENCES tag, number TEXT NOT NULL, PRIMARY KEY(tag_id, number)) STRICT;
CREATE INDEX alias_number ON alias(number);
CREATE TABLE tag_end(
    tag_id INTEGER NOT NULL REFERENCES tag, end TEXT NOT NULL CHECK(end IN ('A', 'B')),
    place TEXT NOT NULL DEFAULT '', how_it_sat TEXT NOT NULL DEFAULT '', clock TEXT NOT NULL DEFAULT '',
    colour_main TEXT NOT NULL DEFAULT '', colour_stripe TEXT NOT NULL DEFAULT '',
    colour_typed TEXT NOT NULL DEFAULT '', colour_unsure INTEGER NOT NULL DEFAULT 0,
    terminal TEXT NOT NULL DEFAULT '', note TEXT NOT NULL DEFAULT '', capped INTEGER,
    capped_with TEXT NOT NULL DEFAULT '', tape_lost INTEGER NOT NULL DEFAULT 0,
    side TEXT NOT NULL DEFAULT '' CHECK(side IN ('', 'engine', 'stays')), PRIMARY KEY(tag_id, end)) STRICT;
CREATE TABLE fit_rule(
    later_id INTEGER NOT NULL REFERENCES tag, earlier_id INTEGER NOT NULL REFERENCES tag,
    PRIMARY KEY(later_id, earlier_id)) STRICT;
CREATE TABLE belt(
    tag_id INTEGER PRIMARY KEY REFERENCES tag, comes_off TEXT NOT NULL DEFAULT '', path TEXT NOT NULL DEFAULT '',
    arrow TEXT NOT NULL DEFAULT '', turns TEXT NOT NULL DEFAULT '', slack TEXT NOT NULL DEFAULT '') STRICT;
CREATE TABLE pin(
    pin_id INTEGER PRIMARY KEY AUTOINCREMENT, tag_id INTEGER NOT NULL REFERENCES tag,
    end TEXT NOT NULL CHECK(end IN ('A', 'B')), picture_id INTEGER NOT NULL REFERENCES picture,
    x_frac REAL NOT NULL, y_frac REAL NOT NULL, w_frac REAL, h_frac REAL,
    source TEXT NOT NULL CHECK(source IN ('hand', 'carried', 'read')), entered_at TEXT NOT NULL) STRICT;
CREATE INDEX pin_tag ON pin(tag_id, end);
CREATE INDEX pin_picture ON pin(picture_id);
CREATE TABLE rejection(
    tag_id INTEGER NOT NULL REFERENCES tag, end TEXT NOT NULL, picture_id INTEGER NOT NULL REFERENCES picture,
    PRIMARY KEY(tag_id, end, picture_id)) STRICT;
CREATE TABLE proposal(
    tag_id INTEGER NOT NULL REFERENCES tag ON DELETE CASCADE, end TEXT NOT NULL,
    picture_id INTEGER NOT NULL REFERENCES picture, source TEXT NOT NULL CHECK(source IN ('carried', 'read')),
    x_frac REAL NOT NULL, y_frac REAL NOT NULL, w_frac REAL, h_frac REAL,
    confidence REAL NOT NULL, how TEXT NOT NULL, gone INTEGER,
    PRIMARY KEY(tag_id, end, picture_id, source)) STRICT, WITHOUT ROWID;
CREATE INDEX proposal_picture ON proposal(picture_id);
CREATE TABLE stale_carry(
    tag_id INTEGER NOT NULL, end TEXT NOT NULL, PRIMARY KEY(tag_id, end)) STRICT, WITHOUT ROWID;
CREATE TABLE read_by(picture_id INTEGER PRIMARY KEY REFERENCES picture, reader TEXT NOT NULL) STRICT;
CREATE TABLE reading(
    reading_id INTEGER PRIMARY KEY, picture_id INTEGER NOT NULL REFERENCES picture, number TEXT NOT NULL, "end" TEXT,
    how TEXT NOT NULL CHECK(how IN ('marker', 'written')),
    x_frac REAL NOT NULL, y_frac REAL NOT NULL, w_frac REAL NOT NULL, h_frac REAL NOT NULL,
    confidence REAL NOT NULL) STRICT;
CREATE INDEX reading_picture ON reading(picture_id);
CREATE TABLE event(
    event_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, tag_id INTEGER REFERENCES tag,
    end TEXT NOT NULL DEFAULT '', kind TEXT NOT NULL, at TEXT NOT NULL, is_day_only INTEGER NOT NULL DEFAULT 0,
    how TEXT NOT NULL DEFAULT '', bag TEXT NOT NULL DEFAULT '', what TEXT NOT NULL DEFAULT '',
    amount TEXT NOT NULL DEFAULT '', container TEXT NOT NULL DEFAULT '', looks TEXT NOT NULL DEFAULT '',
    by_whom TEXT NOT NULL DEFAULT '', note TEXT NOT NULL DEFAULT '', strikes INTEGER REFERENCES event,
    picture_id INTEGER REFERENCES picture, beside_id INTEGER REFERENCES picture,
    entered_at TEXT NOT NULL) STRICT;
CREATE INDEX event_tag ON event(tag_id);
CREATE INDEX event_strikes ON event(strikes);
CREATE TABLE bag(
    bag_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, label TEXT NOT NULL,
    name TEXT NOT NULL DEFAULT '', contents TEXT NOT NULL DEFAULT '', place TEXT NOT NULL DEFAULT '',
    count_out INTEGER, count_back INTEGER, note TEXT NOT NULL DEFAULT '', UNIQUE(job_id, label)) STRICT;
CREATE TABLE bag_group(
    group_id INTEGER PRIMARY KEY AUTOINCREMENT, bag_id INTEGER NOT NULL REFERENCES bag, what TEXT NOT NULL,
    thread TEXT NOT NULL DEFAULT '', length_mm TEXT NOT NULL DEFAULT '', across_flats_mm TEXT NOT NULL DEFAULT '',
    head_mark TEXT NOT NULL DEFAULT '', count_out INTEGER, count_back INTEGER) STRICT;
CREATE INDEX bag_group_bag ON bag_group(bag_id);
CREATE TABLE bag_tag(
    bag_id INTEGER NOT NULL REFERENCES bag, tag_id INTEGER NOT NULL REFERENCES tag,
    PRIMARY KEY(bag_id, tag_id)) STRICT;
CREATE INDEX bag_tag_tag ON bag_tag(tag_id);
CREATE TABLE snag(
    snag_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, label TEXT NOT NULL, found_at TEXT NOT NULL,
    is_day_only INTEGER NOT NULL DEFAULT 0, tag_id INTEGER REFERENCES tag, picture_id INTEGER REFERENCES picture,
    bag_id INTEGER REFERENCES bag, place TEXT NOT NULL DEFAULT '', what TEXT NOT NULL, buy TEXT NOT NULL DEFAULT '',
    bought_at TEXT NOT NULL DEFAULT '', closed_at TEXT NOT NULL DEFAULT '', closed_how TEXT NOT NULL DEFAULT '',
    UNIQUE(job_id, label)) STRICT;
CREATE INDEX snag_tag ON snag(tag_id);
CREATE TABLE number_word(
    job_id INTEGER NOT NULL, number TEXT NOT NULL, word TEXT NOT NULL, PRIMARY KEY(job_id, number)) STRICT;
CREATE TABLE gap_word(
    job_id INTEGER NOT NULL, gap TEXT NOT NULL, about TEXT NOT NULL, word TEXT NOT NULL,
    PRIMARY KEY(job_id, gap, about)) STRICT;
CREATE TABLE refit_move(
    move_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, step TEXT NOT NULL,
    side TEXT NOT NULL CHECK(side IN ('before', 'after')), other TEXT NOT NULL) STRICT;
CREATE TABLE hold_word(
    job_id INTEGER NOT NULL, hold TEXT NOT NULL, at TEXT NOT NULL, by_whom TEXT NOT NULL DEFAULT '',
    PRIMARY KEY(job_id, hold)) STRICT;
CREATE TABLE day_note(
    job_id INTEGER NOT NULL, day TEXT NOT NULL, note TEXT NOT NULL, PRIMARY KEY(job_id, day)) STRICT;

CREATE TABLE stale_search(kind TEXT NOT NULL, ref INTEGER NOT NULL, PRIMARY KEY(kind, ref)) STRICT, WITHOUT ROWID;
CREATE TABLE search_doc(
    doc_id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL, kind TEXT NOT NULL, ref INTEGER NOT NULL,
    UNIQUE(kind, ref)) STRICT;
CREATE VIRTUAL TABLE search_text USING fts5(
    number, name, kind, place, colour, terminal, bag, size, sat, note, about,
    tokenize = "unicode61 remove_diacritics 0 tokenchars '_.'", prefix = '2 3');
CREATE VIRTUAL TABLE search_vocabulary USING fts5vocab(search_text, 'row');
CREATE VIRTUAL TABLE search_spelling USING fts5(word, tokenize = 'trigram');

CREATE TABLE step(
    step_id INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, words TEXT NOT NULL, undone_at TEXT) STRICT;
CREATE TABLE open_step(step_id INTEGER NOT NULL) STRICT;
CREATE TABLE undo_line(
    line_id INTEGER PRIMARY KEY AUTOINCREMENT, step_id INTEGER NOT NULL REFERENCES step, sql TEXT NOT NULL) STRICT;
CREATE INDEX undo_step ON undo_line(step_id);
"""


def _first(db: Database) -> None:
    """The format of version 0.1."""
    for statement in _FIRST.split(";"):
        if statement.strip():
            db.execute(statement)


def _second(db: Database) -> None:
    """Whether something stands before a proposed pin."""
    db.execute("ALTER TABLE proposal ADD COLUMN hidden INTEGER")


def _third(db: Database) -> None:
    """Which way the engine turns, and seen from which end."""
    db.execute("ALTER TABLE job ADD COLUMN turning_means TEXT NOT NULL DEFAULT ''")


def _fourth(db: Database) -> None:
    """How large the pictures of a tag end show it; what was carried before this is carried again to know."""
    db.execute(
        "CREATE TABLE end_scale(tag_id INTEGER NOT NULL REFERENCES tag ON DELETE CASCADE, end TEXT NOT NULL, "
        "picture_id INTEGER NOT NULL REFERENCES picture ON DELETE CASCADE, scale REAL NOT NULL, "
        "PRIMARY KEY(tag_id, end, picture_id)) STRICT, WITHOUT ROWID"
    )
    db.execute('INSERT OR IGNORE INTO stale_carry(tag_id, "end") SELECT tag_id, "end" FROM pin')


_WAY_BACK = """
CREATE TABLE hold_look(
    look_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, hold TEXT NOT NULL, at TEXT NOT NULL,
    by_whom TEXT NOT NULL DEFAULT '', is_day_only INTEGER NOT NULL DEFAULT 0) STRICT;
INSERT INTO hold_look(look_id, job_id, hold, at, by_whom) SELECT rowid, job_id, hold, at, by_whom FROM hold_word;
DROP TABLE hold_word;
ALTER TABLE hold_look RENAME TO hold_word;
CREATE TABLE refit_step(
    step_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, name TEXT NOT NULL,
    is_hold INTEGER NOT NULL DEFAULT 0, UNIQUE(job_id, name)) STRICT;
"""


def _way_back(db: Database) -> None:
    """Every look at a hold is kept, and a person's own steps of the way back.

    `hold_word` keeps its name, rows and row ids, for steps that can still be taken back speak of them.
    """
    for statement in _WAY_BACK.split(";"):
        if statement.strip():
            db.execute(statement)


def _steps(db: Database) -> None:
    """Who took a step and in which sitting, which rows it touched, and what took it back, so that it can come again."""
    db.execute("ALTER TABLE step ADD COLUMN sitting TEXT NOT NULL DEFAULT ''")
    db.execute("ALTER TABLE step ADD COLUMN who TEXT NOT NULL DEFAULT ''")
    db.execute("ALTER TABLE step ADD COLUMN kind TEXT NOT NULL DEFAULT ''")
    db.execute("ALTER TABLE step ADD COLUMN undoes INTEGER REFERENCES step")
    db.execute("ALTER TABLE step ADD COLUMN redone_at TEXT")
    db.execute("ALTER TABLE undo_line ADD COLUMN its_table TEXT")
    db.execute("ALTER TABLE undo_line ADD COLUMN its_row INTEGER")
    db.execute("CREATE INDEX undo_row ON undo_line(its_table, its_row)")


_LEFT_TO_DO = """
ALTER TABLE event ADD COLUMN grade TEXT NOT NULL DEFAULT '';
ALTER TABLE event ADD COLUMN promised TEXT NOT NULL DEFAULT '';
CREATE TABLE manual_value(
    value_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, tag_id INTEGER REFERENCES tag,
    thing TEXT NOT NULL DEFAULT '', what TEXT NOT NULL, wanted TEXT NOT NULL DEFAULT '',
    limits TEXT NOT NULL DEFAULT '', page TEXT NOT NULL DEFAULT '') STRICT;
CREATE INDEX manual_value_tag ON manual_value(tag_id);
CREATE TABLE purchase(
    purchase_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, tag_id INTEGER REFERENCES tag,
    snag_id INTEGER REFERENCES snag, what TEXT NOT NULL DEFAULT '', part_number TEXT NOT NULL DEFAULT '',
    price TEXT NOT NULL DEFAULT '', shop TEXT NOT NULL DEFAULT '', ordered_on TEXT NOT NULL DEFAULT '',
    arrived_on TEXT NOT NULL DEFAULT '') STRICT;
CREATE INDEX purchase_tag ON purchase(tag_id);
CREATE TABLE set_member(
    member_id INTEGER PRIMARY KEY AUTOINCREMENT, tag_id INTEGER NOT NULL REFERENCES tag, position TEXT NOT NULL,
    faced TEXT NOT NULL DEFAULT '', note TEXT NOT NULL DEFAULT '', UNIQUE(tag_id, position)) STRICT;
"""


def _left_to_do(db: Database) -> None:
    """Grades of fluids, promises of shops, values out of the manual, what is to be bought, sets of like parts."""
    for statement in _LEFT_TO_DO.split(";"):
        if statement.strip():
            db.execute(statement)


_WALK_ROUND = """
CREATE TABLE walk_item(
    item_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, name TEXT NOT NULL,
    UNIQUE(job_id, name)) STRICT;
CREATE TABLE walk_answer(
    answer_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, item TEXT NOT NULL,
    picture_id INTEGER REFERENCES picture, not_here TEXT NOT NULL DEFAULT '') STRICT;
CREATE INDEX walk_answer_item ON walk_answer(job_id, item);
CREATE INDEX walk_answer_picture ON walk_answer(picture_id);
"""


def _walk_round(db: Database) -> None:
    """What was photographed before anything came off, or is not there."""
    for statement in _WALK_ROUND.split(";"):
        if statement.strip():
            db.execute(statement)


def _find_left_to_do(db: Database) -> None:
    """Values, purchases and sets can be searched for: what was written before there was a mark for them is marked."""
    for kind, select in (
        ("value", "SELECT value_id FROM manual_value"),
        ("purchase", "SELECT purchase_id FROM purchase"),
        (
            "tag",
            "SELECT tag_id FROM manual_value UNION SELECT tag_id FROM purchase UNION SELECT tag_id FROM set_member",
        ),
    ):
        db.execute(
            f"INSERT OR IGNORE INTO stale_search(kind, ref) SELECT '{kind}', found.ref FROM "
            f"({select.replace(' FROM', ' AS ref FROM', 1)}) AS found WHERE found.ref IS NOT NULL"
        )


_DOCUMENTS = """
CREATE TABLE document(
    document_id INTEGER PRIMARY KEY AUTOINCREMENT, job_id INTEGER NOT NULL, file TEXT NOT NULL,
    kind TEXT NOT NULL CHECK(kind IN ('pdf', 'image', 'audio', 'text', 'other')),
    digest TEXT NOT NULL REFERENCES original, picture_id INTEGER UNIQUE REFERENCES picture,
    what TEXT NOT NULL DEFAULT '', added_at TEXT NOT NULL, UNIQUE(job_id, digest)) STRICT;
CREATE TABLE document_tie(
    tie_id INTEGER PRIMARY KEY AUTOINCREMENT, document_id INTEGER NOT NULL REFERENCES document,
    tag_id INTEGER REFERENCES tag, bag_id INTEGER REFERENCES bag, snag_id INTEGER REFERENCES snag) STRICT;
CREATE INDEX document_tie_document ON document_tie(document_id);
CREATE INDEX document_tie_tag ON document_tie(tag_id);
CREATE VIEW machine_picture AS SELECT * FROM picture
    WHERE picture_id NOT IN (SELECT picture_id FROM document WHERE picture_id IS NOT NULL);
"""


def _documents(db: Database) -> None:
    """Manual pages, receipts, voice notes, and the pictures that are no pictures of the machine."""
    for statement in _DOCUMENTS.split(";"):
        if statement.strip():
            db.execute(statement)


MIGRATIONS: tuple[Callable[[Database], None], ...] = (
    _first,
    _second,
    _third,
    _fourth,
    _way_back,
    _steps,
    _left_to_do,
    _walk_round,
    _find_left_to_do,
    _documents,
)


STAMP = zlib.crc32(_FIRST.encode()) >> 1
"""Tells apart the states of a format that is not released yet and still edited in place; kept as application_id."""


def is_current(connection: sqlite3.Connection) -> bool:
    """Whether a database has the present format already.

    Raises
    ------
    NewerArchive
        If it was written by a later version.
    UnfinishedArchive
        If it has an earlier state of a format that was not released: tables may be missing.
    """
    present = int(connection.execute("PRAGMA user_version").fetchone()[0])
    if present > len(MIGRATIONS):
        raise NewerArchive(
            f"The archive has format {present}, this program knows {len(MIGRATIONS)}; use the newer program."
        )
    if present and int(connection.execute("PRAGMA application_id").fetchone()[0]) != STAMP:
        raise UnfinishedArchive(
            "the archive was made by an unreleased program with other tables; nothing in it was touched. Read it with "
            "that program, or start a new one (--archive FOLDER job new) and bring the photos in again."
        )
    return present == len(MIGRATIONS)


def migrate(db: Database) -> None:
    """Bring a database that `is_current` looked at to the present format; call it inside a transaction."""
    present = int(db.execute("PRAGMA user_version").fetchone()[0])
    for step in MIGRATIONS[present:]:
        step(db)
    _write_triggers(db)
    db.execute(f"PRAGMA user_version = {len(MIGRATIONS)}")
    db.execute(f"PRAGMA application_id = {STAMP}")


def _write_triggers(db: Database) -> None:
    """Make the triggers anew from the tables' columns, so that a later column is undone too."""
    tells_rows = any(row[1] == "its_row" for row in db.execute("PRAGMA table_info(undo_line)").fetchall())
    for table in PERSON_TABLES:
        columns = {row[1]: row[2] for row in db.execute(f'PRAGMA table_info("{table}")').fetchall()}
        if not columns:
            continue  # a later step makes it
        for event, sql in _reversals(table, columns).items():
            name = f"undo_{table}_{event.lower()}"
            db.execute(f"DROP TRIGGER IF EXISTS {name}")
            differs = " OR ".join(f'old."{column}" IS NOT new."{column}"' for column in columns)
            changed = f"AND ({differs})" if event == "UPDATE" else ""
            row = f"'{table}', {'new' if event == 'INSERT' else 'old'}.rowid"
            names, values = ("its_table, its_row, ", f"{row}, ") if tells_rows else ("", "")
            db.execute(
                f"CREATE TRIGGER {name} AFTER {event} ON {table} WHEN EXISTS (SELECT 1 FROM open_step) {changed} BEGIN "
                f"INSERT INTO undo_line({names}step_id, sql) SELECT {values}step_id, {sql} FROM open_step; END"
            )
    # Asked for in words and not by OR IGNORE: an upsert around a trigger overrides the trigger's own conflict clause.
    carried = (
        'INSERT INTO stale_carry(tag_id, "end") SELECT {row}.tag_id, {row}."end" WHERE NOT EXISTS '
        '(SELECT 1 FROM stale_carry WHERE tag_id = {row}.tag_id AND "end" = {row}."end")'
    )
    grouped = (
        "INSERT INTO setting(name, value) SELECT 'stale spots', '1' WHERE NOT EXISTS "
        "(SELECT 1 FROM setting WHERE name = 'stale spots')"
    )
    reactions = {table: carried for table in ("pin", "rejection")}
    reactions |= {table: grouped for table in ("placed", "pair_word", "camera_word", "camera_same", "event")}
    pinned_there = (
        'INSERT INTO stale_carry(tag_id, "end") SELECT DISTINCT tag_id, "end" FROM pin '
        "WHERE picture_id = {row}.picture_id AND NOT EXISTS "
        '(SELECT 1 FROM stale_carry WHERE stale_carry.tag_id = pin.tag_id AND stale_carry."end" = pin."end")'
    )
    reactions["document"] = f"{grouped}; {pinned_there}"
    _write_search_triggers(db)
    for table, reaction in reactions.items():
        if not _has(db, table):
            continue  # a later step makes it
        for event in ("INSERT", "UPDATE", "DELETE"):
            name = f"stale_{table}_{event.lower()}"
            db.execute(f"DROP TRIGGER IF EXISTS {name}")
            body = reaction.format(row="old" if event == "DELETE" else "new")
            # What was measured or cut says nothing of what a picture shows; only what came off or went back does.
            row = "old" if event == "DELETE" else "new"
            telling = {
                "event": f"WHEN {row}.kind IN ('off', 'refitted', 'not so')",
                "document": f"WHEN {row}.picture_id IS NOT NULL",
            }
            when = telling.get(table, "")
            db.execute(f"CREATE TRIGGER {name} AFTER {event} ON {table} {when} BEGIN {body}; END")


def _write_search_triggers(db: Database) -> None:
    """Whatever can be searched for is marked when it changes, so that only its own text is made anew."""
    mark = (
        "INSERT INTO stale_search(kind, ref) SELECT '{kind}', found.ref FROM ({select}) AS found "
        "WHERE found.ref IS NOT NULL AND NOT EXISTS "
        "(SELECT 1 FROM stale_search WHERE kind = '{kind}' AND ref = found.ref)"
    )
    own_tag, own_bag = "SELECT {row}.tag_id AS ref", "SELECT {row}.bag_id AS ref"
    tags_of_bag = "SELECT tag_id AS ref FROM bag_tag WHERE bag_id = {row}.bag_id"
    reactions = {
        **{table: (("tag", own_tag),) for table in ("tag", "tag_end", "alias", "belt")},
        "bag": (("bag", own_bag), ("tag", tags_of_bag)),
        "bag_group": (("bag", own_bag), ("tag", tags_of_bag)),
        "bag_tag": (("bag", own_bag), ("tag", own_tag)),
        "snag": (("snag", "SELECT {row}.snag_id AS ref"), ("tag", own_tag)),
        "event": (
            ("line", "SELECT {row}.event_id AS ref UNION SELECT {row}.strikes"),
            ("tag", own_tag),
        ),
        "manual_value": (("value", "SELECT {row}.value_id AS ref"), ("tag", own_tag)),
        "purchase": (
            ("purchase", "SELECT {row}.purchase_id AS ref"),
            ("snag", "SELECT {row}.snag_id AS ref"),
            ("tag", own_tag),
        ),
        "set_member": (("tag", own_tag),),
        "document": (("document", "SELECT {row}.document_id AS ref"),),
        "document_tie": (("document", "SELECT {row}.document_id AS ref"),),
        "day_note": (("day", "SELECT {row}.rowid AS ref"),),
    }
    known = {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()}
    for table, marks in reactions.items():
        if table not in known:
            continue  # a later step makes it
        for event, rows in (("INSERT", ("new",)), ("UPDATE", ("old", "new")), ("DELETE", ("old",))):
            name = f"search_{table}_{event.lower()}"
            body = "; ".join(
                mark.format(kind=kind, select=select.format(row=row)) for row in rows for kind, select in marks
            )
            db.execute(f"DROP TRIGGER IF EXISTS {name}")
            db.execute(f"CREATE TRIGGER {name} AFTER {event} ON {table} BEGIN {body}; END")


def _has(db: Database, table: str) -> bool:
    return bool(db.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?", [table]).fetchone())


def _reversals(table: str, columns: dict[str, str]) -> dict[str, str]:
    """SQL expressions that build, for each kind of change, the statement that reverses it; columns with their types."""
    quoted = ", ".join(f'"{column}"' for column in columns)
    literals = {column: _literal(f'old."{column}"', kind) for column, kind in columns.items()}
    values = " || ', ' || ".join(literals.values())
    sets = " || ', ' || ".join(f"'\"{column}\" = ' || {literal}" for column, literal in literals.items())
    return {
        "INSERT": f"'DELETE FROM {table} WHERE rowid = ' || new.rowid",
        "UPDATE": f"'UPDATE {table} SET ' || {sets} || ' WHERE rowid = ' || new.rowid",
        "DELETE": f"'INSERT INTO {table}(rowid, {quoted}) VALUES (' || old.rowid || ', ' || {values} || ')'",
    }


def _literal(value: str, kind: str) -> str:
    """An SQL expression that writes a value of a column of this type as SQL.

    `quote` alone ends a text at its first NUL, and writes a boundless number as a word that is none of SQL's.
    """
    if kind == "TEXT":
        whole = f"'CAST(x''' || hex({value}) || ''' AS TEXT)'"
        return f"CASE WHEN instr({value}, char(0)) THEN {whole} ELSE quote({value}) END"
    return f"replace(quote({value}), 'Inf', '9e999')" if kind == "REAL" else f"quote({value})"
