"""Where what earlier runs have worked out is kept on this machine."""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from detailgen.store import Store

FOLDER: Final = "DETAILGEN_CACHE"
"""Environment variable that names the folder; empty for none."""


def user_store() -> "Store | None":
    """Return the store in the user's folder for such things, if there is one."""
    from detailgen.store import FolderStore

    folder = _folder()
    return FolderStore(folder) if folder else None


def _folder() -> Path | None:
    # What is kept changes nothing but how long a run takes, so the machine may say where.
    given = os.environ  # noqa: TID251
    if (named := given.get(FOLDER)) is not None:
        return Path(named) if named else None
    try:
        home = Path.home()
    except RuntimeError:
        return None
    if sys.platform == "win32":
        base = Path(given.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Caches"
    else:
        base = Path(given.get("XDG_CACHE_HOME") or home / ".cache")
    return base / "detailgen"
