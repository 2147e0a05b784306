"""A tired thumb: counts what a person would spend on taps and typing, without waiting for it."""

SECONDS_A_KEY = 0.25  # about 40 words a minute on a phone; common practice, no source
SECONDS_A_TAP = 1.2  # find it and press it; common practice, no source


class Thumb:
    def __init__(self, page):
        self.page = page
        self.keys = 0
        self.taps = 0

    @property
    def seconds(self) -> float:
        return self.keys * SECONDS_A_KEY + self.taps * SECONDS_A_TAP

    def tap(self, target):
        self.taps += 1
        target.click()

    def write(self, target, text):
        self.taps += 1
        self.keys += len(text)
        target.click()
        target.press_sequentially(text)

    def choose(self, target, option):
        self.taps += 2
        target.select_option(option)
