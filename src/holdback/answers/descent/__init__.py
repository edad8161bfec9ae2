"""Relatedness and line share, as pages and commands ask for them."""

from holdback.answers.descent.descent import Descent
from holdback.answers.descent.line_report import LineReport
from holdback.answers.descent.share import LineShare
from holdback.answers.descent.young import YoungDescent

__all__ = ["Descent", "LineReport", "LineShare", "YoungDescent"]
