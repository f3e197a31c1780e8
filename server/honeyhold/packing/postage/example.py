"""The posting table that is shipped: public limits with their dates, and example prices that are only examples.

Limits, from the US Postal Service's Domestic Mail Manual (DMM) as far as it could be read:
70 lb (401.1.3, 201.7); length plus girth 108 in (401.1.3; Quick Service Guide 201e, 2021); oversized ground parcels go to 130 in at
their own price; volumetric weight above one cubic foot, since June 2019 sides rounded off and divided by 166 (DMM 123.1.4 in
reproduction), from 12 July 2026 any fraction rounded up and divided by 139 (91 FR 27837, read in secondary texts only: read the rule
again before relying on it). The prices below are invented round figures, no one's tariff.
"""

from __future__ import annotations

from typing import Any

RULES: list[dict[str, Any]] = [
    {
        "from": "2019-06-23",
        "until": "2026-07-11",
        "rounding": "off",
        "divisor": 166,
        "over_in3": 1728,
        "max_lb": 70,
        "max_length_girth_in": 108,
        "source": "DMM 123.1.4, divisor 166 from 23 June 2019",
    },
    {
        "from": "2026-07-12",
        "until": None,
        "rounding": "up",
        "divisor": 139,
        "over_in3": 1728,
        "max_lb": 70,
        "max_length_girth_in": 108,
        "source": "91 FR 27837, in force 12 July 2026 (read in secondary texts)",
    },
]

EXAMPLE_CSV = """\
row,service,zone,up_to_oz,what,over,cents,example
price,ground,near,8,,,500,yes
price,ground,near,16,,,700,yes
price,ground,near,32,,,900,yes
price,ground,near,80,,,1100,yes
price,ground,near,160,,,1500,yes
price,ground,near,400,,,2400,yes
price,ground,near,1120,,,5000,yes
price,ground,far,8,,,600,yes
price,ground,far,16,,,900,yes
price,ground,far,32,,,1300,yes
price,ground,far,80,,,1900,yes
price,ground,far,160,,,3000,yes
price,ground,far,400,,,5500,yes
price,ground,far,1120,,,12000,yes
fee,,,,longest_over_in,22,400,yes
fee,,,,longest_over_in,30,1500,yes
fee,,,,volume_over_in3,3456,1500,yes
"""
