"""Small files that are written whole or not at all."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from tempfile import NamedTemporaryFile


def write_whole(path: Path, data: str | bytes) -> None:
    """Put a file in the place of what is there; its folder is made. Raises OSError, and then nothing has changed."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with NamedTemporaryFile("wb", dir=path.parent, prefix=path.name, delete=False) as file:
        try:
            file.write(data.encode() if isinstance(data, str) else data)
            file.flush()
            os.fsync(file.fileno())
            file.close()
            os.replace(file.name, path)
        except BaseException:
            with suppress(OSError):
                os.unlink(file.name)
            raise
