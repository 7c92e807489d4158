"""An invented plan and an invented gear profile as TOML text."""

LAKE = """fieldplan_plan = 1
title = "Lake (invented)"
units = "metric"

[site]
name = "hide"

[[site.landmark]]
name = "chapel"
position = "53.4296, 12.7711"

[[shot]]
name = "dawn"
subject = { landmark = "chapel" }
distance = "1.4 km"

[[shot]]
name = "heron"
subject = "grey heron"
distance = "25-31 m"

[[shot]]
name = "moon"
subject = { sky = "moon", behind = "chapel" }
"""
GEAR = """fieldplan_profile = 1
name = "mine"

[[body]]
name = "full-frame body"
sensor = "36x24 mm"
pixels = "6000x4000"
mount = "A"

[[lens]]
name = "150-600"
focal = "150-600 mm"
f_number = "5-6.3"
mount = "A"
converters = ["1.4x"]

[[converter]]
name = "1.4x"
factor = 1.4
mount = "A"

[[extra]]
name = "battery"
for = "full-frame body"
"""
