"""A goal, and how far it is, without a single throw."""

from latebreak.service.judging.estimates import Estimate
from latebreak.service.questions.following.kept_goal import goal_of
from latebreak.service.questions.following.result import GoalProgress, Progress, SessionProgress

#: Four points more than 32.
KEPT = goal_of({
    "title": "t", "pitch": "curve_spike", "measure": "miss_chance_percent", "date": "2026-03-31", "seed": 1,
    "throws": 100, "version": "1", "pitcher": {"hand": "right", "level": "college"},
    "goal": {"kind": "change", "number": 4.0, "value": 36.0}, "now": {"value": 32.0, "low": 28.0, "high": 44.0},
    "roads": {"speed_mph": {"now": 77.0, "wanted": 79.0}, "spin_rpm": {"now": 2500.0, "wanted": 2700.0}},
})  # fmt: skip


def followed(*shares: float | None) -> GoalProgress:
    """A session for each share of the way of the measure, percent; None: not thrown."""
    sessions = []
    for number, share in enumerate(shares, 1):
        measure = None
        if share is not None:
            value = 32.0 + 0.04 * share
            within = Estimate(share, 1.0, share - 30.0, share + 30.0)
            measure = Progress(Estimate(value, 0.1, value - 5.0, value + 9.0), within, 55.0)
        speed = Progress(Estimate(78.2, 0.0, 77.6, 78.8), Estimate(60.0, 0.0, 30.0, 90.0), 1.0)
        levers = {"speed_mph": speed} if share is not None else {}
        sessions.append(SessionProgress(f"day {number}", 12 if share is not None else 0, measure, levers))
    return GoalProgress(KEPT, "goal", tuple(sessions))
