"""The one small family of errors; every message is written for the weaver."""


class HandbookError(Exception):
    """Anything the handbook cannot do, said in plain words."""


class InputError(HandbookError, ValueError):
    """Something typed that cannot be used, with what was understood and what would work."""

    def __init__(self, field: str, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.field = field
        self.message = message
        self.hint = hint

    def at(self, field: str) -> "InputError":
        """Return the same error, placed beside another field."""
        return InputError(field, self.message, self.hint)
