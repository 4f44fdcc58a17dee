"""For every check the smallest files in which it finds something, and the same without it."""

from collections.abc import Mapping
from dataclasses import dataclass

from explorer.intake.sample_codes import sample_code

__all__ = ["EXAMPLES", "Example", "code", "wrong"]

Files = Mapping[str, str]


@dataclass(frozen=True)
class Example:
    """Files by name that a check finds something in, and files in which it finds nothing."""

    finds: Files
    passes: Files


def code(serial: int, container: int | None = None) -> str:
    return sample_code(2025, serial, container)


def wrong(text: str) -> str:
    """Two digits that changed places."""
    return text[:3] + text[4] + text[3] + text[5:]


def sheet(heading: str, finds: str, passes: str) -> Example:
    """An example of one data sheet."""
    return Example(
        {"sheet.csv": f"Station,Date,{heading}\n{finds}\n"},
        {"sheet.csv": f"Station,Date,{heading}\n{passes}\n"},
    )


def together(finds: Files, **passes: str) -> Example:
    """An example of several files, of which some are other ones where nothing is found."""
    return Example(finds, {**finds, **{f"{name}.csv": text for name, text in passes.items()}})


def rows(heading: str, *lines: str) -> str:
    return "\n".join((heading, *lines)) + "\n"


def bottles(*lines: str) -> str:
    return rows("Station,Date,Secchi (m),Bottle,Filter,mL", *lines)


def phosphorus(*lines: str) -> str:
    return rows("Sample,TP (ug/L),RL,Analysed", *lines)


def freezer(*lines: str) -> str:
    return rows("container,in,freezer °C,out", *lines)


B1, F1, B2, F2, B3 = code(1, 1), code(1, 2), code(2, 1), code(2, 2), code(1, 3)
ONE = bottles(f"CL1,2025-06-10,4.0,{B1},{F1},500")
FIVE = bottles(*(f"CL{n},2025-06-10,4.{n},{code(n, 1)},{code(n, 2)},500" for n in range(1, 6)))
WITH_BLANK = rows(
    "Station,Date,Secchi (m),Bottle,Blank bottle", f"CL1,2025-06-10,4.0,{B1},", f"CL2,2025-06-10,4.1,,{B2}"
)
IN_AIR = "Station,Date,z (m),ODO (mg/L),In air before,In air after"
FOUR_DAYS = ("05-01", "06-01", "07-01", "08-01")


def shared_days(second: str) -> str:
    lines = [f"CL1,2025-{day},4.{n},V1\nCL1,2025-{day},{second},V2" for n, day in enumerate(FOUR_DAYS)]
    return rows("Station,Date,Secchi (m),Observer", *lines)


def chlorophyll(analysed: str, told: str = "500", sample: str = F1) -> str:
    return rows("Sample,Chl a corrected (ug/L),mL,Analysed", f"{sample},4.2,{told},{analysed}")


EXAMPLES: Mapping[str, Example] = {
    "sample_not_on_sheet": Example(
        {"lab.csv": phosphorus(f"{B1},25,4,2025-06-20")},
        {"lab.csv": phosphorus(f"{B1},25,4,2025-06-20"), "sheet.csv": ONE},
    ),
    "sample_code_twice": together(
        {
            "sheet.csv": bottles(f"CL1,2025-06-10,4.0,{B1},,", f"CL2,2025-06-10,4.1,{B1},,"),
            "lab.csv": phosphorus(f"{B1},25,4,2025-06-20"),
        },
        sheet=bottles(f"CL1,2025-06-10,4.0,{B1},,", f"CL2,2025-06-10,4.1,{B2},,"),
    ),
    "sheet_row_waits": together(
        {"sheet.csv": ONE.replace("CL1", "QQ9"), "lab.csv": phosphorus(f"{B1},25,4,2025-06-20")}, sheet=ONE
    ),
    "sample_missing": together(
        {
            "sheet.csv": bottles(f"CL1,2025-06-10,4.0,{B1},,", f"CL2,2025-06-09,4.1,{B2},,"),
            "lab.csv": phosphorus(f"{B1},25,4,2025-06-20"),
        },
        lab=phosphorus(f"{B1},25,4,2025-06-20", f"{B2},26,4,2025-06-20"),
    ),
    "code_likely": together(
        {
            "sheet.csv": bottles(f"CL1,2025-06-10,4.0,{wrong(B1)},,"),
            "lab.csv": phosphorus(f"{B1},25,4,2025-06-20"),
        },
        sheet=ONE,
    ),
    "container_left_out": together(
        {
            "sheet.csv": bottles(f"CL1,2025-06-10,4.0,{B1},,500", f"CL2,2025-06-10,4.1,{B2},{F2},500"),
            "freezer.csv": freezer(f"{B1},2025-06-10,-21,", f"{F1},2025-06-10,-21,"),
        },
        sheet=ONE,
    ),
    "not_in_freezer_log": together(
        {"sheet.csv": ONE, "freezer.csv": freezer(f"{F1},2025-06-10,-21,")},
        freezer=freezer(f"{F1},2025-06-10,-21,", f"{B1},2025-06-10,-21,"),
    ),
    "freezer_unknown": together(
        {"sheet.csv": ONE, "freezer.csv": freezer(f"{code(77, 1)},2025-06-10,-21,")},
        freezer=freezer(f"{F1},2025-06-10,-21,"),
    ),
    "result_repeated": together(
        {"sheet.csv": ONE, "lab.csv": phosphorus(f"{B1},25,4,2025-06-20", f"{B1},25,4,2025-06-20")},
        lab=phosphorus(f"{B1},25,4,2025-06-20"),
    ),
    "result_twice": together(
        {"sheet.csv": ONE, "lab.csv": phosphorus(f"{B1},25,4,2025-06-20", f"{B1},29,4,2025-06-20")},
        lab=phosphorus(f"{B1},25,4,2025-06-20"),
    ),
    "volumes_do_not_add": sheet(
        "Secchi (m),Filter,Poured (mL),Topped up (mL),Total volume (mL)",
        f"CL1,2025-06-10,4.0,{F1},250,200,500",
        f"CL1,2025-06-10,4.0,{F1},250,250,500",
    ),
    "sheets_tell_volumes": together(
        {
            "sheet.csv": ONE,
            "other.csv": ONE.replace("4.0", "4.00").replace(",500", ",400"),
            "lab.csv": rows("Sample,664b,665a,Extract (mL),Path (cm)", f"{F1},0.300,0.190,10,1"),
        },
        other=ONE.replace("4.0", "4.00"),
    ),
    "volumes_differ": together(
        {"sheet.csv": ONE, "lab.csv": chlorophyll("2025-06-20", "250")}, lab=chlorophyll("2025-06-20")
    ),
    "sheet_says_otherwise": together(
        {"sheet.csv": ONE, "lab.csv": rows("Sample,Station,Date,TP (ug/L)", f"{B1},CL2,2025-06-10,25")},
        lab=rows("Sample,Station,Date,TP (ug/L)", f"{B1},CL1,2025-06-10,25"),
    ),
    "frozen_late": together(
        {
            "sheet.csv": ONE,
            "freezer.csv": freezer(f"{F1},2025-06-13,-21,"),
            "lab.csv": chlorophyll("2025-06-20"),
        },
        freezer=freezer(f"{F1},2025-06-11,-21,"),
    ),
    "frozen_before_taken": together(
        {"sheet.csv": ONE, "freezer.csv": freezer(f"{F1},2025-06-09,-21,")},
        freezer=freezer(f"{F1},2025-06-10,-21,"),
    ),
    "freezer_warm": together(
        {"sheet.csv": ONE, "freezer.csv": freezer(f"{F1},2025-06-10,-4,")},
        freezer=freezer(f"{F1},2025-06-10,-21,"),
    ),
    "holding_time_exceeded": together(
        {"sheet.csv": ONE, "lab.csv": chlorophyll("2025-07-05")}, lab=chlorophyll("2025-07-04")
    ),
    "date_in_future": sheet("Secchi (m)", "CL1,2026-06-01,4.0", "CL1,2025-06-01,4.0"),
    "analysed_before_taken": together(
        {"sheet.csv": ONE, "lab.csv": phosphorus(f"{B1},25,4,2025-06-09")},
        lab=phosphorus(f"{B1},25,4,2025-06-10"),
    ),
    "visit_repeated": sheet(
        "Secchi (m)", "CL1,2025-06-01,4.0\nCL1,2025-06-01,4.00", "CL1,2025-06-01,4.0\nCL1,2025-06-02,4.0"
    ),
    "visit_twice": sheet(
        "Secchi (m)", "CL1,2025-06-01,4.0\nCL1,2025-06-01,4.5", "CL1,2025-06-01,4.0\nCL1,2025-06-02,4.5"
    ),
    "reading_known": sheet("Secchi (m),Observer", "CL1,2023-06-15,4.0,V1", "CL1,2023-06-16,4.0,V1"),
    "reading_differs": sheet("Secchi (m),Observer", "CL1,2023-06-15,4.4,V1", "CL1,2023-06-16,4.4,V1"),
    "sunglasses_worn": sheet("Secchi (m),Sunglasses", "CL1,2025-06-01,4.0,yes", "CL1,2025-06-01,4.0,no"),
    "observer_new": sheet("Secchi (m),Observer", "CL1,2025-06-01,4.0,V9", "CL1,2025-06-01,4.0,V1"),
    "observer_differs": Example({"sheet.csv": shared_days("5.4")}, {"sheet.csv": shared_days("4.3")}),
    "training_old": sheet(
        "Secchi (m),Trained", "CL1,2025-06-01,4.0,2024-05-01", "CL1,2025-06-01,4.0,2025-05-01"
    ),
    "line_check_old": sheet(
        "Secchi (m),Line checked", "CL1,2025-06-01,4.0,2024-05-01", "CL1,2025-06-01,4.0,2025-05-01"
    ),
    "probe_off_in_air": Example(
        {"probe.csv": rows(IN_AIR, "CL1,2025-06-10,1,8,99.6 %,91 %")},
        {"probe.csv": rows(IN_AIR, "CL1,2025-06-10,1,8,99.6 %,8.9")},
    ),
    "calibration_old": Example(
        {"probe.csv": "Station,Date,z (m),ODO (mg/L),Calibrated\nCL1,2025-06-10,1,8,2025-06-01\n"},
        {"probe.csv": "Station,Date,z (m),ODO (mg/L),Calibrated\nCL1,2025-06-10,1,8,2025-06-10\n"},
    ),
    "iced_late": sheet(
        "Time,On ice,Secchi (m)", "CL1,2025-06-01,10:00,10:40,4.0", "CL1,2025-06-01,10:00,10:10,4.0"
    ),
    "not_iced": sheet(
        "Time,On ice,Frozen,Secchi (m)",
        "CL1,2025-06-01,10:00,no,10:40,4.0",
        "CL1,2025-06-01,10:00,no,10:10,4.0",
    ),
    "station_outside_water": sheet("Secchi (m)", "CL6,2025-06-01,4.0", "CL1,2025-06-01,4.0"),
    "value_impossible": sheet("pH", "CL1,2025-06-01,15", "CL1,2025-06-01,8"),
    "value_implausible": sheet("Turbidity (NTU)", "CL1,2025-06-01,2000", "CL1,2025-06-01,20"),
    "degrees_mixed": sheet("Temp (F)", "CL1,2025-06-01,14.8", "CL1,2025-06-01,58.6"),
    "deeper_than_bottom": sheet("Secchi (m),Bottom (m)", "CL1,2025-06-01,4.0,3.5", "CL1,2025-06-01,4.0,4.5"),
    "at_bottom_unmarked": sheet("Secchi (m),Bottom (m)", "CL1,2025-06-01,4.0,4.0", "CL1,2025-06-01,4.0,4.5"),
    "same_value_again": sheet(
        "Secchi (m)",
        "\n".join(f"CL1,2025-{day},4.0" for day in FOUR_DAYS),
        "\n".join(f"CL1,2025-{day},4.{n}" for n, day in enumerate(FOUR_DAYS)),
    ),
    "factor_of_feet": sheet("Secchi (m)", "CL1,2025-06-01,13.1", "CL1,2025-06-01,4.0"),
    "factor_of_ten": sheet("Secchi (m)", "CL1,2025-06-01,0.4", "CL1,2025-06-01,4.0"),
    "factor_of_thousand": sheet("TP (ug/L)", "CL1,2025-06-01,24000", "CL1,2025-06-01,24"),
    "part_above_whole": sheet(
        "TP (ug/L),Orthophosphate (ug/L)", "CL1,2025-06-01,20,30", "CL1,2025-06-01,20,10"
    ),
    "oxygen_above_saturation": sheet("DO (mg/L),Temp (C)", "CL1,2025-06-01,22,20", "CL1,2025-06-01,9,20"),
    "oxygen_disagrees": sheet(
        "DO (mg/L),Temp (C),DO sat (%)", "CL1,2025-06-01,9,20,70", "CL1,2025-06-01,9,20,100"
    ),
    "duplicates_differ": together(
        {"sheet.csv": ONE, "lab.csv": phosphorus(f"{B1},20,4,2025-06-20", f"{B3},30,4,2025-06-20")},
        lab=phosphorus(f"{B1},20,4,2025-06-20", f"{B3},24,4,2025-06-20"),
    ),
    "blank_too_high": together(
        {"sheet.csv": WITH_BLANK, "lab.csv": phosphorus(f"{B1},25,4,2025-06-20", f"{B2},5,4,2025-06-20")},
        lab=phosphorus(f"{B1},25,4,2025-06-20", f"{B2},3,4,2025-06-20"),
    ),
    "batch_with_blank": together(
        {"sheet.csv": WITH_BLANK, "lab.csv": phosphorus(f"{B1},25,4,2025-06-20", f"{B2},5,4,2025-06-20")},
        lab=phosphorus(f"{B1},55,4,2025-06-20", f"{B2},5,4,2025-06-20"),
    ),
    "batch_shifted": together(
        {"sheet.csv": FIVE, "lab.csv": phosphorus(*(f"{code(n, 1)},6{n},4,2025-06-20" for n in range(1, 6)))},
        lab=phosphorus(*(f"{code(n, 1)},2{n},4,2025-06-20" for n in range(1, 6))),
    ),
}
