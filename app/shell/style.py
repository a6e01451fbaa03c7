"""The window's own dress: palette and style sheet from the look; nothing else sets a colour on a widget."""

from __future__ import annotations

from PySide6.QtGui import QPalette

from app.kit.look import FAMILY, Look
from core.base.places import assets


def palette(look: Look) -> QPalette:
    """Palette for what the style sheet leaves to the platform's style."""
    made = QPalette()
    roles = QPalette.ColorRole
    for role, name in (
        (roles.Window, "page"),
        (roles.Base, "field"),
        (roles.Button, "panel"),
        (roles.WindowText, "ink"),
        (roles.Text, "ink"),
        (roles.ButtonText, "ink"),
        (roles.ToolTipBase, "panel"),
        (roles.ToolTipText, "ink"),
        (roles.Highlight, "accent"),
        (roles.HighlightedText, "accent_ink"),
        (roles.PlaceholderText, "soft"),
        (roles.Mid, "rule"),
        (roles.Link, "accent"),
    ):
        made.setColor(role, look.color(name))
    return made


def tick(look: Look) -> str:
    """Path of the tick that is seen on the accent: the black one where what is written on it is dark."""
    dark = look.color("accent_ink").lightnessF() < 0.5
    return assets("icons", f"tick-{'black' if dark else 'white'}.svg").as_posix()


def style_sheet(look: Look, hand: Look) -> str:
    """Style sheet of the window: ``look`` for what a class reads, ``hand`` for what is set by hand."""
    text, small, title = round(hand.text), round(hand.small), round(hand.title)
    seen, seen_small = round(look.text), round(look.small)
    told, told_title = max(text, seen_small), max(title, seen)
    arrow = assets("icons", "list.svg").as_posix()
    return f"""
* {{ font-family: "{FAMILY}"; font-size: {text}px; color: {look.ink}; }}
QMainWindow, QDialog, QWidget#page {{ background: {look.page}; }}
QFrame#panel {{ background: {look.panel}; border-radius: 6px; border: 0; }}
QLabel#title {{ font-size: {title}px; font-weight: 600; }}
QLabel#soft, QLabel#note {{ color: {look.soft}; font-size: {small}px; }}
QLabel#story {{ color: {look.ink}; font-size: {seen}px; }}
QWidget#seen * {{ font-size: {seen}px; }}
QWidget#seen QLabel#note, QWidget#seen QLabel#weight {{ font-size: {seen_small}px; }}
QLabel#large {{ font-size: {told_title}px; font-weight: 600; }}
QScrollArea[type="class"] *, QScrollArea[type="class"] QLabel#soft, QScrollArea[type="class"] QLabel#problem {{
  font-size: {told}px;
}}
QScrollArea[type="class"] QLabel#title {{ font-size: {told_title}px; }}
QLabel#symbol {{ color: {look.soft}; font-style: italic; }}
QLabel#name {{ font-weight: 600; }}
QLabel#problem {{ color: {look.warn}; font-size: {small}px; }}
QLabel#sentence {{ font-size: {round(look.figure)}px; }}
QLabel#sentence[problem="true"] {{ color: {look.warn}; }}
QPushButton, QToolButton {{
  background: {look.panel}; border: 1px solid {look.rule}; border-radius: 4px; padding: 3px 7px;
}}
QPushButton:hover, QToolButton:hover {{ border-color: {look.soft}; }}
QPushButton:checked, QToolButton:checked {{
  background: {look.ink}; color: {look.panel}; border-color: {look.ink}; font-weight: 600;
}}
QPushButton:disabled, QToolButton:disabled {{ color: {look.reference}; }}
QPushButton:focus, QToolButton:focus, QLineEdit:focus, QListView:focus {{ border: 2px solid {look.focus}; }}
QPushButton:focus, QToolButton:focus {{ padding: 2px 6px; }}
QPushButton:checked:focus, QToolButton:checked:focus {{ border-color: {look.focus_on_ink}; }}
QPushButton#row {{ border-color: transparent; background: transparent; text-align: left; padding: 2px 4px; }}
QPushButton#row:hover {{ border-color: {look.rule}; }}
QPushButton#row:checked {{ background: {look.cut_band}; color: {look.ink}; border-color: {look.accent}; }}
QPushButton#row:focus {{ border: 2px solid {look.focus}; padding: 1px 3px; }}
QLabel#figure[better="true"] {{ font-weight: 600; }}
QLabel#figure[better="false"] {{ color: {look.soft}; }}
QLabel#weight {{ font-size: {small}px; color: {look.soft}; }}
QLabel#weight[weight="strong"] {{ color: {look.ink}; font-weight: 600; }}
QLabel#weight[weight="stop"] {{ color: {look.warn}; font-weight: 600; }}
QLabel#after, QLabel#head {{ font-size: {small}px; color: {look.soft}; }}
QLabel#after[tone="better"] {{ color: {look.ink}; font-weight: 600; }}
QLabel#after[tone="worse"] {{ color: {look.warn}; font-weight: 600; }}
QPushButton#change {{ font-size: {small}px; padding: 2px 6px; margin: 1px 0; text-align: left; }}
QPushButton#change:focus {{ padding: 1px 5px; }}
QWidget#inside, QScrollArea {{ background: {look.panel}; border: 0; }}
QCheckBox::indicator {{
  width: {text}px; height: {text}px; border: 1px solid {look.soft}; border-radius: 3px; background: {look.panel};
}}
QCheckBox::indicator:checked {{ background: {look.accent}; border-color: {look.accent}; image: url("{tick(look)}"); }}
QCheckBox:focus {{ border: 2px solid {look.focus}; border-radius: 4px; }}
QToolButton#quiet {{ border-color: transparent; background: transparent; }}
QToolButton#quiet:checked {{ color: {look.ink}; border-color: transparent; border-bottom: 3px solid {look.accent}; }}
QToolButton#quiet:focus {{ border: 2px solid {look.focus}; }}
QLineEdit {{
  background: {look.field}; border: 1px solid {look.rule}; border-radius: 4px; padding: 2px 6px;
  font-weight: 600; selection-background-color: {look.accent}; selection-color: {look.accent_ink};
}}
QComboBox {{
  background: {look.field}; border: 1px solid {look.rule}; border-radius: 4px; padding: 2px 6px; font-weight: 600;
}}
QComboBox::drop-down {{ border: none; width: {text + 4}px; }}
QComboBox::down-arrow {{ image: url("{arrow}"); width: {text - 2}px; height: {text - 2}px; }}
QComboBox QLineEdit {{ border: none; background: transparent; padding: 0; }}
QComboBox:focus {{ border: 2px solid {look.focus}; padding: 1px 5px; }}
QComboBox QAbstractItemView {{ background: {look.panel}; selection-background-color: {look.accent}; }}
QLineEdit[problem="true"] {{ border: 2px solid {look.warn}; }}
QToolButton::menu-indicator {{ image: none; }}
QMenuBar {{ background: {look.page}; }}
QMenuBar::item {{ background: transparent; padding: 3px 9px; }}
QMenuBar::item:selected, QMenu::item:selected {{ background: {look.accent}; color: {look.accent_ink}; }}
QMenu {{ background: {look.panel}; border: 1px solid {look.rule}; }}
QMenu::item {{ padding: 4px 26px 4px 18px; }}
QMenu::item:disabled {{ color: {look.reference}; }}
QToolTip {{ background: {look.panel}; color: {look.ink}; border: 1px solid {look.rule}; padding: 4px; }}
QListView, QTextBrowser {{ background: {look.panel}; border: 1px solid {look.rule}; border-radius: 6px; }}
QTableView {{
  background: {look.panel}; border: 1px solid {look.rule}; border-radius: 6px; gridline-color: {look.rule};
  selection-background-color: {look.cut_band}; selection-color: {look.ink};
}}
QTableView:focus {{ border: 2px solid {look.focus}; }}
QTableView::item {{ padding: 0 8px; }}
QTableView::item:selected {{ background: {look.cut_band}; color: {look.ink}; }}
QHeaderView, QHeaderView::section {{
  background: {look.panel}; color: {look.soft}; font-size: {small}px; font-weight: 600; border: 0;
}}
QHeaderView::section {{ padding: 4px 11px; border-bottom: 1px solid {look.rule}; }}
QListView::item {{ border: 2px solid transparent; padding: 2px; }}
QListView::item:selected {{ background: {look.cut_band}; color: {look.ink}; border: 2px solid {look.accent}; }}
QScrollBar:vertical {{ background: transparent; width: 12px; }}
QScrollBar::handle:vertical {{ background: {look.rule}; border-radius: 5px; min-height: 30px; }}
QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; width: 0; }}
"""
