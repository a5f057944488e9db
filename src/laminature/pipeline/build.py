"""The stages in their order, each computed when it is first asked for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property, partial

from laminature.drawings.gauges import gauge_drawing
from laminature.drawings.jigs import jig_drawings
from laminature.drawings.sheet_map import map_drawing
from laminature.drawings.sheets import sheet_drawing
from laminature.errors import BuildError
from laminature.layering.choosing import choose_layers
from laminature.model.design import Design
from laminature.model.drawing import Drawing
from laminature.model.finding import Finding
from laminature.model.finish import Finish
from laminature.model.jig import Jig
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.offcut import EVERYDAY, Keep, Offcut, Remainder
from laminature.model.price import UNKNOWN, Prices
from laminature.model.rates import Rates
from laminature.model.sheet import Kept, Sheet
from laminature.model.supply import Supply
from laminature.model.task import Plan
from laminature.pipeline.making import Making, Progress
from laminature.pipeline.reading import guide_words, usual_rates
from laminature.planning.finishing import finishing
from laminature.planning.jigs import jigs
from laminature.planning.measures import Measured, measured
from laminature.planning.schedule import plan
from laminature.planning.supplies import supplies_for
from laminature.planning.tasks import tasks_for
from laminature.sheets.check import faults, placed
from laminature.sheets.closing import show_layers
from laminature.sheets.cutting import driven, prepared
from laminature.sheets.gathering import Gathered, drawn_in, gathered, laid_out
from laminature.sheets.nesting import lay_out
from laminature.sheets.pressing import SEED
from laminature.sheets.remainders import remainders
from laminature.sheets.replay import digest
from laminature.sheets.route import Route


class Build(Making):
    """All results for one design: those of its making, then sheets, order of work, supplies.

    ``offcuts`` are filled before full sheets are taken. ``seconds`` may be spent on better sheets
    than those that are made unasked. ``kept`` are sheets of an earlier kit of the same layers, used again
    where they are better. ``keep`` says what of the sheets is worth keeping; names of such pieces count
    on from ``first_offcut``. ``only`` names layers and parts to be cut once more: see
    :func:`~laminature.layering.choosing.choose_layers`; without it everything is cut.
    ``rates`` are how long work takes and how much it uses, None for the package's; ``prices`` the maker's.
    A search for sheets with ``another`` number makes other random choices.
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
        another: int = 0,
    ) -> None:
        super().__init__(design, progress, memory)
        self.rates = rates or usual_rates()
        self.prices = prices
        self.another = another
        self.seconds = seconds
        self.offcuts = tuple(offcuts)
        self.kept = kept
        self.keep = keep
        self.first_offcut = first_offcut
        self.only = only

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
                seed=SEED + self.another,
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
    def board_used(self) -> float:
        """How many full sheets are used: of the last one of each board, the share up to where it is used."""
        layers = {(layer.part, layer.index): layer for layer in self.sheet_layers}
        used: dict[str, float] = {}
        for sheet in self.sheets:
            if not sheet.offcut:
                tops = (placed(layers[p.part, p.layer], p).bounds[3] for p in sheet.placements)
                used[sheet.board] = math.ceil(used.get(sheet.board, 0.0)) + max(tops) / sheet.height
        return sum(used.values())

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
            guide_words(design.language),
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
        words = guide_words(design.language)
        routed_sheets = []
        for sheet in self.sheets:
            drawn = sheet_drawing(sheet, self.sheet_layers, self.boards, design.measuring_square, words)
            bridge = self.boards[sheet.board].bridge(design.cutter)
            routed_sheets.append(prepared(drawn, design.cutting, design.spacing, bridge))
        return tuple(routed_sheets)

    @cached_property
    def maps(self) -> tuple[Drawing, ...]:
        """A map of each sheet for the bench: labels, what is mirrored, what falls out, the order."""
        made, words = [], guide_words(self.design.language)
        for sheet, route in zip(self.sheets, self.routes, strict=True):
            left = [r for r in self.remainders if r.sheet == sheet.name]
            made.append(map_drawing(sheet, self.sheet_layers, self.boards, words, route.pieces, left))
        return tuple(made)

    @cached_property
    def driven(self) -> tuple[Drawing, ...]:
        """The sheets as a blade follows them: cuts run on over their beginning, beyond corners if asked."""
        shown = show_layers(self.piece.parts)
        return tuple(driven(drawing, self.design.cutting, shown) for drawing, _ in self._routed)

    @cached_property
    def jigs(self) -> tuple[Jig, ...]:
        """What holds parts in place while glue sets, where their joints do not."""
        return jigs(self.assembly, self.piece, self.joints, self.layers)

    @cached_property
    def helpers(self) -> tuple[Drawing, ...]:
        """Gauges and jigs at true size, to be cut from offcuts."""
        words = guide_words(self.design.language)
        gauges = gauge_drawing(self.piece.parts, words)
        return (*((gauges,) if gauges else ()), *jig_drawings(self.jigs, words))

    @cached_property
    def stacks(self) -> tuple[Measured, ...]:
        """The stacks that are glued up, measured for plan, supplies and finish."""
        given = (self.piece, self.joints, self.cut_layers, self._upholstered_from)
        work = partial(measured, self.piece, self.joints, self.cut_layers, self.cushions)
        return self.memory.recall(("stacks", *given), work)

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
            guide_words(self.design.language),
            self.design.cutter,
            self.aids.uses,
            self.stacks,
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
            guide_words(self.design.language),
            self.prices,
            self.stacks,
        )

    @cached_property
    def finish(self) -> Finish:
        """What is sanded, masked and coated."""
        return finishing(self.piece, self.joints, self.layers, self.cushions, self.rates, self.stacks)

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
        words = guide_words(self.design.language)
        return words.some(
            "list_facts",
            passes,
            cut=f"{route.cutting / 1000.0:.1f}",
            between=f"{route.travel / 1000.0:.1f}",
            cutter=words.of(f"cutter_{kind}"),
            minutes=str(minutes),
            speed=f"{cutting.speed:g}",
        )

    @property
    def routes(self) -> tuple[Route, ...]:
        """The order of cutting of each sheet."""
        return tuple(route for _, route in self._routed)
