"""A disk of this machine and a network share are told apart."""

import pytest

from torqueaudit.book.disk import mounts_in, network_share

# As the kernel writes them on machines of these kinds (from memory; hosts, folders and numbers are invented).
MOUNTS = r"""
22 27 0:21 / /proc rw,relatime - proc proc rw
27 1 254:0 / / rw,relatime - ext4 /dev/vda rw
40 27 0:50 / /srv rw,relatime shared:1 - nfs4 host:/srv rw,vers=4.2,rsize=1048576,hard,proto=tcp,sec=sys
41 40 254:1 / /srv/own rw - ext4 /dev/vdb rw
42 27 0:51 / /mnt/the\040yard rw,relatime - cifs //host/yard rw,vers=3.1.1,cache=strict,soft
43 27 0:52 / /home/a rw,nosuid,nodev,relatime shared:311 - fuse.sshfs a@host: rw,user_id=1000,group_id=1000
44 27 0:53 / /twice rw - ext4 /dev/vdc rw
45 44 0:54 / /twice rw - nfs host:/t rw
46 27 0:55 / /mnt/c rw,noatime - 9p C:\134 rw,dirsync,aname=drvfs;path=C:\;uid=1000;gid=1000,access=client,trans=fd
47 27 0:56 / /vm rw,relatime - virtiofs share rw
48 27 0:57 / /run/user/1000/gvfs rw,nosuid,nodev,relatime shared:620 - fuse.gvfsd-fuse gvfsd-fuse rw,user_id=1000
49 27 0:58 / /cloud rw,nosuid,nodev,relatime - fuse.rclone remote: rw,user_id=0,group_id=0
50 27 8:17 / /media/stick rw,nosuid,nodev,relatime shared:90 - fuseblk /dev/sdb1 rw,user_id=0,blksize=4096
51 27 0:59 / /pool rw,relatime - fuse.mergerfs a:b rw,user_id=0,allow_other
52 27 0:60 / /nas rw,relatime - smb3 //host/nas rw,vers=3.1.1
53 27 0:61 / /odd rw,relatime - fuse something rw,user_id=0
54 27 0:50 /books /bound rw,relatime shared:1 - nfs4 host:/srv rw,vers=4.2
55 27 254:0 /work/books /data rw,relatime - ext4 /dev/vda rw
56 27 0:62 / /zfs rw,relatime - zfs tank/yard rw,xattr
57 27 0:63 / /host rw,relatime - fuse.grpcfuse grpcfuse rw,user_id=0
58 27 0:64 / /ram rw,nosuid - tmpfs tmpfs rw
59 27 0:65 / /shared rw,nodev,relatime - vboxsf shared rw,iocharset=utf8
60 27 0:66 / /layered rw,relatime - overlay overlay rw,lowerdir=/a,upperdir=/b,workdir=/c
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
        ("/vm/books", "virtiofs"),
        ("/run/user/1000/gvfs/smb-share:server=host", "fuse.gvfsd-fuse"),
        ("/cloud", "fuse.rclone"),
        ("/media/stick", None),
        ("/pool/books", None),
        ("/nas", "smb3"),
        ("/odd", "fuse"),
        ("/bound", "nfs4"),
        ("/data", None),
        ("/zfs/books", None),
        ("/host/yard", "fuse.grpcfuse"),
        ("/ram", None),
        ("/shared", "vboxsf"),
        ("/layered", None),
    ],
)
def test_a_network_share_is_known_by_its_mount(folder: str, kind: str | None) -> None:
    """Outside check: the fields of /proc/self/mountinfo as proc(5) gives them."""
    assert kind == network_share(folder, mounts_in(MOUNTS))


def test_a_root_handed_in_by_a_container_host_is_no_network_share() -> None:
    """And without any mountinfo there is nothing to say."""
    assert network_share("/work", mounts_in("1 0 0:1 / / rw - 9p root rw")) is None
    assert network_share("/work", mounts_in("1 0 0:1 / / rw - virtiofs root rw")) is None
    assert network_share("/work", mounts_in("1 0 0:1 / / rw - nfs host:/root rw")) == "nfs"
    assert network_share("/work", mounts_in("")) is None
