"""benchplan plans a small maker's production day and stands at the bench while it runs."""

__version__ = "0.1.0"
