"""Add a dump: bring the photos and clips of a phone or card into the archive.

Order is what keeps a dump safe to interrupt anywhere: each original is durably in the archive before a row speaks of
it, rows are committed about ten at a time, and previews come last, for they can be made again. A run that was stopped
leaves at most originals without rows; the next run finds them by their bytes and goes on.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from asfound.actions.archive import Archive
from asfound.actions.clip_cameras import ClipCameras
from asfound.actions.dump_report import AddedFile, DumpReport, KnownFile, RefusedFile
from asfound.actions.frame import frame_name
from asfound.actions.progress import Progress, quiet
from asfound.archive.atomic import sweep_drafts
from asfound.archive.cache import put_cached
from asfound.archive.put import Put, clean_suffix, put_original
from asfound.core.capture.camera import name_camera
from asfound.errors import Refused
from asfound.media.inspect import Inspected, Inspection
from asfound.media.limits import DEFAULT_LIMITS, Limits, trouble_of
from asfound.media.met import FoundDocument, FoundFile, NotTaken, PassedOver
from asfound.media.opening import MediaDetails
from asfound.media.source import walk
from asfound.media.thumbnails import Derived
from asfound.media.workers import Inspectors, workers_for
from asfound.model.capture import Taken
from asfound.model.pictures import Clip, Picture
from asfound.store import jobs, pictures
from asfound.store.documents import list_documents

__all__ = ["AddedFile", "DumpReport", "KnownFile", "RefusedFile", "add_dump"]

FILES_PER_COMMIT = 10
SECONDS_PER_COMMIT = 5.0


@dataclass(frozen=True, slots=True)
class _Kept:
    """A file whose bytes are durably in the archive, waiting to be written down."""

    found: FoundFile
    put: Put


def never() -> bool:
    """For dumps that nobody stops."""
    return False


def add_dump(
    archive: Archive,
    sources: Iterable[Path],
    *,
    progress: Progress = quiet,
    watch: Callable[[str, DumpReport], None] = lambda file, report: None,
    stopped: Callable[[], bool] = never,
    limits: Limits = DEFAULT_LIMITS,
    workers: int | None = None,
) -> DumpReport:
    """Add files, folders and zips to the archive's job.

    Parameters
    ----------
    progress : callable
        Told of each file.
    watch : callable
        Given the name of the file at hand and the report so far, in the thread of the caller.
    stopped : callable
        Asked between files; when it says True, what is done is written down and the dump ends. Ctrl-C does the same.
    workers : int or None
        Processes that decode; 0 decodes in this one. None chooses by the number of files.

    Raises
    ------
    NotFound
        If the archive has no job yet.
    ArchiveTrouble
        If the archive cannot be written. Everything acknowledged until then is safe.
    """
    job = archive.job
    sweep_drafts(archive.layout.originals)
    found, report = _look_through(archive, list(sources), limits)
    count = workers_for(len(found)) if workers is None else workers
    with Inspectors(count, limits=limits) as inspectors:
        dump = _Dump(archive, job.job_id, job.zone, report, progress, watch, stopped)
        dump.run(found, inspectors)
    if not report.stopped:
        with archive.store.transaction():
            jobs.finish_dump(archive.store, report.dump_id, archive.now())
    return report


def _look_through(archive: Archive, sources: list[Path], limits: Limits) -> tuple[list[FoundFile], DumpReport]:
    """Everything in the sources that looks like media, and a report that has the rest."""
    job_id, at = archive.job.job_id, archive.now()
    # Nothing is read inside: a transaction that reads first cannot wait for another process that writes.
    with archive.store.transaction():
        words = "\n".join(str(source).encode("utf-8", "replace").decode("utf-8") for source in sources)
        report = DumpReport(jobs.start_dump(archive.store, job_id, words, at))
    found: list[FoundFile] = []
    for met in walk(sources, limits=limits, avoid=archive.folder):
        match met:
            case FoundFile():
                found.append(met)
            case PassedOver():
                report.passed_over[met.why] += 1
            case FoundDocument():
                report.documents.append(met)
            case NotTaken():
                report.refused.append(RefusedFile(met.name, met.where, met.reason))
    report.total = len(found) + len(report.refused)
    return found, report


class _Dump:
    """One dump under way: originals go in as fast as the decoders take them, rows follow in batches."""

    def __init__(
        self,
        archive: Archive,
        job_id: int,
        zone: str,
        report: DumpReport,
        progress: Progress,
        watch: Callable[[str, DumpReport], None],
        stopped: Callable[[], bool],
    ) -> None:
        self.archive, self.job_id, self.zone, self.report = archive, job_id, zone, report
        self.progress, self.watch, self.stopped = progress, watch, stopped
        self.waiting: deque[_Kept] = deque()
        self.batch: list[tuple[_Kept, Inspected]] = []
        self.digests: set[str] = set()
        self.committed_at = time.monotonic()
        self.clips = ClipCameras(archive, job_id)

    def run(self, found: list[FoundFile], inspectors: Inspectors) -> None:
        """Add every file; what is done is written down even if this ends with an error."""
        try:
            for outcome in inspectors.map(self._put_each(found)):
                kept = self.waiting.popleft()
                if isinstance(outcome, Refused):
                    outcome = Inspected(None, trouble=trouble_of(outcome))
                self.batch.append((kept, outcome))
                late = time.monotonic() - self.committed_at > SECONDS_PER_COMMIT
                if len(self.batch) >= FILES_PER_COMMIT or late:
                    self._commit()
        except KeyboardInterrupt:
            self.report.stopped = True
        finally:
            self._commit()
        given = self.clips.settle()
        self.report.added = [
            replace(each, camera=given.get(each.clip_id or 0, each.camera)) for each in self.report.added
        ]

    def _put_each(self, found: list[FoundFile]) -> Iterator[Inspection]:
        """Make each file durable and hand it on; known and refused ones end here."""
        for each in found:
            if self.stopped():
                self.report.stopped = True
                return
            self._tell(each.name)
            try:
                with each.open() as source:
                    put = put_original(self.archive.layout, source, clean_suffix(each.name))
            except Refused as refusal:
                self.report.refused.append(RefusedFile(each.name, each.where, str(refusal)))
                continue
            if self._is_known(each, put):
                continue
            self.digests.add(put.digest_sha256)
            self.waiting.append(_Kept(each, put))
            yield Inspection(str(put.path), each.name, self.zone, each.modified, self.archive.now())

    def _tell(self, file: str) -> None:
        done = self.report.done + len(self.waiting) + len(self.batch)
        self.progress(f"adding {file}", done, self.report.total)
        self.watch(file, self.report)

    def _is_known(self, found: FoundFile, put: Put) -> bool:
        """Whether the job has these bytes, or will have with the next batch; tells of it if so."""
        digest = put.digest_sha256
        earlier = self._find_row(digest)
        if earlier is None and self._is_document(digest):
            self.report.known_documents.append(found.name)
            return True
        if earlier is None and digest not in self.digests:
            return False
        self.report.known.append(_known(found, earlier, came_back=not put.already))
        if earlier is not None:
            self.clips.meet_again(found.where, found.name, earlier)
        if earlier is not None and earlier.file != found.name:
            with self.archive.store.transaction():
                self._save_arrival(found, digest)
        return True

    def _is_document(self, digest: str) -> bool:
        """Whether a file is kept as a document already; it does not become a picture by being met on a card."""
        return any(one.digest == digest for one in list_documents(self.archive.store, self.job_id))

    def _find_row(self, digest: str) -> Picture | Clip | None:
        store = self.archive.store
        return pictures.find_picture_by_digest(store, self.job_id, digest) or pictures.find_clip_by_digest(
            store, self.job_id, digest
        )

    def _commit(self) -> None:
        """Write down what was inspected, all or nothing, then keep its previews."""
        batch, self.batch = self.batch, []
        added: list[AddedFile] = []
        known: list[KnownFile] = []
        refused: list[RefusedFile] = []
        with self.archive.store.transaction():
            for kept, outcome in batch:
                self._save_original(kept)
                # Asked again now that the database is ours: another dump may have been quicker.
                earlier = self._find_row(kept.put.digest_sha256)
                if earlier is not None:
                    known.append(_known(kept.found, earlier))
                elif outcome.details is None:
                    refused.append(RefusedFile(kept.found.name, kept.found.where, outcome.trouble, kept=True))
                elif outcome.details.kind == "photo":
                    added.append(self._save_photo(kept, outcome, outcome.details))
                else:
                    added.append(self._save_clip(kept, outcome, outcome.details))
        for kept, outcome in batch:
            self._meet(kept, outcome)
        # Only now are they safe.
        self.report.added += added
        self.report.known += known
        self.report.refused += refused
        self.committed_at = time.monotonic()
        for kept, outcome in batch:
            self._keep_derived(kept, outcome)
        if batch:
            self.watch(batch[-1][0].found.name, self.report)

    def _meet(self, kept: _Kept, outcome: Inspected) -> None:
        row = self._find_row(kept.put.digest_sha256)
        if row is not None and outcome.details is not None:
            told = name_camera(outcome.details.capture.make, outcome.details.capture.model, "")
            clip_id = row.clip_id if isinstance(row, Clip) else None
            self.clips.meet(kept.found.where, kept.found.name, told, clip_id)

    def _save_original(self, kept: _Kept) -> None:
        pictures.save_original(
            self.archive.store,
            digest=kept.put.digest_sha256,
            suffix=kept.put.path.suffix,
            size_bytes=kept.put.bytes,
            kind=kept.found.format.kind,
            stored_at=self.archive.now(),
        )
        self._save_arrival(kept.found, kept.put.digest_sha256)

    def _save_arrival(self, found: FoundFile, digest: str) -> None:
        pictures.save_arrival(
            self.archive.store,
            dump_id=self.report.dump_id,
            digest=digest,
            name=found.name,
            raw_name=found.raw_name,
            modified_ns=round(found.modified.timestamp() * 1e9),
        )

    def _save_photo(self, kept: _Kept, outcome: Inspected, details: MediaDetails) -> AddedFile:
        camera = name_camera(details.capture.make, details.capture.model, kept.found.name)
        derived = outcome.derived
        picture_id = pictures.save_picture(
            self.archive.store,
            pictures.NewPicture(
                job_id=self.job_id,
                dump_id=self.report.dump_id,
                kind="photo",
                file=kept.found.name,
                digest=kept.put.digest_sha256,
                camera_id=self._camera_id(camera),
                taken=details.capture.taken,
                width_px=details.width_px,
                height_px=details.height_px,
                orientation=details.capture.orientation,
                focal_35mm=details.capture.focal_35mm,
                phash=derived.phash if derived else None,
                sharpness=derived.sharpness if derived else None,
                trouble=outcome.trouble or None,
            ),
        )
        taken = details.capture.taken
        return AddedFile(kept.found.name, "photo", picture_id, None, taken, camera, trouble=outcome.trouble)

    def _save_clip(self, kept: _Kept, outcome: Inspected, details: MediaDetails) -> AddedFile:
        camera = name_camera(details.capture.make, details.capture.model, kept.found.name)
        taken = details.capture.taken
        clip_id = pictures.save_clip(
            self.archive.store,
            pictures.NewClip(
                job_id=self.job_id,
                dump_id=self.report.dump_id,
                file=kept.found.name,
                digest=kept.put.digest_sha256,
                camera_id=self._camera_id(camera),
                taken=taken,
                duration_s=details.duration_s or 0.0,
                width_px=details.width_px,
                height_px=details.height_px,
                rotation_deg=details.rotation_deg,
                trouble=outcome.trouble or None,
            ),
        )
        for frame in outcome.frames:
            pictures.save_picture(
                self.archive.store,
                pictures.NewPicture(
                    job_id=self.job_id,
                    dump_id=self.report.dump_id,
                    kind="frame",
                    file=frame_name(kept.found.name, frame.seconds),
                    digest=None,
                    camera_id=self._camera_id(camera),
                    taken=_later(taken, frame.seconds),
                    width_px=details.width_px,
                    height_px=details.height_px,
                    phash=frame.derived.phash,
                    sharpness=frame.derived.sharpness,
                    clip_id=clip_id,
                    clip_seconds=frame.seconds,
                ),
            )
        frames = len(outcome.frames)
        return AddedFile(kept.found.name, "clip", None, clip_id, taken, camera, frames, outcome.trouble)

    def _camera_id(self, name: str) -> int | None:
        return jobs.save_camera(self.archive.store, self.job_id, name) if name else None

    def _keep_derived(self, kept: _Kept, outcome: Inspected) -> None:
        digest = kept.put.digest_sha256
        if outcome.derived is not None:
            self._keep(digest, outcome.derived)
        for frame in outcome.frames:
            self._keep(f"{digest}-{round(frame.seconds * 1000)}", frame.derived)

    def _keep(self, key: str, derived: Derived) -> None:
        put_cached(self.archive.layout, "preview", f"{key}.jpg", derived.preview_jpeg)
        put_cached(self.archive.layout, "thumb", f"{key}.jpg", derived.thumbnail_jpeg)


def _known(found: FoundFile, earlier: Picture | Clip | None, *, came_back: bool = False) -> KnownFile:
    picture_id = earlier.picture_id if isinstance(earlier, Picture) else None
    clip_id = earlier.clip_id if isinstance(earlier, Clip) else None
    trouble = "" if earlier is None else earlier.trouble or ""
    return KnownFile(found.name, picture_id, clip_id, trouble, came_back)


def _later(taken: Taken | None, seconds: float) -> Taken | None:
    """The time of a frame, from that of its clip."""
    return None if taken is None else replace(taken, local=taken.local + timedelta(seconds=seconds))
