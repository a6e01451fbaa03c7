"""Each failure of the making is told as what it is."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from shared import launcher
from shared.launching import system_packages
from shared.launching.failures import told_failure
from shared.launching.pin_hashes import hash_file
from tests.launch.checkout import ROOT, STRANGE, Checkout


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory, made_once: Checkout) -> Checkout:
    """Its environment is a copy of another one, with nothing of ours in it, and a stamp for other pins."""
    made = Checkout(tmp_path_factory.mktemp("failures"))
    leave = shutil.ignore_patterns("tiny*", "ready-*")
    shutil.copytree(made_once.venv, made.venv, symlinks=True, ignore=leave)
    (made.venv / "ready-app").write_text(json.dumps({"state": "of other pins", "libraries": {}}))
    return made


@pytest.mark.parametrize(
    ("env", "words"),
    [
        ({"PIP_NO_INDEX": "", "PIP_INDEX_URL": "http://127.0.0.1:9/simple"}, "no connection to the package index"),
        ({"PIP_FIND_LINKS": "/nowhere"}, "has no tinypin==1.0 built for this system and Python"),
    ],
    ids=["no network", "not there"],
)
def test_what_pip_could_not_do(checkout: Checkout, env: dict[str, str], words: str) -> None:
    env = env if "PIP_FIND_LINKS" in env else env | {"PIP_FIND_LINKS": ""}
    lost = checkout.start(env=env)
    assert lost.returncode == launcher.NO_ENVIRONMENT and lost.stdout == ""
    assert words in lost.stderr and "venv" not in lost.stderr.splitlines()[-1]
    assert "Traceback" not in lost.stderr


def test_a_wheel_of_another_hash_is_refused_and_nothing_of_it_is_there(checkout: Checkout) -> None:
    """Same name, same version, another content: as from an index that was tampered with."""
    published = checkout.wheels / "tinypin-1.0-py3-none-any.whl"
    kept = published.read_bytes()
    with zipfile.ZipFile(published, "a") as file:
        file.writestr("stranger.py", "")
    try:
        refused = checkout.start()
    finally:
        published.write_bytes(kept)
    assert refused.returncode == launcher.NO_ENVIRONMENT and refused.stdout == ""
    assert "is not the one this program names (its hash differs)" in refused.stderr
    assert "Traceback" not in refused.stderr and not list(checkout.venv.rglob("tinypin*"))
    assert not list(checkout.venv.rglob("stranger.py"))


@pytest.mark.parametrize("text", ["", "tinypin==1.0\n", "tinypin==1.1 \\\n    --hash=sha256:00\n", None])
def test_pins_without_their_hashes_are_refused_before_anything_is_begun(checkout: Checkout, text: str | None) -> None:
    listed = Path(hash_file(str(checkout.root)))
    kept = listed.read_text()
    listed.write_text(text) if text is not None else listed.unlink()
    try:
        refused = checkout.start()
    finally:
        listed.write_text(kept)
    assert refused.returncode == launcher.NO_ENVIRONMENT and refused.stdout == ""
    words = "cannot read" if text is None else "do not agree about tinypin==1.0"
    [sentence] = refused.stderr.splitlines()
    assert str(listed) in sentence and words in sentence


def test_packages_that_do_not_hold_are_not_stamped(checkout: Checkout) -> None:
    """The proof before the stamp: a wheel that installs, but does not load."""
    project = checkout.root / "pyproject.toml"
    kept = project.read_text()
    project.write_text(kept.replace('imports = ["tinypin"]', 'imports = ["tinypin", "not_in_it"]'))
    try:
        done = checkout.start()
    finally:
        project.write_text(kept)
    assert done.returncode == launcher.NO_ENVIRONMENT
    assert "not_in_it does not load" in done.stderr and not list(checkout.venv.glob("ready-*"))


def test_a_file_in_the_way_of_the_environment(tmp_path: Path) -> None:
    checkout = Checkout(tmp_path)
    checkout.venv.write_text("mine")
    done = checkout.start()
    assert done.returncode == launcher.NO_ENVIRONMENT and "is in the way" in done.stderr
    assert checkout.venv.read_text() == "mine"


STUB = """\
#!/bin/sh
case "$*" in
  *"-m venv"*) {venv} ;;
esac
exec "{base}" "$@"
"""


@pytest.mark.skipif(sys.platform == "win32", reason="puts a POSIX shell's script in Python's place")
@pytest.mark.parametrize(
    ("venv", "words"),
    [
        ("echo 'Error: [Errno 28] No space left on device' >&2; exit 1", "is full; free about 1500 MB"),
        ("echo 'Error: [Errno 30] Read-only file system: x' >&2; exit 1", "cannot be written to; copy the program"),
        ("echo \"Error: [Errno 13] Permission denied: 'x'\" >&2; exit 1", "may not be written to"),
        ("echo 'Error: something new.' >&2; exit 1", "could not make its environment: something new."),
        ("echo 'The virtual environment: ensurepip is not available.'; exit 1", "venv"),
        ("echo 'No module named venv' >&2; exit 1", "venv"),
    ],
)
def test_what_venv_could_not_do(tmp_path: Path, venv: str, words: str) -> None:
    """Only a missing module of Python is told as one."""
    checkout = Checkout(tmp_path)
    stub = tmp_path / "python3"
    stub.write_text(STUB.format(venv=venv, base=checkout.command()[0]))
    stub.chmod(0o755)
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]); sys.executable = sys.argv[2]\n"
        "from shared import launcher\n"
        "try: launcher.ensure(sys.argv[1])\n"
        "except launcher.CannotPrepare as reason: launcher.say(str(reason)); sys.exit(3)"
    )
    done = checkout.start(command=[checkout.command()[0], "-c", code, str(checkout.root), str(stub)])
    assert done.returncode == 3 and words in done.stderr and "Traceback" not in done.stderr, done.stderr
    assert ("venv module" in done.stderr or "modules venv" in done.stderr) == (words == "venv")


@pytest.mark.parametrize(
    ("printed", "words"),
    [
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "is full"),
        (
            "ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.\n  Expected sha256 0",
            "its hash",
        ),
        (
            "WARNING: Retrying ... SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED]",
            "certificate",
        ),
        ("WARNING: ProxyError('Cannot connect to proxy.', OSError('Tunnel connection failed: 407'))", "proxy"),
        ("ERROR: HTTP error 403 while getting https://index/x.whl\nERROR: 403 Client Error", "refuses this computer"),
        ("Downloading numpy-2.4.6.whl (403 kB)\nERROR: Exception: a new one", "Exception: a new one."),
        (
            "WARNING: Retrying: [Errno -3] Temporary failure in name resolution\n"
            "ERROR: No matching distribution found for numpy==2.4.6",
            "no connection",
        ),
        ("", "no reason"),
    ],
)
def test_signs_in_what_pip_prints(printed: str, words: str) -> None:
    assert words in told_failure(printed, "/somewhere/.venv")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="mounts a small disk")
def test_a_disk_that_is_really_full(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", str(disk)]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("may not mount a small disk here")
    try:
        done = Checkout(disk).start()
    finally:
        subprocess.run(["umount", str(disk)], check=True)
    assert done.returncode == launcher.NO_ENVIRONMENT and "is full; free about" in done.stderr, done.stderr


def test_a_full_disk_while_the_lock_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(launcher, "_make", full)
    with pytest.raises(launcher.CannotPrepare, match="is full"):
        launcher.ensure(str(Checkout(tmp_path).root))


OFFER = "from shared.launching.system_packages import offer; print(offer(['libfoo1', 'libbar2'], 'it needs them'))"


def offered(tmp_path: Path, answer: str | None, **env: str) -> tuple[str, str, list[str]]:
    """What a person is told and asked, and what apt-get, a stub here, was then called with."""
    stub = tmp_path / "apt-get"
    stub.write_text(f'#!/bin/sh\necho "$@" >> "{tmp_path}/called"\n')
    stub.chmod(0o755)
    (tmp_path / "sudo").write_text('#!/bin/sh\nexec "$@"\n')
    (tmp_path / "sudo").chmod(0o755)
    command = [sys.executable, "-c", OFFER]
    variables = STRANGE | {"PATH": f"{tmp_path}{os.pathsep}{os.environ['PATH']}"} | env
    if answer is None:
        done = subprocess.run(
            command, cwd=ROOT, env=variables, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=600
        )
        out, err = done.stdout, done.stderr
    else:
        ours, theirs = os.openpty()
        process = subprocess.Popen(
            command, cwd=ROOT, env=variables, stdin=theirs, stdout=subprocess.PIPE, stderr=theirs, text=True
        )
        os.close(theirs)
        os.write(ours, answer.encode() + b"\n")
        out, _ = process.communicate(timeout=600)
        err = os.read(ours, 100_000).decode()
        os.close(ours)
    called = tmp_path / "called"
    return out.strip(), err, called.read_text().splitlines() if called.exists() else []


COMMAND = "sudo apt-get install -y libfoo1 libbar2"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="Debian's packages")
@pytest.mark.parametrize("answer", [None, "n", "", "y"], ids=["no terminal", "no", "enter", "yes"])
def test_system_packages_come_only_after_a_yes(tmp_path: Path, answer: str | None) -> None:
    out, err, called = offered(tmp_path, answer)
    assert COMMAND in err
    assert ("[y/N]" in err) == (answer is not None)
    assert (out, called) == (("True", ["install -y -q libfoo1 libbar2"]) if answer == "y" else ("False", []))


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="Debian's packages")
def test_a_build_machine_may_say_yes_beforehand(tmp_path: Path) -> None:
    out, _, called = offered(tmp_path, None, **{system_packages.CONSENT: "yes"})
    assert (out, called) == ("True", ["install -y -q libfoo1 libbar2"])


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="libraries of Linux")
def test_a_missing_library_does_not_keep_the_report_from_coming(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    python = tmp_path / "bin" / "python"
    monkeypatch.setattr(system_packages, "X_WINDOW", {"libnot-there.so.7": "libnot-there7"})
    monkeypatch.setattr(system_packages, "PAINTING", {})
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    system_packages.ensure_qt_libraries(str(python), window=True)
    assert "libnot-there7" in capsys.readouterr().err and not list(tmp_path.glob("libraries-*"))
    system_packages.ensure_qt_libraries(str(python), window=False)
    assert capsys.readouterr().err == "" and (tmp_path / "libraries-for-pictures").exists()
