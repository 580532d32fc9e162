"""The sort queue over an archive as it stands after a dump of `sample_media`."""

from __future__ import annotations

from pathlib import Path

from asfound.actions.known import known_pictures, known_spots
from asfound.actions.pin import Box
from asfound.actions.pinned import accept_many, pin_number, reject_many
from asfound.actions.questions import sure_ones
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.to_sort import PinQuestion, list_to_sort
from asfound.actions.undo import undo
from asfound.model.tags import PinProposal
from asfound.store import pins
from tests.tui.dump_archive import carry_by_truth, load_images, make_archive


def test_undoing_an_answer_to_carried_pins_asks_for_them_again(tmp_path: Path) -> None:
    with make_archive(tmp_path / "archive") as archive:
        seen, files = load_images(), {one: picture.file for one, picture in known_pictures(archive).items()}
        spot = next(iter(known_spots(archive).values()))
        shown = [one for one in spot.picture_ids if seen[files[one]]["connectors"]]
        end = next(one for one in seen[files[shown[0]]]["connectors"] if one["visible"])
        made = pin_number(archive, shown[0], str(end["tag"]), end["end"], Box(end["x"], end["y"]))
        assert carry_by_truth(archive, made.pin.pin_id) > 1
        before = list_to_sort(archive)
        found, _ = sure_ones(before, 0.0)

        accept_many(archive, found, [])
        assert sure_ones(list_to_sort(archive), 0.0)[0] == []
        undo(archive)
        assert list_to_sort(archive) == before

        reject_many(archive, [found[0]])
        assert len(sure_ones(list_to_sort(archive), 0.0)[0]) == len(found) - 1
        undo(archive)
        assert list_to_sort(archive) == before


def test_pictures_of_doubtful_time_are_asked_about_where_they_were_likely_taken(tmp_path: Path) -> None:
    with make_archive(tmp_path / "archive") as archive:
        by_file = {one.file: one for one in known_pictures(archive).values()}
        before, lost, after = (by_file[f"P1_00{at}.jpg"] for at in ("20", "21", "22"))
        with archive.store.transaction():
            archive.store.run(
                "UPDATE picture SET written_utc_s = NULL, taken_local = NULL WHERE picture_id = ?", lost.picture_id
            )
            tag = add_tag(archive, "7", TagWords())
            carried = [
                PinProposal(tag.tag_id, "A", one.picture_id, 0.5, 0.5, None, None, "carried", 0.9, "", None)
                for one in (after, lost, before)
            ]
            pins.replace_proposals(archive.store, tag.tag_id, "A", "carried", carried)
        order = [item.picture.picture_id for item in list_to_sort(archive) if isinstance(item, PinQuestion)]
        assert order == [before.picture_id, lost.picture_id, after.picture_id]
