"""Tells the system's service manager that the server is ready, alive or stopping.

Source: sd_notify(3): words in a datagram to the socket that NOTIFY_SOCKET names. Without it nothing is sent.
"""

from __future__ import annotations

import os
import socket


def notify(words: str) -> bool:
    """Whether there was anybody to tell."""
    address = os.environ.get("NOTIFY_SOCKET")
    if not address:
        return False
    # A leading @ stands for an address without a file.
    target = f"\0{address[1:]}" if address.startswith("@") else address
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM | socket.SOCK_CLOEXEC) as sender:
        try:
            sender.connect(target)
            sender.sendall(words.encode())
        except OSError:
            return False
    return True


def find_watchdog_s() -> float | None:
    """How often to say that the server is alive: twice in the time after which it would be started anew."""
    text = os.environ.get("WATCHDOG_USEC", "")
    return int(text) / 1e6 / 2 if text.isdecimal() and int(text) > 0 else None
