"""Every piece of work that writes, stopped at every point in turn; what must hold afterwards is checked.

All points, and then real dumps killed at random moments:  python -m tests.faults.crash_matrix --kills 300
"""

from __future__ import annotations

import argparse
import errno
import os
import random
import shutil
import signal
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from asfound.actions import backup, log, undo
from asfound.actions.add import DumpReport, add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.check import check_archive
from asfound.actions.repair import repair
from asfound.actions.tag import TagWords, add_tag, list_tags
from asfound.store import events, migrations, pictures, pins
from asfound.store.database import Store
from tests.faults.damaging import flip, original, pages_of, small_archive
from tests.faults.stopping import count_points, failed_at, stopped_at
from tests.media import samples

MORE = 6
EARLIER_FORMAT = 3
FAULTS = (errno.ENOSPC, errno.EIO, errno.EACCES)
"""The disk is full; it was pulled out or is broken; its permissions were lost."""


@dataclass(frozen=True, slots=True)
class Work:
    """A piece of work and what must hold when it was stopped.

    Attributes
    ----------
    prepare : callable
        Takes the archive's folder, before.
    do : callable
        Takes the folder and the file to which what is done for good is told, a line each.
    hold : callable
        Takes the folder and those lines; asserts.
    """

    prepare: Callable[[Path], None]
    do: Callable[[Path, Path], None]
    hold: Callable[[Path, set[str]], None]


def nothing(folder: Path) -> None:
    """Nothing is to be prepared."""


def tell(told: Path, *lines: str) -> None:
    """Acknowledge, as a screen does."""
    with open(told, "a") as file:
        file.writelines(f"{line}\n" for line in lines)


def make_card(folder: Path) -> None:
    """More photos, beside the archive."""
    card = folder.parent / "more"
    card.mkdir()
    for number in range(MORE):
        (card / f"P2_{number:04d}.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, 50 + number)))


def dump(folder: Path, told: Path) -> None:
    """Add the card."""
    with open_archive(folder) as archive:

        def watch(file: str, report: DumpReport) -> None:
            tell(told, *(each.file for each in report.added))

        add_dump(archive, [folder.parent / "more"], workers=0, watch=watch)


def dump_holds(folder: Path, told: set[str]) -> None:
    """What was told of is there; adding again completes it, and a third time adds nothing."""
    assert_sound(folder)
    with open_archive(folder) as archive:
        assert told <= files_of(archive)
        again = add_dump(archive, [folder.parent / "more"], workers=0)
        assert len(again.added) + len(again.known) == MORE
        third = add_dump(archive, [folder.parent / "more"], workers=0)
        assert (third.added, third.refused, len(third.known)) == ([], [], MORE)
    assert_sound(folder)


def pin_and_log(folder: Path, told: Path) -> None:
    """A tag, a pin, a line of the log, and one step taken back and brought back."""
    with open_archive(folder) as archive:
        tag = add_tag(archive, "31", TagWords(name="drain"))
        tell(told, "tag")
        with archive.step("pinned"):
            pins.save_pin(
                archive.store, tag.tag_id, "A", 1, archive.now(), x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None
            )
        tell(told, "pin")
        log.mark_off(archive, tag)
        tell(told, "off")
        undo.undo(archive)
        undo.redo(archive)
        tell(told, "back")


def pin_and_log_hold(folder: Path, told: set[str]) -> None:
    """Each is there from when it was told of; what was on its way is there whole or not at all."""
    assert_sound(folder)
    with open_archive(folder) as archive:
        found = [tag for tag in list_tags(archive) if tag.number == "31"]
        assert len(found) >= ("tag" in told)
        pinned = pins.find_pins(archive.store, found[0].tag_id) if found else []
        assert len(pinned) >= ("pin" in told)
        lines = events.find_events(archive.store, found[0].tag_id) if found else []
        assert "off" not in told or lines or undo.steps_to_redo(archive), "taken back, to be brought back"
        assert "back" not in told or len(lines) == 1
        assert archive.store.value("SELECT COUNT(*) FROM open_step") == 0


def back_up(folder: Path, told: Path) -> None:
    """A second backup into the same folder."""
    with open_archive(folder) as archive:
        backup.back_up(archive, folder.parent / "stick")
    tell(told, "backup")


def first_backup(folder: Path) -> None:
    """A backup, and then one more photo and one more tag."""
    make_card(folder)
    with open_archive(folder) as archive:
        backup.back_up(archive, folder.parent / "stick")
        add_dump(archive, [folder.parent / "more"], workers=0)
        add_tag(archive, "31", TagWords())


def backup_holds(folder: Path, told: set[str]) -> None:
    """The archive is as it was; an earlier or the new state comes back; the next backup completes it."""
    assert_sound(folder)
    assert check_archive(folder.parent / "stick", is_full=True).is_sound
    backup.restore(folder.parent / "stick", folder.parent / "back")
    with open_archive(folder.parent / "back") as back:
        numbers = {tag.number for tag in list_tags(back)}
    assert numbers >= {"12", "17"}
    assert "backup" not in told or "31" in numbers
    with open_archive(folder) as archive:
        backup.back_up(archive, folder.parent / "stick")
    assert check_archive(folder.parent / "stick", is_full=True).is_sound


def damage(folder: Path) -> None:
    """A flipped byte in an original, one in the database, and a backup from before."""
    with open_archive(folder) as archive:
        backup.back_up(archive, folder.parent / "stick")
        path = original(archive, "P1_0000.jpg")
    flip(path, 77)
    flip(folder / "asfound.sqlite", pages_of(folder / "asfound.sqlite", "tag")[0] + 4000)


def mend(folder: Path, told: Path) -> None:
    """Repair from the backup."""
    repair(folder, [folder.parent / "stick"])
    tell(told, "repaired")


def repair_holds(folder: Path, told: set[str]) -> None:
    """A second repair, if one is needed, ends with all of it whole and every word there."""
    if "repaired" not in told:
        repair(folder, [folder.parent / "stick"])
    assert_sound(folder)
    with open_archive(folder) as archive:
        assert {tag.number: tag.name for tag in list_tags(archive)} == {"17": "hose 17", "12": "hose 12"}
        assert len(pins.list_pins(archive.store, 1)) == 3


def make_earlier(folder: Path) -> None:
    """The database as an earlier program made it."""
    database = folder / "asfound.sqlite"
    for end in ("", "-wal", "-shm"):
        Path(f"{database}{end}").unlink(missing_ok=True)
    known = migrations.MIGRATIONS
    migrations.MIGRATIONS = known[:EARLIER_FORMAT]
    try:
        with Store(database) as store, store.transaction():
            store.run("INSERT INTO job(name, zone, created_at) VALUES ('Sallow', 'Etc/UTC', '2025-10-11T09:00:00Z')")
            store.run("INSERT INTO setting(name, value) VALUES ('current job', '1')")
            store.run("INSERT INTO tag(job_id, number, nth, created_at) VALUES (1, '17', 1, '2025-10-11T09:00:00Z')")
    finally:
        migrations.MIGRATIONS = known
    shutil.rmtree(folder / "originals")
    (folder / "originals").mkdir()


def migrate(folder: Path, told: Path) -> None:
    """Open it with this program."""
    open_archive(folder).close()


def migration_holds(folder: Path, told: set[str]) -> None:
    """It is of one format or the other, with all that was in it."""
    with open_archive(folder) as archive:
        assert [tag.number for tag in list_tags(archive)] == ["17"]
        assert archive.store.value("PRAGMA user_version") == len(migrations.MIGRATIONS)
    assert_sound(folder)


WORKS = {
    "dump": Work(make_card, dump, dump_holds),
    "pin and log line": Work(nothing, pin_and_log, pin_and_log_hold),
    "backup": Work(first_backup, back_up, backup_holds),
    "repair": Work(damage, mend, repair_holds),
    "migration": Work(make_earlier, migrate, migration_holds),
}


def assert_sound(folder: Path) -> None:
    """Nothing is damaged or missing."""
    report = check_archive(folder, is_full=True)
    assert report.is_sound, report.damaged


def files_of(archive: Archive) -> set[str]:
    """Names of the pictures that have rows."""
    return {picture.file for picture in pictures.list_pictures(archive.store, archive.job.job_id)}


def points_of(name: str, place: Path) -> int:
    """How many points a piece of work has."""
    work, folder = WORKS[name], small_archive(place) / "archive"
    work.prepare(folder)
    return count_points(lambda: work.do(folder, place / "told"), place / "points")


def stop_and_look(name: str, number: int, place: Path) -> bool:
    """Stop a piece of work at a point and assert what must hold; False when it came to its end before."""
    work, folder, told = WORKS[name], small_archive(place) / "archive", place / "told"
    work.prepare(folder)
    was_stopped = stopped_at(number, lambda: work.do(folder, told), place / "points")
    lines = set(told.read_text().splitlines()) if told.exists() else set()
    work.hold(folder, lines)
    return was_stopped


def fail_and_look(name: str, number: int, code: int, place: Path) -> str:
    """Let the disk fail from a point of a piece of work on, and assert what must hold once it is well again.

    Gives what the program said of it.
    """
    work, folder, told = WORKS[name], small_archive(place) / "archive", place / "told"
    work.prepare(folder)
    said = failed_at(number, code, lambda: work.do(folder, told), place / "points")
    lines = set(told.read_text().splitlines()) if told.exists() else set()
    work.hold(folder, lines)
    return said


def kill_a_dump(chance: random.Random, place: Path, longest_s: float) -> bool:
    """SIGKILL at a random moment of a dump; whether it was still at work."""
    folder, told = small_archive(place) / "archive", place / "told"
    make_card(folder)
    child = os.fork()
    if child == 0:
        dump(folder, told)
        os._exit(0)
    time.sleep(chance.uniform(0.0, longest_s))
    with suppress(ProcessLookupError):
        os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    lines = set(told.read_text().splitlines()) if told.exists() else set()
    dump_holds(folder, lines)
    return os.waitstatus_to_exitcode(status) != 0


def main() -> None:
    """Every point of every work, then the kills."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--failing", action="store_true", help="let the disk fail at each point instead")
    parser.add_argument("--every", type=int, default=1, help="only every nth point")
    asked = parser.parse_args()
    for name in WORKS:
        with tempfile.TemporaryDirectory() as place:
            count = points_of(name, Path(place))
        chosen = range(1, count + 1, asked.every)
        for number in chosen:
            for code in FAULTS if asked.failing else (0,):
                with tempfile.TemporaryDirectory() as place:
                    if code:
                        fail_and_look(name, number, code, Path(place))
                    else:
                        stop_and_look(name, number, Path(place))
        how = f"failing in {len(FAULTS)} ways" if asked.failing else "stopped"
        print(f"{name}: {how} at {len(chosen)} of {count} points; all held", flush=True)
    if asked.failing:
        return
    with tempfile.TemporaryDirectory() as place:
        small_archive(Path(place))
        make_card(Path(place, "archive"))
        begun = time.monotonic()
        dump(Path(place, "archive"), Path(place, "told"))
        longest_s = time.monotonic() - begun
    chance, at_work = random.Random(asked.seed), 0
    for _ in range(asked.kills):
        with tempfile.TemporaryDirectory() as place:
            at_work += kill_a_dump(chance, Path(place), longest_s)
    print(f"dumps killed: {asked.kills}, {at_work} of them at work; nothing was lost", flush=True)


if __name__ == "__main__":
    main()
