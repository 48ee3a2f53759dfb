"""Days by which an answer is due, for answering.toml."""

from datetime import date

from core.deadline import answer_by, month_after
from tests.figures.figure import Computation, Figure


def asked(figure: Figure) -> date:
    """The day on which somebody asked."""
    return date.fromisoformat(figure.given["asked"])


COMPUTED: dict[str, Computation] = {
    "month-end-leap": lambda figure: month_after(asked(figure)).isoformat(),
    "month-end": lambda figure: month_after(asked(figure)).isoformat(),
    "month-end-weekend": lambda figure: answer_by(asked(figure)).isoformat(),
}
