"""Made the files beside it, once for each format as it came; one that is there is never made again.

python -m tests.data.formats.make
"""

from __future__ import annotations

import gzip
import tempfile
from pathlib import Path

from asfound.store import migrations
from asfound.store.database import Store

HERE = Path(__file__).parent
WRITTEN = """
INSERT INTO job(name, zone, front_means, created_at) VALUES
    ('Sallow', 'Europe/Amsterdam', 'belt end', '2025-10-11T09:00:00+02:00');
INSERT INTO setting(name, value) VALUES ('current job', '1');
INSERT INTO dump(job_id, started_at, sources) VALUES (1, '2025-10-18T12:00:00+02:00', 'card');
INSERT INTO original(digest, suffix, bytes, kind, stored_at) VALUES
    ('17', '.jpg', 4, 'photo', '2025-10-18T12:00:00+02:00');
INSERT INTO arrival(dump_id, digest, name, raw_name, modified_ns) VALUES (1, '17', 'P1_0001.jpg', x'50', 0);
INSERT INTO picture(job_id, dump_id, kind, file, digest, taken_local, offset_minutes, time_source, written_utc_s,
    width_px, height_px, orientation) VALUES
    (1, 1, 'photo', 'P1_0001.jpg', '17', '2025-10-18T09:42:11', 120, 'exif original', 1760773331, 400, 300, 1);
INSERT INTO step(at, words) VALUES ('2025-10-18T12:01:00+02:00', 'tag 17 written down');
INSERT INTO open_step VALUES (1);
INSERT INTO tag(job_id, number, nth, kind, name, created_at) VALUES
    (1, '17', 1, 'hose', 'raw water hose', '2025-10-18T12:01:00+02:00');
INSERT INTO tag_end(tag_id, "end", place) VALUES (1, 'A', 'sea cock');
INSERT INTO pin(tag_id, "end", picture_id, x_frac, y_frac, source, entered_at) VALUES
    (1, 'A', 1, 0.25, 0.75, 'hand', '2025-10-18T12:01:00+02:00');
INSERT INTO event(job_id, tag_id, kind, at, bag, entered_at) VALUES
    (1, 1, 'off', '2025-10-18T14:20:00+02:00', 'B4', '2025-10-18T14:21:00+02:00');
INSERT INTO hold_word(job_id, hold, at, by_whom) VALUES
    (1, 'before lift out', '2025-10-19T08:00:00+02:00', 'yard engineer');
DELETE FROM open_step
"""


def main() -> None:
    """Make what is not there yet."""
    known = migrations.MIGRATIONS
    for number in range(1, len(known) + 1):
        target = HERE / f"{number}.sqlite.gz"
        if target.exists():
            continue
        migrations.MIGRATIONS = known[:number]
        with tempfile.TemporaryDirectory() as place:
            with Store(Path(place, "asfound.sqlite")) as store, store.transaction():
                for statement in WRITTEN.split(";"):
                    store.run(statement.strip())
            target.write_bytes(gzip.compress(Path(place, "asfound.sqlite").read_bytes(), mtime=0))


if __name__ == "__main__":
    main()
