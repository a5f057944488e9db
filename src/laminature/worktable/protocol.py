"""What goes over the wire: binary answers, and the page's messages, strict and bounded."""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

#: The most bytes of one message from the page.
MOST_BYTES = 4 << 20
#: The most characters of a design file's text; what its reader takes, in bytes, is less.
MOST_TEXT = 2 << 20

Blob = NDArray[np.generic]
Header = Mapping[str, Any]

_TYPES: Mapping[str, str] = {"f32": "<f4", "u32": "<u4", "u8": "|u1"}


def _type_of(blob: Blob) -> str:
    if blob.dtype.kind == "f":
        return "f32"
    return "u8" if blob.dtype == np.uint8 else "u32"


def pack(header: Header, blobs: Mapping[str, Blob] | None = None) -> bytes:
    """A message for the page: the header's length, the header as JSON, then the blobs."""
    pieces: list[bytes] = []
    listed, at = [], 0
    for name, blob in (blobs or {}).items():
        kind = _type_of(blob)
        data = np.ascontiguousarray(blob, dtype=_TYPES[kind]).tobytes()
        listed.append({"name": name, "type": kind, "at": at, "count": int(blob.size)})
        data += b"\0" * (-len(data) % 4)
        pieces.append(data)
        at += len(data)
    whole = {**header, "blobs": listed} if listed else dict(header)
    text = json.dumps(whole, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    # Half a surrogate may stand in a name that was typed; UTF-8 has no such thing.
    data = text.encode("utf-8", "replace")
    data += b" " * (-len(data) % 4)
    return b"".join((struct.pack("<I", len(data)), data, *pieces))


def unpack(message: bytes) -> tuple[dict[str, Any], dict[str, Blob]]:
    """What ``pack`` packed: the header without its list of blobs, and the blobs as views."""
    (length,) = struct.unpack_from("<I", message)
    header = json.loads(message[4 : 4 + length].decode("utf-8"))
    blobs: dict[str, Blob] = {}
    for entry in header.pop("blobs", ()):
        kind = np.dtype(_TYPES[entry["type"]])
        blobs[entry["name"]] = np.frombuffer(
            message, kind, count=entry["count"], offset=4 + length + entry["at"]
        )
    return header, blobs


Step = Annotated[str, Field(max_length=200)] | Annotated[int, Field(ge=0, le=100_000)]
Whole = Annotated[int, Field(ge=-(2**53), le=2**53)]
Number = Annotated[float, Field(allow_inf_nan=False)]
Plain = bool | Whole | Number | Annotated[str, Field(max_length=100_000)]
Row = Annotated[list[Plain], Field(max_length=1000)]
#: A value as it may be written into a design: plain, a list, or a list of lists (points).
Value = Plain | Annotated[list[Plain | Row], Field(max_length=1000)] | None
Seq = Annotated[int, Field(ge=0, le=2**53)]
Name = Annotated[str, Field(min_length=1, max_length=200)]
Text = Annotated[str, Field(max_length=MOST_TEXT)]
#: What the bench can be asked for beside findings.
Wanted = Literal["sheets", "steps", "cushion", "evenings", "supplies"]


class Message(BaseModel):
    """What each message of the page may have."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)
    id: Seq | None = None


class Hello(Message):
    """The first message, with the token of this start."""

    kind: Literal["hello"]
    token: Annotated[str, Field(max_length=200)]


class Start(Message):
    """Asks what the start page shows."""

    kind: Literal["start"]


class Begin(Message):
    """Begins a work of a form."""

    kind: Literal["begin"]
    form: Name


class Example(Message):
    """Begins a work as an example."""

    kind: Literal["example"]
    name: Name


class Drop(Message):
    """Begins a work from a design file that was dropped; the name is shown, never used as a path."""

    kind: Literal["drop"]
    name: Annotated[str, Field(max_length=400)]
    text: Text


class Open(Message):
    """Goes on with a work."""

    kind: Literal["work"]
    work: Name


class Forget(Message):
    """Takes a work from the list."""

    kind: Literal["forget"]
    work: Name


class Have(Message):
    """Meshes that the page still keeps."""

    kind: Literal["have"]
    meshes: Annotated[list[Annotated[str, Field(max_length=100)]], Field(max_length=5000)]


class Change(BaseModel):
    """One value; None takes the key away."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)
    path: Annotated[list[Step], Field(min_length=1, max_length=16)]
    value: Value


class Set(Message):
    """Changes values."""

    kind: Literal["set"]
    seq: Seq
    changes: Annotated[list[Change], Field(min_length=1, max_length=200)]
    label: Annotated[str, Field(max_length=200)] = ""
    settle: bool = True


class Undo(Message):
    """Takes the last change back."""

    kind: Literal["undo"]


class Redo(Message):
    """Makes it again."""

    kind: Literal["redo"]


class LetGo(Message):
    """Gives up what was typed and refused: at this path, or the whole text (an empty path)."""

    kind: Literal["let_go"]
    path: Annotated[list[Step], Field(max_length=16)]


class Copies(Message):
    """Asks for the dated copies."""

    kind: Literal["copies"]


class Back(Message):
    """Goes back to a dated copy."""

    kind: Literal["back"]
    copy_: Annotated[str, Field(alias="copy", max_length=100)]


class AskText(Message):
    """Asks for the design file as it stands."""

    kind: Literal["text"]


class Rewrite(Message):
    """The whole file anew."""

    kind: Literal["rewrite"]
    text: Text
    seq: Seq = 0


class Resolve(Message):
    """What to do where something else has changed the file: take that, or go on as an own copy."""

    kind: Literal["resolve"]
    take: Literal["file", "own"]


class Want(Message):
    """Which results the bench is to make beside findings."""

    kind: Literal["want"]
    what: Annotated[list[Wanted], Field(max_length=10)]


class Improve(Message):
    """Seeks better sheets in rounds, for about so long."""

    kind: Literal["improve"]
    seconds: Annotated[float, Field(gt=0.0, le=86_400.0, allow_inf_nan=False)]


class UseSheets(Message):
    """Stops seeking and keeps the best so far."""

    kind: Literal["use_sheets"]


class AskOffcuts(Message):
    """Asks for the maker's offcuts, read anew."""

    kind: Literal["offcuts"]


class UseOffcuts(Message):
    """Lays the sheets out with these offcuts and no others."""

    kind: Literal["use_offcuts"]
    names: Annotated[list[Annotated[str, Field(min_length=1, max_length=40)]], Field(max_length=200)]


class Make(Message):
    """Makes the kit; no kinds are all kinds."""

    kind: Literal["make"]
    files: Annotated[list[Annotated[str, Field(max_length=40)]], Field(max_length=40)] = []


class StopMaking(Message):
    """Ends the making of a kit."""

    kind: Literal["stop_making"]


class GuidePage(Message):
    """Asks for a page of the guide that was made, counted from 1."""

    kind: Literal["guide_page"]
    page: Annotated[int, Field(ge=1, le=10_000)]


class Download(Message):
    """Asks for a file that was made."""

    kind: Literal["download"]
    what: Literal["zip", "design", "guide"]


FromPage = Annotated[
    Hello
    | Start
    | Begin
    | Example
    | Drop
    | Open
    | Forget
    | Have
    | Set
    | Undo
    | Redo
    | LetGo
    | Copies
    | Back
    | AskText
    | Rewrite
    | Resolve
    | Want
    | Improve
    | UseSheets
    | AskOffcuts
    | UseOffcuts
    | Make
    | StopMaking
    | GuidePage
    | Download,
    Field(discriminator="kind"),
]
_READER: TypeAdapter[FromPage] = TypeAdapter(FromPage)


def read_message(text: str | bytes) -> FromPage:
    """A message of the page. Raises pydantic's ValidationError (a ValueError) for anything else."""
    return _READER.validate_json(text)


def value_of(change: Change) -> str | int | float | bool | Sequence[Any] | None:
    """The value as the design's writer takes it: a whole float becomes a whole number again."""
    value = change.value
    if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
        return int(value)
    return value
