"""The outline in an SVG file: units, transforms, and what is refused."""

import pytest

from laminature.errors import GeometryError
from laminature.geometry.flat import flat
from laminature.geometry.svgfile import svg_outline

RECT = '<rect x="10" y="20" width="80" height="50"/>'


def svg(body, head='width="200mm" height="100mm" viewBox="0 0 200 100"'):
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{body}</svg>'.encode()


def shape(body, *head):
    outer, *openings = svg_outline(svg(body, *head))
    return flat(outer, openings)


def test_a_rectangle_in_millimetres_with_y_upwards():
    assert shape(RECT).bounds == pytest.approx((10, -70, 90, -20))


@pytest.mark.parametrize(
    ("head", "width"),
    [
        ('width="20cm" viewBox="0 0 200 100"', 80.0),
        ('width="4in" viewBox="0 0 200 100"', 80 * 101.6 / 200),
        ("", 80 * 25.4 / 96),
        ('width="200" viewBox="0 0 200 100"', 80 * 25.4 / 96),
        ('width="100%" viewBox="0 0 200 100"', 80 * 25.4 / 96),
        ('width="144pt" viewBox="0 0 144 100"', 80 * 25.4 / 72),
    ],
)
def test_units(head, width):
    x0, _, x1, _ = shape(RECT, head).bounds
    assert x1 - x0 == pytest.approx(width)


@pytest.mark.parametrize(
    ("body", "area"),
    [
        ('<path d="M0 0 H80 V50 H0 Z"/>', 4000.0),
        ('<path d="M0 0 H80 V50 H0 Z M10 10 V20 H20 V10 Z"/>', 3900.0),
        ('<polygon points="0,0 80,0 80,50 0,50"/>', 4000.0),
        ('<circle cx="50" cy="50" r="30"/>', 2827.433),
        ('<ellipse cx="50" cy="50" rx="40" ry="30"/>', 3769.911),
        (f'<g transform="scale(2)"><g transform="rotate(30 5 5)">{RECT}</g></g>', 16000.0),
        (f'<g transform="matrix(0 1 -1 0 30 40)">{RECT}</g>', 4000.0),
        (f'<g transform="skewX(20) translate(3)">{RECT}</g>', 4000.0),
        (f"<defs>{RECT}<circle r='9'/></defs><g>{RECT}</g>", 4000.0),
        (f"{RECT}{RECT}", 4000.0),
        (f'{RECT}<circle cx="50" cy="45" r="10"/>', 4000 - 314.159),
    ],
)
def test_shapes_and_transforms(body, area):
    assert shape(body).area == pytest.approx(area, rel=1e-3)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no SVG file"),
        (b"hello", "no SVG file"),
        (b"\x00\xff", "no SVG file"),
        (b"<html/>", "no SVG file"),
        (b'<!DOCTYPE s [<!ENTITY a "b">]><svg/>', "entities"),
        (svg(""), "no closed outline"),
        (svg('<path d="M0 0 L5 5"/>'), "no closed outline|cannot be read"),
        (svg('<path d="hello"/>'), "path in it cannot be read"),
        (svg('<rect x="wide" width="3" height="3"/>'), "rect in it cannot be read"),
        (svg('<polygon points="1 2 3"/>'), "polygon in it cannot be read"),
        (svg(f'<g transform="scale(0)">{RECT}</g>'), "squeezed"),
        (svg(f'<g transform="fold(3)">{RECT}</g>'), "transform"),
        (svg(RECT + '<circle cx="190" cy="50" r="5"/>'), "2 shapes"),
        (svg(RECT * 501), "more than 500"),
        (svg("<g>" * 200 + RECT + "</g>" * 200), "nested"),
    ],
)
def test_what_gives_no_outline(data, words):
    with pytest.raises(GeometryError, match=words):
        svg_outline(data)


def test_an_outline_that_crosses_itself_is_handed_on_to_be_told():
    outer, *_ = svg_outline(svg('<path d="M0 0 L80 50 L80 0 L0 50 Z"/>'))
    with pytest.raises(GeometryError):
        flat(outer)
