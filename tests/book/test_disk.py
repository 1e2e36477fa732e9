"""A disk of this machine and a network share are told apart."""

import pytest

from torqueaudit.book.disk import network_share

MOUNTS = r"""
22 27 0:21 / /proc rw,relatime - proc proc rw
27 1 254:0 / / rw,relatime - ext4 /dev/vda rw
40 27 0:50 / /srv rw shared:1 - nfs4 host:/srv rw
41 40 254:1 / /srv/own rw - ext4 /dev/vdb rw
42 27 0:51 / /mnt/the\040yard rw - cifs //host/yard rw
43 27 0:52 / /home/a rw - fuse.sshfs a@host: rw
44 27 0:53 / /twice rw - ext4 /dev/vdc rw
45 44 0:54 / /twice rw - nfs host:/t rw
46 27 0:55 / /mnt/c rw - 9p drvfs rw
"""


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("/work", None),
        ("/srv/books", "nfs4"),
        ("/srv", "nfs4"),
        ("/srvx", None),
        ("/srv/own/books", None),
        ("/mnt/the yard", "cifs"),
        ("/home/a/b", "fuse.sshfs"),
        ("/twice", "nfs"),
        ("/mnt/c/books", "9p"),
    ],
)
def test_a_network_share_is_known_by_its_mount(folder: str, kind: str | None) -> None:
    """Outside check: the fields of /proc/self/mountinfo as proc(5) gives them; the lines are invented."""
    assert kind == network_share(folder, MOUNTS)


def test_a_root_handed_in_by_a_container_host_is_no_network_share() -> None:
    """And without any mountinfo there is nothing to say."""
    assert network_share("/work", "1 0 0:1 / / rw - 9p root rw") is None
    assert network_share("/work", "") is None
