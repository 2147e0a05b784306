"""Time to pixels where some hours are drawn wide and the rest narrow."""

from bisect import bisect_right
from dataclasses import dataclass
from datetime import datetime, timedelta

from .mist import USUAL, _at


@dataclass(frozen=True)
class Scale:
    """Piecewise linear: the moments in `times` stand at the pixels in `places`, both rising."""

    times: tuple[datetime, ...]
    places: tuple[float, ...]

    def x(self, moment: datetime) -> float:
        """The pixel of a moment; moments outside stand at the nearer end."""
        if moment <= self.times[0]:
            return self.places[0]
        if moment >= self.times[-1]:
            return self.places[-1]
        i = bisect_right(self.times, moment)
        whole = (self.times[i] - self.times[i - 1]).total_seconds()
        part = (moment - self.times[i - 1]).total_seconds() / whole if whole else 0
        return self.places[i - 1] + (self.places[i] - self.places[i - 1]) * part

    def when(self, x: float) -> datetime:
        """The moment at a pixel."""
        if x <= self.places[0]:
            return self.times[0]
        if x >= self.places[-1]:
            return self.times[-1]
        i = bisect_right(self.places, x)
        wide = self.places[i] - self.places[i - 1]
        part = (x - self.places[i - 1]) / wide if wide else 0
        return self.times[i - 1] + (self.times[i] - self.times[i - 1]) * part

    def share(
        self, start: datetime, end: datetime, share: tuple[float, ...] = USUAL, steps: int = 24
    ) -> tuple[float, ...]:
        """Water left at equal steps of pixels, from the same at equal steps of time."""
        a, b = self.x(start), self.x(end)
        whole = (end - start) / timedelta(seconds=1) or 1
        out = []
        for i in range(steps + 1):
            moment = self.when(a + (b - a) * i / steps)
            out.append(round(_at(share, ((moment - start) / timedelta(seconds=1)) / whole), 3))
        return tuple(out)


def scale(
    start: datetime,
    end: datetime,
    wide: list[tuple[datetime, datetime]],
    *,
    left: float,
    right: float,
    wide_px: float = 43,
    narrow_px: float = 3,
) -> Scale:
    """Wide stretches at `wide_px` an hour, the rest at `narrow_px`; shrunk together to fit the room.

    When they need less, the wide hours grow, by a third at most; where none is wide, all fill the room.
    """
    marks: list[tuple[datetime, bool]] = []
    at = start
    for a, b in sorted(wide):
        a, b = max(a, at), min(b, end)
        if b <= a:
            continue
        if a > at:
            marks.append((a, False))
        marks.append((b, True))
        at = b
    if at < end:
        marks.append((end, False))
    hours, before = {True: 0.0, False: 0.0}, start
    for moment, is_wide in marks:
        hours[is_wide] += (moment - before).total_seconds() / 3600
        before = moment
    room = right - left
    need = hours[True] * wide_px + hours[False] * narrow_px
    if need > room:
        wide_px, narrow_px = wide_px * room / need, narrow_px * room / need
    elif hours[True]:
        wide_px = min(wide_px * 4 / 3, (room - hours[False] * narrow_px) / hours[True])
    elif hours[False]:
        narrow_px = room / hours[False]
    times, places = [start], [float(left)]
    for moment, is_wide in marks:
        step = (moment - times[-1]).total_seconds() / 3600 * (wide_px if is_wide else narrow_px)
        times.append(moment)
        places.append(places[-1] + step)
    if len(times) == 1:
        times, places = [start, start + timedelta(hours=1)], [float(left), float(right)]
    return Scale(tuple(times), tuple(places))
