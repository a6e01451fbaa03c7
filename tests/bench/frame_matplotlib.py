"""What `frame` and `hand` compare with: the content of the window in matplotlib's Qt canvas.

Plans with work, cutter, coloured chip, ring, callouts, forces and loupe; strips with bands, curves and line; both
charts; sentence and values.  Its artists are made once and given new data: all redrawn, or blitted over a cached
still picture.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from tests.bench.frame_window import HEIGHT, WIDTH


class Peer:
    """The same content in matplotlib, artists reused.

    whole : all strips and both plans of Pair; else what the window opens with.
    """

    def __init__(self, setup: Any, blit: bool, whole: bool = True) -> None:
        from matplotlib.backends.backend_qtagg import FigureCanvasQTAgg
        from matplotlib.collections import PolyCollection
        from matplotlib.figure import Figure

        from core.cut.cutter_outline import cutter_outline
        from core.strips.strip_curves import STRIPS

        self.blit = blit
        self.pair = whole
        self.shown = tuple(STRIPS) if whole else ("chip", "force")
        sides = 2 if whole else 1
        styles = ("-", "--")[:sides]
        self.figure = Figure((WIDTH / 100, HEIGHT / 100), dpi=100)
        self.canvas = FigureCanvasQTAgg(self.figure)
        self.canvas.resize(WIDTH, HEIGHT)
        self.canvas.show()
        self.moving: list[Any] = []
        self.plans: list[dict[str, Any]] = []
        self.strips: list[dict[str, Any]] = []
        n = len(self.shown)
        for i in range(sides):
            axes = self.figure.add_axes((0.02 + 0.29 * i, 0.30, 0.57 / sides, 0.64))
            axes.set_xlim(-1.65, 1.65)
            axes.set_ylim(-1.4, 1.9)
            axes.set_aspect("equal")
            axes.axis("off")
            outline = cutter_outline(setup.cutter.teeth)
            plan: dict[str, Any] = {
                "work": axes.fill([0], [0], facecolor="#ebe8e0", edgecolor="#b3b6b2", hatch="//", animated=blit)[0],
                "cutter": axes.fill(outline[:, 0], outline[:, 1], fc="#d7dcde", ec="#3a444b", animated=blit)[0],
                "chip": PolyCollection([], cmap="cividis", animated=blit),
                "edge": axes.plot([], [], color="k", lw=2, animated=blit)[0],
                "inner": axes.plot([], [], color="k", lw=1, ls="--", animated=blit)[0],
                "radius": axes.plot([], [], color="#b04a17", marker="o", animated=blit)[0],
            }
            axes.add_collection(plan["chip"])
            card = {"facecolor": "white", "edgecolor": "#d9dcdc"}
            for name in ("enters", "leaves", "angle", "feed", "force", "burr"):
                boxed = card if name in ("enters", "leaves", "angle", "force") else None
                plan[name] = axes.text(0, 0, "", fontsize=9, bbox=boxed, animated=blit)
            for name in ("enters line", "leaves line", "burr line"):
                plan[name] = axes.plot([], [], color="k", lw=1, marker="o", markevery=[0], animated=blit)[0]
            plan["peeled"] = axes.fill([0], [0], fc="#ffffffbb", ec="#5f6970", animated=blit)[0]
            plan["curl"] = axes.fill([0], [0], fc="#c8b560", ec="k", animated=blit)[0]
            plan["rubbing"] = axes.fill([0], [0], fc="none", hatch="////", animated=blit)[0]
            plan["corner"] = axes.fill([0], [0], fc="#1f262b38", ec="#5f6970", animated=blit)[0]
            for name in ("whole", "tooth"):
                plan[name] = axes.plot([], [], color="#1f6f8b", marker=">", markevery=[1], animated=blit)[0]
            plan["grip"] = axes.plot([], [], color="#b04a17", lw=2, animated=blit)[0]
            # The loupe: the tip, its edge circle, the chip ahead of it, the wall below, its scale.
            plan["loupe wall"] = axes.fill([0], [0], fc="#ebe8e0", hatch="//", animated=blit)[0]
            plan["loupe chip"] = axes.fill([0], [0], fc="#c8b560", animated=blit)[0]
            plan["loupe tooth"] = axes.fill([0], [0], fc="#d7dcde", ec="#3a444b", animated=blit)[0]
            plan["loupe edge"] = axes.plot([], [], "--", color="#5f6970", lw=1, animated=blit)[0]
            plan["loupe rim"] = axes.plot([], [], color="k", lw=1, animated=blit)[0]
            for name in ("loupe h", "loupe scale"):
                plan[name] = axes.text(0, 0, "", fontsize=9, animated=blit)
            turn = np.linspace(0, 2 * np.pi, 200)
            axes.plot(np.cos(turn), np.sin(turn), ":", color="#5f6970", lw=1)
            for hour in range(7):
                a = math.radians(30 * hour)
                axes.text(-1.15 * math.cos(a), 1.15 * math.sin(a), str((8 + hour) % 12 + 1), ha="center", va="center")
            axes.annotate("", (-1.5, 0.5), (-1.5, -0.3), arrowprops={"arrowstyle": "->"})
            self.plans.append(plan)
            self.moving += plan.values()
        for i, title in enumerate(self.shown):
            height = 0.40 / n
            axes = self.figure.add_axes((0.66, 0.54 + height * (n - 1 - i) + 0.02, 0.32, height - 0.03))
            axes.set_xlim(-10, 190)
            axes.set_title(title, loc="left", fontsize=10)
            axes.grid(True, color="#d9dcdc")
            axes.set_xticks(range(0, 181, 30))
            strip: dict[str, Any] = {"axes": axes}
            strip["curves"] = [
                axes.plot([], [], lw=1, ls=style, animated=blit)[0] for style in styles for _ in range(2)
            ]
            strip["bands"] = [axes.axvspan(0, 1, color="#f1efe8", animated=blit) for _ in range(sides)]
            rubs = title in ("chip", "temperature")
            strip["rub"] = [axes.axvspan(0, 1, fc="none", hatch="////", animated=blit) for _ in range(sides * rubs)]
            white = {"facecolor": "#ffffffd0", "edgecolor": "none"}
            strip["values"] = [axes.text(0, 0, "", color="#b04a17", bbox=white, animated=blit) for _ in range(sides)]
            strip["lines"] = [axes.plot([], [], color="#b04a17", marker="o", animated=blit)[0] for _ in range(sides)]
            self.strips.append(strip)
            self.moving += [*strip["bands"], *strip["rub"], *strip["curves"], *strip["lines"], *strip["values"]]
        self.charts: list[dict[str, Any]] = []
        for i, title in enumerate(("Force over a turn", "Finished wall")):
            axes = self.figure.add_axes((0.66 + 0.17 * i, 0.32, 0.14, 0.17))
            axes.set_title(title, loc="left", fontsize=10)
            axes.grid(True, color="#d9dcdc")
            lines = [axes.plot([], [], lw=1, ls=style, animated=blit)[0] for style in styles for _ in range(2)]
            work = [axes.fill([0], [0], fc="#ebe8e0", hatch="//", animated=blit)[0] for _ in range(sides * i)]
            words = [axes.text(0, 0, "", fontsize=9, animated=blit) for _ in range(2 * sides * i)]
            self.charts.append({"axes": axes, "lines": lines, "work": work, "words": words})
            self.moving += [*work, *lines, *words]
        self.sentence = self.figure.text(0.02, 0.2, "", animated=blit, wrap=True)
        self.field = self.figure.text(0.3, 0.1, "", animated=blit)
        self.moving += [self.sentence, self.field]
        for i, name in enumerate(("Direction", "Radial width of cut", "Feed per tooth", "Spindle speed")):
            self.figure.text(0.02 + 0.24 * i, 0.13, name)
        self.give(setup)
        for strip in self.strips:
            low = min(float(np.nanmin(c.get_ydata())) for c in strip["curves"] if len(c.get_ydata()))
            high = max(float(np.nanmax(c.get_ydata())) for c in strip["curves"] if len(c.get_ydata()))
            strip["axes"].set_ylim(min(low, 0.0) * 1.1, max(high, 1e-9) * 1.2)
        loop, wall = (chart["axes"] for chart in self.charts)
        loop.set(xlim=(-1500, 500), ylim=(-1500, 500))
        wall.set(xlim=(-0.1, 0.3), ylim=(0.0, setup.cut.axial_engagement_mm))
        self.canvas.draw()
        self.still = self.canvas.copy_from_bbox(self.figure.bbox) if blit else None

    def give(self, setup: Any) -> None:
        """New data to every artist."""
        from app.pages.arc.plan_scene import plan_shapes, readable_top
        from core.effects.arc_results import arc_results
        from core.effects.wall_depth import wall_profile_over_depth
        from core.force.force_at_angle import force_at_angle
        from core.force.force_curves import force_loop
        from core.report.sentence import sentence
        from core.strips.strip_curves import STRIPS

        both = [arc_results(one) for one in (setup, *([setup.opposite] if self.pair else []))]
        forces = []
        turning = np.linspace(0.0, 1.5 * np.pi, 80)
        for plan, results in zip(self.plans, both, strict=True):
            shapes, e = plan_shapes(results, readable_top(results, "metric")), results.engagement
            plan["work"].set_xy(np.clip(shapes.work[0], -1.65, 1.65))
            c, s = -np.cos(shapes.chip.phi), np.sin(shapes.chip.phi)
            depth = 1 - shapes.chip.h * shapes.magnification
            outer, inner = np.stack([c, s], -1), np.stack([c * depth, s * depth], -1)
            quads = np.stack([outer[:-1], outer[1:], inner[1:], inner[:-1]], 1)
            plan["chip"].set_verts(quads)
            plan["chip"].set_array(shapes.chip.share[:-1])
            plan["edge"].set_data([shapes.edges[0]] * 2, [0.0, 1.9])
            plan["inner"].set_data(inner[:, 0], inner[:, 1])
            middle = (e.entry + e.exit) / 2
            plan["radius"].set_data([0, -math.cos(middle)], [0, math.sin(middle)])
            for name, phi in (("enters", e.entry), ("leaves", e.exit), ("angle", middle), ("feed", 0.3)):
                plan[name].set_position((-1.3 * math.cos(phi), 1.3 * math.sin(phi)))
                plan[name].set_text(f"{name} {math.degrees(phi):.1f}\nh {results.arc.h_max:.4f} mm")
                if name in ("enters", "leaves"):
                    x, y = -math.cos(phi), math.sin(phi)
                    plan[f"{name} line"].set_data([x, 1.3 * x], [y, 1.3 * y])
            half = len(outer) // 2
            plan["peeled"].set_xy(np.concatenate([outer[:half], inner[half - 1 :: -1]]))
            plan["curl"].set_xy(0.9 * outer[half] + 0.1 * np.stack([np.cos(turning), np.sin(turning)], -1))
            rub = np.linspace(e.entry, e.entry + max(results.rub_entry, results.rub_exit), 12)
            rim_in = np.stack([-np.cos(rub), np.sin(rub)], -1)
            plan["rubbing"].set_xy(np.concatenate([1.045 * rim_in, 0.985 * rim_in[::-1]]))
            if shapes.exit_corner is not None:
                plan["corner"].set_xy(shapes.exit_corner)
                x, y = shapes.exit_corner[0]
                plan["burr"].set_position((x + 0.1, y + 0.2))
                plan["burr"].set_text("burr here")
                plan["burr line"].set_data([x, x + 0.1], [y, y + 0.2])
            plan["grip"].set_data([shapes.edges[0] - 0.05, shapes.edges[0] + 0.05], [1.5, 1.5])
            loupe, h = np.array([-1.2, -1.0]), results.arc.h_max * 3.0
            turn = np.linspace(0.0, 2.0 * np.pi, 60)
            rim = np.stack([np.cos(turn), np.sin(turn)], -1)
            plan["loupe wall"].set_xy(loupe + 0.36 * rim[30:])
            plan["loupe chip"].set_xy(loupe + np.array([[0.0, 0.0], [0.3, 0.0], [0.3, h], [0.0, h]]))
            plan["loupe tooth"].set_xy(loupe + np.array([[-0.3, 0.05], [0.0, 0.0], [0.0, 0.3], [-0.2, 0.3]]))
            plan["loupe edge"].set_data(*(loupe + 0.03 * rim).T)
            plan["loupe rim"].set_data(*(loupe + 0.38 * rim).T)
            for name, dy in (("loupe h", 0.2), ("loupe scale", -0.2)):
                plan[name].set_position((loupe[0] - 0.1, loupe[1] + dy))
                plan[name].set_text(f"h {results.arc.h_max:.4f} mm")
            force = force_at_angle(results.setup, middle)
            assert force is not None
            forces.append(force)
            plan["whole"].set_data([0, force.x / 2000], [0, force.y / 2000])
            tip = (-math.cos(middle), math.sin(middle))
            plan["tooth"].set_data([tip[0], tip[0] + force.tooth_x / 2000], [tip[1], tip[1] + force.tooth_y / 2000])
            plan["force"].set_position((force.x / 2000, force.y / 2000))
            plan["force"].set_text(f"{force.size:.0f} N")
        loop, wall = self.charts
        for i, (results, force) in enumerate(zip(both, forces, strict=True)):
            over_turn, profile = force_loop(results.setup), wall_profile_over_depth(results.setup)
            assert over_turn is not None and profile is not None
            loop["lines"][2 * i].set_data(over_turn.fx, over_turn.fy)
            loop["lines"][2 * i + 1].set_data([0, force.x], [0, force.y])
            wall["lines"][2 * i].set_data(profile.error, profile.heights)
            edge = np.stack([profile.error, profile.heights], -1)
            wall["work"][i].set_xy(np.concatenate([edge, [[0.3, edge[-1, 1]], [0.3, 0.0]]]))
            for k, text in enumerate(wall["words"][2 * i : 2 * i + 2]):
                text.set_position((0.1, float(profile.heights[-k])))
                text.set_text(f"{profile.error[-k] * 1000:+.1f}")
        for strip, name in zip(self.strips, self.shown, strict=True):
            for i, results in enumerate(both):
                curves = STRIPS[name](results.setup)
                for artist, curve in zip(strip["curves"][2 * i : 2 * i + 2], curves.curves, strict=False):
                    artist.set_data(curve.phi_deg, curve.values)
                e = results.engagement
                strip["bands"][i].set_x(math.degrees(e.entry))
                strip["bands"][i].set_width(math.degrees(e.arc))
                for rub in strip["rub"][i : i + 1]:
                    late = results.rub_exit > results.rub_entry
                    rub.set_x(math.degrees(e.exit - results.rub_exit if late else e.entry))
                    rub.set_width(math.degrees(max(results.rub_entry, results.rub_exit)))
            low, high = strip["axes"].get_ylim()
            for i, results in enumerate(both):
                at = math.degrees(results.engagement.entry + results.engagement.arc / 2)
                strip["lines"][i].set_data([at, at, at], [low, (low + high) / 2, high])
                strip["values"][i].set_position((at + 2, (low + high) / 2))
                strip["values"][i].set_text(f"{setup.cut.radial_engagement_mm:.4f}")
        self.sentence.set_text("  ".join(sentence(results.setup) for results in both))
        self.field.set_text(f"{setup.cut.radial_engagement_mm:.3f} mm")

    def change(self, setup: Any) -> None:
        """One change, until the canvas has painted it."""
        from PySide6.QtWidgets import QApplication

        self.give(setup)
        if self.blit:
            self.canvas.restore_region(self.still)
            for artist in self.moving:
                if artist.axes is not None:
                    artist.axes.draw_artist(artist)
                else:
                    self.figure.draw_artist(artist)
            self.canvas.blit(self.figure.bbox)
        else:
            self.canvas.draw_idle()
        QApplication.processEvents()
        QApplication.processEvents()

    def close(self) -> None:
        """Close the canvas."""
        self.canvas.close()
