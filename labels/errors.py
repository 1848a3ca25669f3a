"""What can go wrong with a label: one small family, each a clear sentence with its way out."""


class LabelError(Exception):
    """Something about a label that a person can put right.

    `exit_code` is what a command should end with: 2 for bad input, 1 for a failure.
    """

    exit_code = 2


class CodeError(LabelError):
    """A text that is not a code, or a code whose check character is wrong.

    `likely` is the code that was most likely meant, `candidates` every code worth offering.
    """

    def __init__(self, message: str, candidates: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.candidates = candidates

    @property
    def likely(self) -> str | None:
        """The code that was most likely meant, where there is one."""
        return self.candidates[0] if self.candidates else None


class AddressError(LabelError):
    """An address that cannot stand before a code in a small symbol."""


class StockError(LabelError):
    """Label stock that is unknown, or whose geometry does not close on its page."""


class FitError(LabelError):
    """A symbol that would be too fine to read, or too large, on this stock."""


class CardError(LabelError):
    """A bolt card that cannot be drawn from what was given."""


class OutputError(LabelError):
    """A file that could not be written."""

    exit_code = 1


class NoFolderError(OutputError):
    """A file that was named in a folder that is not there: a slip of the pen, not a failure."""

    exit_code = 2


class PrinterError(LabelError):
    """No printer, an unknown printer, or a printer that refused the job."""

    exit_code = 1


class ReadingError(LabelError):
    """A picture, a PDF or a camera from which no tag could be read."""


class NoReaderError(ReadingError):
    """A part of the program that reads pictures is not installed."""

    exit_code = 1
