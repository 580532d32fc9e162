"""Where things lie in an archive: a plain folder that stays readable without this program."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from asfound.archive.atomic import save_bytes

CACHE_KINDS = ("preview", "thumb", "features", "scene", "screens")

README = """\
This folder is an archive of photos and clips of a machine that was taken apart, made by asfound.

originals/      Every photo and clip, byte for byte as it came from the camera. The name of each is its SHA-256 digest;
                the two letters of its folder are the digest's first two. Any viewer opens them. Never change them.
asfound.sqlite  One SQLite database: file names, times, tag numbers, pins, what came off and went back.
cache/          Smaller pictures and the like. May be deleted; it is made again.

To copy the archive, copy this whole folder while the program is not running.
To check an original by hand: the output of "sha256sum FILE" must begin with the file's own name.
"""


@dataclass(frozen=True, slots=True)
class Layout:
    """Paths inside one archive.

    Attributes
    ----------
    folder : Path
        The archive itself.
    """

    folder: Path

    @property
    def originals(self) -> Path:
        """Folder of the originals."""
        return self.folder / "originals"

    @property
    def database(self) -> Path:
        """The SQLite file."""
        return self.folder / "asfound.sqlite"

    @property
    def cache(self) -> Path:
        """Folder of what can be made again."""
        return self.folder / "cache"

    @property
    def readme(self) -> Path:
        """The note to a stranger."""
        return self.folder / "README.txt"

    def original(self, digest: str, suffix: str) -> Path:
        """Where an original lies: ``originals/ab/abcdef....jpg``."""
        return self.originals / digest[:2] / f"{digest}{suffix}"

    def cached(self, kind: str, name: str) -> Path:
        """Where something made lies; `kind` is one of `CACHE_KINDS`, `name` mostly begins with a digest."""
        return self.cache / kind / name[:2] / name


def make_layout(folder: Path) -> Layout:
    """Make an archive's folders and its note to a stranger; a second time changes nothing."""
    layout = Layout(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    # The photos say where a person lives and what stands there: nobody else at this computer need see them.
    folder.mkdir(mode=0o700, exist_ok=True)
    layout.originals.mkdir(exist_ok=True)
    for kind in CACHE_KINDS:
        (layout.cache / kind).mkdir(parents=True, exist_ok=True)
    if not layout.readme.exists():
        save_bytes(layout.readme, README.encode("utf-8"))
    return layout


def holds_originals(layout: Layout) -> bool:
    """Whether any original lies in an archive."""
    return next((place for place in layout.originals.glob("??/*") if place.is_file()), None) is not None
