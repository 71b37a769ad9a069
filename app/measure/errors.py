"""The one kind of error that what a person typed can raise."""


class InputError(ValueError):
    """Something typed cannot be read: where it stands, what it says, and what would do.

    Attributes
    ----------
    path : str
        Place in the job file, such as ``survey.outline[3]``; empty when one value is read alone.
    value : object
        What was typed.
    wanted : str
        A plain sentence saying what is wrong and what would do.
    """

    def __init__(self, path: str, value: object, wanted: str) -> None:
        super().__init__(f"{path}: {wanted}" if path else wanted)
        self.path = path
        self.value = value
        self.wanted = wanted
