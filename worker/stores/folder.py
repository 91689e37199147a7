"""A pack store in a folder of this machine, or of a share that all workers see.

A file is written beside its place, flushed to the disk and then renamed, and the folder is
flushed too: after a power cut there is the whole file or none (POSIX rename is atomic).
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Final

from schemas.errors import NotNow
from worker.fail_points import passing
from worker.stores import Damaged, name_of, proved

HALF_WRITTEN: Final = ".half-"

LONG_AGO: Final = 3600.0
"""A half file untouched for so long has no writer: no work on one job or bundle lasts so long,
and a share's clock is not an hour out. Were it so, the writer would be told to try again. [s]"""


@dataclass(frozen=True, slots=True)
class FolderStore:
    """Files under `sha256/ab/abcd...`."""

    root: Path

    def path(self, name: str) -> Path:
        """Where the file of that name stands."""
        return self.root / "sha256" / name[:2] / name

    def put(self, content: bytes) -> str:
        """Keep a file; its name is its SHA-256 in hexadecimal.

        Raises:
            NotNow: The disk is full, gone, or may not be written.
        """
        name = name_of(content)
        if not self._stands(name):
            write_whole(self.path(name), content)
        return name

    def get(self, name: str) -> bytes:
        """The file of that name, proved.

        Raises:
            Damaged: It is not there, or is not what its name says.
        """
        try:
            content = self.path(name).read_bytes()
        except OSError as gone:
            raise Damaged(name) from gone
        return proved(content, name)

    def tidy(self, *, now_ms: int) -> int:
        """Take away what dead writers left half written long ago; the number of files.

        Args:
            now_ms: Milliseconds since 1970.

        Raises:
            NotNow: The disk is gone, or may not be written.
        """
        return take_half_files(self.root, "sha256/*", until=now_ms / 1000 - LONG_AGO)

    def _stands(self, name: str) -> bool:
        try:
            self.get(name)
        except Damaged:
            return False
        return True


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that nobody ever sees half of it.

    Raises:
        NotNow: The disk is full, gone, or may not be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=path.parent, prefix=HALF_WRITTEN, delete=False) as half:
            try:
                half.write(content)
                half.flush()
                os.fsync(half.fileno())
                passing("written")
                Path(half.name).replace(path)
                passing("renamed")
            except BaseException:
                Path(half.name).unlink(missing_ok=True)
                raise
        flush_folder(path.parent)
    except OSError as no:
        msg = f"{path} cannot be written: {no}"
        raise NotNow(msg) from no


def take_half_files(root: Path, folders: str, *, until: float) -> int:
    """Take away half-written files that nobody writes any more; how many.

    Args:
        root: Where to look.
        folders: Pattern of the folders below it.
        until: Untouched since then. [s since 1970]

    Raises:
        NotNow: The disk is gone, or may not be written.
    """
    try:
        left = [
            path
            for path in root.glob(f"{folders}/{HALF_WRITTEN}*")
            if path.stat().st_mtime <= until
        ]
        for path in left:
            path.unlink(missing_ok=True)
    except FileNotFoundError:  # its writer was quicker
        return 0
    except OSError as no:
        msg = f"{root} cannot be tidied: {no}"
        raise NotNow(msg) from no
    return len(left)


def flush_folder(folder: Path) -> None:
    """Make a rename survive a power cut."""
    fd = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)
