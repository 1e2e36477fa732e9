"""A network of this process's own, in which a workshop's server has the address that it has on a plain LAN.

127.0.0.1 counts as secure in a browser, and hides what plain http lacks; an address of a private network does not.
"""

import ctypes
import fcntl
import os
import socket
import struct
import sys
from collections.abc import Iterator
from contextlib import contextmanager

HERE, LOOPBACK = "192.168.77.1", "127.0.0.1"
CLONE_NEWNET = 0x40000000  # sched.h of Linux
SIOCSIFADDR, SIOCGIFFLAGS, SIOCSIFFLAGS, UP = 0x8916, 0x8913, 0x8914, 1  # sockios.h and if.h


class NoNetwork(Exception):
    """This machine lets nobody make a network; the sentence says why."""


@contextmanager
def own_network() -> Iterator[str]:
    """Let this thread, and all that it starts, live in a network of their own; its address. Raises NoNetwork."""
    if sys.platform != "linux":
        raise NoNetwork("networks of one's own are known on Linux alone")
    libc = ctypes.CDLL(None, use_errno=True)
    before = os.open("/proc/thread-self/ns/net", os.O_RDONLY)
    try:
        if libc.unshare(CLONE_NEWNET):
            raise NoNetwork(f"no network of its own can be made here: {os.strerror(ctypes.get_errno())}")
        try:
            _address(HERE)
            yield HERE
        finally:
            libc.setns(before, CLONE_NEWNET)
    finally:
        os.close(before)


def _address(address: str) -> None:
    """Wake the loopback, and give it one address more."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as any_socket:
        name = b"lo".ljust(16, b"\0")
        flags = struct.unpack_from("16sH", fcntl.ioctl(any_socket, SIOCGIFFLAGS, name + bytes(24)))[1]
        fcntl.ioctl(any_socket, SIOCSIFFLAGS, struct.pack("16sH22x", b"lo", flags | UP))
        told = struct.pack("16sHH4s16x", b"lo:1", socket.AF_INET, 0, socket.inet_aton(address))
        fcntl.ioctl(any_socket, SIOCSIFADDR, told)
