"""What is looked at before anything is kept on a disk: its kind, the place, the space left; and how a fault is told."""

import os
import re
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from errno import ENOSPC
from pathlib import Path
from typing import TypeAlias

from torqueaudit.book.errors import BookError

Mounts: TypeAlias = Sequence[tuple[str, str]]  # each mount point with its kind of file system, in order

RESERVE = 32 * 1024 * 1024  # bytes kept free: on a full disk SQLite's shared memory file can kill the process

# File systems by the names of the kernel, from memory, whose files another machine can change at the same time.
_NETWORK = frozenset(
    {
        "9p",
        "afs",
        "beegfs",
        "ceph",
        "cifs",
        "coda",
        "davfs",
        "drvfs",
        "fakeowner",
        "gfs2",
        "glusterfs",
        "gpfs",
        "lustre",
    }
    | {"ncpfs", "nfs", "nfs4", "ocfs2", "orangefs", "osxfs", "prl_fs", "smb3", "smbfs", "vboxsf", "virtiofs", "vmhgfs"}
)
# Of those that run as a program (`fuse.NAME`) most reach another machine. These lie on a disk of this one; what FUSE
# reads off a block device is called `fuseblk`.
_LOCAL_FUSE = frozenset(
    {"fuse.bindfs", "fuse.cryfs", "fuse.encfs", "fuse.exfat", "fuse.ext4", "fuse.fuse-overlayfs", "fuse.gocryptfs"}
    | {"fuse.mergerfs", "fuse.ntfs", "fuse.ntfs-3g", "fuse.securefs", "fuse.unionfs", "fuse.veracrypt", "fuse.zfs"}
)
_ROOTS = frozenset({"9p", "virtiofs"})  # how some hosts hand a container or a machine its own disk
_MOUNTS = Path("/proc/self/mountinfo")
_POINT = 4  # the fifth field is the mount point


def real(path: Path) -> Path:
    """The file itself where `path` is a symbolic link, so that all programs find the same files beside it."""
    return Path(os.path.realpath(path)) if path.is_symlink() else path


def check_disk(folder: Path, mounts: Mounts) -> None:
    """Refuse a network share: locks and flushed writes cannot be relied on there."""
    kind = network_share(str(folder.resolve()), mounts)
    if kind is not None:
        raise BookError(
            f"{folder} is a network share ({kind}), where a book can be damaged; keep it on this machine's own disk."
        )


def check_free(place: Path) -> None:
    """Refuse a place where something is already: nothing is ever written over. Raises BookError."""
    if place.exists() or place.is_symlink():
        raise BookError(f"{place} is there already; nothing was written over it. Give another name.")


def check_names(path: Path, mounts: Mounts) -> None:
    """Refuse a file that has a second name somewhere: each name would have a log and locks of its own beside it."""
    says = f"{path} is one file under several names"
    if path.stat().st_nlink > 1:
        raise BookError(f"{says} (a hard link), where what two programs write is lost; remove all names but one.")
    own = str(path.resolve())
    if any(point == own for point, _ in mounts):
        raise BookError(f"{says} (mounted alone), where what two programs write is lost; mount its folder instead.")


def check_space(folder: str | Path, reserve: int, outcome: str = "nothing was recorded") -> None:
    """Refuse to write when fewer than `reserve` bytes are free; `outcome` is what did not happen for it."""
    free = _free_on(folder)
    if free < reserve:
        raise BookError(
            f"Only {free // 1024**2} MiB are free on the disk of {folder} and {-(-reserve // 1024**2)} MiB must stay "
            f"free; {outcome}. Free some space and do it again."
        )


def _free_on(folder: str | Path) -> int:
    """How many bytes whoever writes may still take."""
    if sys.platform == "win32":
        from shutil import disk_usage  # slow to load: it brings readers of archives with it

        return disk_usage(folder).free
    disk = os.statvfs(folder)
    return disk.f_bavail * disk.f_frsize


@contextmanager
def told_of_disk(place: Path, outcome: str) -> Iterator[None]:
    """Tell what its disk says of a place, and what came of it, in a sentence. Raises BookError."""
    try:
        yield
    except OSError as error:
        why = f"{error.strerror}: {error.filename}" if error.filename else error.strerror
        says = "is full" if error.errno == ENOSPC else f"does not take it ({why})"
        raise BookError(f"The disk that holds {place} {says}; {outcome}.") from error


def network_share(folder: str, mounts: Mounts) -> str | None:
    """The file system's name if `folder` (absolute, resolved) lies on a network share, else None.

    Of the mount points above the folder the longest holds it, and of two on one point the later.
    """
    deepest, kind = "", ""
    for point, name in mounts:
        if _lies_in(folder, point) and len(point) >= len(deepest):
            deepest, kind = point, name
    if deepest == "/" and kind in _ROOTS:
        return None
    fuse = kind == "fuse" or (kind.startswith("fuse.") and kind not in _LOCAL_FUSE)
    return kind if fuse or kind in _NETWORK else None


def mounts_here() -> Mounts:
    """What is mounted on this machine; nothing where no kernel tells it."""
    return mounts_in(_MOUNTS.read_text(errors="surrogateescape")) if _MOUNTS.exists() else []


def mounts_in(mountinfo: str) -> Mounts:
    """What the text of /proc/self/mountinfo says (proc(5))."""
    mounts = []
    for line in mountinfo.splitlines():
        before, _, behind = line.partition(" - ")
        fields = before.split(" ")
        if len(fields) > _POINT and behind:
            point = re.sub(r"\\([0-7]{3})", lambda octal: chr(int(octal[1], 8)), fields[_POINT])
            mounts.append((point, behind.split(" ")[0]))
    return mounts


def _lies_in(folder: str, point: str) -> bool:
    return folder == point or folder.startswith(point.rstrip("/") + "/")
