"""Names of files that may be written: ones that every system takes and that stay in their folder."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from laminature.errors import StoreError

#: Names that Windows keeps for devices, with any ending (Windows documentation, "Naming Files").
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul"} | {f"{d}{n}" for d in ("com", "lpt") for n in "123456789¹²³"}
)
_FORBIDDEN = frozenset('<>:"|?*\\')
#: Longest single name, bytes of UTF-8: 255 on most systems, less room for a temporary ending.
_LONGEST = 200


def fold(name: str) -> str:
    """The form in which two names are the same on a system that ignores case or composes accents."""
    return unicodedata.normalize("NFC", name).casefold()


def check_name(name: str) -> None:
    """Check a name with ``/`` between folders. Raises StoreError where it is not safe on every system."""
    for step in name.split("/"):
        reason = _fault(step)
        if reason:
            raise StoreError(f"The file name {name!r} cannot be used: {reason}.")


def _fault(step: str) -> str:
    if step in ("", ".", ".."):
        return "it does not stay inside its folder"
    if any(c in _FORBIDDEN or ord(c) < 32 or 0xD800 <= ord(c) < 0xE000 or ord(c) == 127 for c in step):
        return "it holds a sign that some systems do not allow in names"
    if step[-1] in ". ":
        return "it ends with a dot or a space, which some systems drop"
    if step.split(".", maxsplit=1)[0].rstrip().casefold() in _DEVICES:
        return "some systems keep this name for a device"
    if len(step.encode()) > _LONGEST:
        return f"a part of it is longer than {_LONGEST} bytes"
    return ""


def check_names(names: Iterable[str]) -> None:
    """Check names that are to lie in one folder. Raises StoreError for an unsafe name or two in one place."""
    seen: dict[str, str] = {}
    folders: dict[str, str] = {}
    for name in names:
        check_name(name)
        folded = fold(name)
        if folded in seen:
            raise StoreError(f"The file names {seen[folded]!r} and {name!r} are the same on some systems.")
        seen[folded] = name
        steps = folded.split("/")
        folders.update(("/".join(steps[:n]), name) for n in range(1, len(steps)))
    for folded, name in folders.items():
        if folded in seen:
            raise StoreError(f"{seen[folded]!r} cannot be a file and the folder of {name!r}.")
