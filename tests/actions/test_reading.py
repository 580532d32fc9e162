"""From pictures to readings to proposals: what is proposed, what a person's word does to it; nothing is tagged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import pytest

from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.pin import Box, confirm_proposal, pin_tag, reject_proposal
from asfound.actions.read_proposals import FoundNumber, weigh_readings
from asfound.actions.reading import read_file, read_pictures
from asfound.actions.tag import TagWords, add_tag
from asfound.core.read.engine import Recognised, RgbArray
from asfound.core.read.markers import draw_marker, marker_of_tag
from asfound.core.read.reading import Reading
from asfound.errors import Refused
from asfound.model.pictures import Picture
from asfound.model.tags import PinProposal
from asfound.store import jobs, pictures, pins, readings, spots
from tests.core.read.drawn import draw_flag, hang, rusty_ground
from tests.media import samples


class Silent:
    """A reader that sees no digits, so that markers alone are read, and that can be stopped."""

    def __init__(self, name: str = "own") -> None:
        self.name = name

    def recognise(self, crops_rgb: Sequence[RgbArray]) -> list[Recognised]:
        return [Recognised("", 0.0) for _ in crops_rgb]


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(tmp_path / "archive", create=True) as opened:
        jobs.add_job(opened.store, "Sallow", "Europe/Amsterdam", opened.now())
        yield opened


@pytest.fixture
def shown(archive: Archive) -> list[Picture]:
    """Six pictures of three spots, two of each, in rows alone: what was read in them is given by the tests."""
    store, job_id = archive.store, archive.job.job_id
    with store.transaction():
        dump_id = jobs.start_dump(store, job_id, "card", archive.now())
        ids = [
            pictures.save_picture(
                store, pictures.NewPicture(job_id, dump_id, "photo", f"{name}.jpg", None, None, None, 800, 600)
            )
            for name in "abcdef"
        ]
        three = [spots.new_spot(store, job_id) for _ in range(3)]
        spots.save_membership(store, job_id, {picture: three[at // 2] for at, picture in enumerate(ids)}, {})
    return pictures.list_pictures(store, job_id)


def propose_read(archive: Archive) -> list[FoundNumber]:
    return weigh_readings(archive.store, archive.job.job_id)


def say(archive: Archive, picture: Picture, *numbers: str, sure: float = 0.9, x: float = 0.4) -> None:
    said = [Reading(number, None, "written", x, 0.4 + 0.2 * at, 0.05, 0.03, sure) for at, number in enumerate(numbers)]
    with archive.store.transaction():
        readings.save_readings(archive.store, picture.picture_id, "own", said)


def proposals(archive: Archive) -> list[tuple[str, str, str]]:
    """(file, number, end) of all read proposals, in order."""
    files = {p.picture_id: p.file for p in pictures.list_pictures(archive.store, archive.job.job_id)}
    tags = {tag.tag_id: tag.number for tag in _tags(archive)}
    found = [p for p in pins.list_proposals(archive.store, archive.job.job_id) if p.source == "read"]
    return sorted((files[p.picture_id], tags[p.tag_id], p.end) for p in found)


def _tags(archive: Archive):
    from asfound.store.tags import list_tags

    return list_tags(archive.store, archive.job.job_id)


def test_number_that_no_tag_has_is_shown_and_makes_nothing(archive: Archive, shown: list[Picture]):
    say(archive, shown[0], "17")

    (found,) = propose_read(archive)

    assert (found.reading.number, found.tag, found.is_proposed) == ("17", None, False)
    assert _tags(archive) == []
    assert proposals(archive) == []


def test_end_that_nothing_tells_is_asked_and_each_letter_has_its_share(archive: Archive, shown: list[Picture]):
    add_tag(archive, "17", TagWords())
    for picture in shown[::2]:
        say(archive, picture, "17")

    found = propose_read(archive)

    assert [each.ends for each in found] == [("A", "B")] * 3
    assert {each.reading.doubt for each in found} == {"you say which end it is"}
    assert proposals(archive) == [(f"{name}.jpg", "17", end) for name in "ace" for end in "AB"]
    asked = pins.list_proposals(archive.store, archive.job.job_id)
    assert [p.confidence for p in asked] == pytest.approx([found[0].reading.confidence / 2] * 6, abs=1e-3)


def test_one_word_on_one_picture_settles_the_number_on_all_others(archive: Archive, shown: list[Picture]):
    tag = add_tag(archive, "17", TagWords())
    for picture in (*shown[:3], shown[5]):
        say(archive, picture, "17")
    propose_read(archive)

    confirm_proposal(archive, tag, "B", shown[0])
    propose_read(archive)
    assert proposals(archive) == [
        ("b.jpg", "17", "B"),
        *((f"{name}.jpg", "17", end) for name in "cf" for end in "AB"),
    ]

    confirm_proposal(archive, tag, "A", shown[2])
    found = propose_read(archive)
    assert proposals(archive) == [("b.jpg", "17", "B")], "both ends are pinned: elsewhere it is seen in passing"
    assert found[-1].reading.doubt == "both ends are pinned already"
    archive.store.undo(archive.now())
    propose_read(archive)
    assert len(proposals(archive)) == 5


def test_number_refused_on_one_picture_is_not_asked_on_its_neighbour(archive: Archive, shown: list[Picture]):
    tag = add_tag(archive, "17", TagWords())
    for picture in shown[:3]:
        say(archive, picture, "17")
    propose_read(archive)
    for end in ("A", "B"):
        reject_proposal(archive, tag, end, shown[0])

    found = propose_read(archive)

    assert [each.answer for each in found] == ["rejected", "rejected", None]
    assert proposals(archive) == [("c.jpg", "17", "A"), ("c.jpg", "17", "B")], "another place is another question"


def test_of_an_end_carried_and_read_apart_the_surer_is_asked(archive: Archive, shown: list[Picture]):
    tag = add_tag(archive, "17", TagWords())
    pin_tag(archive, tag, "B", shown[1], Box(0.1, 0.1))
    say(archive, shown[0], "17", sure=0.95)
    carry(archive, tag.tag_id, shown[0], 0.9, 0.9)

    propose_read(archive)
    first, second = pins.find_proposals(archive.store, tag.tag_id, "B")
    assert (first.source, second.source) == ("read", "carried")

    say(archive, shown[0], "17", sure=0.7)
    propose_read(archive)
    (only,) = pins.find_proposals(archive.store, tag.tag_id, "B")
    assert only.source == "carried"


def test_bracket_has_one_end(archive: Archive, shown: list[Picture]):
    add_tag(archive, "17", TagWords(kind="bracket"))
    for picture in shown[::2]:
        say(archive, picture, "17")

    propose_read(archive)

    assert proposals(archive) == [("a.jpg", "17", "A"), ("c.jpg", "17", "A"), ("e.jpg", "17", "A")]


def test_carried_pin_beside_the_number_tells_the_end_and_raises_it(archive: Archive, shown: list[Picture]):
    tag = add_tag(archive, "17", TagWords())
    say(archive, shown[0], "17")
    alone = propose_read(archive)[0].reading.confidence
    carry(archive, tag.tag_id, shown[0], 0.41, 0.42)

    (found,) = propose_read(archive)

    assert found.end == "B"
    assert found.reading.confidence > alone
    asked, below = pins.find_proposals(archive.store, tag.tag_id, "B")
    assert (asked.source, asked.x_frac, asked.y_frac) == ("read", 0.41, 0.42), "at the joint, not on the flag"
    assert (below.source, asked.confidence > below.confidence) == ("carried", True)


def test_carried_pin_of_another_number_is_shown_as_a_doubt(archive: Archive, shown: list[Picture]):
    other = add_tag(archive, "18", TagWords())
    add_tag(archive, "17", TagWords())
    say(archive, shown[0], "17")
    carry(archive, other.tag_id, shown[0], 0.41, 0.42)

    (found,) = propose_read(archive)

    assert "the pin here is 18" in found.reading.doubt
    assert proposals(archive) == [("a.jpg", "17", "A"), ("a.jpg", "17", "B")]


def test_number_on_two_things_is_told_by_the_pin_beside_it(archive: Archive, shown: list[Picture]):
    add_tag(archive, "12", TagWords())
    second = add_tag(archive, "12", TagWords())
    say(archive, shown[0], "12")
    (found,) = propose_read(archive)
    assert (found.tag, found.reading.doubt) == (None, "number 12 is on 2 things")

    carry(archive, second.tag_id, shown[0], 0.41, 0.42)
    (found,) = propose_read(archive)

    assert found.tag is not None
    assert found.tag.tag_id == second.tag_id


def test_rejected_proposal_never_comes_back(archive: Archive, shown: list[Picture]):
    tag = add_tag(archive, "17", TagWords(kind="bracket"))
    say(archive, shown[0], "17")
    propose_read(archive)
    reject_proposal(archive, tag, "A", shown[0])

    for _ in range(2):
        (found,) = propose_read(archive)
        assert (found.answer, found.is_proposed) == ("rejected", False)
        assert proposals(archive) == []


def test_pin_set_by_hand_stays_where_it_is(archive: Archive, shown: list[Picture]):
    tag = add_tag(archive, "17", TagWords())
    pin = pin_tag(archive, tag, "A", shown[0], Box(0.8, 0.8))
    say(archive, shown[0], "17")

    (found,) = propose_read(archive)

    assert found.answer == "pinned"
    assert pins.list_pins(archive.store, archive.job.job_id) == [pin]
    assert proposals(archive) == []


def test_confirmed_reading_is_a_pin_that_says_where_it_is_from(archive: Archive, shown: list[Picture]):
    tag = add_tag(archive, "17", TagWords())
    say(archive, shown[0], "17")
    propose_read(archive)

    pin = confirm_proposal(archive, tag, "A", shown[0])

    assert (pin.source, pin.x_frac, pin.w_frac) == ("read", 0.4, 0.05)
    assert [each.answer for each in propose_read(archive)] == ["pinned"]


def test_proposal_goes_when_the_number_is_no_longer_read(archive: Archive, shown: list[Picture]):
    add_tag(archive, "17", TagWords())
    say(archive, shown[0], "17")
    propose_read(archive)
    say(archive, shown[0])

    assert propose_read(archive) == []
    assert proposals(archive) == []


def test_number_written_twice_on_a_flag_is_one_proposal(archive: Archive, shown: list[Picture]):
    add_tag(archive, "17", TagWords())
    say(archive, shown[0], "17", "17")

    assert len(propose_read(archive)) == 2
    assert proposals(archive) == [("a.jpg", "17", "A"), ("a.jpg", "17", "B")]


def test_doubtful_reading_is_not_shown(archive: Archive, shown: list[Picture]):
    add_tag(archive, "17", TagWords())
    say(archive, shown[0], "17", sure=0.3)

    assert propose_read(archive) == []


def test_marker_tells_number_and_end(archive: Archive, tmp_path: Path):
    tag = add_tag(archive, "147", TagWords())
    photo = write_photo(tmp_path, "m.jpg", draw_marker(marker_of_tag(147, "B"), 6))
    add_dump(archive, [photo], workers=0)

    report = read_pictures(archive, engine=Silent())

    assert report.read == 1
    assert [(f.reading.number, f.end, f.reading.how) for f in report.found] == [("147", "B", "marker")]
    (proposal,) = pins.find_proposals(archive.store, tag.tag_id, "B")
    assert isinstance(proposal, PinProposal)
    assert proposal.x_frac == pytest.approx(0.5, abs=0.03)


def test_marker_of_an_end_that_the_thing_has_not_is_not_proposed(archive: Archive, tmp_path: Path):
    add_tag(archive, "147", TagWords(kind="bracket"))
    add_dump(archive, [write_photo(tmp_path, "m.jpg", draw_marker(293, 6))], workers=0)

    (found,) = read_pictures(archive, engine=Silent()).found

    assert found.reading.doubt == "147 has one end"
    assert proposals(archive) == []


def test_pictures_are_read_once_and_again_by_a_surer_reader(archive: Archive, tmp_path: Path):
    add_dump(archive, [write_photo(tmp_path, "m.jpg", draw_marker(0, 6))], workers=0)

    assert [read_pictures(archive, engine=Silent()).read for _ in range(2)] == [1, 0]
    assert read_pictures(archive, engine=Silent(), again=True).read == 1
    assert read_pictures(archive, engine=Silent("rapidocr")).read == 1
    assert read_pictures(archive, engine=Silent()).read == 0


def test_stopped_run_keeps_what_was_read_and_goes_on_from_there(archive: Archive, tmp_path: Path):
    photos = [write_photo(tmp_path, f"{at}.jpg", draw_marker(2 * at, 6)) for at in range(3)]
    add_dump(archive, photos, workers=0)

    def stop(what: str, done: int, total: int) -> None:
        if what.startswith("reading") and done == 1:
            raise KeyboardInterrupt

    stopped = read_pictures(archive, engine=Silent(), progress=stop)

    assert (stopped.stopped, stopped.read, len(stopped.found)) == (True, 1, 1)
    assert read_pictures(archive, engine=Silent()).read == 2


def test_picture_whose_original_is_gone_is_named_and_the_rest_is_read(archive: Archive, tmp_path: Path):
    photos = [write_photo(tmp_path, f"{at}.jpg", draw_marker(2 * at, 6)) for at in range(2)]
    add_dump(archive, photos, workers=0)
    read_pictures(archive, engine=Silent())
    first = pictures.list_pictures(archive.store, archive.job.job_id)[0]
    for original in archive.layout.originals.rglob(f"{first.digest}*"):
        original.unlink()

    report = read_pictures(archive, engine=Silent(), again=True)

    assert report.read == 1
    assert [file for file, _ in report.failed] == [first.file]
    assert len(report.found) == 2, "what was read of it before is still known"


def test_written_number_goes_the_whole_way_with_the_readers_own_network(archive: Archive, tmp_path: Path):
    from asfound.core.read.picture import load_engine

    add_tag(archive, "27", TagWords(kind="bracket"))
    add_dump(archive, [write_photo(tmp_path, "m.jpg", draw_flag("27"))], workers=0)

    (found,) = read_pictures(archive, engine=load_engine("own")).found

    assert (found.reading.number, found.reading.how, found.is_proposed) == ("27", "written", True)
    assert proposals(archive) == [("m.jpg", "27", "A")]


def test_file_outside_the_archive_is_read_and_not_kept(archive: Archive, tmp_path: Path):
    photo = write_photo(tmp_path, "m.jpg", draw_marker(293, 6))

    (reading,) = read_file(archive, photo, engine=Silent())

    assert (reading.number, reading.end) == ("147", "B")
    assert pictures.list_pictures(archive.store, archive.job.job_id) == []
    assert propose_read(archive) == []


def test_file_that_is_no_picture_is_refused(archive: Archive, tmp_path: Path):
    (tmp_path / "notes.jpg").write_text("no picture")

    with pytest.raises(Refused):
        read_file(archive, tmp_path / "notes.jpg", engine=Silent())


def carry(archive: Archive, tag_id: int, picture: Picture, x_frac: float, y_frac: float) -> None:
    carried = PinProposal(tag_id, "B", picture.picture_id, x_frac, y_frac, None, None, "carried", 0.9, "depth", None)
    with archive.store.transaction():
        pins.replace_proposals(archive.store, tag_id, "B", "carried", [carried])


def write_photo(folder: Path, name: str, piece: RgbArray) -> Path:
    """A photo of ground with one flag or marker in its middle; each name has ground of its own."""
    picture = rusty_ground(480, 360, seed=sum(name.encode()))
    hang(picture, piece if piece.ndim == 3 else np.repeat(piece[..., None], 3, 2), (240, 180))
    (folder / name).write_bytes(samples.jpeg(picture))
    return folder / name


def test_nothing_is_said_to_be_proposed_that_is_not(archive: Archive, shown: list[Picture]):
    tag = add_tag(archive, "17", TagWords())
    for picture in shown[:4]:
        say(archive, picture, "17")
    propose_read(archive)
    reject_proposal(archive, tag, "A", shown[0])

    found = propose_read(archive)

    assert len(proposals(archive)) == sum(len(each.ends) for each in found if each.is_proposed) == 6
