"""Column names and domain words of the Water Quality Exchange (WQX), and the record's words for them.

Source: US EPA Water Quality Exchange, physical/chemical result profile, 3.0 profile and submission template,
and its domain lists. Where a list was not at hand (3.0 and submission names of depths, limits, places,
methods and laboratories), names are from memory.
"""

from collections.abc import Mapping

__all__ = [
    "ALSO_CALLED", "NAMES", "QUALITY_CONTROL", "STATUS_WORDS", "STRATUM_WORDS", "WHOLE", "WITH_VALUE",
]  # fmt: skip

# Our name for a column: its older, its 3.0 and its submission names.
NAMES: Mapping[str, tuple[str, ...]] = {
    "station_code": ("MonitoringLocationIdentifier", "Location_Identifier", "Monitoring Location ID"),
    "station_name": ("MonitoringLocationName", "Location_Name", "Monitoring Location Name"),
    "kind": ("MonitoringLocationTypeName", "Location_Type", "Monitoring Location Type"),
    "latitude": ("LatitudeMeasure", "ActivityLocation/LatitudeMeasure", "Location_Latitude",
                 "Monitoring Location Latitude"),
    "longitude": ("LongitudeMeasure", "ActivityLocation/LongitudeMeasure", "Location_Longitude",
                  "Monitoring Location Longitude"),
    "taken_on": ("ActivityStartDate", "Activity_StartDate", "Activity Start Date"),
    "taken_time": ("ActivityStartTime/Time", "Activity_StartTime", "Activity Start Time"),
    "media": ("ActivityMediaName", "Activity_Media", "Activity Media Name"),
    "activity": ("ActivityTypeCode", "Activity_TypeCode", "Activity Type"),
    "sample_code": ("ActivityIdentifier", "Activity_ActivityIdentifier", "Activity ID"),
    "depth_m": ("ActivityDepthHeightMeasure/MeasureValue", "Activity_DepthHeightMeasure",
                "Activity Depth/Height Measure"),
    "depth_unit": ("ActivityDepthHeightMeasure/MeasureUnitCode", "Activity_DepthHeightMeasureUnit",
                   "Activity Depth/Height Unit"),
    "result_depth": ("ResultDepthHeightMeasure/MeasureValue", "ResultDepthHeight_Measure",
                     "Result Depth/Height Measure"),
    "result_depth_unit": ("ResultDepthHeightMeasure/MeasureUnitCode", "ResultDepthHeight_MeasureUnit",
                          "Result Depth/Height Unit"),
    "relative_depth": ("ActivityRelativeDepthName", "Activity_RelativeDepth", "Activity Relative Depth Name"),
    "characteristic": ("CharacteristicName", "Result_Characteristic", "Characteristic Name"),
    "fraction": ("ResultSampleFractionText", "Result_SampleFraction", "Result Sample Fraction"),
    "speciation": ("MethodSpeciationName", "Result_MethodSpeciation", "Method Speciation"),
    "value": ("ResultMeasureValue", "Result_Measure", "Result Value"),
    "unit": ("ResultMeasure/MeasureUnitCode", "Result_MeasureUnit", "Result Unit"),
    "condition": ("ResultDetectionConditionText", "Result_ResultDetectionCondition",
                  "Result Detection Condition"),
    "qualifier": ("MeasureQualifierCode", "Result_MeasureQualifierCode", "Result Measure Qualifier"),
    "result_status": ("ResultStatusIdentifier", "Result_MeasureStatusIdentifier", "Result Status ID"),
    "statistic": ("StatisticalBaseCode", "Result_StatisticalBase", "Statistical Base Code"),
    "value_type": ("ResultValueTypeName", "Result_ValueType", "Result Value Type"),
    "limit_type": ("DetectionQuantitationLimitTypeName", "DetectionLimit_TypeA",
                   "Result Detection/Quantitation Limit Type"),
    "limit": ("DetectionQuantitationLimitMeasure/MeasureValue", "DetectionLimit_MeasureA",
              "Result Detection/Quantitation Limit Measure"),
    "limit_unit": ("DetectionQuantitationLimitMeasure/MeasureUnitCode", "DetectionLimit_MeasureUnitA",
                   "Result Detection/Quantitation Limit Unit"),
    "method_id": ("ResultAnalyticalMethod/MethodIdentifier", "ResultAnalyticalMethod_Identifier",
                  "Result Analytical Method ID"),
    "method_name": ("ResultAnalyticalMethod/MethodName", "ResultAnalyticalMethod_Name",
                    "Result Analytical Method Name"),
    "laboratory": ("LaboratoryName", "LabInfo_Name", "Laboratory Name"),
    "analysed_on": ("AnalysisStartDate", "LabInfo_AnalysisStartDate", "Analysis Start Date"),
    "remark": ("ResultCommentText", "Result_Comment", "Result Comment"),
}  # fmt: skip

# Other characteristics of the domain list that are the same quantity whatever the fraction says.
ALSO_CALLED: Mapping[str, str] = {
    "total phosphorus, mixed forms": "total_phosphorus",
    "total nitrogen, mixed forms": "total_nitrogen",
    "chlorophyll a, uncorrected for pheophytin": "chlorophyll_a_uncorrected",
}
WHOLE = ("", "total", "unfiltered", "total recoverable")
STRATUM_WORDS = {"surface": "surface", "midwater": "mid", "bottom": "bottom", "near bottom": "bottom"}
STATUS_WORDS = {
    "": "accepted", "accepted": "accepted", "final": "accepted", "validated": "accepted",
    "historical": "accepted", "preliminary": "preliminary", "raw": "preliminary", "rejected": "rejected",
}  # fmt: skip
# Conditions beside which a value may stand: something was found. Beside any other, one of the two is wrong
# (the standard wants a condition where there is no value, and none where there is one).
WITH_VALUE = (
    "", "present below quantification limit", "between inst detect and quant limit",
    "detected not quantified", "trace", "above operating range", "present above quantification limit",
    "value decensored",
)  # fmt: skip
QUALITY_CONTROL = (
    ("field blank", "field blank"), ("equipment blank", "equipment blank"), ("spike", "spike"),
    ("lab duplicate", "lab duplicate"), ("lab replicate", "lab duplicate"),
    ("field replicate", "field duplicate"), ("field duplicate", "field duplicate"),
)  # fmt: skip
