"""What is read before a build: boards, designs, and what a design may hold."""

from __future__ import annotations

import pathlib
import tomllib
from collections.abc import Collection, Mapping
from functools import cache

from laminature.data import library
from laminature.design import boards as design_boards
from laminature.design import reading
from laminature.design.decoding import decode
from laminature.design.fits import read_fits
from laminature.design.jsonschema import json_schema
from laminature.design.lines import KeyPath
from laminature.design.prices import read_prices
from laminature.design.rates import read_rates
from laminature.design.starter import new_design
from laminature.design.writing import TomlValue, with_values
from laminature.forms.registry import FORMS
from laminature.model.board import Board
from laminature.model.design import Design
from laminature.model.fit import Fit
from laminature.model.form import Form, Parameter
from laminature.model.guide import Language
from laminature.model.price import UNKNOWN, Prices
from laminature.model.rates import Rates
from laminature.model.words import Words


def known_boards(own: bytes | None, own_file: str) -> Mapping[str, Board]:
    """The package's boards, and over them the user's own from the bytes of their file."""
    boards = design_boards.read_boards(library.boards(), "boards.toml")
    if own is not None:
        boards |= design_boards.read_boards(own, own_file, boards)
    return boards


def read_design(data: bytes, file: str, folder: pathlib.Path, boards: Mapping[str, Board]) -> Design:
    """Read a design from its bytes; ``folder`` is where pictures that it names have to lie."""
    return reading.parse(data, file, boards, _parameters(), folder, fits=_fits())


def check_text(data: bytes, file: str) -> None:
    """Raise DesignError where these bytes are no text in TOML, or more than is read."""
    decode(data, file)


def known_fits() -> tuple[str, ...]:
    """The names of the package's fits."""
    return tuple(_fits())


def changed(source: bytes, changes: Mapping[KeyPath, TomlValue | None], file: str = "design") -> bytes:
    """A design file with these values set and all else as it was.

    Raises DesignError, KeyError: see :func:`~laminature.design.writing.with_values`.
    """
    return with_values(source, changes, file)


def starter(form: Form) -> str:
    """A commented design file to start from."""
    return new_design(form.name, form.parameters, form.title)


@cache
def usual_rates() -> Rates:
    """The package's rates of work and use."""
    return read_rates(library.rates(), "rates.toml")


def known_rates(own: bytes | None, own_file: str) -> Rates:
    """The package's rates, and over them the user's own from the bytes of their file."""
    usual = usual_rates()
    return usual if own is None else read_rates(own, own_file, usual)


def known_prices(own: bytes | None, own_file: str, boards: Collection[str]) -> Prices:
    """The user's prices, of ``boards`` by their names and of supplies, from the bytes of their file; none
    where there is none.
    """
    return UNKNOWN if own is None else read_prices(own, own_file, boards)


@cache
def guide_words(language: Language) -> Words:
    """The words that we add by ourselves; what a language leaves out is as in the first."""
    tables = tomllib.loads(library.words().decode())
    return Words({**tables["british"], **tables[language]})


def schema() -> dict[str, object]:
    """The JSON Schema of design files, with the parameters of every form."""
    return json_schema(_parameters())


@cache
def _fits() -> Mapping[str, Fit]:
    return read_fits(library.fits(), "fits.toml")


@cache
def _parameters() -> dict[str, tuple[Parameter, ...]]:
    return {name: form.parameters for name, form in FORMS.items()}
