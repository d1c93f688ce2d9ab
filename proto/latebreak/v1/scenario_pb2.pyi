from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from collections.abc import Iterable as _Iterable, Mapping as _Mapping
from typing import ClassVar as _ClassVar, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class Air(_message.Message):
    __slots__ = ("temperature_c", "temperature_f", "humidity_percent", "altitude_m", "altitude_ft", "pressure_hpa", "density_kg_m3", "wind_to_plate_mph", "wind_to_plate_kmh", "wind_to_right_mph", "wind_to_right_kmh")
    TEMPERATURE_C_FIELD_NUMBER: _ClassVar[int]
    TEMPERATURE_F_FIELD_NUMBER: _ClassVar[int]
    HUMIDITY_PERCENT_FIELD_NUMBER: _ClassVar[int]
    ALTITUDE_M_FIELD_NUMBER: _ClassVar[int]
    ALTITUDE_FT_FIELD_NUMBER: _ClassVar[int]
    PRESSURE_HPA_FIELD_NUMBER: _ClassVar[int]
    DENSITY_KG_M3_FIELD_NUMBER: _ClassVar[int]
    WIND_TO_PLATE_MPH_FIELD_NUMBER: _ClassVar[int]
    WIND_TO_PLATE_KMH_FIELD_NUMBER: _ClassVar[int]
    WIND_TO_RIGHT_MPH_FIELD_NUMBER: _ClassVar[int]
    WIND_TO_RIGHT_KMH_FIELD_NUMBER: _ClassVar[int]
    temperature_c: float
    temperature_f: float
    humidity_percent: float
    altitude_m: float
    altitude_ft: float
    pressure_hpa: float
    density_kg_m3: float
    wind_to_plate_mph: float
    wind_to_plate_kmh: float
    wind_to_right_mph: float
    wind_to_right_kmh: float
    def __init__(self, temperature_c: _Optional[float] = ..., temperature_f: _Optional[float] = ..., humidity_percent: _Optional[float] = ..., altitude_m: _Optional[float] = ..., altitude_ft: _Optional[float] = ..., pressure_hpa: _Optional[float] = ..., density_kg_m3: _Optional[float] = ..., wind_to_plate_mph: _Optional[float] = ..., wind_to_plate_kmh: _Optional[float] = ..., wind_to_right_mph: _Optional[float] = ..., wind_to_right_kmh: _Optional[float] = ...) -> None: ...

class Field(_message.Message):
    __slots__ = ("rubber_to_plate_ft", "rubber_to_plate_m")
    RUBBER_TO_PLATE_FT_FIELD_NUMBER: _ClassVar[int]
    RUBBER_TO_PLATE_M_FIELD_NUMBER: _ClassVar[int]
    rubber_to_plate_ft: float
    rubber_to_plate_m: float
    def __init__(self, rubber_to_plate_ft: _Optional[float] = ..., rubber_to_plate_m: _Optional[float] = ...) -> None: ...

class Ball(_message.Message):
    __slots__ = ("mass_oz", "mass_g", "circumference_in", "circumference_cm", "drag_coefficient", "drag_law", "lift_law", "lift_scale", "spin_decay_s")
    MASS_OZ_FIELD_NUMBER: _ClassVar[int]
    MASS_G_FIELD_NUMBER: _ClassVar[int]
    CIRCUMFERENCE_IN_FIELD_NUMBER: _ClassVar[int]
    CIRCUMFERENCE_CM_FIELD_NUMBER: _ClassVar[int]
    DRAG_COEFFICIENT_FIELD_NUMBER: _ClassVar[int]
    DRAG_LAW_FIELD_NUMBER: _ClassVar[int]
    LIFT_LAW_FIELD_NUMBER: _ClassVar[int]
    LIFT_SCALE_FIELD_NUMBER: _ClassVar[int]
    SPIN_DECAY_S_FIELD_NUMBER: _ClassVar[int]
    mass_oz: float
    mass_g: float
    circumference_in: float
    circumference_cm: float
    drag_coefficient: float
    drag_law: str
    lift_law: str
    lift_scale: float
    spin_decay_s: float
    def __init__(self, mass_oz: _Optional[float] = ..., mass_g: _Optional[float] = ..., circumference_in: _Optional[float] = ..., circumference_cm: _Optional[float] = ..., drag_coefficient: _Optional[float] = ..., drag_law: _Optional[str] = ..., lift_law: _Optional[str] = ..., lift_scale: _Optional[float] = ..., spin_decay_s: _Optional[float] = ...) -> None: ...

class Pitcher(_message.Message):
    __slots__ = ("hand", "level", "age_years")
    HAND_FIELD_NUMBER: _ClassVar[int]
    LEVEL_FIELD_NUMBER: _ClassVar[int]
    AGE_YEARS_FIELD_NUMBER: _ClassVar[int]
    hand: str
    level: str
    age_years: float
    def __init__(self, hand: _Optional[str] = ..., level: _Optional[str] = ..., age_years: _Optional[float] = ...) -> None: ...

class Spread(_message.Message):
    __slots__ = ("speed_mph", "speed_kmh", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_in", "release_side_cm", "release_height_in", "release_height_cm", "extension_in", "extension_cm", "launch_elevation_deg", "launch_azimuth_deg", "drag_coefficient", "lift_scale", "seam_force")
    SPEED_MPH_FIELD_NUMBER: _ClassVar[int]
    SPEED_KMH_FIELD_NUMBER: _ClassVar[int]
    SPIN_RPM_FIELD_NUMBER: _ClassVar[int]
    BREAK_CLOCK_DEG_FIELD_NUMBER: _ClassVar[int]
    GYRO_DEG_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_IN_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_CM_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_IN_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_CM_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_IN_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_CM_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_ELEVATION_DEG_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_AZIMUTH_DEG_FIELD_NUMBER: _ClassVar[int]
    DRAG_COEFFICIENT_FIELD_NUMBER: _ClassVar[int]
    LIFT_SCALE_FIELD_NUMBER: _ClassVar[int]
    SEAM_FORCE_FIELD_NUMBER: _ClassVar[int]
    speed_mph: float
    speed_kmh: float
    spin_rpm: float
    break_clock_deg: float
    gyro_deg: float
    release_side_in: float
    release_side_cm: float
    release_height_in: float
    release_height_cm: float
    extension_in: float
    extension_cm: float
    launch_elevation_deg: float
    launch_azimuth_deg: float
    drag_coefficient: float
    lift_scale: float
    seam_force: float
    def __init__(self, speed_mph: _Optional[float] = ..., speed_kmh: _Optional[float] = ..., spin_rpm: _Optional[float] = ..., break_clock_deg: _Optional[float] = ..., gyro_deg: _Optional[float] = ..., release_side_in: _Optional[float] = ..., release_side_cm: _Optional[float] = ..., release_height_in: _Optional[float] = ..., release_height_cm: _Optional[float] = ..., extension_in: _Optional[float] = ..., extension_cm: _Optional[float] = ..., launch_elevation_deg: _Optional[float] = ..., launch_azimuth_deg: _Optional[float] = ..., drag_coefficient: _Optional[float] = ..., lift_scale: _Optional[float] = ..., seam_force: _Optional[float] = ...) -> None: ...

class SpreadError(_message.Message):
    __slots__ = ("speed_mph", "speed_kmh", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_in", "release_side_cm", "release_height_in", "release_height_cm", "extension_in", "extension_cm", "launch_elevation_deg", "launch_azimuth_deg")
    SPEED_MPH_FIELD_NUMBER: _ClassVar[int]
    SPEED_KMH_FIELD_NUMBER: _ClassVar[int]
    SPIN_RPM_FIELD_NUMBER: _ClassVar[int]
    BREAK_CLOCK_DEG_FIELD_NUMBER: _ClassVar[int]
    GYRO_DEG_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_IN_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_CM_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_IN_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_CM_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_IN_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_CM_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_ELEVATION_DEG_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_AZIMUTH_DEG_FIELD_NUMBER: _ClassVar[int]
    speed_mph: float
    speed_kmh: float
    spin_rpm: float
    break_clock_deg: float
    gyro_deg: float
    release_side_in: float
    release_side_cm: float
    release_height_in: float
    release_height_cm: float
    extension_in: float
    extension_cm: float
    launch_elevation_deg: float
    launch_azimuth_deg: float
    def __init__(self, speed_mph: _Optional[float] = ..., speed_kmh: _Optional[float] = ..., spin_rpm: _Optional[float] = ..., break_clock_deg: _Optional[float] = ..., gyro_deg: _Optional[float] = ..., release_side_in: _Optional[float] = ..., release_side_cm: _Optional[float] = ..., release_height_in: _Optional[float] = ..., release_height_cm: _Optional[float] = ..., extension_in: _Optional[float] = ..., extension_cm: _Optional[float] = ..., launch_elevation_deg: _Optional[float] = ..., launch_azimuth_deg: _Optional[float] = ...) -> None: ...

class MeanError(_message.Message):
    __slots__ = ("speed_mph", "speed_kmh", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_in", "release_side_cm", "release_height_in", "release_height_cm", "extension_in", "extension_cm", "launch_elevation_deg", "launch_azimuth_deg", "drag_coefficient", "lift_scale", "seam_force")
    SPEED_MPH_FIELD_NUMBER: _ClassVar[int]
    SPEED_KMH_FIELD_NUMBER: _ClassVar[int]
    SPIN_RPM_FIELD_NUMBER: _ClassVar[int]
    BREAK_CLOCK_DEG_FIELD_NUMBER: _ClassVar[int]
    GYRO_DEG_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_IN_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_CM_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_IN_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_CM_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_IN_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_CM_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_ELEVATION_DEG_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_AZIMUTH_DEG_FIELD_NUMBER: _ClassVar[int]
    DRAG_COEFFICIENT_FIELD_NUMBER: _ClassVar[int]
    LIFT_SCALE_FIELD_NUMBER: _ClassVar[int]
    SEAM_FORCE_FIELD_NUMBER: _ClassVar[int]
    speed_mph: float
    speed_kmh: float
    spin_rpm: float
    break_clock_deg: float
    gyro_deg: float
    release_side_in: float
    release_side_cm: float
    release_height_in: float
    release_height_cm: float
    extension_in: float
    extension_cm: float
    launch_elevation_deg: float
    launch_azimuth_deg: float
    drag_coefficient: float
    lift_scale: float
    seam_force: float
    def __init__(self, speed_mph: _Optional[float] = ..., speed_kmh: _Optional[float] = ..., spin_rpm: _Optional[float] = ..., break_clock_deg: _Optional[float] = ..., gyro_deg: _Optional[float] = ..., release_side_in: _Optional[float] = ..., release_side_cm: _Optional[float] = ..., release_height_in: _Optional[float] = ..., release_height_cm: _Optional[float] = ..., extension_in: _Optional[float] = ..., extension_cm: _Optional[float] = ..., launch_elevation_deg: _Optional[float] = ..., launch_azimuth_deg: _Optional[float] = ..., drag_coefficient: _Optional[float] = ..., lift_scale: _Optional[float] = ..., seam_force: _Optional[float] = ...) -> None: ...

class Pitch(_message.Message):
    __slots__ = ("role", "reference", "speed_mph", "speed_kmh", "spin_rpm", "break_clock_deg", "break_clock", "efficiency_percent", "gyro_deg", "gyro_sense", "release_side_ft", "release_side_m", "release_height_ft", "release_height_m", "extension_ft", "extension_m", "target_side_ft", "target_side_m", "target_height_ft", "target_height_m", "launch_elevation_deg", "launch_azimuth_deg", "seam_force", "seam_force_clock_deg", "seam_force_clock", "drag_coefficient", "lift_scale", "spread", "correlation", "mean_error", "spread_error", "name")
    class CorrelationEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: float
        def __init__(self, key: _Optional[str] = ..., value: _Optional[float] = ...) -> None: ...
    ROLE_FIELD_NUMBER: _ClassVar[int]
    REFERENCE_FIELD_NUMBER: _ClassVar[int]
    SPEED_MPH_FIELD_NUMBER: _ClassVar[int]
    SPEED_KMH_FIELD_NUMBER: _ClassVar[int]
    SPIN_RPM_FIELD_NUMBER: _ClassVar[int]
    BREAK_CLOCK_DEG_FIELD_NUMBER: _ClassVar[int]
    BREAK_CLOCK_FIELD_NUMBER: _ClassVar[int]
    EFFICIENCY_PERCENT_FIELD_NUMBER: _ClassVar[int]
    GYRO_DEG_FIELD_NUMBER: _ClassVar[int]
    GYRO_SENSE_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_FT_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_M_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_FT_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_M_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_FT_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_M_FIELD_NUMBER: _ClassVar[int]
    TARGET_SIDE_FT_FIELD_NUMBER: _ClassVar[int]
    TARGET_SIDE_M_FIELD_NUMBER: _ClassVar[int]
    TARGET_HEIGHT_FT_FIELD_NUMBER: _ClassVar[int]
    TARGET_HEIGHT_M_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_ELEVATION_DEG_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_AZIMUTH_DEG_FIELD_NUMBER: _ClassVar[int]
    SEAM_FORCE_FIELD_NUMBER: _ClassVar[int]
    SEAM_FORCE_CLOCK_DEG_FIELD_NUMBER: _ClassVar[int]
    SEAM_FORCE_CLOCK_FIELD_NUMBER: _ClassVar[int]
    DRAG_COEFFICIENT_FIELD_NUMBER: _ClassVar[int]
    LIFT_SCALE_FIELD_NUMBER: _ClassVar[int]
    SPREAD_FIELD_NUMBER: _ClassVar[int]
    CORRELATION_FIELD_NUMBER: _ClassVar[int]
    MEAN_ERROR_FIELD_NUMBER: _ClassVar[int]
    SPREAD_ERROR_FIELD_NUMBER: _ClassVar[int]
    NAME_FIELD_NUMBER: _ClassVar[int]
    role: str
    reference: bool
    speed_mph: float
    speed_kmh: float
    spin_rpm: float
    break_clock_deg: float
    break_clock: str
    efficiency_percent: float
    gyro_deg: float
    gyro_sense: str
    release_side_ft: float
    release_side_m: float
    release_height_ft: float
    release_height_m: float
    extension_ft: float
    extension_m: float
    target_side_ft: float
    target_side_m: float
    target_height_ft: float
    target_height_m: float
    launch_elevation_deg: float
    launch_azimuth_deg: float
    seam_force: float
    seam_force_clock_deg: float
    seam_force_clock: str
    drag_coefficient: float
    lift_scale: float
    spread: Spread
    correlation: _containers.ScalarMap[str, float]
    mean_error: MeanError
    spread_error: SpreadError
    name: str
    def __init__(self, role: _Optional[str] = ..., reference: _Optional[bool] = ..., speed_mph: _Optional[float] = ..., speed_kmh: _Optional[float] = ..., spin_rpm: _Optional[float] = ..., break_clock_deg: _Optional[float] = ..., break_clock: _Optional[str] = ..., efficiency_percent: _Optional[float] = ..., gyro_deg: _Optional[float] = ..., gyro_sense: _Optional[str] = ..., release_side_ft: _Optional[float] = ..., release_side_m: _Optional[float] = ..., release_height_ft: _Optional[float] = ..., release_height_m: _Optional[float] = ..., extension_ft: _Optional[float] = ..., extension_m: _Optional[float] = ..., target_side_ft: _Optional[float] = ..., target_side_m: _Optional[float] = ..., target_height_ft: _Optional[float] = ..., target_height_m: _Optional[float] = ..., launch_elevation_deg: _Optional[float] = ..., launch_azimuth_deg: _Optional[float] = ..., seam_force: _Optional[float] = ..., seam_force_clock_deg: _Optional[float] = ..., seam_force_clock: _Optional[str] = ..., drag_coefficient: _Optional[float] = ..., lift_scale: _Optional[float] = ..., spread: _Optional[_Union[Spread, _Mapping]] = ..., correlation: _Optional[_Mapping[str, float]] = ..., mean_error: _Optional[_Union[MeanError, _Mapping]] = ..., spread_error: _Optional[_Union[SpreadError, _Mapping]] = ..., name: _Optional[str] = ...) -> None: ...

class Hitter(_message.Message):
    __slots__ = ("bats", "level", "familiarity", "commit_before_arrival_ms", "model", "eye_side_ft", "eye_side_m", "eye_height_ft", "eye_height_m", "eye_depth_ft", "eye_depth_m", "expects", "balls", "strikes", "zone_bottom_ft", "zone_bottom_m", "zone_top_ft", "zone_top_m", "latency_ms", "view_start_ms", "noise_window_ms", "motion_lag_ms", "direction_noise_deg", "speed_noise_percent", "same_side_noise", "speed_scatter_percent", "line_efficiency", "bend_efficiency", "memory_error", "line_scatter_deg", "waiting_share", "spin_share", "wanted_height_in", "wanted_height_cm", "wanted_inside_in", "wanted_inside_cm", "zone_blur_in", "zone_blur_cm", "swing_slope", "first_pitch_patience", "bias_no_strikes", "bias_one_strike", "bias_two_strikes", "bias_per_ball", "correction_share", "bat_gain", "usual_height_in", "usual_height_cm", "motor_height_in", "motor_height_cm", "motor_growth", "motor_time_ms", "timing_window_ms", "lapse_percent", "file", "taught", "taught_factor")
    class ExpectsEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: float
        def __init__(self, key: _Optional[str] = ..., value: _Optional[float] = ...) -> None: ...
    class TaughtEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: float
        def __init__(self, key: _Optional[str] = ..., value: _Optional[float] = ...) -> None: ...
    BATS_FIELD_NUMBER: _ClassVar[int]
    LEVEL_FIELD_NUMBER: _ClassVar[int]
    FAMILIARITY_FIELD_NUMBER: _ClassVar[int]
    COMMIT_BEFORE_ARRIVAL_MS_FIELD_NUMBER: _ClassVar[int]
    MODEL_FIELD_NUMBER: _ClassVar[int]
    EYE_SIDE_FT_FIELD_NUMBER: _ClassVar[int]
    EYE_SIDE_M_FIELD_NUMBER: _ClassVar[int]
    EYE_HEIGHT_FT_FIELD_NUMBER: _ClassVar[int]
    EYE_HEIGHT_M_FIELD_NUMBER: _ClassVar[int]
    EYE_DEPTH_FT_FIELD_NUMBER: _ClassVar[int]
    EYE_DEPTH_M_FIELD_NUMBER: _ClassVar[int]
    EXPECTS_FIELD_NUMBER: _ClassVar[int]
    BALLS_FIELD_NUMBER: _ClassVar[int]
    STRIKES_FIELD_NUMBER: _ClassVar[int]
    ZONE_BOTTOM_FT_FIELD_NUMBER: _ClassVar[int]
    ZONE_BOTTOM_M_FIELD_NUMBER: _ClassVar[int]
    ZONE_TOP_FT_FIELD_NUMBER: _ClassVar[int]
    ZONE_TOP_M_FIELD_NUMBER: _ClassVar[int]
    LATENCY_MS_FIELD_NUMBER: _ClassVar[int]
    VIEW_START_MS_FIELD_NUMBER: _ClassVar[int]
    NOISE_WINDOW_MS_FIELD_NUMBER: _ClassVar[int]
    MOTION_LAG_MS_FIELD_NUMBER: _ClassVar[int]
    DIRECTION_NOISE_DEG_FIELD_NUMBER: _ClassVar[int]
    SPEED_NOISE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    SAME_SIDE_NOISE_FIELD_NUMBER: _ClassVar[int]
    SPEED_SCATTER_PERCENT_FIELD_NUMBER: _ClassVar[int]
    LINE_EFFICIENCY_FIELD_NUMBER: _ClassVar[int]
    BEND_EFFICIENCY_FIELD_NUMBER: _ClassVar[int]
    MEMORY_ERROR_FIELD_NUMBER: _ClassVar[int]
    LINE_SCATTER_DEG_FIELD_NUMBER: _ClassVar[int]
    WAITING_SHARE_FIELD_NUMBER: _ClassVar[int]
    SPIN_SHARE_FIELD_NUMBER: _ClassVar[int]
    WANTED_HEIGHT_IN_FIELD_NUMBER: _ClassVar[int]
    WANTED_HEIGHT_CM_FIELD_NUMBER: _ClassVar[int]
    WANTED_INSIDE_IN_FIELD_NUMBER: _ClassVar[int]
    WANTED_INSIDE_CM_FIELD_NUMBER: _ClassVar[int]
    ZONE_BLUR_IN_FIELD_NUMBER: _ClassVar[int]
    ZONE_BLUR_CM_FIELD_NUMBER: _ClassVar[int]
    SWING_SLOPE_FIELD_NUMBER: _ClassVar[int]
    FIRST_PITCH_PATIENCE_FIELD_NUMBER: _ClassVar[int]
    BIAS_NO_STRIKES_FIELD_NUMBER: _ClassVar[int]
    BIAS_ONE_STRIKE_FIELD_NUMBER: _ClassVar[int]
    BIAS_TWO_STRIKES_FIELD_NUMBER: _ClassVar[int]
    BIAS_PER_BALL_FIELD_NUMBER: _ClassVar[int]
    CORRECTION_SHARE_FIELD_NUMBER: _ClassVar[int]
    BAT_GAIN_FIELD_NUMBER: _ClassVar[int]
    USUAL_HEIGHT_IN_FIELD_NUMBER: _ClassVar[int]
    USUAL_HEIGHT_CM_FIELD_NUMBER: _ClassVar[int]
    MOTOR_HEIGHT_IN_FIELD_NUMBER: _ClassVar[int]
    MOTOR_HEIGHT_CM_FIELD_NUMBER: _ClassVar[int]
    MOTOR_GROWTH_FIELD_NUMBER: _ClassVar[int]
    MOTOR_TIME_MS_FIELD_NUMBER: _ClassVar[int]
    TIMING_WINDOW_MS_FIELD_NUMBER: _ClassVar[int]
    LAPSE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    FILE_FIELD_NUMBER: _ClassVar[int]
    TAUGHT_FIELD_NUMBER: _ClassVar[int]
    TAUGHT_FACTOR_FIELD_NUMBER: _ClassVar[int]
    bats: str
    level: str
    familiarity: float
    commit_before_arrival_ms: float
    model: str
    eye_side_ft: float
    eye_side_m: float
    eye_height_ft: float
    eye_height_m: float
    eye_depth_ft: float
    eye_depth_m: float
    expects: _containers.ScalarMap[str, float]
    balls: int
    strikes: int
    zone_bottom_ft: float
    zone_bottom_m: float
    zone_top_ft: float
    zone_top_m: float
    latency_ms: float
    view_start_ms: float
    noise_window_ms: float
    motion_lag_ms: float
    direction_noise_deg: float
    speed_noise_percent: float
    same_side_noise: float
    speed_scatter_percent: float
    line_efficiency: float
    bend_efficiency: float
    memory_error: float
    line_scatter_deg: float
    waiting_share: float
    spin_share: float
    wanted_height_in: float
    wanted_height_cm: float
    wanted_inside_in: float
    wanted_inside_cm: float
    zone_blur_in: float
    zone_blur_cm: float
    swing_slope: float
    first_pitch_patience: float
    bias_no_strikes: float
    bias_one_strike: float
    bias_two_strikes: float
    bias_per_ball: float
    correction_share: float
    bat_gain: float
    usual_height_in: float
    usual_height_cm: float
    motor_height_in: float
    motor_height_cm: float
    motor_growth: float
    motor_time_ms: float
    timing_window_ms: float
    lapse_percent: float
    file: str
    taught: _containers.ScalarMap[str, float]
    taught_factor: _containers.RepeatedScalarFieldContainer[float]
    def __init__(self, bats: _Optional[str] = ..., level: _Optional[str] = ..., familiarity: _Optional[float] = ..., commit_before_arrival_ms: _Optional[float] = ..., model: _Optional[str] = ..., eye_side_ft: _Optional[float] = ..., eye_side_m: _Optional[float] = ..., eye_height_ft: _Optional[float] = ..., eye_height_m: _Optional[float] = ..., eye_depth_ft: _Optional[float] = ..., eye_depth_m: _Optional[float] = ..., expects: _Optional[_Mapping[str, float]] = ..., balls: _Optional[int] = ..., strikes: _Optional[int] = ..., zone_bottom_ft: _Optional[float] = ..., zone_bottom_m: _Optional[float] = ..., zone_top_ft: _Optional[float] = ..., zone_top_m: _Optional[float] = ..., latency_ms: _Optional[float] = ..., view_start_ms: _Optional[float] = ..., noise_window_ms: _Optional[float] = ..., motion_lag_ms: _Optional[float] = ..., direction_noise_deg: _Optional[float] = ..., speed_noise_percent: _Optional[float] = ..., same_side_noise: _Optional[float] = ..., speed_scatter_percent: _Optional[float] = ..., line_efficiency: _Optional[float] = ..., bend_efficiency: _Optional[float] = ..., memory_error: _Optional[float] = ..., line_scatter_deg: _Optional[float] = ..., waiting_share: _Optional[float] = ..., spin_share: _Optional[float] = ..., wanted_height_in: _Optional[float] = ..., wanted_height_cm: _Optional[float] = ..., wanted_inside_in: _Optional[float] = ..., wanted_inside_cm: _Optional[float] = ..., zone_blur_in: _Optional[float] = ..., zone_blur_cm: _Optional[float] = ..., swing_slope: _Optional[float] = ..., first_pitch_patience: _Optional[float] = ..., bias_no_strikes: _Optional[float] = ..., bias_one_strike: _Optional[float] = ..., bias_two_strikes: _Optional[float] = ..., bias_per_ball: _Optional[float] = ..., correction_share: _Optional[float] = ..., bat_gain: _Optional[float] = ..., usual_height_in: _Optional[float] = ..., usual_height_cm: _Optional[float] = ..., motor_height_in: _Optional[float] = ..., motor_height_cm: _Optional[float] = ..., motor_growth: _Optional[float] = ..., motor_time_ms: _Optional[float] = ..., timing_window_ms: _Optional[float] = ..., lapse_percent: _Optional[float] = ..., file: _Optional[str] = ..., taught: _Optional[_Mapping[str, float]] = ..., taught_factor: _Optional[_Iterable[float]] = ...) -> None: ...

class Scenario(_message.Message):
    __slots__ = ("title", "sport", "seed", "throws", "air", "field", "ball", "pitcher", "pitch", "pitch_order", "hitter")
    class PitchEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: Pitch
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[Pitch, _Mapping]] = ...) -> None: ...
    TITLE_FIELD_NUMBER: _ClassVar[int]
    SPORT_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    AIR_FIELD_NUMBER: _ClassVar[int]
    FIELD_FIELD_NUMBER: _ClassVar[int]
    BALL_FIELD_NUMBER: _ClassVar[int]
    PITCHER_FIELD_NUMBER: _ClassVar[int]
    PITCH_FIELD_NUMBER: _ClassVar[int]
    PITCH_ORDER_FIELD_NUMBER: _ClassVar[int]
    HITTER_FIELD_NUMBER: _ClassVar[int]
    title: str
    sport: str
    seed: int
    throws: int
    air: Air
    field: Field
    ball: Ball
    pitcher: Pitcher
    pitch: _containers.MessageMap[str, Pitch]
    pitch_order: _containers.RepeatedScalarFieldContainer[str]
    hitter: Hitter
    def __init__(self, title: _Optional[str] = ..., sport: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., air: _Optional[_Union[Air, _Mapping]] = ..., field: _Optional[_Union[Field, _Mapping]] = ..., ball: _Optional[_Union[Ball, _Mapping]] = ..., pitcher: _Optional[_Union[Pitcher, _Mapping]] = ..., pitch: _Optional[_Mapping[str, Pitch]] = ..., pitch_order: _Optional[_Iterable[str]] = ..., hitter: _Optional[_Union[Hitter, _Mapping]] = ...) -> None: ...
