"""What is met on a card is told in one line of plain text, and what a person would miss is never passed over."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.errors import NotMedia, TooLarge, Unreadable
from asfound.media.limits import MIB, TOO_LARGE, Limits, trouble_of
from asfound.media.met import (
    OTHER_MEDIA,
    NotTaken,
    PassedOver,
    classify_refusal,
    is_called_zip,
    is_hidden,
    printable,
)

NONE = NotMedia("its content is neither a picture nor a clip of a known format")


@given(st.binary(max_size=60))
def test_any_name_is_one_line_that_can_be_written_down(raw: bytes):
    text = printable(raw)

    assert len(text.splitlines()) <= 1
    assert text.isprintable() or any(not letter.isprintable() for letter in raw.decode("utf-8", "ignore"))
    text.encode("utf-8")
    assert "\x1b" not in text, "no name moves the cursor of a terminal"


@given(st.text(st.characters(exclude_categories=("C", "Z")), max_size=20))
def test_plain_name_stays_letter_for_letter(name: str):
    assert printable(name.encode()) == name


@pytest.mark.parametrize(
    ("name", "refusal", "named", "is_told"),
    [
        ("notes.txt", NONE, False, False),
        ("notes.txt", NONE, True, True),
        ("IMG_1.JPG", NONE, False, True),
        ("CLIP.AVI", NONE, False, True),
        ("photos.ZIP", NONE, False, True),
        ("README", NONE, False, False),
        # What could not be read at all could have been a photo, whatever its name.
        ("README", Unreadable("reading it failed: Input/output error"), False, True),
        ("README", TooLarge("the file has 500 MiB, more than the 400 allowed for a photo"), False, True),
    ],
)
def test_file_is_named_where_a_person_would_miss_it(name: str, refusal: Exception, named: bool, is_told: bool):
    met = classify_refusal(f"/card/{name}", name, refusal, named=named)  # type: ignore[arg-type]

    assert isinstance(met, NotTaken if is_told else PassedOver)
    assert met.where == f"/card/{name}"


@pytest.mark.parametrize("suffix", sorted(OTHER_MEDIA))
def test_photo_or_clip_of_a_kind_unknown_here_says_to_keep_it(suffix: str):
    met = classify_refusal("/card/x", f"X{suffix.upper()}", NONE, named=False)

    assert isinstance(met, NotTaken)
    assert suffix in met.reason
    assert "keep it on the card" in met.reason


def test_damaged_file_of_another_kind_says_what_is_wrong_with_it():
    met = classify_refusal("/card/x", "X.AVI", Unreadable("reading it failed: Input/output error"), named=False)

    assert isinstance(met, NotTaken)
    assert met.reason == "reading it failed: Input/output error"


@pytest.mark.parametrize(
    ("name", "hidden"),
    [
        (b".trash", True),
        (b"Thumbs.db", True),
        (b"__MACOSX", True),
        (b"$RECYCLE.BIN", True),
        (b"System Volume Information", True),
        (b"DCIM", False),
        (b"thumbs.db.jpg", False),
        (b"\xff.jpg", False),
    ],
)
def test_what_systems_leave_on_cards_is_hidden(name: bytes, hidden: bool):
    assert is_hidden(name) is hidden


def test_zip_is_known_by_its_name_in_any_case():
    assert all(map(is_called_zip, ("a.zip", "A.ZIP", ".zip")))
    assert not any(map(is_called_zip, ("zip", "a.docx", "a.zip.part")))


def test_limits_allow_what_they_say_and_not_one_more():
    limits = Limits(photo_bytes=3 * MIB)

    limits.check_bytes(3 * MIB)
    limits.check_pixels(1000, 500, most=500_000)
    with pytest.raises(TooLarge, match="3 MiB, more than the 3 allowed"):
        limits.check_bytes(3 * MIB + 1)
    with pytest.raises(TooLarge, match="1000 x 2001 pixels, more than the 2 million"):
        limits.check_pixels(1000, 2001, most=2_000_000)


def test_file_too_large_to_show_is_told_from_a_damaged_one():
    assert trouble_of(TooLarge("its header says 90000 x 90000 pixels")).startswith(TOO_LARGE)
    assert trouble_of(Unreadable("the JPEG is damaged: cut off")) == "the JPEG is damaged: cut off"
