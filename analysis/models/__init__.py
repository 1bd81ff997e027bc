"""Models of per-set pain and the records of their fits (layer: models)."""

from analysis.models.cumulative_link_factors import GroupingFactor
from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from analysis.models.cumulative_link_result import CumulativeLinkFit

__all__ = ["CumulativeLinkFit", "GroupingFactor", "fit_cumulative_link_mixed"]
