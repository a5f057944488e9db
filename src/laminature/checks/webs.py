"""What a board cannot hold: webs that are too thin, openings that are too small."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from laminature.checks.checked import Checked
from laminature.checks.places import on_layer
from laminature.geometry.flat import Flat
from laminature.geometry.thinness import Thin, narrow_openings, thin_webs
from laminature.model.board import Board
from laminature.model.finding import Finding
from laminature.model.layer import Layer

Search = Callable[[Sequence[Flat], float], list[tuple[Thin, ...]]]


def thin_places(given: Checked) -> tuple[Finding, ...]:
    """``web-too-thin``: material between two cuts that is thinner than the board allows, one per part."""
    found = []
    for thin, layer, board, count in _worst(given, thin_webs, lambda b: b.smallest_web(given.cutter)):
        least = board.smallest_web(given.cutter)
        found.append(
            Finding(
                "web-too-thin",
                "care",
                f"{layer.part} is only {thin.width:.2f} mm wide in layer {layer.label}{_others(count)}; "
                f"{board.title} wants {least:g} mm between two cuts of a {given.cutter}.",
                "Move the cuts apart, make the tab or slot there smaller, or the part larger"
                + (", or use a laser." if given.cutter == "knife" and board.web_laser < thin.width else "."),
                layer.part,
                layer.index,
                on_layer(given.part[layer.part], layer, thin.point),
            )
        )
    return tuple(found)


def small_openings(given: Checked) -> tuple[Finding, ...]:
    """``opening-too-small``: an opening narrower than the cutter makes cleanly, one per part."""
    found = []
    for thin, layer, board, count in _worst(
        given, narrow_openings, lambda b: b.smallest_opening(given.cutter)
    ):
        least = board.smallest_opening(given.cutter)
        found.append(
            Finding(
                "opening-too-small",
                "care",
                f"An opening in layer {layer.label} of {layer.part}{_others(count)} "
                f"is {thin.width:.2f} mm wide; "
                f"in {board.title} a {given.cutter} cuts {least:g} mm and more cleanly.",
                "Make it larger, cut it with several light passes and a new blade, "
                "or drill it after the stack is hardened.",
                layer.part,
                layer.index,
                on_layer(given.part[layer.part], layer, thin.point),
            )
        )
    return tuple(found)


def _worst(
    given: Checked, search: Search, limit: Callable[[Board], float]
) -> list[tuple[Thin, Layer, Board, int]]:
    """The worst place of each part, its layer and board, and how many places there are in all.

    Layers that are cut alike are searched once, whatever part they are of.
    """
    shapes: dict[tuple[str, bytes], Flat] = {}
    keys: list[list[tuple[str, bytes]]] = []
    for layer in given.layers:
        mine = [(layer.board, shape.wkb) for shape in layer.cut]
        keys.append(mine)
        shapes.update(zip(mine, layer.cut, strict=True))
    thin: dict[tuple[str, bytes], tuple[Thin, ...]] = {}
    for name in dict.fromkeys(board for board, _ in shapes):
        of_board = [key for key in shapes if key[0] == name]
        answers = search([shapes[key] for key in of_board], limit(given.boards[name]))
        thin.update(zip(of_board, answers, strict=True))
    worst: dict[str, tuple[Thin, Layer]] = {}
    count: dict[str, int] = {}
    for layer, mine in zip(given.layers, keys, strict=True):
        for place in (p for key in mine for p in thin[key]):
            count[layer.part] = count.get(layer.part, 0) + 1
            if layer.part not in worst or place.width < worst[layer.part][0].width - 1e-9:
                worst[layer.part] = (place, layer)
    return [(place, layer, given.boards[layer.board], count[part]) for part, (place, layer) in worst.items()]


def _others(count: int) -> str:
    return "" if count == 1 else f" (the narrowest of {count} such places)"
