"""The table of waters and the table of stations: everything that differs from one water to another."""

from dataclasses import dataclass

from shapes import KmPoint

SEASON = (5, 6, 7, 8, 9)
LONG_SEASON = (4, 5, 6, 7, 8, 9, 10)
WHOLE_YEAR = tuple(range(1, 13))


@dataclass(frozen=True)
class Water:
    """A water and its usual state in midsummer, before season, weather, stories and noise.

    `points` are kilometres east and north of the district's centre; `teams` are observers' codes, the first
    one goes most often; `volume_ml` is what the team filters for chlorophyll.
    """

    code: str
    name: str
    kind: str
    attributes: str
    points: tuple[KmPoint, ...]
    altitude_m: float
    maximum_depth_m: float
    total_phosphorus_ug_per_l: float
    total_nitrogen_ug_per_l: float
    true_colour_pcu: float
    turbidity_ntu: float
    conductivity_us_per_cm: float
    teams: tuple[str, ...]
    months: tuple[int, ...] = SEASON
    first_year: int = 2006
    length_unit: str = "m"
    volume_ml: int = 500
    staff_quantities: tuple[str, ...] = ()
    islands: tuple[tuple[KmPoint, float], ...] = ()
    roughness_km: float = 0.06


@dataclass(frozen=True)
class Place:
    """A station: where it lies, how deep it is, and how much richer than its water's index station.

    `sampled` stations fill bottles for the laboratory, the others read disk and thermometer; `profiled` ones
    also get the probe; `visits_only` names the only months with a visit, none where it is empty.
    """

    code: str
    name: str
    point: KmPoint
    bottom_depth_m: float
    enrichment: float = 1.0
    is_index: bool = False
    sampled: bool = False
    profiled: bool = False
    first_year: int = 2006
    last_year: int = 2025
    visits_only: tuple[str, ...] | None = None

    @property
    def lake_code(self) -> str:
        """Code of the water it lies on."""
        return self.code[:3]


WATERS = (
    Water(
        "HOL", "Hollin Mere", "lake", "",
        ((1.95, 4.5), (2.2, 4.82), (2.5, 4.6), (2.55, 4.15), (2.8, 3.8), (3.25, 3.72), (3.62, 3.85),
         (3.85, 3.55), (3.55, 3.25), (3.1, 3.15), (3.0, 2.8), (3.05, 2.3), (2.85, 1.9), (2.8, 1.5),
         (2.45, 1.4), (2.25, 1.8), (2.3, 2.3), (2.05, 2.65), (1.8, 3.05), (1.95, 3.45), (2.2, 3.75),
         (2.0, 4.1)),
        301, 34.0, 5.6, 250, 6, 0.4, 68, ("V07", "V11"), months=WHOLE_YEAR, volume_ml=1000,
        staff_quantities=("dissolved_oxygen", "ph", "conductivity"), islands=(((2.62, 3.12), 0.13),),
    ),
    Water(
        "VEL", "Vellory Lake", "lake", "",
        ((-3.75, 2.6), (-3.45, 3.0), (-3.0, 2.95), (-2.75, 2.6), (-2.35, 2.55), (-2.1, 2.85),
         (-1.75, 2.8), (-1.5, 2.45), (-1.05, 2.4), (-0.85, 2.05), (-0.4, 1.75), (-0.05, 1.9),
         (0.35, 1.95), (0.7, 1.6), (0.85, 1.1), (0.6, 0.75), (0.68, 0.4), (0.3, 0.25), (-0.1, 0.5),
         (-0.5, 0.4), (-0.75, 0.05), (-1.1, 0.1), (-1.25, 0.5), (-1.3, 0.9), (-1.8, 1.2), (-2.25, 1.1),
         (-2.5, 1.35), (-3.0, 1.45), (-3.2, 1.85), (-3.6, 2.05)),
        268, 27.0, 14.5, 460, 11, 0.7, 104, ("V03", "V15"), months=WHOLE_YEAR,
        staff_quantities=("ph", "conductivity", "true_colour"),
        islands=(((-1.55, 1.95), 0.15), ((0.1, 0.85), 0.1)), roughness_km=0.06,
    ),
    Water(
        "FER", "Ferrow Tarn", "lake", "",
        ((-3.35, 4.35), (-3.1, 4.7), (-2.6, 4.62), (-2.25, 4.85), (-1.75, 4.8), (-1.5, 4.55),
         (-1.1, 4.65), (-0.75, 4.45), (-0.85, 4.05), (-1.2, 3.95), (-1.35, 3.6), (-1.65, 3.38),
         (-1.95, 3.65), (-1.9, 4.0), (-2.3, 4.05), (-2.65, 3.85), (-3.05, 4.0)),
        312, 17.5, 9.4, 390, 10, 0.5, 83, ("V02", "V22"), months=LONG_SEASON,
        staff_quantities=("dissolved_oxygen", "conductivity"),
    ),
    Water(
        "TES", "Tesserin Lake", "lake", "",
        ((1.8, 0.35), (1.95, 0.75), (2.35, 0.7), (2.6, 0.95), (3.05, 0.95), (3.25, 0.65), (3.7, 0.6),
         (3.8, 0.15), (3.55, -0.15), (3.15, -0.1), (2.95, -0.45), (2.5, -0.75), (2.05, -0.8),
         (1.7, -0.5), (1.95, -0.1)),
        244, 13.0, 93.0, 1080, 18, 1.2, 172, ("V09", "V13"), months=WHOLE_YEAR, volume_ml=250,
        staff_quantities=("dissolved_oxygen", "ph"),
    ),
    Water(
        "DUN", "Dunmarrow Reservoir", "reservoir", "turbid",
        ((0.82, -1.95), (1.08, -1.9), (1.25, -2.2), (1.55, -2.5), (1.95, -2.62), (2.3, -2.55),
         (2.5, -2.25), (2.7, -1.9), (2.75, -1.45), (3.0, -1.3), (3.1, -1.65), (2.98, -2.1), (3.35, -2.3),
         (3.45, -2.5), (3.0, -2.6), (2.85, -2.9), (3.05, -3.3), (3.4, -3.5), (3.3, -3.8), (3.15, -4.1),
         (3.35, -4.5), (3.05, -4.72), (2.6, -4.78), (2.4, -4.45), (2.5, -4.0), (2.25, -3.65),
         (1.9, -3.75), (1.75, -3.5), (1.95, -3.2), (1.6, -3.0), (1.15, -2.85), (0.9, -2.45)),
        214, 24.0, 21.0, 690, 18, 2.2, 148, ("V05", "V18"), months=LONG_SEASON, length_unit="ft",
        volume_ml=250, staff_quantities=("turbidity",), roughness_km=0.07,
    ),
    Water(
        "UMB", "Umberlow", "lake", "stained",
        ((-3.65, 0.15), (-3.3, 0.3), (-2.95, 0.0), (-2.85, -0.35), (-2.45, -0.5), (-2.35, -0.9),
         (-2.65, -1.1), (-3.0, -1.0), (-3.2, -1.35), (-3.55, -1.4), (-3.7, -1.05), (-3.4, -0.75),
         (-3.35, -0.4), (-3.7, -0.2)),
        281, 8.5, 15.0, 640, 150, 1.1, 47, ("V10",), staff_quantities=("true_colour", "ph"),
    ),
    Water(
        "COL", "Colvane Lake", "lake", "",
        ((-1.6, -0.8), (-1.2, -0.5), (-0.75, -0.7), (-0.35, -0.5), (0.1, -0.6), (0.2, -1.0),
         (-0.05, -1.3), (0.0, -1.7), (-0.3, -2.0), (-0.65, -1.85), (-0.75, -1.5), (-1.1, -1.45),
         (-1.4, -1.65), (-1.75, -1.35)),
        236, 9.5, 27.0, 740, 20, 1.5, 133, ("V04", "V16"), length_unit="ft",
        staff_quantities=("true_colour",), islands=(((-0.85, -1.15), 0.1),),
    ),
    Water(
        "ASK", "Askerel Lake", "lake", "",
        ((-3.1, -2.35), (-2.75, -2.0), (-2.3, -2.1), (-2.0, -2.5), (-1.55, -2.5), (-1.3, -2.25),
         (-0.95, -2.4), (-0.75, -2.75), (-0.3, -2.75), (0.1, -3.05), (0.05, -3.4), (-0.4, -3.5),
         (-0.8, -3.35), (-1.1, -3.65), (-1.55, -3.95), (-1.95, -3.75), (-1.95, -3.3), (-2.4, -3.1),
         (-2.9, -2.8)),
        227, 12.5, 12.5, 430, 11, 0.8, 96, ("V06", "V14"), staff_quantities=("conductivity",),
    ),
    Water(
        "SAL", "Sallow Pond", "pond", "shallow",
        ((0.7, 3.02), (0.98, 2.82), (1.02, 2.5), (0.72, 2.38), (0.45, 2.5), (0.4, 2.8)),
        274, 2.5, 8.7, 410, 9, 0.4, 112, ("V12",), first_year=2008, roughness_km=0.03,
    ),
    Water(
        "TAR", "Tarrick Pond", "pond", "shallow nitrogen-limited",
        ((0.3, 4.42), (0.62, 4.5), (0.85, 4.2), (0.7, 3.98), (0.35, 3.92), (0.12, 4.12)),
        293, 4.2, 74.0, 440, 16, 1.4, 121, ("V20",), first_year=2009, volume_ml=250, roughness_km=0.03,
    ),
    Water(
        "GRE", "Greenlow Pond", "pond", "shallow",
        ((-3.55, -4.3), (-3.2, -4.05), (-2.85, -4.2), (-2.5, -4.25), (-2.3, -4.5), (-2.6, -4.75),
         (-3.0, -4.65), (-3.35, -4.72)),
        209, 2.8, 99.0, 1550, 16, 1.4, 244, ("V08", "V17"), volume_ml=100,
        staff_quantities=("dissolved_oxygen", "ph"), roughness_km=0.03,
    ),
    Water(
        "SED", "Sedgel Beck", "stream", "",
        ((0.62, 0.42), (0.85, 0.1), (1.2, -0.05), (1.3, -0.45), (1.05, -0.8), (1.15, -1.2), (1.02, -1.5),
         (0.95, -1.92)),
        240, 0.9, 38.0, 980, 19, 5.0, 156, ("V21", "V01"), months=LONG_SEASON,
        staff_quantities=("turbidity", "conductivity"), roughness_km=0.0,
    ),
)  # fmt: skip

PLACES = (
    Place("HOL1", "Hollin Mere, deep hole", (2.6, 2.65), 33.0, is_index=True, sampled=True, profiled=True),
    Place("HOL2", "Hollin Mere, north arm", (2.25, 4.3), 14.0, 1.05),
    Place("HOL3", "Hollin Mere, east bay", (3.45, 3.5), 7.0, 1.15),
    Place("HOL4", "Hollin Mere, south end", (2.55, 1.8), 11.0, 1.05),
    Place("VEL1", "Vellory Lake, deep hole", (-0.75, 1.3), 26.0, is_index=True, sampled=True, profiled=True),
    Place("VEL2", "Vellory Lake, west basin", (-3.0, 2.2), 15.5, 0.9, sampled=True),
    Place("VEL3", "Vellory Lake, east bay", (0.35, 1.25), 9.0, 1.15),
    Place("VEL4", "Vellory Lake, narrows", (-2.0, 2.0), 8.0, 1.0),
    Place("VEL5", "Vellory Lake, south bay", (-0.85, 0.5), 6.0, 1.1),
    Place("VEL6", "Vellory Lake, north bay", (-1.88, 2.62), 4.5, 1.05, first_year=2009, last_year=2017),
    Place("FER1", "Ferrow Tarn, north basin", (-2.2, 4.4), 16.5, is_index=True, sampled=True, profiled=True),
    Place("FER2", "Ferrow Tarn, south bay", (-1.6, 3.75), 7.5, 1.15, sampled=True),
    Place("FER3", "Ferrow Tarn, outlet", (-1.15, 4.35), 5.5, 1.0),
    Place("FER4", "Ferrow Tarn, west end", (-2.95, 4.3), 6.0, 0.95, first_year=2011),
    Place("TES1", "Tesserin Lake, middle", (2.65, 0.3), 12.5, is_index=True, sampled=True, profiled=True),
    Place("TES2", "Tesserin Lake, south-west", (2.15, -0.45), 6.0, 1.1),
    Place("TES3", "Tesserin Lake, east shore", (3.35, 0.3), 7.0, 0.95),
    Place("TES4", "Tesserin Lake, north bay", (2.86, 0.76), 4.0, 1.05, visits_only=("2019-06", "2019-08")),
    Place("DUN1", "Dunmarrow Reservoir, riverine", (1.15, -2.5), 5.0, 2.1, sampled=True),
    Place("DUN2", "Dunmarrow Reservoir, transition", (2.4, -3.05), 11.0, 1.45, sampled=True),
    Place("DUN3", "Dunmarrow Reservoir, dam", (2.85, -4.4), 23.0, is_index=True, sampled=True, profiled=True),
    Place("DUN4", "Dunmarrow Reservoir, north arm", (2.85, -1.75), 7.0, 1.2, first_year=2012),
    Place("DUN5", "Dunmarrow Reservoir, east inlet", (3.25, -2.42), 3.0, 1.3, visits_only=()),
    Place("UMB1", "Umberlow, middle", (-2.8, -0.7), 8.0, is_index=True, sampled=True),
    Place("UMB2", "Umberlow, north end", (-3.3, 0.02), 4.5, 1.05),
    Place("UMB3", "Umberlow, moss bay", (-3.4, -1.12), 3.5, 1.15),
    Place("COL1", "Colvane Lake, middle", (-0.45, -1.0), 9.0, is_index=True, sampled=True),
    Place("COL2", "Colvane Lake, west bay", (-1.35, -1.1), 5.0, 1.1),
    Place("COL3", "Colvane Lake, south end", (-0.35, -1.65), 4.5, 1.05, last_year=2021),
    Place("ASK1", "Askerel Lake, deep hole", (-1.2, -3.0), 12.0, is_index=True, sampled=True),
    Place("ASK2", "Askerel Lake, north-west", (-2.5, -2.5), 6.5, 0.95),
    Place("ASK3", "Askerel Lake, east end", (-0.3, -3.1), 6.0, 1.1),
    Place("ASK4", "Askerel Lake, south bay", (-1.55, -3.6), 7.0, 1.0, first_year=2025),
    Place("SAL1", "Sallow Pond, middle", (0.72, 2.7), 2.4, is_index=True, sampled=True),
    Place("TAR1", "Tarrick Pond, middle", (0.5, 4.2), 4.0, is_index=True, sampled=True),
    Place("GRE1", "Greenlow Pond, middle", (-3.1, -4.4), 2.6, is_index=True, sampled=True),
    Place("GRE2", "Greenlow Pond, outlet", (-2.6, -4.5), 1.6, 1.05),
    Place("SED1", "Sedgel Beck, ford", (1.3, -0.45), 0.6, is_index=True, sampled=True),
    Place("SED2", "Sedgel Beck, source", (0.85, 0.1), 0.4, 0.7),
    Place("SED3", "Sedgel Beck, mouth", (1.02, -1.5), 0.9, 1.1, sampled=True),
)
