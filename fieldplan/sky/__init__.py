"""Pure numbers of the sky: where sun and moon stand, when they rise and set, and how much light they give.

Instants are seconds since 1970-01-01T00:00 UT1 (UTC is within a second of it since 1972). Angles are degrees,
distances metres, light lux. Nothing here reads a clock or imports the rest of the project.
"""
