"""Give clips to the camera that made them, where they do not say so themselves but their place on the card does."""

from __future__ import annotations

from dataclasses import dataclass, field

from asfound.actions.archive import Archive
from asfound.core.capture.camera import name_camera
from asfound.core.capture.series import OnCard, camera_of_series, usual_focal
from asfound.model.pictures import Clip, Picture
from asfound.store import jobs, pictures


@dataclass(slots=True)
class ClipCameras:
    """What a dump meets, until it is over and all neighbours of its clips are known."""

    archive: Archive
    job_id: int
    _others: list[OnCard] = field(default_factory=list)
    _silent: list[tuple[OnCard, int]] = field(default_factory=list)
    _any_clip: bool = False

    def meet(self, where: str, name: str, camera: str, clip_id: int | None) -> None:
        """A file of the card; `camera` is what its own details tell, empty for nothing."""
        self._any_clip |= clip_id is not None
        met = OnCard(where.rpartition("/")[0], name, camera)
        if clip_id is not None and not camera:
            self._silent.append((met, clip_id))
        else:
            self._others.append(met)

    def meet_again(self, where: str, name: str, earlier: Picture | Clip) -> None:
        """A file that the job had already."""
        names = {each.camera_id: each.name for each in jobs.list_cameras(self.archive.store, self.job_id)}
        camera = names.get(earlier.camera_id or 0, "")
        told = "" if camera == name_camera("", "", earlier.file) else camera
        self.meet(where, name, told, earlier.clip_id if isinstance(earlier, Clip) else None)

    def settle(self) -> dict[int, str]:
        """Give silent clips to their cameras; the camera's name by clip id.

        A camera named after file names only, of which a person said something, keeps what it has.
        """
        given = {
            clip_id: camera
            for met, clip_id in self._silent
            if (camera := camera_of_series(met, self._others)) and self._may_move(clip_id)
        }
        if given:
            with self.archive.store.transaction():
                for clip_id, camera in given.items():
                    pictures.give_clip_to_camera(
                        self.archive.store, clip_id, jobs.save_camera(self.archive.store, self.job_id, camera)
                    )
                jobs.drop_unused_cameras(self.archive.store, self.job_id)
        if self._any_clip:
            self._lend_focal_lengths()
        return given

    def _may_move(self, clip_id: int) -> bool:
        now = pictures.get_clip(self.archive.store, clip_id).camera_id
        known = {camera.camera_id: camera for camera in jobs.list_cameras(self.archive.store, self.job_id)}
        return now is None or not (known[now].corrections or known[now].also)

    def _lend_focal_lengths(self) -> None:
        """Frames say nothing of their lens; they take it over from their camera's photos."""
        shown = pictures.list_pictures(self.archive.store, self.job_id)
        frames = [picture for picture in shown if picture.kind == "frame" and picture.focal_35mm is None]
        for camera_id in {frame.camera_id for frame in frames if frame.camera_id is not None}:
            focal = usual_focal(p.focal_35mm for p in shown if p.kind == "photo" and p.camera_id == camera_id)
            if focal is not None:
                pictures.lend_focal_length(self.archive.store, camera_id, focal)
