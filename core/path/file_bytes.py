"""The bytes of a file that a person named: an ordinary file of bounded size, or a refusal in words."""

from __future__ import annotations

import os
import stat

from ..base.errors import DocumentError


def load_bytes(path: str, largest: int) -> bytes:
    """A file's content.  Raises DocumentError for all but a readable ordinary file of up to ``largest`` bytes."""
    try:
        mode = os.stat(path).st_mode  # before opening: a pipe would wait for its writer, a device never end
        if stat.S_ISDIR(mode):
            found = "found a folder"
        elif not stat.S_ISREG(mode):
            found = "found a pipe or a device"
        else:
            with open(path, "rb") as stream:
                data = stream.read(largest + 1)
            if len(data) > largest:
                size = f"{largest // 1_000_000} million bytes"
                raise DocumentError(path, 0, "file", f"found more than {size}", f"up to {size}")
            return data
    except (FileNotFoundError, NotADirectoryError):
        found = "found no such file"
    except PermissionError:
        found = "found a file that may not be read by this user"
    except ValueError:
        found = "found a name that no file can have"
    except OSError as error:
        found = f"could not be read ({error.strerror or error})"
    raise DocumentError(path, 0, "file", found, "a readable file")
