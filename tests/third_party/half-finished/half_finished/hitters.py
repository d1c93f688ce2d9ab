"""A hitter model whose module can't be imported."""

from half_finished.what_is_still_to_be_written import torn_hitter

__all__ = ["torn_hitter"]
