"""A field of one figure that belongs to a page and not to the setup, typed as in the hand-rail."""

from __future__ import annotations

import math

from PySide6.QtCore import Signal

from app.controls.slider_and_field import ValueField
from app.state.view_state import ViewState
from core.base.errors import ChiparcError
from core.base.quantities import QUANTITIES, few_decimals, number
from core.base.typed_value import typed_value
from core.base.words import say

MOST = 1e9
"""No figure of a shop is larger, in any house unit."""


class FigureField(ValueField):
    """A figure over 0 in the units shown; fractions, units and thousands are taken as in the hand-rail.

    ``value`` is in the house unit.  ``taken`` carries it, None where an optional field was emptied; ``refused`` a
    sentence, after which the field shows its figure again.
    """

    taken = Signal(object)
    refused = Signal(str)

    def __init__(self, word: str, view: ViewState, *, optional: bool = False) -> None:
        super().__init__()
        self._word, self._view, self._optional = word, view, optional
        self.value: float | None = None
        self._quantity = "length"
        self.setAccessibleName(word)
        self.setMaximumWidth(90)
        self.editingFinished.connect(self._finished)
        self.put_back.connect(self._show)

    def show_figure(self, value: float | None, quantity: str) -> None:
        """This figure, in the house unit of its quantity; None for none."""
        self.value, self._quantity = value, quantity
        self._show()

    def _show(self) -> None:
        q, units = QUANTITIES[self._quantity], self._view.units
        text = ""
        if self.value is not None:
            shown = q.shown(self.value, units)
            text = number(shown, few_decimals(shown, q.decimals_in(units)))
        self.setText(text)
        self.setModified(False)

    def _finished(self) -> None:
        if not self.isModified():
            return
        if self._optional and not self.text().strip():
            self.value = None
        else:
            try:
                self.value = self._typed()
            except ChiparcError as error:
                self._show()
                self.refused.emit(str(error))
                return
        self._show()
        self.taken.emit(self.value)

    def _typed(self) -> float:
        value = typed_value(self.text(), self._quantity, self._view.units)
        if not (math.isfinite(value) and 0.0 < value < MOST):
            unit = QUANTITIES[self._quantity].unit_in(self._view.units)
            found = say("refusal", "found_text", text=self.text().strip())
            raise ChiparcError(self._word, found, say("typed", "over_nothing", unit=unit))
        return value
