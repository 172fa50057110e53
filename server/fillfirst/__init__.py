"""fillfirst: a procedure is data, and the data is proved before anyone gets under a car."""

__version__ = "0.1.0"
