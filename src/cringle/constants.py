"""Physical and legal constants, each with its unit and source. Derived values are computed, not retyped."""

from __future__ import annotations

from typing import Final

# Exact by definition -------------------------------------------------------------------------------------
NAUTICAL_MILE_M: Final = 1852.0
"""International nautical mile [m]. BIPM, SI Brochure, 8th ed., table 8."""

KNOT_M_PER_S: Final = NAUTICAL_MILE_M / 3600.0
"""Knot [m/s]: one nautical mile an hour."""

INCH_M: Final = 0.0254
"""Inch [m]. International yard and pound agreement, 1959."""

POUND_KG: Final = 0.45359237
"""Avoirdupois pound [kg]. International yard and pound agreement, 1959."""

STANDARD_GRAVITY_M_PER_S2: Final = 9.80665
"""Standard acceleration of free fall [m/s2]. 3rd CGPM, 1901."""

# Reference heights ---------------------------------------------------------------------------------------
REFERENCE_WIND_HEIGHT_M: Final = 10.0
"""Height at which true wind speed is stated in tracks and in the speed model [m]. WMO convention."""

OPEN_WATER_ROUGHNESS_M: Final = 0.0002
"""Roughness length of open water, fetch 5 km or more [m]. Davenport class 1, as tabulated in US EPA,
Meteorological Monitoring Guidance, EPA-454/R-99-005, 2000, table 6-10."""

SALT_WATER_DENSITY_KG_PER_M3: Final = 1025.0
"""Round figure for sea water [kg/m3]; `physics.water` has the temperature-dependent value."""

AIR_DENSITY_KG_PER_M3: Final = 1.225
"""Dry air at 15 C and 101325 Pa [kg/m3]. ISO 2533:1975, standard atmosphere at sea level."""
