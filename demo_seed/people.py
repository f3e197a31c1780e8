"""The eight who telephone. Invented, with numbers set aside for fiction; street names that no city has."""

from __future__ import annotations

PEOPLE: dict[str, dict[str, str]] = {
    "orla": {"name": "Orla Tennick", "phone": "+12185550114", "street": "41 Heron Sill Rd", "city": "Duluth",
             "state": "MN", "zip": "55811"},
    "dez": {"name": "Dez Maravall", "phone": "+14805550142", "street": "906 E Larkwater Ln", "unit": "Apt 3",
            "city": "Tempe", "state": "AZ", "zip": "85281"},
    "hollis": {"name": "Hollis Ambrey", "phone": "+12075550131", "street": "12 Kelp Stair", "city": "Bar Harbor",
               "state": "ME", "zip": "04609"},
    "pell": {"name": "Pell Quarrington", "phone": "+17155550177"},
    "ruy": {"name": "Ruy Castellane", "phone": "+15125550125", "street": "2200 Pecan Wynd", "city": "Austin",
            "state": "TX", "zip": "78704"},
    "wren": {"name": "Wren Ostrava", "phone": "+19065550163", "street": "PO Box 99318", "city": "Marquette",
             "state": "MI", "zip": "49855"},
    "tamsin": {"name": "Tamsin Okoro-Beale", "phone": "+14065550150", "street": "77 Larch Hook Dr",
               "city": "Missoula", "state": "MT", "zip": "59801"},
    "ines": {"name": "Ines Volkaerts", "phone": "+19075550188", "street": "5 Spruce Tine Way", "unit": "Unit B",
             "city": "Juneau", "state": "AK", "zip": "99801"},
}  # fmt: skip
