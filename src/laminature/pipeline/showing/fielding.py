"""One field of a design, ready for the page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from laminature.pipeline.showing.ruler import Realm, Ruler, ends, step_for, tidy
from laminature.units import INCH

Field = dict[str, Any]
Path = tuple[str | int, ...]
#: A choice that leaves it to Laminature.
AS_USUAL = "as is usual"


@dataclass(frozen=True)
class Desk:
    """What fields are written from: the file's ``values`` as they stand there, and the design's ruler."""

    values: Mapping[str, Any]
    ruler: Ruler

    def written(self, path: Path) -> Any:
        """What stands at this path in the file; None where nothing does."""
        found: Any = self.values
        for key in path:
            named = isinstance(found, dict) and key in found
            counted = isinstance(found, list) and isinstance(key, int) and key < len(found)
            if not (named or counted):
                return None
            found = found[key]
        return found

    def length(
        self,
        path: Path,
        title: str,
        help: str,
        mm: float | None,
        default: float | None,
        low: float | None,
        high: float | None,
        realm: Realm,
    ) -> Field:
        """A length: value, default and range in mm of its own realm."""
        written = self.written(path)
        unit = self.ruler.unit(written, realm, default)
        per = float(INCH) if unit == "in" else 1.0
        value, usual, least, most = (None if v is None else tidy(v / per) for v in (mm, default, low, high))
        step = step_for(least, most, usual, unit)
        least, most = ends(least, most, step)
        full, mini = self.ruler.words(mm, realm, unit)
        return self._field(
            path,
            title,
            help,
            "length",
            unit=unit,
            full=full,
            mini=mini,
            value=value,
            default=usual,
            low=least,
            high=most,
            step=step,
        )

    def number(
        self,
        path: Path,
        title: str,
        help: str,
        kind: str,
        value: float | None,
        default: float | None,
        low: float | None,
        high: float | None,
        step: float | None = None,
    ) -> Field:
        """A count, a number of layers, an angle or a share."""
        unit = "°" if kind == "angle" else ""
        if step is None:
            step = 1 if kind in ("count", "layers") else step_for(low, high, default, unit)
        least, most = (None if v is None else tidy(v) for v in (low, high))
        given, usual = (None if v is None else tidy(v) for v in (value, default))
        return self._field(
            path,
            title,
            help,
            kind,
            unit=unit,
            value=given,
            default=usual,
            low=least,
            high=most,
            step=tidy(step),
        )

    def choice(
        self,
        path: Path,
        title: str,
        help: str,
        value: Any,
        default: Any,
        choices: Sequence[Any] | Mapping[Any, str],
    ) -> Field:
        """One of several; where nothing is the default, nothing is among the choices."""
        named = choices if isinstance(choices, Mapping) else {c: plain(str(c)) for c in choices}
        offered = [{"value": c, "title": t} for c, t in named.items()]
        if default is None:
            offered.insert(0, {"value": None, "title": AS_USUAL.capitalize()})
        return self._field(path, title, help, "choice", value=value, default=default, choices=offered)

    def flag(self, path: Path, title: str, help: str, value: bool, default: bool) -> Field:
        """A yes or no."""
        return self._field(path, title, help, "flag", value=value, default=default)

    def text(self, path: Path, title: str, help: str, value: str, default: str) -> Field:
        """Words, or anything that is written as one text."""
        return self._field(path, title, help, "text", value=value, default=default)

    def lines(self, path: Path, title: str, help: str, value: str) -> Field:
        """Words of several lines."""
        return self._field(path, title, help, "lines", value=value, default="")

    def items(
        self, path: Path, title: str, help: str, value: Sequence[Any] | None, default: Any, **more: Any
    ) -> Field:
        """Several values in a row."""
        listed = None if value is None else list(value)
        return self._field(path, title, help, "list", value=listed, default=default, **more)

    def _field(self, path: Path, title: str, help: str, kind: str, **more: Any) -> Field:
        written = self.written(path)
        return {
            "path": list(path),
            "name": ".".join(str(key) for key in path),
            "title": title,
            "help": sentence(help),
            "kind": kind,
            "unit": "",
            "written": None if isinstance(written, dict) else written,
            "full": "",
            "mini": "",
            "value": None,
            "low": None,
            "high": None,
            "step": None,
            "default": None,
            "choices": None,
            "problem": None,
            **more,
        }


def plain(name: str) -> str:
    """A name of the file as words: ``leg_curve`` is "Leg curve"."""
    words = name.replace("_", " ").replace("-", " ")
    return words[:1].upper() + words[1:]


def sentence(text: str) -> str:
    """The text as a sentence."""
    text = " ".join(text.split())
    text = text[:1].upper() + text[1:]
    return text if not text or text.endswith((".", "!", "?")) else text + "."


def group(line: str, title: str, fields: Sequence[Field]) -> dict[str, Any]:
    """Fields under one title, in one line of the job ticket."""
    return {"name": line, "title": title, "fields": list(fields)}
