"""Which rungs a document asks, and in which order, as a person changes it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from core.setup.rungs import RUNGS
from core.setup.setup import Advice


@given(st.lists(st.tuples(st.sampled_from(RUNGS), st.booleans())))
def test_the_last_switch_of_each_rung_holds_and_the_order_stays(switches: list[tuple[str, bool]]) -> None:
    advice = Advice(order=("custom",))
    for rung, on in switches:
        advice = advice.switched(rung, on)
    last = dict(switches)
    assert advice.off == tuple(rung for rung in RUNGS if last.get(rung) is False)
    assert advice.order == ("custom",)


def test_a_rung_moves_up_one_place_at_a_time_until_it_is_first() -> None:
    advice = Advice(off=("finish",))
    for place in (3, 2, 1, 0, 0):
        advice = advice.asked_earlier("custom")
        assert advice.whole_order.index("custom") == place and advice.off == ("finish",)
        assert sorted(advice.whole_order) == sorted(RUNGS)


def test_the_usual_order_is_told_by_no_order_at_all() -> None:
    assert Advice().asked_earlier("part").asked_earlier("machine") == Advice()
