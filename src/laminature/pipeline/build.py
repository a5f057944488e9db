"""The stages in their order, each computed when it is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property, partial
from itertools import chain

from laminature.checks.checked import Checked
from laminature.checks.registry import inspect
from laminature.drawings.sheet_map import map_drawing
from laminature.drawings.sheets import sheet_drawing
from laminature.errors import BuildError
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
from laminature.layering.choosing import choose_layers
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
from laminature.model.drawing import Drawing
from laminature.model.finding import Finding
from laminature.model.form import Workshop
from laminature.model.joint import Contact, Joint
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.offcut import EVERYDAY, Keep, Offcut, Remainder
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.price import UNKNOWN, Prices
from laminature.model.rates import Rates
from laminature.model.sheet import Kept, Sheet
from laminature.model.step import Assembly
from laminature.model.supply import Supply
from laminature.model.task import Plan
from laminature.pipeline.reading import usual_rates
from laminature.planning.assembly import order_of_assembly
from laminature.planning.schedule import plan
from laminature.planning.supplies import supplies_for
from laminature.planning.tasks import tasks_for
from laminature.sheets.check import faults
from laminature.sheets.closing import show_layers
from laminature.sheets.cutting import driven, prepared
from laminature.sheets.gathering import Gathered, drawn_in, gathered, laid_out
from laminature.sheets.nesting import lay_out
from laminature.sheets.remainders import remainders
from laminature.sheets.replay import digest
from laminature.sheets.route import Route
from laminature.upholstery.envelope import envelope
from laminature.upholstery.solve import FIRST_THE_WOOD, upholster

Progress = Callable[[float, str], None]


class Build:
    """The results of the stages for one design, each computed when it is first asked for.

    ``progress`` hears the share done, from 0 to 1, and of what; an exception that it raises
    ends the work. With a ``memory`` that an earlier build filled, only what has changed since is
    made again. Every attribute may raise FormError or GeometryError for sizes that no
    piece can be made from.

    ``offcuts`` are filled before full sheets are taken. ``seconds`` may be spent on better sheets
    than those that are made unasked. ``kept`` are sheets of an earlier kit of the same layers, used again
    where they are better. ``keep`` says what of the sheets is worth keeping; names of such pieces count
    on from ``first_offcut``. ``only`` names layers and parts to be cut once more: see
    :func:`~laminature.layering.choosing.choose_layers`; without it everything is cut.
    ``rates`` are how long work takes and how much it uses, None for the package's; ``prices`` the maker's.
    """

    def __init__(
        self,
        design: Design,
        progress: Progress | None = None,
        memory: Memory | None = None,
        *,
        seconds: float = 0.0,
        offcuts: Sequence[Offcut] = (),
        kept: Kept | None = None,
        keep: Keep = EVERYDAY,
        first_offcut: int = 1,
        only: str | None = None,
        rates: Rates | None = None,
        prices: Prices = UNKNOWN,
    ) -> None:
        self.design = design
        self.rates = rates or usual_rates()
        self.prices = prices
        self.seconds = seconds
        self.offcuts = tuple(offcuts)
        self.kept = kept
        self.keep = keep
        self.first_offcut = first_offcut
        self.only = only
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
            made = with_cleats(made, find_contacts(made.parts), self.workshop.layers(2))
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
        panels = cushion_panels(self.cushions, design.cushions, design.board, first)
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

    @cached_property
    def _gathered(self) -> Gathered:
        design, cutting = self.design, self.design.cutting
        if not cutting.gather:
            return Gathered(self.to_cut)
        below = cutting.bridges_below
        return gathered(self.to_cut, self.boards, design.cutter, design.spacing, design.margin, below)

    @property
    def sheet_layers(self) -> tuple[Layer, ...]:
        """All that lies on the sheets: what is cut, and the frames in which small pieces lie."""
        return (*self.cut_layers, *self._gathered.frames)

    @cached_property
    def _laid_out(self) -> tuple[tuple[Sheet, ...], tuple[Finding, ...]]:
        def say(share: float, what: str) -> None:
            self.say(0.4 + 0.4 * share, what)

        design, boards, found = self.design, self.boards, self._gathered
        kept = self.kept.sheets if self.kept and self.kept.digest == self.layout_digest else ()
        return laid_out(
            found,
            lambda layers: lay_out(
                layers,
                boards,
                design.spacing,
                design.margin,
                say,
                offcuts=self.offcuts,
                seconds=self.seconds,
                start=drawn_in(kept, found),
            ),
            lambda sheets: faults(
                sheets,
                (*self.to_cut, *found.frames),
                boards,
                design.spacing,
                design.margin,
                offcuts=self.offcuts,
            ),
        )

    @property
    def layout(self) -> Kept | None:
        """The sheets to be kept, where they come from a search by time; None where none was made."""
        earlier = self.kept if self.kept and self.kept.digest == self.layout_digest else None
        spent = self.seconds + (earlier.seconds if earlier else 0.0)
        if self.seconds > 0.0 or (earlier and earlier.sheets == self.sheets):
            return Kept(self.layout_digest, self.sheets, spent)
        return None

    @cached_property
    def layout_digest(self) -> str:
        """What stands for the shapes and settings of the sheets, in ``kit.toml``."""
        return digest(self.to_cut, self.boards, self.design.spacing, self.design.margin)

    @cached_property
    def to_cut(self) -> tuple[Layer, ...]:
        """The layers that the sheets hold. Raises ChoiceError for a layer that is not there."""
        return self.cut_layers if self.only is None else choose_layers(self.only, self.cut_layers)

    @cached_property
    def remainders(self) -> tuple[Remainder, ...]:
        """The offcuts that come about when the sheets are cut."""
        design = self.design
        return remainders(
            self.sheets,
            self.sheet_layers,
            self.boards,
            self.keep,
            spacing=design.spacing,
            kerf=design.cutting.kerf,
            first=self.first_offcut,
            title=design.title,
        )

    @property
    def used(self) -> tuple[tuple[str, Offcut], ...]:
        """The offcuts that the sheets are cut from, each with its sheet's name."""
        known = {offcut.name: offcut for offcut in self.offcuts}
        return tuple((s.name, known[s.offcut]) for s in self.sheets if s.offcut)

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """The sheets, laid out for cutting. Raises BuildError where a layer fits on none."""
        sheets, found = self._laid_out
        stops = [f.message for f in found if f.grade == "stop"]
        if stops:
            raise BuildError("The sheets cannot be laid out: " + " ".join(stops))
        return sheets

    @cached_property
    def drawings(self) -> tuple[Drawing, ...]:
        """One drawing for each sheet."""
        self.say(0.8, "drawing the sheets")
        if self.design.cutting.in_drawings:
            return self.driven
        return tuple(drawing for drawing, _ in self._routed)

    @cached_property
    def _routed(self) -> tuple[tuple[Drawing, Route], ...]:
        design = self.design
        routed_sheets = []
        for sheet in self.sheets:
            drawn = sheet_drawing(sheet, self.sheet_layers, self.boards, design.measuring_square)
            bridge = self.boards[sheet.board].bridge(design.cutter)
            routed_sheets.append(prepared(drawn, design.cutting, design.spacing, bridge))
        return tuple(routed_sheets)

    @cached_property
    def maps(self) -> tuple[Drawing, ...]:
        """A map of each sheet for the bench: labels, what is mirrored, what falls out, the order."""
        made = []
        for sheet, route in zip(self.sheets, self.routes, strict=True):
            left = [r for r in self.remainders if r.sheet == sheet.name]
            made.append(map_drawing(sheet, self.sheet_layers, self.boards, route.pieces, left))
        return tuple(made)

    @cached_property
    def driven(self) -> tuple[Drawing, ...]:
        """The sheets as a blade follows them: cuts run on over their beginning, beyond corners if asked."""
        shown = show_layers(self.piece.parts)
        return tuple(driven(drawing, self.design.cutting, shown) for drawing, _ in self._routed)

    @cached_property
    def _assembled(self) -> tuple[Assembly, tuple[Finding, ...]]:
        self.say(0.35, "looking for an order of assembly")
        return order_of_assembly(self.piece, self.joints, self.layers, self.cushions)

    @property
    def assembly(self) -> Assembly:
        """The steps by which the piece is put together; none where its parts lock each other."""
        return self._assembled[0]

    @cached_property
    def plan(self) -> Plan:
        """The work at the bench, in evenings."""
        tasks = tasks_for(
            self.piece,
            self.joints,
            self.cut_layers,
            self.sheets,
            self.assembly,
            self.cushions,
            self.rates,
            {
                sheet.name: self.seconds_on(sheet, route)
                for sheet, route in zip(self.sheets, self.routes, strict=True)
            },
            self.design.cutter,
        )
        return plan(tasks, self.design.evening)

    @cached_property
    def supplies(self) -> tuple[Supply, ...]:
        """What to buy, with prices where the maker has given some."""
        return supplies_for(
            self.piece,
            self.joints,
            self.cut_layers,
            self.sheets,
            self.cushions,
            self.boards,
            self.rates,
            self.prices,
        )

    def passes(self, sheet: Sheet) -> int:
        """How often the cutter goes over a line of a sheet."""
        return self.design.cutting.passes or self.boards[sheet.board].passes(self.design.cutter)

    def seconds_on(self, sheet: Sheet, route: Route) -> float:
        """How long the cutter runs on a sheet, by the speeds of the design."""
        return route.seconds(self.design.cutting, self.passes(sheet))

    def facts(self, sheet: Sheet, route: Route) -> str:
        """A line about lengths and time of a sheet's cutting."""
        cutting, kind = self.design.cutting, self.design.cutter
        passes = self.passes(sheet)
        minutes = max(1, round(self.seconds_on(sheet, route) / 60.0))
        goes = "1 pass" if passes == 1 else f"{passes} passes"
        return (
            f"{route.cutting / 1000.0:.1f} m to cut and mark, {route.travel / 1000.0:.1f} m between; "
            f"by {kind} in {goes} about {minutes} min, at {cutting.speed:g} mm/s."
        )

    @property
    def routes(self) -> tuple[Route, ...]:
        """The order of cutting of each sheet."""
        return tuple(route for _, route in self._routed)

    def say(self, share: float, what: str) -> None:
        """Tell how far the work is, from 0 to 1, and what comes next."""
        if self._progress is not None:
            self._progress(share, what)
