"""The pins are whole: each has its hashes, and what a pin needs on any system is a pin too."""

from __future__ import annotations

import re
from importlib import metadata
from itertools import product
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from shared import launcher
from shared.launching.pin_hashes import hash_file, hashes_in

ROOT = str(Path(__file__).resolve().parents[2])
PINS = launcher.pins_by_extra(ROOT, ("tests",))
ALL_PINS = [pin for pins in PINS.values() for pin in pins]
VERSIONS = {pin.partition("==")[0].lower().replace("_", "-"): pin.partition("==")[2] for pin in ALL_PINS}

SYSTEMS = (("linux", "Linux", "posix"), ("darwin", "Darwin", "posix"), ("win32", "Windows", "nt"))
PYTHONS = ("3.11", "3.12", "3.13", "3.14")


@pytest.mark.parametrize("extra", PINS)
def test_every_pin_has_hashes_and_no_hash_is_left_over(extra: str) -> None:
    """After a change of a pin:  python3 tests pins"""
    listed = hashes_in(hash_file(ROOT, extra))
    assert list(listed) == PINS[extra]
    for pin, hashes in listed.items():
        assert hashes == sorted(set(hashes)) != [], pin
        assert all(re.fullmatch("sha256:[0-9a-f]{64}", value) for value in hashes), pin


def needed(pin: str) -> list[Requirement]:
    """What the pin's package says that it needs on some system that the program runs on."""
    wants = [Requirement(text) for text in metadata.requires(pin.partition("==")[0]) or ()]
    places = [
        {"sys_platform": s, "platform_system": p, "os_name": o, "python_version": v, "python_full_version": v + ".0"}
        for (s, p, o), v in product(SYSTEMS, PYTHONS)
    ]
    return [
        want
        for want in wants
        if want.marker is None or any(want.marker.evaluate({**place, "extra": ""}) for place in places)
    ]


@pytest.mark.parametrize("pin", ALL_PINS)
def test_what_a_pin_needs_is_pinned_too(pin: str) -> None:
    """pip asks for the hash of everything it fetches: one that is missing would stop the start on that system."""
    for want in needed(pin):
        version = VERSIONS.get(want.name.lower().replace("_", "-"))
        assert version and want.specifier.contains(version), str(want)
