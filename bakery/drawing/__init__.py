"""Pictures of the work as SVG strings: pure functions of plain values, the same answer every time.

cookies, mist, signs, things (bottles, bags, trays, room for more), strip, chain, week, evenings.
"""
