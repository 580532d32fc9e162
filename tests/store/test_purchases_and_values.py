"""What is to be bought, sets of like parts, values of the manual, and what a lost original costs."""

from __future__ import annotations

import pytest

from asfound.model.purchases import Purchase, SetMember
from asfound.model.values import ManualValue
from asfound.store import costs, jobs, pins, purchases, tags, values
from asfound.store.database import Store
from asfound.store.pictures import NewClip, NewPicture, save_arrival, save_clip, save_original, save_picture
from tests.store.filled import NOW


def test_purchase_comes_back_with_what_was_said_of_it(store: Store):
    first = purchases.add_purchase(store, 1, tag_id=1)
    second = purchases.add_purchase(store, 1)
    purchases.add_purchase(store, 2)
    purchases.change_purchase(store, first, what="hose", price="12", shop="chandler", ordered_on="2025-11-01")
    purchases.change_purchase(store, first, part_number="4711", arrived_on="2025-11-09", price="14")

    hose, empty = purchases.list_purchases(store, 1)
    assert hose == Purchase(first, 1, None, "hose", "4711", "14", "chandler", "2025-11-01", "2025-11-09")
    assert empty == Purchase(second, None, None, "", "", "", "", "", "")
    purchases.remove_purchase(store, first)
    assert purchases.list_purchases(store, 1) == [empty]


def test_set_has_each_position_once_in_the_order_of_entry(store: Store):
    other = tags.add_tag(store, 1, "18", NOW, kind="other", name="", ends=1)
    purchases.save_member(store, 1, "2", faced="mark up")
    purchases.save_member(store, other, "1")
    purchases.save_member(store, 1, "1")
    purchases.save_member(store, 1, "2", note="worn")

    assert purchases.list_members(store, 1) == [
        SetMember(1, "2", "mark up", "worn"),
        SetMember(other, "1", "", ""),
        SetMember(1, "1", "", ""),
    ]
    assert purchases.list_members(store, 2) == []
    assert purchases.remove_member(store, 1, "2")
    assert not purchases.remove_member(store, 1, "2")
    assert len(purchases.list_members(store, 1)) == 2


def test_value_is_kept_as_typed(store: Store):
    first = values.add_value(store, 1, 1, "", "torque")
    second = values.add_value(store, 1, None, "valves", "gap")
    values.add_value(store, 2, None, "elsewhere", "gap")
    values.change_value(store, second, wanted="0.25 mm", limits="0.25 to 0.35 mm", page="12-4")

    assert values.list_values(store, 1) == [
        ManualValue(first, 1, "", "torque", "", "", ""),
        ManualValue(second, None, "valves", "gap", "0.25 mm", "0.25 to 0.35 mm", "12-4"),
    ]
    values.remove_value(store, first)
    assert [one.value_id for one in values.list_values(store, 1)] == [second]


def test_only_known_fields_can_be_set(store: Store):
    for change in (
        lambda: purchases.change_purchase(store, 1, job_id="2"),
        lambda: purchases.save_member(store, 1, "1", member_id="2"),
        lambda: values.change_value(store, 1, thing="x"),
    ):
        with pytest.raises(ValueError, match=r"job_id|member_id|thing"):
            change()
    assert purchases.list_members(store, 1) == []


def test_lost_original_costs_its_picture_or_the_frames_of_its_clip_and_the_ends_pinned_there(store: Store):
    for digest in ("p1", "c1"):
        save_original(store, digest=digest, suffix="", size_bytes=1, kind="photo", stored_at=NOW)
        for name in (f"{digest}.jpg", f"later {digest}.jpg"):
            save_arrival(store, dump_id=1, digest=digest, name=name, raw_name=b"", modified_ns=1)
    photo = save_picture(store, NewPicture(1, 1, "photo", "P.jpg", "p1", None, None, 4, 3))
    clip = save_clip(store, NewClip(1, 1, "V.mp4", "c1", None, None, 2.0, 4, 3, 0))
    frame = save_picture(
        store, NewPicture(1, 1, "frame", "V@1", None, None, None, 4, 3, clip_id=clip, clip_seconds=1.0)
    )
    jobs.add_job(store, "Other", "Etc/UTC", NOW)
    again = save_picture(store, NewPicture(2, 1, "photo", "P2.jpg", "p1", None, None, 4, 3))
    one_ended = tags.add_tag(store, 1, "9", NOW, kind="bracket", name="", ends=1)
    twice = [tags.add_tag(store, 1, "12", NOW, kind="hose", name="", ends=2) for _ in range(2)][1]
    for tag_id, end, picture_id in ((1, "B", photo), (one_ended, "A", photo), (twice, "A", frame), (1, "B", frame)):
        pins.save_pin(store, tag_id, end, picture_id, NOW, x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None)  # type: ignore[arg-type]

    assert costs.pictures_of_original(store, "p1") == [(photo, "P.jpg"), (again, "P2.jpg")]
    assert costs.pictures_of_original(store, "c1") == [(frame, "V@1")]
    assert costs.pictures_of_original(store, "none") == []
    assert (costs.name_of_original(store, "p1"), costs.name_of_original(store, "none")) == ("p1.jpg", "")
    assert costs.ends_pinned_on(store, [photo, frame]) == [("17", "17b"), ("9", "9"), ("12.2", "12.2a")]
    assert costs.ends_pinned_on(store, []) == []
