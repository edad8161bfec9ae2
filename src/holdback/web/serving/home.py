"""Addresses of this computer in the home network, and who counts as being in it."""

from __future__ import annotations

import ipaddress
import socket
from contextlib import suppress

LOOPBACK = "127.0.0.1"
LOOPBACK_NAMES = ("localhost", LOOPBACK, "[::1]")
_PRIVATE = tuple(ipaddress.ip_network(one) for one in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "fc00::/7"))
_TOLD = "192.0.2.1"
"""An address that nobody has (RFC 5737): asking the way there tells the own address, and sends nothing."""


def home_addresses() -> list[str]:
    """Private addresses (IPv4) of this computer, the one that leads out first; empty where it is in no network."""
    found: list[str] = []
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        asked.connect((_TOLD, 9))  # fails where there is no way out: the names below may still tell an address
        found.append(str(asked.getsockname()[0]))
    with suppress(OSError):  # a name that nobody resolves has no address
        found += [str(each[4][0]) for each in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return [one for one in dict.fromkeys(found) if is_home(one) and not ipaddress.ip_address(one).is_loopback]


def local_name() -> str:
    """Name by which home networks find this computer (RFC 6762), such as ``barn.local``; empty where it has none."""
    name = socket.gethostname().partition(".")[0].lower()
    is_plain = name.replace("-", "").isascii() and name.replace("-", "").isalnum()
    return f"{name}.local" if is_plain and name != "localhost" else ""


def is_home(address: str) -> bool:
    """Whether an address is this computer or in a private network (RFC 1918, section 3; RFC 4193, section 3.1)."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return False
    if isinstance(found, ipaddress.IPv6Address) and found.ipv4_mapped:
        found = found.ipv4_mapped
    return found.is_loopback or any(found in network for network in _PRIVATE if network.version == found.version)
