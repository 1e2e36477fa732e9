"""A network of the tests' own, where the server has an address as in a workshop.

A browser trusts 127.0.0.1 as it trusts TLS, and allows there what it refuses on a plain address of a local network.
"""

import ctypes
import fcntl
import os
import socket
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple

ADDRESS, LOOPBACK = "192.168.77.1", "127.0.0.1"
_NEW_NETWORK = 0x40000000  # CLONE_NEWNET of <linux/sched.h>
_SET_ADDRESS, _SET_FLAGS, _UP = 0x8916, 0x8914, 1  # SIOCSIFADDR, SIOCSIFFLAGS, IFF_UP of <linux/sockios.h>, <net/if.h>
_OF_THIS_THREAD = "/proc/thread-self/ns/net"


class Network(NamedTuple):
    """Where the tests serve."""

    host: str
    namespace: int  # an open file; −1: the network of this machine


def new_network() -> Network:
    """Make a network with one machine in it; the one of this machine is served in where nothing else is allowed."""
    libc = ctypes.CDLL(None, use_errno=True)
    with _coming_back(libc):
        if not hasattr(libc, "unshare") or libc.unshare(_NEW_NETWORK):
            return Network(LOOPBACK, -1)
        _raise("lo", LOOPBACK)
        _raise("lo:1", ADDRESS)
        return Network(ADDRESS, os.open(_OF_THIS_THREAD, os.O_RDONLY))


@contextmanager
def inside(network: Network) -> Iterator[None]:
    """What is listened on, and what is started, belongs to a network."""
    if network.namespace < 0:
        yield
        return
    libc = ctypes.CDLL(None, use_errno=True)
    with _coming_back(libc):
        _enter(libc, network.namespace)
        yield


@contextmanager
def _coming_back(libc: ctypes.CDLL) -> Iterator[None]:
    """Return to the network of before, also after a failure."""
    if not os.path.exists(_OF_THIS_THREAD):  # noqa: PTH110  # a link to no file
        yield
        return
    before = os.open(_OF_THIS_THREAD, os.O_RDONLY)
    try:
        yield
    finally:
        _enter(libc, before)
        os.close(before)


def _enter(libc: ctypes.CDLL, namespace: int) -> None:
    if libc.setns(namespace, _NEW_NETWORK) and ctypes.get_errno() != 1:  # where it is forbidden, nothing was left
        raise OSError(ctypes.get_errno(), "the network of the test cannot be entered")


def _raise(interface: str, address: str) -> None:
    """Give an interface its address and switch it on."""
    name = interface.encode()
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        told = struct.pack("16sHH4s8x", name, socket.AF_INET, 0, socket.inet_aton(address))
        fcntl.ioctl(asked, _SET_ADDRESS, told)
        fcntl.ioctl(asked, _SET_FLAGS, struct.pack("16sH14x", name, _UP))
