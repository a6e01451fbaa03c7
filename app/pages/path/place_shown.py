"""The place under the hand with everything that its panel paints: the tooth's picture and its strips."""

from __future__ import annotations

from dataclasses import dataclass

from app.pages.path.place_picture import PlaceScene, place_scene
from app.pages.path.place_strips import PlaceStrips, place_strips
from core.path.stock_around import StockAround


@dataclass(frozen=True, slots=True, eq=False)
class PlaceShown:
    """One place, ready to be painted."""

    scene: PlaceScene
    strips: PlaceStrips


def place_shown(around: StockAround, s: float) -> PlaceShown:
    """The place at ``s`` mm along the path."""
    scene = place_scene(around, s)
    return PlaceShown(scene, place_strips(around.whole, scene.here))
