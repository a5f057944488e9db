"""Changes to a design file keep the maker's own words."""

import tomllib

import pytest

from laminature.design.writing import with_values
from laminature.errors import DesignError

SOURCE = b"""\
# For the loft above the harbour.
title = "Lamp table"   # she reads the water by it
board = "chipboard-22" # the grey one

[form]
name = "radial-table"
height = "24 in"       # under the window sill
# legs = 6

[[part]]
name = 'top'
"""


def test_a_value_changes_and_every_other_byte_stays():
    assert with_values(SOURCE, {("form", "height"): "25 in"}) == SOURCE.replace(b'"24 in"', b'"25 in"')


def test_nothing_changes_where_nothing_is_asked():
    assert with_values(SOURCE, {}) == SOURCE


def test_new_keys_and_tables_are_added():
    written = with_values(
        SOURCE, {("form", "legs"): 6, ("cushion", "piping"): "1 mm", ("part", 0, "layers"): 4}
    )
    read = tomllib.loads(written.decode())
    assert read["form"]["legs"] == 6
    assert read["cushion"] == {"piping": "1 mm"}
    assert read["part"] == [{"name": "top", "layers": 4}]
    for note in (b"# For the loft", b"# she reads", b"# under the window sill", b"# legs = 6"):
        assert note in written


def test_a_name_alone_becomes_a_table_in_its_place():
    written = with_values(SOURCE, {("board", "caliper"): "0.57 mm"})
    assert b'board = {name = "chipboard-22", caliper = "0.57 mm"} # the grey one' in written


def test_none_takes_a_key_away():
    written = with_values(SOURCE, {("form", "height"): None, ("form", "legs"): None, ("fit", "across"): None})
    assert tomllib.loads(written.decode())["form"] == {"name": "radial-table"}


def test_line_ends_and_byte_order_mark_stay():
    source = b"\xef\xbb\xbf" + SOURCE.replace(b"\n", b"\r\n")
    assert with_values(source, {("form", "height"): "25 in"}) == source.replace(b'"24 in"', b'"25 in"')


def test_lists_and_booleans_can_be_set():
    written = with_values(SOURCE, {("stands",): False, ("part", 0, "at"): ["1 in", 0, "mini 2 mm"]})
    read = tomllib.loads(written.decode())
    assert read["stands"] is False
    assert read["part"][0]["at"] == ["1 in", 0, "mini 2 mm"]


@pytest.mark.parametrize("path", [("title", "x"), ("form", "name", "x")])
def test_nothing_can_be_set_within_a_value(path):
    with pytest.raises(DesignError, match="no table"):
        with_values(SOURCE, {path: 1})


@pytest.mark.parametrize("path", [(), ("part", 2, "name"), ("part", 7)])
def test_a_path_that_leads_nowhere_is_refused(path):
    with pytest.raises(KeyError):
        with_values(SOURCE, {path: 1})


def test_a_file_that_is_no_toml_is_refused():
    with pytest.raises(DesignError, match="no TOML"):
        with_values(b"title = ", {("title",): "x"})


RULES = b"""a = 1  # kept

[[joint]]
parts = ["leg-*", "seat"]

[form]
name = "stool"
"""


def test_the_next_one_of_a_list_of_tables_is_begun_and_taken_away_again():
    more = {("joint", 1, "parts"): ["leg-1", "seat"], ("joint", 1, "kind"): "cleat"}
    longer = with_values(RULES, more)
    begun = b'[[joint]]\nparts = ["leg-1", "seat"]\nkind = "cleat"\n\n'
    assert longer == RULES.replace(b"[form]", begun + b"[form]")
    assert with_values(longer, {("joint", 1): None}) == RULES
    with pytest.raises(KeyError):
        with_values(RULES, {("joint", 2, "kind"): "glue"})


def test_a_list_of_tables_that_is_not_there_yet_is_begun_at_the_end():
    source = b"a = 1\n"
    begun = with_values(source, {("joint", 0, "parts"): ["a", "b"]})
    assert begun == b'a = 1\n\n[[joint]]\nparts = ["a", "b"]\n'
    inline = with_values(b'joint = [{ parts = ["a", "b"] }]\n', {("joint", 1, "parts"): ["c", "d"]})
    assert inline == b'joint = [{ parts = ["a", "b"] }, {parts = ["c", "d"]}]\n'


def test_a_list_of_values_is_not_gone_on_with_as_tables():
    with pytest.raises(KeyError):
        with_values(b"sizes = [1, 2]\n", {("sizes", 2, "name"): "x"})
