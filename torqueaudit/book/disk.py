"""What is looked at before anything is kept on a disk: its kind, and the space left; and how it is kept for good.

What is said to be written has been flushed, the file and then the folder that holds its name: a power cut takes neither
back.
"""

import os
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import IO, TypeAlias

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
    from shutil import disk_usage  # brings readers of archives with it, and only whoever writes asks

    free = disk_usage(folder).free
    if free < reserve:
        raise BookError(
            f"Only {free // 1024**2} MiB are free on the disk of {folder} and {-(-reserve // 1024**2)} MiB must stay "
            f"free; {outcome}. Free some space and do it again."
        )


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


def write_whole(target: Path, data: bytes) -> None:
    """Write a file that is found whole or not at all, and stays. Raises OSError, and leaves what was there."""
    write_all({target: data})


def write_all(files: Mapping[Path, bytes]) -> None:
    """Write several such files: all of them are on the disk before the first one gets its name.

    Raises OSError with the file that was to be written.
    """
    parts: dict[Path, Path] = {}
    target = Path()
    try:
        for target, data in files.items():
            parts[target] = _written_beside(target, data)
        for target in files:
            rename(parts[target], target)
            del parts[target]
    except OSError as error:
        raise OSError(error.errno, error.strerror or str(error), str(target)) from error
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)


def _written_beside(target: Path, data: bytes) -> Path:
    import tempfile  # brings much with it, and few commands write a file

    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            flush(file)
        part.chmod(0o644)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return part


def make_folder(folder: Path) -> None:
    """Make a folder, and those above it, that stay; nothing where it is there. Raises OSError."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    for each in missing:
        flush_folder(each.parent)


def copy_file(source: Path, target: Path) -> None:
    """Copy a file with its rights and flush it; its name is flushed with its folder. Raises OSError."""
    import shutil  # brings readers of archives with it, and few commands copy a file

    with source.open("rb") as read, target.open("xb") as written:
        shutil.copyfileobj(read, written)
        flush(written)
    shutil.copymode(source, target)


def copy_folder(source: Path, target: Path) -> None:
    """Copy a folder with all that is in it, half-written files left out, and flush all of it. Raises OSError."""
    target.mkdir()
    for each in sorted(source.iterdir()):
        if each.is_dir():
            copy_folder(each, target / each.name)
        elif each.suffix != ".part":
            copy_file(each, target / each.name)
    flush_folder(target)


def rename(part: Path, target: Path) -> None:
    """Give a flushed file or folder its name for good, over a file that has it already. Raises OSError."""
    part.replace(target)
    flush_folder(target.parent)


def flush(file: IO[bytes]) -> None:
    """Bring what was written into an open file to the disk."""
    file.flush()
    os.fsync(file.fileno())


def flush_folder(folder: Path) -> None:
    """Bring the names in a folder to the disk, where folders can be flushed (not on Windows)."""
    if os.name == "nt":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
