"""From the bytes of a design file to a Design, with every error at its place."""

from __future__ import annotations

import pathlib
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import Any

from pydantic import ValidationError

from laminature.design import boards as board_data
from laminature.design import fits as fit_data
from laminature.design.cushions import cushions
from laminature.design.cutters import CutterWritten, settings
from laminature.design.decoding import decode, refuse_what_is_no_number
from laminature.design.house import house_unit
from laminature.design.kinds import Reading
from laminature.design.outlines import Outlines
from laminature.design.parameters import read_values
from laminature.design.photo import photos
from laminature.design.poses import pose_of
from laminature.design.problems import Problems, choose, short
from laminature.design.schema import (
    KEYS,
    DesignFile,
    JointWritten,
    PartWritten,
)
from laminature.design.stacking import StackWritten, stack_rule
from laminature.errors import DesignError, Place
from laminature.model.board import Board
from laminature.model.design import Design, PartSpec
from laminature.model.fit import HAND_STACKED, Fit
from laminature.model.form import Parameter, Value
from laminature.model.gluing import StackRule
from laminature.model.joint import JointRule
from laminature.model.part import GrainRule
from laminature.units import BARE_UNITS, Scale, UnitError, scale

#: More parts than this are not read.
MOST_PARTS = 1500
#: The board of a design that names none.
USUAL_BOARD = "chipboard-22"


def parse(
    data: bytes,
    file: str,
    boards: Mapping[str, Board],
    forms: Mapping[str, tuple[Parameter, ...]],
    folder: pathlib.Path | None = None,
    *,
    fits: Mapping[str, Fit] = fit_data.BUILT_IN,
) -> Design:
    """Read a design.

    ``file`` names it in errors; ``boards``, ``forms`` and ``fits`` are those that are known;
    ``folder`` is where the file lies, for the picture it may name. Lengths in the result are
    mm: the piece's at miniature scale, all others as they are. Raises DesignErrors with all
    that is wrong, each with line and key; DesignError alone for a file that is no TOML or
    exceeds the caps on bytes, values and parts, which are checked before anything is computed.
    """
    decoded = decode(data, file)
    raw = decoded.values
    problems = Problems(file, decoded.lines)
    if isinstance(raw.get("part"), list) and len(raw["part"]) > MOST_PARTS:
        raise DesignError(
            f"There are {len(raw['part'])} parts here, and at most {MOST_PARTS} are read.",
            Place(file, decoded.lines.get(("part", MOST_PARTS)), "part"),
            "Is it one piece of furniture?",
        )
    refuse_what_is_no_number(decoded, problems)
    reading = Reading(_scale(raw, problems), _unit(raw, problems))
    _tell_misplaced(raw, forms, problems)
    written = _validated(raw, reading, problems)
    design = _Reader(written, raw, reading, problems, boards, forms, fits).design(data, folder)
    problems.raise_any()
    return design


def _tell_misplaced(
    raw: Mapping[str, Any], forms: Mapping[str, tuple[Parameter, ...]], problems: Problems
) -> None:
    """Note sizes of the form that stand above ``[form]`` by mistake."""
    form = raw.get("form")
    name = form.get("name") if isinstance(form, dict) else form
    if isinstance(name, str) and name in forms:
        sizes = {p.name for p in forms[name]} - set(DesignFile.model_fields)
        for key in sizes & set(raw):
            problems.add((key,), f"{key!r} is a size of the form {name!r}.", "Write it below [form].")


def _validated(raw: Mapping[str, Any], reading: Reading, problems: Problems) -> DesignFile:
    """The file's tables. What is wrong is noted, and left out so that the rest can be looked at too."""
    try:
        return DesignFile.model_validate(raw, context=reading)
    except ValidationError as error:
        problems.add_all(error, KEYS)
        sound: dict[str, Any] = {k: list(v) if isinstance(v, list) else v for k, v in raw.items()}
        for e in error.errors(include_url=False, include_context=False, include_input=False):
            key, item = e["loc"][0], e["loc"][1] if len(e["loc"]) > 1 else None
            if key == "boards" and isinstance(item, str):
                # What names this board is right: only the board is not.
                sound["boards"] = {**sound["boards"], item: {"caliper": "0.5 mm", "sheet": "A4"}}
                continue
            if key == "part" and isinstance(item, int):
                sound["part"][item] = _stand_in(
                    sound["part"][item], item, spoilt_name=e["loc"][2:3] == ("name",)
                )
            elif key == "joint" and isinstance(item, int):
                sound["joint"][item] = {"parts": ["*", "*"]}
            elif key == "stack" and isinstance(item, int):
                sound["stack"][item] = {"parts": "*"}
            else:
                sound.pop(str(key), None)
        try:
            return DesignFile.model_validate(sound, context=reading)
        except ValidationError:
            problems.raise_any()
            raise


def _stand_in(part: object, index: int, *, spoilt_name: bool) -> dict[str, Any]:
    """A part for the place of one that cannot be read, so that what points to its name still does."""
    name = part.get("name") if isinstance(part, dict) and not spoilt_name else None
    return {"name": name or f"part {index + 1}", "shape": "circle", "diameter": "mini 1 mm", "layers": 1}


def _scale(raw: Mapping[str, Any], problems: Problems) -> Scale:
    """The scale; the usual one where it is wrong, so that the rest can be looked at all the same."""
    try:
        return scale(raw.get("scale", "1:12"))
    except UnitError as error:
        problems.add(("scale",), str(error))
        return scale(12)


def _unit(raw: Mapping[str, Any], problems: Problems) -> str:
    unit = raw.get("unit", "mm")
    if unit in BARE_UNITS:
        return str(unit)
    problems.add(
        ("unit",), f"{short(unit)} is no unit for bare numbers.", f"Choose one of: {', '.join(BARE_UNITS)}."
    )
    return "mm"


def _form_values(
    form: object, forms: Mapping[str, tuple[Parameter, ...]], reading: Reading, problems: Problems
) -> tuple[str | None, dict[str, Value | None]]:
    """Name and values of the form as it stands in the file, or None and nothing."""
    table = {"name": form} if isinstance(form, str) else form
    if not isinstance(table, dict) or not isinstance(table.get("name"), str):
        return None, {}
    name = table["name"]
    if name not in forms:
        at = ("form", "name") if problems.stands(("form", "name")) else ("form",)
        problems.add(at, f"There is no form {short(name, 40)}.", choose(name, forms))
        return None, {}
    given = {key: value for key, value in table.items() if key != "name"}
    top = set(DesignFile.model_fields)
    return name, read_values(("form",), given, forms[name], reading, problems, top_keys=top)


@dataclass(frozen=True)
class _Reader:
    """Turns a file whose tables are sound into a Design, noting what does not go together."""

    written: DesignFile
    raw: Mapping[str, Any]
    reading: Reading
    problems: Problems
    known_boards: Mapping[str, Board]
    forms: Mapping[str, tuple[Parameter, ...]]
    fits: Mapping[str, Fit]

    def design(self, data: bytes, folder: pathlib.Path | None) -> Design:
        """The design. What it holds is of use only if no problems were noted."""
        w, problems = self.written, self.problems
        boards = {
            **self.known_boards,
            **board_data.resolve_all(("boards",), w.boards, self.known_boards, problems),
        }
        board = self._board(boards)
        form, values = _form_values(self.raw.get("form"), self.forms, self.reading, problems)
        if not self.raw.get("form") and not self.raw.get("part"):
            problems.add(
                (), "This design has neither a form nor parts.", f"Name a form: {_form_hint(self.forms)}"
            )
        if self.raw.get("form") and self.raw.get("part"):
            problems.add(("part",), "This design has a form and parts of its own.", "Leave one of them out.")
        cutter = w.cutter or CutterWritten.model_validate({})
        first, *more = photos(w.photo, folder, problems) or (None,)
        return Design(
            # A title of nothing would be a headline of nothing.
            title=w.title if w.title.strip() else DesignFile.model_validate({}).title,
            scale=self.reading.scale.n,
            board=board,
            boards={**boards, board.name: board},
            second_board=self._second_board(boards),
            cutter=cutter.kind,
            spacing=cutter.spacing,
            margin=cutter.margin,
            cutting=settings(cutter, problems),
            edge_sanding=w.edge_sanding,
            fit=self._fit(("fit",), w.fit) or HAND_STACKED,
            form=form,
            values=values,
            parts=self._parts(boards),
            rules=tuple(self._rule(("joint", i), j) for i, j in enumerate(w.joint)),
            grains=self._grains(),
            cushions=cushions(w.cushion, [p.name for p in w.part], problems),
            stack_rules=tuple(self._stack_rule(("stack", i), s, boards) for i, s in enumerate(w.stack)),
            thickness_limit=w.thickness_limit,
            spares_below=w.spares_below,
            measuring_square=w.measuring_square,
            evening=w.evening,
            unit=house_unit(self.raw),
            language=w.words,
            notes=w.notes,
            credit=w.credit,
            licence=w.licence,
            photo=None if first is None else first.file,
            caption="" if first is None else first.caption,
            photos=tuple(one for one in more if one is not None),
            stands=w.stands,
            source=data,
        )

    def _board(self, boards: Mapping[str, Board]) -> Board:
        written = self.written.board
        name = USUAL_BOARD if written is None or written.name is None else written.name
        stand_in = Board(name, name, 0.5588, 300.0, 300.0)
        if name not in boards and (written is None or written.caliper is None or written.sheet is None):
            at: tuple[str, ...] = ("board", "name") if self.problems.stands(("board", "name")) else ("board",)
            self.problems.add(at, f"There is no board {name!r}.", choose(name, boards))
            return stand_in
        if written is None:
            return boards[name]
        return board_data.resolve(("board",), name, written, boards, self.problems) or stand_in

    def _second_board(self, boards: Mapping[str, Board]) -> Board | None:
        name = self.written.second_board
        if name is not None and name not in boards:
            self.problems.add(("second_board",), f"There is no board {name!r}.", choose(name, boards))
        return None if name is None else boards.get(name)

    def _fit(self, path: tuple[str | int, ...], written: fit_data.FitWritten | None) -> Fit | None:
        return None if written is None else fit_data.resolve(path, written, self.fits, self.problems)

    def _parts(self, boards: Mapping[str, Board]) -> tuple[PartSpec, ...]:
        outlines = Outlines(self.reading, self.problems)
        times = Counter(p.name for p in self.written.part)
        made = []
        for i, part in enumerate(self.written.part):
            path = ("part", i)
            if times[part.name] > 1:
                self.problems.add(
                    (*path, "name"),
                    f"{times[part.name]} parts are called {part.name!r}.",
                    "Give each a name of its own.",
                )
            if (part.thickness is None) == (part.layers is None):
                which = "neither thickness nor layers" if part.layers is None else "both thickness and layers"
                self.problems.add(path, f"The part {part.name!r} has {which}.", "Give one of the two.")
            if part.board is not None and part.board not in boards:
                self.problems.add(
                    (*path, "board"), f"There is no board {part.board!r}.", choose(part.board, boards)
                )
            spec = self._part(path, part, outlines)
            if spec is not None:
                made.append(spec)
        return tuple(made)

    def _part(self, path: tuple[str | int, ...], part: PartWritten, outlines: Outlines) -> PartSpec | None:
        region = outlines.region(path, part, part.opening)
        if region is None:
            return None
        return PartSpec(
            name=part.name,
            title=part.title or part.name,
            outline=region,
            pose=pose_of((part.at[0], part.at[1], part.at[2]), part.stance, part.turn, part.turns),
            thickness=part.thickness,
            layers=part.layers,
            board=part.board,
            show=frozenset(part.show),
            grain=part.grain,
            group=part.group,
            profile=part.profile,
            rim_layers=part.rim.layers if part.rim else 0,
            rim_width=part.rim.width if part.rim else 0.0,
        )

    def _grains(self) -> tuple[tuple[str, GrainRule], ...]:
        for pattern in self.written.grain:
            self._known_parts(("grain", pattern), pattern)
        return tuple(self.written.grain.items())

    def _rule(self, path: tuple[str | int, ...], j: JointWritten) -> JointRule:
        for i, pattern in enumerate(j.parts):
            self._known_parts((*path, "parts", i), pattern)
        if j.share is not None and not j.share[0] < j.share[1]:
            self.problems.add(
                (*path, "share"),
                f"There is no share {j.share[0]} of {j.share[1]}.",
                "Count from 0: [0, 2], [1, 2].",
            )
        return JointRule(
            parts=(j.parts[0], j.parts[1]),
            kind=j.kind,
            count=j.count,
            width=j.width,
            depth=j.depth,
            through=j.through,
            stopped=j.stopped,
            stop_length=j.stop_length,
            fit=self._fit((*path, "fit"), j.fit),
            share=None if j.share is None else (j.share[0], j.share[1]),
        )

    def _known_parts(self, path: tuple[str | int, ...], pattern: str) -> None:
        names = [p.name for p in self.written.part]
        if names and not any(fnmatchcase(name, pattern) for name in names):
            self.problems.add(path, f"No part's name is like {pattern!r}.", choose(pattern, names[:40]))

    def _stack_rule(
        self, path: tuple[str | int, ...], s: StackWritten, boards: Mapping[str, Board]
    ) -> StackRule:
        self._known_parts((*path, "parts"), s.parts)
        return stack_rule(path, s, boards, self.fits, self.problems)


def _form_hint(forms: Mapping[str, tuple[Parameter, ...]]) -> str:
    return f"{', '.join(forms)}." if forms else "none is known."
