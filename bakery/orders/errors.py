"""What a service says no to, each with a sentence for the baker."""


class OrderError(Exception):
    """Something about an order that cannot be done now; `str()` is the sentence."""


class WrongState(OrderError):
    """The order cannot go from where it is to where it was sent."""


class AllergyNotAsked(OrderError):
    """The one thing that stops anything: nobody has asked about allergies."""

    def __init__(self, doing: str):
        super().__init__(
            f"Ask about allergies before {doing}: choose “none, they say” or what they told you."
        )


class OrderChangedMeanwhile(OrderError):
    """Another tab saved first. `order` is what stands now, so that both versions can be shown."""

    def __init__(self, order):
        self.order = order
        super().__init__("This order was changed in another tab meanwhile. Both versions are kept below.")
