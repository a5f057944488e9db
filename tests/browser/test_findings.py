"""Findings: by grade, each with its place on piece or sheet, its remedy, and a mend where one is certain."""

import re

from playwright.sync_api import expect


def test_findings_stand_by_grade_with_remedies_on_their_lines(stool):
    stool.looked_through()
    expect(stool.ticket.get_by_role("button", name=re.compile(r"^Piece.*note"))).to_be_visible()
    stool.line("Piece")
    listed = stool.ticket.get_by_role("region", name="What needs care").get_by_role("listitem")
    assert listed.count() >= 2
    for each in listed.all():
        expect(each).to_contain_text(re.compile(r"\w+ \w+ \w+"))


def changed(before, now):
    return (before != now).any()


def test_show_the_place_turns_the_view_there(stool):
    stool.looked_through()
    stool.line("Piece")
    before = stool.pixels()
    stool.button("Show the place").first.click()
    stool.until(lambda: changed(before, stool.pixels()))


def test_a_mend_takes_the_finding_away_and_can_be_taken_back(stool):
    stool.looked_through()
    stool.line("Piece")
    mends = stool.ticket.get_by_role("button", name=re.compile("^Mix in"))
    label = mends.first.inner_text()
    offered = mends.count()
    text = stool.text_of_design()
    mends.first.click()
    expect(stool.button(f"Take back: {label}")).to_be_enabled()
    stool.until(lambda: mends.count() < offered)
    assert stool.text_of_design() != text
    stool.button(f"Take back: {label}").click()
    expect(mends).to_have_count(offered)
    assert stool.text_of_design() == text
