"""The planted stories: what was put into the invented numbers, and what a reader should find."""

from dataclasses import dataclass
from datetime import date

FIRST_YEAR, LAST_YEAR = 2006, 2025


@dataclass(frozen=True)
class Story:
    """One planted story; `effect` and `finding` go into the folder's README as they stand."""

    key: str
    title: str
    where: str
    when: str
    effect: str
    finding: str


# Wet and warm years, shared by the whole district, in standard deviations; neither has a trend in it.

WETNESS = dict(zip(range(FIRST_YEAR, LAST_YEAR + 1), (
    0.3, -0.8, 1.1, 0.2, -0.5, 0.9, -1.2, 1.3, 0.4, -0.9,
    0.6, -0.3, -1.4, 0.8, 0.1, 1.2, -1.0, 0.5, -0.4, -0.2,
), strict=True))  # fmt: skip
WARMTH = dict(zip(range(FIRST_YEAR, LAST_YEAR + 1), (
    0.9, -0.4, -0.7, 0.2, 0.6, -1.0, 0.3, -0.2, -0.8, 1.1,
    -0.1, -0.6, 1.3, 0.2, -0.3, -0.9, 0.8, 0.4, -0.6, 0.3,
), strict=True))  # fmt: skip

WORSENING_PER_YEAR = 1.064  # factor on total phosphorus of Ferrow Tarn
TREATED_ON = date(2014, 5, 3)
TREATED_TO = 0.21  # factor on total phosphorus of Tesserin Lake after the treatment
TREATED_BOTTOM_TO = 0.08  # factor on its bottom phosphorus
BOTTOM_RELEASE = 5.0  # bottom over surface phosphorus in Tesserin Lake in August, before

BAD_BATCH = "D21-06"
BAD_BATCH_ADDED_UG_PER_L = 15.0
FLOOD_DAYS = (date(2013, 7, 8), date(2013, 7, 13))
FLOOD_FACTORS = {
    "total_phosphorus": 1.9, "total_nitrogen": 1.45, "chlorophyll_a": 0.7, "true_colour": 1.5,
    "turbidity": 6.0, "conductivity": 0.75,
}  # fmt: skip
FLOOD_TURBIDITY_NTU = 6.0  # added everywhere

DEEP_READER = "V19"
DEEP_READER_FACTOR = 1.25
DEEP_READER_YEARS = (2015, 2018)
FELLOW_READER = "V04"

SHORT_VOLUME_STATION, SHORT_VOLUME_MONTH = "VEL1", "2019-07"
SHORT_VOLUME_ML, TRUE_VOLUME_ML = 250, 500
FEET_SHEET_LAKE, FEET_SHEET_MONTH = "ASK", "2018-07"

LIMIT_CHANGED_YEAR = 2012
OLD_LIMITS, NEW_LIMITS = (6.0, 12.0), (2.0, 4.0)  # detection and reporting limit of total phosphorus [µg/L]
LABORATORY_CHANGED_YEAR = 2016
LABORATORY_CHANGE = 1.15  # factor on total nitrogen


@dataclass(frozen=True)
class Mark:
    """One reading that the office has looked at: what its row says instead of what the model made."""

    station: str
    month: str
    quantity: str
    changes: dict[str, str]


MARKS = (
    Mark("COL1", "2025-08", "secchi_depth", {
        "value": "35.5", "status": "held", "remark": "deeper than the water; 3.5 ft? asked the volunteer"}),
    Mark("FER1", "2025-09", "total_phosphorus", {
        "value": "ND", "detection_limit": "", "reporting_limit": "", "qualifier": "", "status": "held",
        "remark": "ND without a limit; asked the laboratory"}),
    Mark("TES1", "2025-08", "total_nitrogen", {
        "status": "held", "remark": "two bottles came in with this number"}),
    Mark("UMB1", "2024-07", "chlorophyll_a", {
        "value": "38.0", "status": "held", "remark": "ten times the usual; asked for the absorbances"}),
    Mark("ASK2", "2023-06", "water_temperature", {
        "value": "64.4", "status": "held", "remark": "degrees Fahrenheit? asked the volunteer"}),
    Mark("DUN3", "2016-07", "total_phosphorus", {
        "status": "rejected", "remark": "bottle broke, laboratory used what was left"}),
    Mark("GRE1", "2022-08", "chlorophyll_a", {
        "status": "accepted with a remark", "remark": "scum in the jug, as on the photo"}),
    Mark("VEL2", "2018-08", "chlorophyll_a", {
        "status": "accepted with a remark", "remark": "filter soft on arrival"}),
)  # fmt: skip

STORIES = (
    Story(
        "worsening", "A lake that worsens", "Ferrow Tarn, FER1 to FER4", "2006 to 2025",
        f"Total phosphorus rises by {100 * (WORSENING_PER_YEAR - 1):.1f} % a year, chlorophyll a with it by "
        f"about {100 * (WORSENING_PER_YEAR**1.449 - 1):.0f} % a year, and clarity falls.",
        "From oligotrophic to eutrophic by Carlson & Simpson in chlorophyll a. A trend in phosphorus, "
        "chlorophyll a and clarity at FER1 and FER2, in clarity alone at FER3 and FER4, where nothing else "
        "is measured. Oxygen near the bottom in August is lower in each later profile.",
    ),
    Story(
        "recovery", "A lake that recovers after a treatment", "Tesserin Lake, TES1 to TES3",
        "treated on 3 May 2014",
        f"Phosphorus was bound in the sediment: total phosphorus falls to a fifth (factor {TREATED_TO:g}); "
        f"near the bottom in August from {BOTTOM_RELEASE:g} times the surface value to twice.",
        "A step between 2013 and 2014, no slow trend before or after it. The class by chlorophyll a moves "
        "from eutrophic and hypereutrophic to mesotrophic. Nitrogen falls by a third only.",
    ),
    Story(
        "stained", "A stained lake where clarity and algae disagree", "Umberlow, UMB1", "all years",
        "True colour of about 150 PCU takes away most of the light; the algae are those of a mesotrophic "
        "lake.",
        "Clarity names a worse class than chlorophyll a does; the index from chlorophyll a lies more than 10 "
        "below the index from the disk, every year. Colour, not algae, goes together with the low clarity.",
    ),
    Story(
        "disk on the bottom", "A clear pond whose disk lies on the bottom", "Sallow Pond, SAL1",
        "2008 to 2025",
        "The water is clearer than it is deep (2.4 m, a little more or less with the level), so most "
        'readings are ">2.4" or near it; only wind or flood stirs up so much that the disk is lost before.',
        "The clarity is at least the depth: no class and no trend by clarity; chlorophyll a classes the "
        "pond. The few measured depths are days with wind, and the flood.",
    ),
    Story(
        "nitrogen-limited", "A pond limited by nitrogen", "Tarrick Pond, TAR1", "2009 to 2025",
        "Total nitrogen is about six times total phosphorus by mass (14 by mole); algae follow nitrogen.",
        "Phosphorus names a worse class than chlorophyll a does, the index from chlorophyll a lies about 20 "
        "below that from phosphorus; N:P stays below 20 by mole.",
    ),
    Story(
        "bad batch", "A bad laboratory batch", f"delivery {BAD_BATCH}, every sampled station", "June 2021",
        f"{BAD_BATCH_ADDED_UG_PER_L:g} µg/L of phosphorus in every bottle, the field blank among them; "
        "nitrogen and chlorophyll a are as always.",
        "High phosphorus in clear waters in one month, nothing else unusual, and a field blank of about "
        f"{BAD_BATCH_ADDED_UG_PER_L:g} µg/L in the same delivery: ask the laboratory, do not use.",
    ),
    Story(
        "deep reader", "An observer who reads differently",
        f"Colvane Lake, COL1 to COL3, observer {DEEP_READER}",
        f"{DEEP_READER_YEARS[0]} to {DEEP_READER_YEARS[1]}",
        f"{DEEP_READER} reads the disk a quarter deeper than the others (factor {DEEP_READER_FACTOR:g}), "
        f"alone each June and together with {FELLOW_READER} in May, July and August.",
        f"On shared days {DEEP_READER} over {FELLOW_READER} is about {DEEP_READER_FACTOR:g} at every "
        "station; clarity in June of these years is better than chlorophyll a allows.",
    ),
    Story(
        "short volume", "A total volume without its top-up", f"Vellory Lake, {SHORT_VOLUME_STATION}",
        "July 2019",
        f"{SHORT_VOLUME_ML} mL stand on the sheet, as much again went through the same filter: chlorophyll a "
        "is reported twice too high.",
        "One chlorophyll a of twice the usual while phosphorus and clarity are as always; a volume that is "
        f"half of the {TRUE_VOLUME_ML} mL that this team filters; a remark about a top-up on the sheet.",
    ),
    Story(
        "feet for metres", "A sheet in feet under a heading in metres", "Askerel Lake, ASK1 to ASK3",
        "July 2018",
        "The three disk readings of one sheet are in feet but were entered as metres (factor 3.28).",
        "Readings of two to three times the usual on one sheet, two of them deeper than the water.",
    ),
    Story(
        "flood", "A flood week everywhere", "all waters", "8 to 13 July 2013",
        f"Phosphorus times {FLOOD_FACTORS['total_phosphorus']:g}, nitrogen times "
        f"{FLOOD_FACTORS['total_nitrogen']:g}, turbidity times {FLOOD_FACTORS['turbidity']:g} and "
        f"{FLOOD_TURBIDITY_NTU:g} NTU more, colour times {FLOOD_FACTORS['true_colour']:g}, conductivity "
        f"times {FLOOD_FACTORS['conductivity']:g}, chlorophyll a times {FLOOD_FACTORS['chlorophyll_a']:g}.",
        "Every water is unusual in the same week and the sheets say flood: the readings are real.",
    ),
    Story(
        "detection limit", "A change of detection limit", "total phosphorus, all waters",
        f"from {LIMIT_CHANGED_YEAR}",
        f"Detection limit {OLD_LIMITS[0]:g} and reporting limit {OLD_LIMITS[1]:g} µg/L before, "
        f"{NEW_LIMITS[0]:g} and {NEW_LIMITS[1]:g} µg/L since.",
        f'Hollin Mere has "<{OLD_LIMITS[0]:g}" in the years before and no "<" since: neither a fall nor a '
        "rise may be read from it.",
    ),
    Story(
        "laboratory", "A change of laboratory", "total nitrogen, all waters",
        f"from {LABORATORY_CHANGED_YEAR}",
        "Ostrel laboratory by Kjeldahl and nitrate in µg/L before; Quenlow laboratory by persulfate in mg/L "
        f"since, which finds {100 * (LABORATORY_CHANGE - 1):.0f} % more.",
        "A step in nitrogen at every water at once, together with the change of method: no trend across it.",
    ),
)  # fmt: skip
