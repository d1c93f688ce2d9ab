"""Figures of an answer: for notebooks as matplotlib axes, for the page as SVG text."""

from latebreak.service.report.figures.aim import aim_plot
from latebreak.service.report.figures.arrival import arrival_plot
from latebreak.service.report.figures.belief import belief_plot
from latebreak.service.report.figures.goal import goal_plot
from latebreak.service.report.figures.mix import mix_plot
from latebreak.service.report.figures.palette import DARK, LIGHT, Palette
from latebreak.service.report.figures.side import side_view
from latebreak.service.report.figures.svg import svg_of
from latebreak.service.report.figures.timeline import TimedPitch, timeline_plot
from latebreak.service.report.figures.top import top_view

__all__ = [
    "DARK",
    "LIGHT",
    "Palette",
    "TimedPitch",
    "aim_plot",
    "arrival_plot",
    "belief_plot",
    "goal_plot",
    "mix_plot",
    "side_view",
    "svg_of",
    "timeline_plot",
    "top_view",
]
