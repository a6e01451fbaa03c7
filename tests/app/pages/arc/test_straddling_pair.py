"""Pair of a straddling cut: the other side, or of a centred cut the same work at another offset; a slot alone."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QPointF

from app.pages.arc.plan_handles import handles_at
from app.pages.arc.plan_layers import edge_grip
from core.advice.offsets import beside_in_pair
from core.documents.setup_examples import example
from core.effects.arc_results import paired_angle
from core.force.force_curves import force_loop
from core.report.figures import figures
from core.report.sentence import sentence
from core.setup.setup import Setup
from tests.app import steps
from tests.app.windows import at_rest, drag, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def face_mill(hand: str = "right", offset: float = 0.0) -> Setup:
    return example("facing-wide-steel").setup().with_keys({"cutter.hand": hand, "cut.centre_offset_mm": offset})


@pytest.mark.parametrize("hand", ["right", "left"])
def test_beside_a_centred_cut_stands_another_offset_and_its_title_says_which(hand: str) -> None:
    with window_on(face_mill(hand), pair=True, angle_deg=70.0) as window:
        at_rest(window)
        (mine, _), (theirs, _) = window.arc.plan.frames()
        other = beside_in_pair(window.workbench.resolved)
        assert theirs.results.setup == other and other.cut.centre_offset_mm == 10.0
        assert (mine.title, theirs.title) == ("Offset 0 mm", "Offset +10 mm")
        # Right of the axis is left on the picture of a left-hand cutter.
        side = 1.0 if hand == "right" else -1.0
        for scene, offset in ((mine, 0.0), (theirs, 10.0)):
            edges = [80.0 * x for x in scene.shapes.edges]
            assert sorted(edges) == pytest.approx(sorted(side * (offset + half) for half in (-60.0, 60.0)))
        expected = paired_angle(math.radians(70.0), mine.results.engagement, theirs.results.engagement)
        assert theirs.angle_deg == pytest.approx(math.degrees(expected))
        # Strips, loop and sentence are of the same two cuts, and none says the same twice.
        strips = window.arc.strips.stack.scene_shown
        assert strips is not None and strips.other is not None and strips.other.results.setup == other
        loops = window.arc.charts.scene_shown.loops
        assert [loop.dotted for loop in loops] == [False, True] and loops[1].loop == force_loop(other)
        own, beside = window.sentence.label.text().split("\n")
        assert own == sentence(window.workbench.resolved) and "+10 mm" in beside and "151.0°" in beside
        assert beside != sentence(other)


def test_the_units_of_the_title_follow() -> None:
    with window_on(face_mill(), pair=True, units="inch") as window:
        assert [scene.title for scene, _ in window.arc.plan.frames()] == ["Offset 0 in", "Offset +0.3937 in"]


def test_a_place_to_compare_with_has_no_handles_and_the_mirror_image_follows_the_hand() -> None:
    with window_on(face_mill(), pair=True) as window:
        scene, frame = window.arc.plan.frames()[1]
        assert scene.compared
        for x in scene.shapes.edges:
            assert not any(h.kind == "edge" for h in handles_at(edge_grip(x, frame), scene, frame))
    with window_on(face_mill(offset=4.0), pair=True) as window:
        plan = window.arc.plan
        scene, frame = plan.frames()[1]
        assert scene.mirrored and not scene.compared
        grip = edge_grip(scene.shapes.edges[1], frame)
        drag(plan, grip, grip + QPointF(0.05 * frame.radius, 0.0))
        after, _ = plan.frames()[1]
        assert after.shapes.edges[1] == pytest.approx(scene.shapes.edges[1] + 0.05, abs=0.01)
        assert after.shapes.edges[0] == pytest.approx(scene.shapes.edges[0], abs=1e-6)
        assert window.workbench.setup.cut.centre_offset_mm == pytest.approx(-after.results.setup.cut.centre_offset_mm)


def test_a_slot_is_one_picture_that_says_so() -> None:
    with window_on(example("slot-steel").setup(), pair=True) as window:
        ((scene, _),) = window.arc.plan.frames()
        assert scene.title == "Slot: the same both ways"
        strips = window.arc.strips.stack.scene_shown
        assert strips is not None and strips.other is None and len(window.arc.charts.scene_shown.loops) == 1
        window.workbench.propose(face_mill(), steps.WIDTH)
        settle()
        assert len(window.arc.plan.frames()) == 2


def test_a_pin_on_either_plan_is_what_stood_there() -> None:
    with window_on(face_mill(), pair=True) as window:
        window.menus.by_id["pin"].trigger()
        pinned = window.workbench.resolved
        window.workbench.propose(window.workbench.setup.with_keys({"cut.centre_offset_mm": 5.0}), steps.ANOTHER)
        settle()
        ghosts = [scene.ghost for scene, _ in window.arc.plan.frames()]
        assert [g and g.results.setup for g in ghosts] == [pinned, beside_in_pair(pinned)]


def test_the_figures_stand_beside_those_of_the_same_offset() -> None:
    found = figures(face_mill())
    assert found.heads("metric")[2:4] == ("Offset 0 mm", "Offset +10 mm")
    exits = next(row for row in found.rows if row.key == "engagement.exit_deg")
    assert exits.climb != exits.conventional
