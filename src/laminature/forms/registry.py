"""The forms there are, by the name that a design file calls them.

Names can be listed without loading any form; a form is loaded when it is first asked for,
because forms need numpy and shapely and the command line's help does not.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from laminature.model.form import Form

#: Module of each form, in the order in which they are listed. Each module has a ``FORM``.
_MODULES: dict[str, str] = {
    "radial-table": "laminature.forms.radial_table",
    "boxed-seat": "laminature.forms.boxed_seat",
    "shelf-unit": "laminature.forms.shelf_unit",
    "lidded-box": "laminature.forms.lidded_box",
    "plank-chair": "laminature.forms.plank_chair",
}


class _Registry(Mapping[str, "Form"]):
    """A read-only mapping that imports a form's module when its entry is read."""

    def __getitem__(self, name: str) -> Form:
        form: Form = import_module(_MODULES[name]).FORM
        return form

    def __iter__(self) -> Iterator[str]:
        return iter(_MODULES)

    def __len__(self) -> int:
        return len(_MODULES)

    def __contains__(self, name: object) -> bool:
        return name in _MODULES


#: Every form by name. Iterating over the names imports nothing heavy.
FORMS: Mapping[str, Form] = _Registry()
