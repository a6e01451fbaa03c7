"""``python3 tests pins``: asks the package index for the hash of every wheel of every pin, and writes them down.

Standard library only, and outside the environment: that one needs the hashes.  pip itself asks, so that its settings
hold (index, proxy, certificate), and fetches nothing but the index's page of each pin.  All wheels of a version are
taken down and not those alone that suit this computer.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile

from shared import launcher
from shared.launching.failures import told_failure
from shared.launching.isolation import pip_environment
from shared.launching.pin_hashes import hash_file, hashes_in
from shared.launching.places import candidates, interpreter

ASK = """\
import json, sys
from pip._internal.commands import create_command
from pip._internal.index.collector import parse_links
from pip._internal.models.link import Link
command = create_command("download")
with command.main_context():
    options, _ = command.parse_args(sys.argv[1:])
    finder = command._build_package_finder(options=options, session=command.get_default_session(options))
    collector = finder._link_collector
    for name in sys.argv[1:]:
        # The index alone, not what is added to it: a wheel of one's own is nobody else's.
        page = collector.fetch_response(Link(collector.search_scope.get_index_urls_locations(name)[0]))
        links = [] if page is None else list(parse_links(page))
        print(json.dumps([name, [(link.filename, link.hash_name, link.hash) for link in links]]))
"""
"""Prints the files that the index lists for each name, as pip reads its page."""

HEAD = "# Every wheel of every pin, by hash: pip takes no other file.  Written by:  python3 tests pins\n"

DESKTOP = ("manylinux", "musllinux", "macosx", "win")


def suits(wheel: str) -> bool:
    """Whether some CPython that the program runs on, on some desktop system, might take this wheel."""
    interpreters, abi, systems = wheel.removesuffix(".whl").split("-")[-3:]
    oldest = launcher.OLDEST[1]
    tags = [re.fullmatch(r"(py|cp)3(\d*)", tag) for tag in interpreters.split(".")]
    runs = any(tag and (tag[1] == "py" or abi == "abi3" or int(tag[2] or 0) >= oldest) for tag in tags)
    return runs and any(tag == "any" or tag.startswith(DESKTOP) for tag in systems.split("."))


def plain(name: str) -> str:
    """A package's name as the index spells it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def hashes_of(files: list[list[str]], pin: str) -> list[str]:
    """``sha256:...`` of the pin's wheels among the files of the index.  Raises CannotPrepare if there is none."""
    name, _, version = pin.partition("==")
    hashes = {
        "sha256:" + value
        for file, kind, value in files
        if file.endswith(".whl") and kind == "sha256" and suits(file)
        if [plain(part) for part in file.split("-")[:2]] == [plain(name), plain(version)]
    }
    if not hashes:
        raise launcher.CannotPrepare(f"the package index lists no wheel of {pin} with a sha256; nothing was written.")
    return sorted(hashes)


def with_pip(root: str, spare: str) -> str:
    """An interpreter that has pip: of the environment that is there, or of a fresh one in the spare folder."""
    for folder in candidates(root):
        if launcher.runs(interpreter(folder)):
            return interpreter(folder)
    launcher.make_venv(spare)
    return interpreter(spare)


def asked(python: str, names: list[str]) -> dict[str, list[list[str]]]:
    """The files that the index lists for each name: file, kind of hash, hash.  Raises CannotPrepare."""
    command = [python, "-I", "-c", ASK, *names]
    done = subprocess.run(command, env=pip_environment(python), capture_output=True, text=True, errors="replace")
    if done.returncode:
        raise launcher.CannotPrepare("could not ask for the hashes: " + told_failure(done.stdout + done.stderr, ""))
    return dict(json.loads(line) for line in done.stdout.splitlines() if line.startswith("["))


def main(root: str) -> int:
    """Write the hashes of all pins anew; 0, or the launcher's status with a sentence."""
    try:
        launcher.check_python()
        wanted = launcher.pins_by_extra(root, ("tests",))
        names = [pin.partition("==")[0] for pins in wanted.values() for pin in pins]
        with tempfile.TemporaryDirectory() as folder:
            files = asked(with_pip(root, os.path.join(folder, "pip")), names)
        texts = {}
        for extra, pins in wanted.items():
            texts[hash_file(root, extra)] = HEAD + "".join(
                " \\\n    --hash=".join([pin, *hashes_of(files[pin.partition("==")[0]], pin)]) + "\n" for pin in pins
            )
    except launcher.CannotPrepare as reason:
        launcher.say(str(reason))
        return launcher.NO_ENVIRONMENT
    for path, text in texts.items():
        with open(path, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        count = sum(len(hashes) for hashes in hashes_in(path).values())
        sys.stdout.write(f"{os.path.relpath(path, root)}: {count} hashes\n")
    return 0
