"""How long hot things stay hot: forecasts, which never say that a tin is safe to touch."""

from benchplan.heat.cooling import Estimate, cool_for_s, cooling_estimate

__all__ = ["Estimate", "cool_for_s", "cooling_estimate"]
