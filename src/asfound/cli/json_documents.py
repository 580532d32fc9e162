"""The documents that `--json` prints. Scripts rely on these keys; more may be added, none may change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from asfound.model.documents import Document
from asfound.model.log import Gap
from asfound.model.pictures import Pair, Picture, Spot
from asfound.model.tags import Pin, PinProposal


def moment(at: datetime | None) -> str | None:
    """RFC 3339, to the millisecond when there is a fraction; without offset when none is known."""
    if at is None:
        return None
    return at.isoformat(timespec="milliseconds" if at.microsecond else "seconds")


def short_picture(picture: Picture) -> dict[str, Any]:
    """A picture named within another document."""
    return {"picture": picture.picture_id, "file": picture.file}


def picture_document(picture: Picture) -> dict[str, Any]:
    """One picture as `pictures` lists it."""
    return {
        **short_picture(picture),
        "taken": moment(picture.taken_at),
        "time_source": str(picture.time_source),
        "doubt": None if picture.time_doubt is None else str(picture.time_doubt),
        "clip_seconds": picture.clip_seconds,
        "width": picture.width_px,
        "height": picture.height_px,
        "trouble": picture.trouble,
    }


def spots_document(
    spots: Iterable[Spot], by_id: Mapping[int, Picture], seen_afar: Mapping[int, Iterable[int]]
) -> list[dict[str, Any]]:
    """`spots --json`."""
    return [
        {
            "spot": spot.spot_id,
            "name": spot.name,
            "pictures": [
                {
                    **short_picture(by_id[picture_id]),
                    "taken": moment(by_id[picture_id].taken_at),
                    "clip_seconds": by_id[picture_id].clip_seconds,
                }
                for picture_id in spot.picture_ids
            ],
            "seen_afar_in": [picture_id for picture_id, seen in seen_afar.items() if spot.spot_id in seen],
        }
        for spot in spots
    ]


def pairs_document(pairs: Iterable[Pair], by_id: Mapping[int, Picture]) -> list[dict[str, Any]]:
    """`pairs --json`."""
    return [
        {
            "spot": pair.spot_id,
            "before": short_picture(by_id[pair.before_id]),
            "after": short_picture(by_id[pair.after_id]),
            "kind": pair.kind,
            "score": round(pair.score, 4),
        }
        for pair in pairs
    ]


def carried_document(proposals: Iterable[PinProposal], by_id: Mapping[int, Picture]) -> list[dict[str, Any]]:
    """The `carried` list of `pin --json`."""
    return [
        {
            **short_picture(by_id[proposal.picture_id]),
            "x": proposal.x_frac,
            "y": proposal.y_frac,
            "confidence": round(proposal.confidence, 4),
            "how": proposal.how,
            "gone": proposal.gone,
            "hidden": proposal.hidden,
        }
        for proposal in proposals
    ]


def pins_document(found: Iterable[Pin | PinProposal], by_id: Mapping[int, Picture]) -> list[dict[str, Any]]:
    """`pins --json`."""
    return [
        {
            **short_picture(by_id[pin.picture_id]),
            "end": pin.end,
            "x": pin.x_frac,
            "y": pin.y_frac,
            "w": pin.w_frac,
            "h": pin.h_frac,
            "source": pin.source,
            "confirmed": isinstance(pin, Pin),
            "confidence": 1.0 if isinstance(pin, Pin) else round(pin.confidence, 4),
            "gone": None if isinstance(pin, Pin) else pin.gone,
            "hidden": None if isinstance(pin, Pin) else pin.hidden,
        }
        for pin in found
    ]


def document_entry(document: Document) -> dict[str, Any]:
    """A document named within another document."""
    return {"document": document.document_id, "file": document.file, "what": document.what}


def gaps_document(gaps: Iterable[Gap]) -> list[dict[str, Any]]:
    """`gaps --json`."""
    return [
        {
            "gap": str(gap.kind),
            "tag": gap.number,
            "end": gap.end,
            "bag": gap.bag,
            "picture": gap.picture_id,
            "file": gap.file or None,
            "thing": gap.thing or None,
            "why": gap.why,
            "mendable": gap.mendable,
            "at_machine": gap.at_machine,
        }
        for gap in gaps
    ]
