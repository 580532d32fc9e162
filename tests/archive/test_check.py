"""A check tells what it finds, where, and in words; it reads all there is and changes nothing."""

from __future__ import annotations

import errno
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.archive import check
from asfound.archive.atomic import TEMPORARY
from asfound.archive.check import check_originals, check_sizes, digest_of, list_files, place_of
from asfound.archive.layout import Layout, make_layout
from asfound.archive.put import put_original
from asfound.core.fixity.findings import Finding, FindingKind

LOST = "cd" * 32


def stored(layout: Layout, *contents: bytes) -> list[str]:
    return [put_original(layout, io.BytesIO(data), ".jpg").digest_sha256 for data in contents]


def place(digest: str, suffix: str = ".jpg") -> str:
    return f"originals/{digest[:2]}/{digest}{suffix}"


def test_every_finding_says_what_where_and_why(layout: Layout):
    sound, damaged, orphan = stored(layout, b"sound", b"damaged", b"orphan")
    path = layout.folder / place(damaged)
    path.chmod(0o644)
    path.write_bytes(b"damagee")
    (layout.originals / "notes.txt").write_text("mine")
    (layout.originals / f"{TEMPORARY}1").write_bytes(b"half")

    found = set(check_originals(layout, [sound, damaged, LOST]))

    assert found == {
        Finding(FindingKind.CHANGED, damaged, place(damaged), "its bytes are not the ones that were put in"),
        Finding(FindingKind.ORPHAN, orphan, place(orphan), "no picture uses it; add it again to bring it in"),
        Finding(FindingKind.ORPHAN, "", "originals/notes.txt", "not put here by this program"),
        Finding(FindingKind.ORPHAN, "", f"originals/{TEMPORARY}1", "left by a stopped run; the next dump removes it"),
        Finding(FindingKind.MISSING, LOST, place(LOST, ""), "not on the disk"),
    }


def test_sizes_alone_tell_what_is_lost_short_or_stray(layout: Layout):
    sound, short, orphan = stored(layout, b"sound", b"short", b"orphan")
    path = layout.folder / place(short)
    path.chmod(0o644)
    path.write_bytes(b"sho")
    (layout.originals / f"{TEMPORARY}1").write_bytes(b"half")

    found = set(check_sizes(layout, {sound: 5, short: 5, LOST: 9}))

    assert found == {
        Finding(FindingKind.CHANGED, short, place(short), "it has 3 bytes, and 5 were put in"),
        Finding(FindingKind.ORPHAN, orphan, place(orphan), "no picture uses it; add it again to bring it in"),
        Finding(FindingKind.ORPHAN, "", f"originals/{TEMPORARY}1", "left by a stopped run; the next dump removes it"),
        Finding(FindingKind.MISSING, LOST, place(LOST, ""), "not on the disk"),
    }


@settings(max_examples=60, deadline=None)
@given(st.binary(min_size=1, max_size=60), st.data())
def test_any_other_bytes_are_found(tmp_path_factory: pytest.TempPathFactory, data: bytes, draw: st.DataObject):
    layout = make_layout(tmp_path_factory.mktemp("archive"))
    (digest,) = stored(layout, data)
    other = draw.draw(st.binary(max_size=61).filter(lambda other: other != data))
    path = layout.folder / place(digest)
    path.chmod(0o644)
    path.write_bytes(other)

    (finding,) = check_originals(layout, [digest])

    assert (finding.kind, finding.digest) == (FindingKind.CHANGED, digest)
    assert [one.kind for one in check_sizes(layout, {digest: len(data)})] == (
        [FindingKind.CHANGED] if len(other) != len(data) else []
    )


def test_file_that_the_system_will_not_hand_over_is_named_with_its_reason(
    layout: Layout, monkeypatch: pytest.MonkeyPatch
):
    (digest,) = stored(layout, b"photo")

    def refuse(path: object, *_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(check, "open", refuse, raising=False)

    assert list(check_originals(layout, [digest])) == [
        Finding(FindingKind.UNREADABLE, digest, place(digest), "the system cannot read it: Input/output error")
    ]


def test_progress_counts_every_file_and_ends_at_all_of_them(layout: Layout):
    digests = stored(layout, b"a", b"b", b"c")
    told: list[tuple[int, int]] = []

    list(check_originals(layout, digests, progress=lambda done, total: told.append((done, total))))

    assert told == [(0, 3), (1, 3), (2, 3), (3, 3)]


def test_check_goes_on_behind_a_place_and_still_knows_what_lies_before_it(layout: Layout):
    digests = sorted(stored(layout, b"a", b"b", b"c"))
    for digest in digests:
        path = layout.folder / place(digest)
        path.chmod(0o644)
        path.write_bytes(b"other")

    found = list(check_originals(layout, digests, after=place(digests[1])))

    assert [(one.kind, one.digest) for one in found] == [(FindingKind.CHANGED, digests[2])]


def test_check_may_wait_after_every_piece(layout: Layout, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(check, "CHUNK_BYTES", 2)
    digests = stored(layout, b"abcde")
    waits: list[int] = []

    assert list(check_originals(layout, digests, pace=lambda: waits.append(1))) == []

    assert len(waits) == 3


def test_files_are_read_in_order_of_place(layout: Layout):
    stored(layout, *(bytes([number]) for number in range(20)))
    (layout.originals / "zz").mkdir()
    (layout.originals / "zz-1").mkdir()
    for name in ("a", "zz/b", "0", "zz-1/c"):
        (layout.originals / name).touch()

    places = [place_of(layout, path) for path in list_files(layout)]

    assert places == sorted(places)
    assert len(places) == 24
    assert places.index("originals/zz-1/c") < places.index("originals/zz/b"), "as letters, for `after` compares those"


@pytest.mark.parametrize(
    ("name", "promised"),
    [
        (f"{LOST[:2]}/{LOST}.jpg", LOST),
        (f"{LOST[:2]}/{LOST}", LOST),
        (f"{LOST[:2]}/{LOST}.tar.gz", LOST),
        (f"{LOST[:2].upper()}/{LOST.upper()}.JPG", LOST),
        (f"ab/{LOST}.jpg", ""),
        (f"{LOST[:2]}/{LOST[:-1]}.jpg", ""),
        (f"{LOST[:2]}/{LOST[:2]}.jpg", ""),
        (f"{LOST}.jpg", ""),
        (f"{LOST[:2]}/{'xy' * 32}.jpg", ""),
    ],
)
def test_digest_that_a_place_promises(name: str, promised: str):
    assert digest_of(Path("originals") / name) == promised
