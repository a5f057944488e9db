"""All checks together."""

from laminature.checks.registry import inspect
from laminature.geometry.pose import Pose

from .by_hand import THICK, checked, codes, contact, part


def test_findings_come_gravest_first_and_alike_every_time():
    shelf = part("shelf", pose=Pose((0.0, 0.0, 3 * THICK)), wanted_thickness=THICK - 0.5)
    given = checked(part("top"), shelf, stands=True)
    found = inspect(given)
    assert codes(found) == ["part-not-attached", "thickness-off", "stands"]
    assert found == inspect(given)


def test_a_sound_piece_only_gets_the_note_that_it_stands():
    lying = part("upper", pose=Pose((0.0, 0.0, THICK)))
    found = inspect(checked(part("lower"), lying, contacts=[contact("lower", "upper", "faces")], stands=True))
    assert codes(found) == ["stands"]


def test_every_finding_is_a_sentence_with_a_remedy():
    shelf = part("shelf", pose=Pose((0.0, 0.0, THICK / 2)), wanted_thickness=THICK - 0.5)
    for found in inspect(checked(part("top"), shelf, size=(10.0, None, None))):
        assert found.message[0].isupper() or found.message.startswith(("top", "shelf"))
        assert found.message.endswith(".")
        assert found.remedy.endswith((".", "'"))
