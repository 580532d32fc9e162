"""Which look-alike is folded behind which picture: a person's word."""

from __future__ import annotations

from asfound.store.database import Store


def put_behind(store: Store, picture_id: int, front_id: int) -> None:
    """Say that a picture is behind another, or with its own id that it stands alone."""
    store.run(
        "INSERT INTO behind(picture_id, front_id) VALUES (?, ?) ON CONFLICT DO UPDATE SET front_id = excluded.front_id",
        *(picture_id, front_id),
    )


def load_behind(store: Store, job_id: int) -> dict[int, int]:
    """Picture to the one it is behind, itself where it stands alone; those of which nothing was said are left out."""
    rows = store.rows(
        "SELECT picture_id, front_id FROM behind JOIN picture USING (picture_id) WHERE job_id = ?", job_id
    )
    return {row["picture_id"]: row["front_id"] for row in rows}
