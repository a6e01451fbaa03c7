"""From bytes to text: a document as it lies on the disk, refused in words if it is not readable text."""

from __future__ import annotations

from ..base.errors import DocumentError
from .toml_lines import BOM

LARGEST = 1_000_000
"""Bytes of the largest document that is read.  A long setup has two thousand."""

_WANTED = "a TOML document in UTF-8"


def decoded(data: str | bytes, file: str, wanted: str = _WANTED) -> str:
    """The document's text, line ends and a byte order mark kept; ``wanted`` says what it should have been.

    Raises DocumentError, with the line where there is one, for what is too large, binary or not UTF-8.
    """
    if isinstance(data, str):
        try:
            data = data.encode("utf-8")
        except UnicodeEncodeError as error:
            line = str(data).count("\n", 0, error.start) + 1
            raise DocumentError(file, line, "file", "found half a character", wanted) from None
    if len(data) > LARGEST:
        raise DocumentError(file, 0, "file", f"found more than {LARGEST} bytes", f"up to {LARGEST} bytes")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise DocumentError(file, 1, "file", "found UTF-16 text", "UTF-8 text (save it again with that encoding)")
    if (zero := data.find(b"\0")) >= 0:
        raise DocumentError(
            file, data.count(b"\n", 0, zero) + 1, "file", "found a zero byte, as in a binary file", wanted
        )
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"found the byte 0x{data[error.start]:02X}, which is not UTF-8"
        raise DocumentError(file, line, "file", found, "UTF-8 text (save it again with that encoding)") from None


def load_text(path: str, wanted: str = _WANTED) -> str:
    """A file's text as :func:`decoded`.  Raises DocumentError also for a folder, a missing or a locked file."""
    try:
        with open(path, "rb") as stream:
            data = stream.read(LARGEST + 1)
    except IsADirectoryError:
        found = "found a folder"
    except (FileNotFoundError, NotADirectoryError):
        found = "found no such file"
    except PermissionError:
        found = "found a file that may not be read by this user"
    except ValueError:
        found = "found a name that no file can have"
    except OSError as error:
        found = f"could not be read ({error.strerror or error})"
    else:
        return decoded(data, path, wanted)
    raise DocumentError(path, 0, "file", found, "a readable file")


__all__ = ["BOM", "LARGEST", "decoded", "load_text"]
