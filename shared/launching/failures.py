"""What a failed ``venv`` or ``pip`` says, told as what it is and what helps."""

from __future__ import annotations

import re

NEEDED_MB = 1500
"""Room that program and tests take together, with what pip unpacks in passing."""

KINDS = (
    (
        ("No space left on device", "Errno 28", "not enough space on the disk", "Disk quota exceeded"),
        "the disk that holds {folder} is full; free about {room} MB and start again.",
    ),
    (
        ("DO NOT MATCH THE HASHES", "Expected sha256"),
        "a package that was fetched is not the one this program names (its hash differs), so nothing of it was "
        "installed; start again, and if it stays so, ask whoever keeps your package index.",
    ),
    (
        ("Hashes are required in --require-hashes mode", "all requirements must have their versions pinned"),
        "pip wants a hash for a package that has none in this program's list; use the list as it was published.",
    ),
    (
        ("Read-only file system",),
        "{folder} lies on a file system that cannot be written to; copy the program to a folder of your own.",
    ),
    (
        ("CERTIFICATE_VERIFY_FAILED", "certificate verify failed", "SSLError"),
        "the package index has a certificate that this computer does not trust; set its clock, or name your "
        "network's certificate file in PIP_CERT, and start again.",
    ),
    (
        ("ProxyError", "Tunnel connection failed", "Proxy Authentication"),
        "the proxy to the package index refuses or does not answer; set HTTPS_PROXY (or PIP_PROXY) and start again.",
    ),
    (
        (
            "Failed to establish a new connection",
            "ConnectionError",
            "Connection refused",
            "Connection reset",
            "Connection broken",
            "RemoteDisconnected",
            "Temporary failure in name resolution",
            "getaddrinfo failed",
            "Network is unreachable",
            "timed out",
            "Connection aborted",
        ),
        "no connection to the package index. Connect this computer to the network (or set PIP_INDEX_URL to an "
        "index that it reaches) and start again.",
    ),
    (
        ("401 Client Error", "403 Client Error", "407 Client Error", "HTTP error 40", "User for "),
        "the package index refuses this computer ({detail}); ask whoever keeps it, or set PIP_INDEX_URL.",
    ),
    (
        ("Permission denied", "Errno 13", "Access is denied", "WinError 5"),
        "{folder} may not be written to ({detail}); copy the program to a folder of your own.",
    ),
)
"""Signs in the output, and the sentence; the first that fits holds: a full disk also breaks connections."""


def told_failure(text, folder):  # type: (str, str) -> str
    """The sentence for what ``venv`` or ``pip`` printed before it failed."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    errors = [line for line in lines if line.startswith(("ERROR", "Error", "OSError"))] or lines[-1:]
    detail = re.sub(r"^(ERROR|Error): ", "", errors[0]).rstrip(".") if errors else "it gave no reason"
    for signs, sentence in KINDS:
        if any(sign in text for sign in signs):
            return sentence.format(folder=folder, room=NEEDED_MB, detail=detail)
    lacking = re.search(r"No matching distribution found for (\S+)", text)
    if lacking:
        return (
            "the package index that this computer uses has no %s built for this system and Python; use an index "
            "that has it (PIP_INDEX_URL), or another version of Python." % lacking.group(1)
        )
    return detail + "."
