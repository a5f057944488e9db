"""From a design to layers that can be cut, and what is found about them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cached_property, partial
from itertools import chain

from laminature.checks.checked import Checked
from laminature.checks.registry import inspect
from laminature.forms.dressing import with_cushions, with_grain
from laminature.forms.free import piece_from_parts
from laminature.forms.registry import FORMS
from laminature.joinery.cleats import with_cleats
from laminature.joinery.contacts import find_contacts
from laminature.joinery.joints import make_joints
from laminature.layering.aligning.carriers import with_carriers
from laminature.layering.aligning.keys import make_keys
from laminature.layering.aligning.pins import with_pins
from laminature.layering.bridges import with_bridges
from laminature.layering.cushion_panels import cushion_panels
from laminature.layering.facing import with_faces_last
from laminature.layering.gluing import with_gluing
from laminature.layering.layers import make_layers
from laminature.layering.letters import letter_parts
from laminature.layering.spares import spares_of
from laminature.model import stack
from laminature.model.aid import Aids
from laminature.model.board import Board
from laminature.model.cushion import CushionEnvelope, Upholstery
from laminature.model.design import Design
from laminature.model.finding import Finding
from laminature.model.form import Workshop
from laminature.model.joint import Contact, Joint
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.step import Assembly
from laminature.pipeline.reading import guide_words
from laminature.planning.assembly import order_of_assembly
from laminature.upholstery.envelope import envelope
from laminature.upholstery.solve import FIRST_THE_WOOD, upholster

Progress = Callable[[float, str], None]


class Making:
    """The stages from a design to its layers, each computed when it is first asked for.

    ``progress`` hears the share done, from 0 to 1, and of what; an exception that it raises
    ends the work. With a ``memory`` that an earlier build filled, only what has changed since is
    made again. Every attribute may raise FormError or GeometryError for sizes that no
    piece can be made from.
    """

    def __init__(
        self, design: Design, progress: Progress | None = None, memory: Memory | None = None
    ) -> None:
        self.design = design
        self._progress = progress
        self.memory = memory or Memory()
        self.memory.turn()

    @cached_property
    def boards(self) -> Mapping[str, Board]:
        """The boards that the design may use, by name."""
        return {**self.design.boards, self.design.board.name: self.design.board}

    @cached_property
    def workshop(self) -> Workshop:
        """What the form may know of the bench."""
        board = self.design.board
        return Workshop(
            scale=float(self.design.scale),
            board=board,
            fit=self.design.fit,
            stack_for=lambda wanted: stack.stack_for(board, wanted, self.design.second_board),
            layers=lambda count: stack.stack(board, count),
            cutter=self.design.cutter,
            edge_sanding=self.design.edge_sanding,
            cushions={spec.on: self._envelopes[spec.name] for spec in self.design.cushions},
        )

    @cached_property
    def _envelopes(self) -> dict[str, CushionEnvelope]:
        """The room of each cushion, by its name."""
        board = self.design.board
        return {
            spec.name: envelope(spec, stack.thickness(board, spec.panel_layers + spec.backing_panels))
            for spec in self.design.cushions
        }

    @property
    def formed(self) -> Piece:
        """The parts in space, before anything is joined; parts have no letters yet."""
        return self._formed[0]

    @cached_property
    def _formed(self) -> tuple[Piece, tuple[Finding, ...]]:
        made = with_grain(self._made(), self.design.grains)
        made = with_cushions(made, self.design.cushions, self._envelopes)
        if any(rule.kind == "cleat" for rule in made.rules):
            words = guide_words(self.design.language)
            made = with_cleats(made, find_contacts(made.parts), self.workshop.layers(2), words)
        made = with_gluing(made, self.design.stack_rules)
        found: tuple[Finding, ...] = ()
        if any(p.gluing.face_last is not None for p in made.parts):
            made, found = with_faces_last(made, find_contacts(made.parts), self.boards)
        return replace(made, parts=tuple(self.memory.same(p) for p in made.parts)), found

    def _made(self) -> Piece:
        self.say(0.0, "placing the parts")
        if self.design.form is None:
            return piece_from_parts(self.design, self.workshop)
        made = FORMS[self.design.form].make(self.design.values, self.workshop)
        return replace(
            made,
            title=self.design.title or made.title,
            rules=(*made.rules, *self.design.rules),
            stands=made.stands and self.design.stands,
        )

    @cached_property
    def contacts(self) -> tuple[Contact, ...]:
        """Where parts meet."""
        return find_contacts(self.formed.parts, self.memory)

    @cached_property
    def _joined(self) -> tuple[tuple[Joint, ...], tuple[Finding, ...]]:
        self.say(0.1, "joining the parts")
        web = max(
            self.boards[name].smallest_web(self.design.cutter)
            for part in self.formed.parts
            for name in part.stack.boards
        )
        return make_joints(self.formed, self.contacts, self.design.fit, self.memory, web)

    @property
    def joints(self) -> tuple[Joint, ...]:
        """The joints, with what each does to the layers."""
        return self._joined[0]

    @cached_property
    def _lettered(self) -> tuple[Piece, tuple[Layer, ...], tuple[Finding, ...]]:
        self.say(0.2, "making the layers")
        made = make_layers(self.formed, self.joints, self.design.edge_sanding, self.memory)
        made, found = with_pins(self.formed.parts, made, self.boards, self.design.cutter, self.memory)
        parts, layers = letter_parts(self.formed.parts, made)
        return replace(self.formed, parts=parts), layers, found

    @property
    def piece(self) -> Piece:
        """The whole piece; alike parts share a letter."""
        return self._lettered[0]

    @property
    def layers(self) -> tuple[Layer, ...]:
        """Every layer of every part, as it is cut and as it is after sanding."""
        return self._lettered[1]

    @cached_property
    def _aided(self) -> tuple[Aids, tuple[Finding, ...]]:
        return make_keys(self.piece.parts, self.joints)

    @cached_property
    def aids(self) -> Aids:
        """What is cut besides the piece: keys that help to glue it, and the panels of cushions."""
        keys = self._aided[0]
        if not self.cushions:
            return keys
        design = self.design
        first = len({part.letter for part in (*self.piece.parts, *keys.parts)})
        panels = cushion_panels(
            self.cushions, design.cushions, design.board, first, guide_words(design.language)
        )
        return Aids((*keys.parts, *panels.parts), (*keys.layers, *panels.layers), keys.uses)

    @cached_property
    def _upholstered(self) -> tuple[tuple[Upholstery, ...], tuple[Finding, ...]]:
        design = self.design
        made: list[Upholstery] = []
        found: list[Finding] = []
        specs = {spec.name: spec for spec in design.cushions}
        for cushion in self.piece.cushions:
            part, spec = self.piece.part(cushion.on), specs[cushion.name]
            given = (cushion, spec, part, design.board, design.cutter, float(design.scale))
            done, told = self.memory.recall(("upholster", *given), partial(upholster, *given))
            made.append(done)
            found += told
        return tuple(made), (*found, *((FIRST_THE_WOOD,) if made else ()))

    @property
    def _upholstered_from(self) -> tuple[object, ...]:
        """All that the cushions depend on, in a form that results can be kept by."""
        design, specs = self.design, {spec.name: spec for spec in self.design.cushions}
        return tuple(
            (c, specs[c.name], self.piece.part(c.on), design.board, design.cutter, float(design.scale))
            for c in self.piece.cushions
        )

    @property
    def cushions(self) -> tuple[Upholstery, ...]:
        """The cushions, from panel to thread."""
        return self._upholstered[0]

    @cached_property
    def _carried(self) -> tuple[tuple[Layer, ...], tuple[Finding, ...]]:
        design = self.design
        return with_carriers(self.piece.parts, self.layers, self.boards, design.cutter, design.spacing)

    @cached_property
    def cut_layers(self) -> tuple[Layer, ...]:
        """All that is cut, as it is cut: the layers of the piece, those of its aids, and spares."""
        cutting, kind = self.design.cutting, self.design.cutter
        spares = spares_of(self.layers, self.design.spares_below)
        layers = (*self._carried[0], *spares, *self.aids.layers)
        if not cutting.bridges:
            return layers
        return with_bridges(self.cut_parts, layers, self.boards, kind, cutting.bridges_below)

    @cached_property
    def cut_parts(self) -> tuple[Part, ...]:
        """The parts that these layers belong to."""
        return (*self.piece.parts, *self.aids.parts)

    @cached_property
    def _assembled(self) -> tuple[Assembly, tuple[Finding, ...]]:
        self.say(0.35, "looking for an order of assembly")
        piece, layers = self.piece, self.layers
        given = (piece.parts, piece.cushions, self.joints, layers, self._upholstered_from)
        work = partial(order_of_assembly, piece, self.joints, layers, self.cushions)
        return self.memory.recall(("assembly", *given), work)

    @property
    def assembly(self) -> Assembly:
        """The steps by which the piece is put together; none where its parts lock each other."""
        return self._assembled[0]

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What the joinery and the checks say of the piece."""
        self.say(0.3, "looking at the whole")
        design = self.design
        given = Checked(
            piece=self.piece,
            contacts=self.contacts,
            joints=self.joints,
            layers=self.layers,
            boards=self.boards,
            cutter=design.cutter,
            edge_sanding=design.edge_sanding,
            thickness_limit=design.thickness_limit,
            margin=design.margin,
            scale=float(design.scale),
            kerf=design.cutting.kerf,
            patterns=design.patterns,
            grain_patterns=design.grain_patterns,
            lone_board=None if design.second_board else design.board.name,
        )
        stages = (self._formed[1], self._joined[1], self._lettered[2], self._aided[1], self._carried[1])
        found = (
            *chain.from_iterable(stages),
            *inspect(given),
            *self._upholstered[1],
            *self._assembled[1],
        )
        return tuple(sorted(found, key=lambda f: ("stop", "care", "note").index(f.grade)))

    def say(self, share: float, what: str) -> None:
        """Tell how far the work is, from 0 to 1, and what comes next."""
        if self._progress is not None:
            self._progress(share, what)
