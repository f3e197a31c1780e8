"""The two letters of each state and territory by its name. USPS Publication 28, appendix B."""

from __future__ import annotations

_NAMES = """AL Alabama|AK Alaska|AS American Samoa|AZ Arizona|AR Arkansas|CA California|CO Colorado|CT Connecticut|DE Delaware
DC District of Columbia|FL Florida|GA Georgia|GU Guam|HI Hawaii|ID Idaho|IL Illinois|IN Indiana|IA Iowa|KS Kansas|KY Kentucky
LA Louisiana|ME Maine|MD Maryland|MA Massachusetts|MI Michigan|MN Minnesota|MS Mississippi|MO Missouri|MT Montana|NE Nebraska
NV Nevada|NH New Hampshire|NJ New Jersey|NM New Mexico|NY New York|NC North Carolina|ND North Dakota|OH Ohio|OK Oklahoma|OR Oregon
PA Pennsylvania|PR Puerto Rico|RI Rhode Island|SC South Carolina|SD South Dakota|TN Tennessee|TX Texas|UT Utah|VT Vermont
VI Virgin Islands|VA Virginia|WA Washington|WV West Virginia|WI Wisconsin|WY Wyoming"""

STATES = {row[3:].lower(): row[:2] for row in _NAMES.replace("\n", "|").split("|")}
