"""The pages, in their order.  A page is one line here and a package of its own."""

from __future__ import annotations

from app.pages.arc.arc_page import ArcPage
from app.pages.chatter.chatter_page import ChatterPage
from app.pages.figures.figures_page import FiguresPage
from app.pages.lesson.lesson_page import LessonPage
from app.pages.page import Page
from app.pages.path.path_page import PathPage

PAGES: tuple[type[Page], ...] = (ArcPage, ChatterPage, PathPage, FiguresPage, LessonPage)
"""Every page that works, first the one that is opened with."""
