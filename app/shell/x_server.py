"""Asks an X server whether it would take a window, by the first messages of its protocol and without Qt."""

from __future__ import annotations

import os
import re
import socket
import struct
from pathlib import Path

from core.base.words import say

PATIENCE = 3.0
"""How long a display may take to answer, s; one that works answers in milliseconds."""

COOKIE = b"MIT-MAGIC-COOKIE-1"


def display_named(text: str) -> tuple[str, int] | None:
    """Host (empty for this machine) and number of a ``DISPLAY``; None where it names no display.

    >>> display_named("shop:10.0"), display_named(":0"), display_named("nonsense")
    (('shop', 10), ('', 0), None)
    """
    match = re.fullmatch(r"(?:(?:tcp|inet6?)/)?(.*?):(\d{1,5})(?:\.\d+)?", text)
    if match is None or int(match[2]) > 59_535:
        return None
    host = match[1].strip("[]")
    return ("" if host in ("unix", "unix/") else host), int(match[2])


def connected(host: str, number: int) -> socket.socket:
    """A connection to that display.  Raises OSError; TimeoutError where nobody takes it up."""
    if host and not host.startswith("/"):
        return socket.create_connection((host, 6000 + number), timeout=PATIENCE)
    place = f"/tmp/.X11-unix/X{number}"
    addresses = [f"{host}:{number}"] if host else ["\0" + place, place]
    problem: OSError | None = None
    for address in addresses:
        probe = socket.socket(socket.AF_UNIX)
        probe.settimeout(PATIENCE)
        try:
            probe.connect(address)
            return probe
        except BlockingIOError:
            # The queue of a server that takes up nobody is full.
            probe.close()
            raise TimeoutError from None
        except OSError as error:
            probe.close()
            problem = error
    raise problem or OSError(address)


def cookie(number: int) -> bytes:
    """The key to that display in this person's ``.Xauthority``; empty if there is none.

    Entries of the file, each big-endian: family, then address, number, name of the method and key, each with
    its length before it in two bytes (the form that libXau reads; from memory).
    """
    file = os.environ.get("XAUTHORITY") or os.path.expanduser("~/.Xauthority")
    try:
        data = Path(file).read_bytes()[:1_000_000]
    except OSError:
        return b""
    own_name = socket.gethostname().encode()
    found: list[tuple[bool, bytes]] = []
    place = 0
    while place + 2 <= len(data):
        place += 2
        parts = []
        for _ in range(4):
            (length,) = struct.unpack_from(">H", data, place) if place + 2 <= len(data) else (0,)
            parts.append(data[place + 2 : place + 2 + length])
            place += 2 + length
        address, shown, method, key = parts
        if method == COOKIE and shown in (b"", str(number).encode()):
            found.append((address == own_name, key))
    return max(found, default=(False, b""), key=lambda entry: entry[0])[1]


def refusal(connection: socket.socket, key: bytes) -> str | None:
    """What the server says against us after the setup request; None if it takes us.

    The request and its answer: X Window System Protocol, version 11, section 8 (from memory).
    Raises OSError; TimeoutError where it is silent.
    """
    connection.settimeout(PATIENCE)

    def padded(part: bytes) -> bytes:
        return part + bytes(-len(part) % 4)

    method = COOKIE if key else b""
    head = struct.pack("<BxHHHHxx", ord("l"), 11, 0, len(method), len(key))
    connection.sendall(head + padded(method) + padded(key))
    answer = connection.recv(8)
    if not answer:
        return say("display", "hung_up")
    if answer[0] == 1:
        return None
    length = answer[1] if len(answer) > 1 else 0
    message = connection.recv(length) if length else b""
    return message.decode("ascii", "replace").strip() or say("display", "no_reason")
