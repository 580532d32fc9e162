"""The documents that scripts rely on: every key that is promised, and nothing else on stdout."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

MEDIA = Path(__file__).parents[2] / "sample_media"
PHOTOS = ("P2_0003.jpg", "P2_0019.jpg", "P2_0029.jpg")
"""One place, twice before and once after something came off: sorted in a few seconds."""

PICTURE = {"picture", "file"}
KEYS: dict[tuple[str, ...], set[str]] = {
    ("spots",): {"spot", "name", "pictures"},
    ("pairs",): {"spot", "before", "after", "kind"},
    ("pins", "4a"): {"picture", "file", "x", "y", "w", "h", "source", "confirmed", "confidence", "gone", "hidden"},
    ("find", "4a"): {"tag", "end", "name", "as_found"},
    ("where", "P2_0019.jpg"): {"picture", "file", "spot", "inliers", "score", "tags"},
    ("gaps",): {"gap", "tag", "end", "bag", "why"},
    ("pictures",): {"picture", "file", "taken", "time_source"},
    ("job", "list"): {"job", "name", "zone", "used", "front", "left", "turning"},
    ("clock",): {"camera", "corrections"},
}


def run(archive: Path, *words: str) -> Any:
    """What a command prints with --json; anything beside the document would not parse."""
    done = subprocess.run(
        [sys.executable, "-m", "asfound", "--archive", str(archive), *words, "--json"], capture_output=True, text=True
    )
    assert done.returncode in (0, 1), done.stderr
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("keys") / "archive"
    start = ["--archive", str(folder), "job", "new", "Sallow", "--zone", "Europe/Amsterdam"]
    subprocess.run([sys.executable, "-m", "asfound", *start], check=True, capture_output=True)
    return folder


@pytest.fixture(scope="module")
def added(archive: Path) -> dict[str, Any]:
    (archive.parent / "text.jpg").write_text("no picture")
    document = run(archive, "add", *(str(MEDIA / name) for name in PHOTOS), str(archive.parent / "text.jpg"))
    assert isinstance(document, dict)
    return document


@pytest.fixture(scope="module")
def pinned(archive: Path, added: dict[str, Any]) -> dict[str, Any]:
    document = run(archive, "pin", "4a", "P2_0003.jpg", "0.4455", "0.5191")
    assert isinstance(document, dict)
    return document


def test_add_tells_of_every_file(archive: Path, added: dict[str, Any]):
    assert {"dump", "added", "known", "refused"} <= added.keys()
    assert [each["file"] for each in added["added"]] == list(PHOTOS)
    assert {"picture", "file", "kind", "taken", "time_source"} <= added["added"][0].keys()
    assert [each.keys() for each in added["refused"]] == [{"file", "reason"}]
    again = run(archive, "add", *(str(MEDIA / name) for name in PHOTOS))
    assert again["added"] == []
    assert len(again["known"]) == len(PHOTOS)


def test_pin_gives_its_id_and_where_it_was_carried(pinned: dict[str, Any]):
    assert isinstance(pinned["pin"], int)
    assert {each["file"] for each in pinned["carried"]} == {"P2_0019.jpg", "P2_0029.jpg"}
    assert all({"picture", "file", "x", "y", "confidence"} <= each.keys() for each in pinned["carried"])


@pytest.mark.parametrize("words", KEYS, ids=" ".join)
def test_listing_has_the_promised_keys(archive: Path, pinned: dict[str, Any], words: tuple[str, ...]):
    listed = run(archive, *words)

    assert listed, "an empty list would prove nothing"
    assert all(KEYS[words] <= each.keys() for each in listed)


def test_documents_within_documents_have_the_promised_keys(archive: Path, pinned: dict[str, Any]):
    spot, pair = run(archive, "spots")[0], run(archive, "pairs")[0]
    seen, answer = run(archive, "find", "4a")[0]["as_found"], run(archive, "where", str(MEDIA / "P2_0013.jpg"))[0]

    assert {"picture", "file", "taken", "clip_seconds"} <= spot["pictures"][0].keys()
    assert PICTURE <= pair["before"].keys() & pair["after"].keys()
    assert {"picture", "file", "x", "y", "taken"} <= seen.keys()
    assert {"tag", "end", "x", "y"} <= answer["tags"][0].keys()


def test_compare_ranks_boxes(archive: Path, added: dict[str, Any]):
    found = run(archive, "compare", "P2_0003.jpg", "P2_0019.jpg")

    assert {"registered", "inliers", "differences", "swapped"} <= found.keys()
    assert found["differences"], "an empty list would prove nothing"
    assert all({"x", "y", "w", "h", "score", "near", "in_before"} <= box.keys() for box in found["differences"])
    scores = [box["score"] for box in found["differences"]]
    assert scores == sorted(scores, reverse=True)


def test_compare_takes_a_photo_that_is_not_in_the_archive(archive: Path, added: dict[str, Any], tmp_path: Path):
    with Image.open(MEDIA / "P2_0019.jpg") as image:
        image.save(tmp_path / "today.jpg", quality=85)

    found = run(archive, "compare", "P2_0003.jpg", str(tmp_path / "today.jpg"))

    assert found["registered"] == run(archive, "compare", "P2_0003.jpg", "P2_0019.jpg")["registered"]
    assert "today.jpg" not in {picture["file"] for picture in run(archive, "pictures")}


def test_undo_names_what_it_took_back(archive: Path, pinned: dict[str, Any]):
    assert run(archive, "undo", "--list")[0].startswith("4a pinned on P2_0003.jpg")


def test_stranger_looks_like_nothing(archive: Path, pinned: dict[str, Any], tmp_path: Path):
    from tests.media import samples

    (tmp_path / "stranger.jpg").write_bytes(samples.jpeg(samples.scene(640, 480, 77)))

    assert run(archive, "where", str(tmp_path / "stranger.jpg")) == []
