"""A real disk that is small, in memory, where the machine lets the tests mount one."""

import os
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

NOT_HERE = "No disk could be mounted (it takes root): full disks were tried by the database's own limit only."


@contextmanager
def small_disk(folder: Path, kilobytes: int) -> Iterator[Path]:
    """Mount a disk of that size over a folder."""
    folder.mkdir(exist_ok=True)
    size = f"size={kilobytes}k,mode=700"
    subprocess.run(
        ["mount", "-t", "tmpfs", "-o", size, "tmpfs", str(folder)], check=True, capture_output=True
    )
    try:
        yield folder
    finally:
        # Lazily: what a failed test still holds open may not keep the disk for ever.
        subprocess.run(["umount", "--lazy", str(folder)], check=True, capture_output=True)


def leave(folder: Path, kilobytes: int) -> Path:
    """Fill a disk but for so much, and give the file that fills it."""
    found = os.statvfs(folder)
    ballast = folder / "ballast"
    ballast.write_bytes(bytes(max(0, found.f_bavail * found.f_frsize - kilobytes * 1024)))
    return ballast


def set_read_only(folder: Path, is_read_only: bool) -> None:
    """Let nothing be written to a mounted disk, or let it again."""
    way = "remount,ro" if is_read_only else "remount,rw"
    subprocess.run(["mount", "-o", way, str(folder)], check=True, capture_output=True)


def _may_mount() -> bool:
    with tempfile.TemporaryDirectory(prefix="upstand-disk-") as name:
        try:
            with small_disk(Path(name), 64):
                return True
        except (OSError, subprocess.CalledProcessError):
            return False


MAY_MOUNT = _may_mount()
