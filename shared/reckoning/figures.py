"""The sources of the figures that more than one subject leans on. A figure itself stands beside its use."""

from __future__ import annotations

from shared.units import Source

NJ_LEAF_SHEET = Source(
    "nj_leaf_sheet",
    "Plant Nutrients in Municipal Leaves, fact sheet of Rutgers data, citing N.J.A.C. 7:26-1.12, 7 November 1988",
    1988,
    "summary",
)
NJ_TONNAGE = Source(
    "nj_tonnage",
    "New Jersey Department of Environmental Protection, Conversion Table for recycling coordinators",
    None,
    "read",
)
LEAF_COMPOSITION = Source(
    "leaf_composition",
    "Heckman and Kluchinski 1996, J. Environ. Qual. 25:355-362, medians of 100 New Jersey samples, dry basis",
    1996,
    "read",
)
LEAF_PRACTICE = Source(
    "leaf_practice", "leaf depth and covered ground as a crew reads them", None, "practice"
)
ON_FARM_COMPOSTING = Source(
    "on_farm_composting", "NRAES-54 On-Farm Composting Handbook, Appendix A, 1992", 1992, "memory"
)
NJ_PILES = Source(
    "nj_piles",
    "New Jersey leaf composting manual, appendix A: half-round windrows, V = pi h2 L / 2",
    None,
    "read",
)
SHEET_WEIGHING = Source(
    "sheet_weighing",
    "spreader calibration sheets: Iowa State, Lorimor, Fall 2001; University of Massachusetts; NDSU 2017",
    2017,
    "read",
)
LITTER_DECAY = Source(
    "litter_decay",
    "Sharpe 1980, Can. J. For. Res. 10:395-404 and Harmon 1990, For. Ecol. Manage. 31:55-66, fitted to one pool",
    1990,
    "derived",
)
NRCS_CARBON_NITROGEN = Source(
    "nrcs_carbon_nitrogen",
    "NRCS, Carbon to Nitrogen Ratios in Cropping Systems (24:1 feeds the microbes)",
    2011,
    "read",
)
ROTHC = Source(
    "rothc", "RothC 26.3, Rothamsted's own Python release, Milne, Prout and Coleman 2024", 2024, "read"
)
ROTHC_WOODLAND = Source(
    "rothc_woodland",
    "RothC 26.3, share of decomposable to resistant litter of deciduous woodland",
    None,
    "memory",
)
MICROBIAL_NITROGEN = Source(
    "microbial_nitrogen", "carbon to nitrogen of microbial and humified matter, 8 to 10", None, "derived"
)
CALIFORNIA_LOADS = Source("california_loads", "14 CCR 17868.5, green material load checks", 2024, "read")
WASHINGTON_INTAKE = Source(
    "washington_intake", "WAC 173-350-220, incoming contamination by volume, as proposed", None, "read"
)
CONE_STANDARD = Source(
    "cone_standard",
    "USFS MTDC htm05242837, citing ASAE S313.3 (Feb 2004) and EP542 (Feb 1999): 30 degree cones",
    2004,
    "read",
)
CONE_NOMINAL = Source(
    "cone_nominal", "base areas of the two standard cones, rounded as gauges are printed", None, "derived"
)
PAN_LIMIT = Source(
    "pan_limit", "Duiker, Penn State, diagnosing soil compaction: roots stop above 300 psi", None, "read"
)
PAN_SHARE = Source(
    "pan_share", "University of Kentucky ID-153, half of the samples or more over 300 psi", None, "read"
)
PAN_PROBES = Source(
    "pan_probes", "University of Kentucky ID-153, 10 to 20 probes at least in a small field", None, "read"
)
NRCS_FEEL = Source("nrcs_feel", "NRCS, Estimating Soil Moisture by Feel and Appearance", None, "read")
TRAFFIC_LOAD = Source(
    "traffic_load",
    "Penn State, worksheet for traffic-induced soil compaction risk; Ohio State soil health",
    None,
    "read",
)
PLASTIC_LIMIT = Source(
    "plastic_limit", "thread test by the plastic limit, graded as a machinery maker prints it", None, "read"
)
FROZEN_ROADS = Source(
    "frozen_roads",
    "USFS Hiawatha National Forest: 6 in of frost or 12 in of packed snow, or a mix, before machines",
    None,
    "read",
)
FROST_SUM = Source(
    "frost_sum", "TRB 08-3103: one major freeze sets the depth, so the sum is reset by thaw", 2008, "read"
)
STEFAN = Source("stefan", "Stefan's formula in feet, X = sqrt(48 k n F / L)", None, "memory")
LATENT_HEAT = Source("latent_heat", "UFC 3-130-05: L = 144 BTU/lb x water share x dry density", None, "read")
QUADRAT_COUNT = Source(
    "quadrat_count", "Mississippi Administrative Code 11-8-2, Appendix A: n = t2 s2 / (d x)2", None, "read"
)
CLUMPED_COUNT = Source(
    "clumped_count", "negative binomial sample size, n = (1/m + 1/k) / E2, Karandinos 1976", 1976, "memory"
)
WILSON_1927 = Source(
    "wilson_1927", "Wilson 1927, J. Am. Stat. Assoc. 22:209-212, score interval", 1927, "derived"
)
STUDENT_T = Source("student_t", "Student's t interval of a mean", None, "derived")
WGS84 = Source(
    "wgs84",
    "WGS 84 ellipsoid, NGA.STND.0036; geodesics after Karney 2013, J. Geod. 87:43-55",
    2013,
    "defined",
)
RAYLEIGH = Source("rayleigh", "circular normal errors: r95 / r68 = sqrt(ln 0.05 / ln 0.32)", None, "derived")
