from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from collections.abc import Iterable as _Iterable, Mapping as _Mapping
from typing import ClassVar as _ClassVar, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class OverThrows(_message.Message):
    __slots__ = ("mean", "sd", "low", "high", "sampling_error")
    MEAN_FIELD_NUMBER: _ClassVar[int]
    SD_FIELD_NUMBER: _ClassVar[int]
    LOW_FIELD_NUMBER: _ClassVar[int]
    HIGH_FIELD_NUMBER: _ClassVar[int]
    SAMPLING_ERROR_FIELD_NUMBER: _ClassVar[int]
    mean: float
    sd: float
    low: float
    high: float
    sampling_error: float
    def __init__(self, mean: _Optional[float] = ..., sd: _Optional[float] = ..., low: _Optional[float] = ..., high: _Optional[float] = ..., sampling_error: _Optional[float] = ...) -> None: ...

class Estimate(_message.Message):
    __slots__ = ("value", "low", "high", "sampling_error")
    VALUE_FIELD_NUMBER: _ClassVar[int]
    LOW_FIELD_NUMBER: _ClassVar[int]
    HIGH_FIELD_NUMBER: _ClassVar[int]
    SAMPLING_ERROR_FIELD_NUMBER: _ClassVar[int]
    value: float
    low: float
    high: float
    sampling_error: float
    def __init__(self, value: _Optional[float] = ..., low: _Optional[float] = ..., high: _Optional[float] = ..., sampling_error: _Optional[float] = ...) -> None: ...

class Outcomes(_message.Message):
    __slots__ = ("arrived", "arrived_steep", "bounced", "stalled", "flew_off")
    ARRIVED_FIELD_NUMBER: _ClassVar[int]
    ARRIVED_STEEP_FIELD_NUMBER: _ClassVar[int]
    BOUNCED_FIELD_NUMBER: _ClassVar[int]
    STALLED_FIELD_NUMBER: _ClassVar[int]
    FLEW_OFF_FIELD_NUMBER: _ClassVar[int]
    arrived: int
    arrived_steep: int
    bounced: int
    stalled: int
    flew_off: int
    def __init__(self, arrived: _Optional[int] = ..., arrived_steep: _Optional[int] = ..., bounced: _Optional[int] = ..., stalled: _Optional[int] = ..., flew_off: _Optional[int] = ...) -> None: ...

class PitchArrivals(_message.Message):
    __slots__ = ("flight_time_s", "arrival_speed_mph", "arrival_side_ft", "arrival_height_ft", "induced_vertical_break_in", "induced_side_break_in", "vertical_approach_deg", "side_approach_deg", "launch_elevation_deg", "launch_azimuth_deg", "outcomes", "movement")
    FLIGHT_TIME_S_FIELD_NUMBER: _ClassVar[int]
    ARRIVAL_SPEED_MPH_FIELD_NUMBER: _ClassVar[int]
    ARRIVAL_SIDE_FT_FIELD_NUMBER: _ClassVar[int]
    ARRIVAL_HEIGHT_FT_FIELD_NUMBER: _ClassVar[int]
    INDUCED_VERTICAL_BREAK_IN_FIELD_NUMBER: _ClassVar[int]
    INDUCED_SIDE_BREAK_IN_FIELD_NUMBER: _ClassVar[int]
    VERTICAL_APPROACH_DEG_FIELD_NUMBER: _ClassVar[int]
    SIDE_APPROACH_DEG_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_ELEVATION_DEG_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_AZIMUTH_DEG_FIELD_NUMBER: _ClassVar[int]
    OUTCOMES_FIELD_NUMBER: _ClassVar[int]
    MOVEMENT_FIELD_NUMBER: _ClassVar[int]
    flight_time_s: OverThrows
    arrival_speed_mph: OverThrows
    arrival_side_ft: OverThrows
    arrival_height_ft: OverThrows
    induced_vertical_break_in: OverThrows
    induced_side_break_in: OverThrows
    vertical_approach_deg: OverThrows
    side_approach_deg: OverThrows
    launch_elevation_deg: OverThrows
    launch_azimuth_deg: OverThrows
    outcomes: Outcomes
    movement: Causes
    def __init__(self, flight_time_s: _Optional[_Union[OverThrows, _Mapping]] = ..., arrival_speed_mph: _Optional[_Union[OverThrows, _Mapping]] = ..., arrival_side_ft: _Optional[_Union[OverThrows, _Mapping]] = ..., arrival_height_ft: _Optional[_Union[OverThrows, _Mapping]] = ..., induced_vertical_break_in: _Optional[_Union[OverThrows, _Mapping]] = ..., induced_side_break_in: _Optional[_Union[OverThrows, _Mapping]] = ..., vertical_approach_deg: _Optional[_Union[OverThrows, _Mapping]] = ..., side_approach_deg: _Optional[_Union[OverThrows, _Mapping]] = ..., launch_elevation_deg: _Optional[_Union[OverThrows, _Mapping]] = ..., launch_azimuth_deg: _Optional[_Union[OverThrows, _Mapping]] = ..., outcomes: _Optional[_Union[Outcomes, _Mapping]] = ..., movement: _Optional[_Union[Causes, _Mapping]] = ...) -> None: ...

class Movement(_message.Message):
    __slots__ = ("vertical_in", "side_in")
    VERTICAL_IN_FIELD_NUMBER: _ClassVar[int]
    SIDE_IN_FIELD_NUMBER: _ClassVar[int]
    vertical_in: float
    side_in: float
    def __init__(self, vertical_in: _Optional[float] = ..., side_in: _Optional[float] = ...) -> None: ...

class Causes(_message.Message):
    __slots__ = ("gravity", "drag", "spin", "seams")
    GRAVITY_FIELD_NUMBER: _ClassVar[int]
    DRAG_FIELD_NUMBER: _ClassVar[int]
    SPIN_FIELD_NUMBER: _ClassVar[int]
    SEAMS_FIELD_NUMBER: _ClassVar[int]
    gravity: Movement
    drag: Movement
    spin: Movement
    seams: Movement
    def __init__(self, gravity: _Optional[_Union[Movement, _Mapping]] = ..., drag: _Optional[_Union[Movement, _Mapping]] = ..., spin: _Optional[_Union[Movement, _Mapping]] = ..., seams: _Optional[_Union[Movement, _Mapping]] = ...) -> None: ...

class PitchEstimates(_message.Message):
    __slots__ = ("swing_percent", "zone_percent", "chase_percent", "called_strike_percent", "swinging_strike_percent", "ball_percent", "strike_without_contact_percent", "miss_chance_percent", "clean_contact_percent", "belief_at_commit_percent", "arrival_surprise_vertical_in", "arrival_surprise_side_in", "arrival_surprise_rms_in", "timing_surprise_ms", "tunnel_exit_ft", "tunnel_exit_after_release_ms", "tunnel_exit_before_arrival_ms", "tunnel_exit_reached_percent", "recognition_ft", "recognition_after_release_ms", "recognition_before_arrival_ms", "recognition_reached_percent", "break_onset_ft", "break_onset_after_release_ms", "break_onset_before_arrival_ms", "break_onset_reached_percent", "path_gap_at_100ms_arcmin", "path_gap_at_100ms_in", "path_gap_at_commit_arcmin", "path_gap_at_commit_in", "late_break_in", "late_break_share_percent", "blind_break_in", "mix_strike_without_contact_percent")
    SWING_PERCENT_FIELD_NUMBER: _ClassVar[int]
    ZONE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    CHASE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    CALLED_STRIKE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    SWINGING_STRIKE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    BALL_PERCENT_FIELD_NUMBER: _ClassVar[int]
    STRIKE_WITHOUT_CONTACT_PERCENT_FIELD_NUMBER: _ClassVar[int]
    MISS_CHANCE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    CLEAN_CONTACT_PERCENT_FIELD_NUMBER: _ClassVar[int]
    BELIEF_AT_COMMIT_PERCENT_FIELD_NUMBER: _ClassVar[int]
    ARRIVAL_SURPRISE_VERTICAL_IN_FIELD_NUMBER: _ClassVar[int]
    ARRIVAL_SURPRISE_SIDE_IN_FIELD_NUMBER: _ClassVar[int]
    ARRIVAL_SURPRISE_RMS_IN_FIELD_NUMBER: _ClassVar[int]
    TIMING_SURPRISE_MS_FIELD_NUMBER: _ClassVar[int]
    TUNNEL_EXIT_FT_FIELD_NUMBER: _ClassVar[int]
    TUNNEL_EXIT_AFTER_RELEASE_MS_FIELD_NUMBER: _ClassVar[int]
    TUNNEL_EXIT_BEFORE_ARRIVAL_MS_FIELD_NUMBER: _ClassVar[int]
    TUNNEL_EXIT_REACHED_PERCENT_FIELD_NUMBER: _ClassVar[int]
    RECOGNITION_FT_FIELD_NUMBER: _ClassVar[int]
    RECOGNITION_AFTER_RELEASE_MS_FIELD_NUMBER: _ClassVar[int]
    RECOGNITION_BEFORE_ARRIVAL_MS_FIELD_NUMBER: _ClassVar[int]
    RECOGNITION_REACHED_PERCENT_FIELD_NUMBER: _ClassVar[int]
    BREAK_ONSET_FT_FIELD_NUMBER: _ClassVar[int]
    BREAK_ONSET_AFTER_RELEASE_MS_FIELD_NUMBER: _ClassVar[int]
    BREAK_ONSET_BEFORE_ARRIVAL_MS_FIELD_NUMBER: _ClassVar[int]
    BREAK_ONSET_REACHED_PERCENT_FIELD_NUMBER: _ClassVar[int]
    PATH_GAP_AT_100MS_ARCMIN_FIELD_NUMBER: _ClassVar[int]
    PATH_GAP_AT_100MS_IN_FIELD_NUMBER: _ClassVar[int]
    PATH_GAP_AT_COMMIT_ARCMIN_FIELD_NUMBER: _ClassVar[int]
    PATH_GAP_AT_COMMIT_IN_FIELD_NUMBER: _ClassVar[int]
    LATE_BREAK_IN_FIELD_NUMBER: _ClassVar[int]
    LATE_BREAK_SHARE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    BLIND_BREAK_IN_FIELD_NUMBER: _ClassVar[int]
    MIX_STRIKE_WITHOUT_CONTACT_PERCENT_FIELD_NUMBER: _ClassVar[int]
    swing_percent: Estimate
    zone_percent: Estimate
    chase_percent: Estimate
    called_strike_percent: Estimate
    swinging_strike_percent: Estimate
    ball_percent: Estimate
    strike_without_contact_percent: Estimate
    miss_chance_percent: Estimate
    clean_contact_percent: Estimate
    belief_at_commit_percent: Estimate
    arrival_surprise_vertical_in: Estimate
    arrival_surprise_side_in: Estimate
    arrival_surprise_rms_in: Estimate
    timing_surprise_ms: Estimate
    tunnel_exit_ft: Estimate
    tunnel_exit_after_release_ms: Estimate
    tunnel_exit_before_arrival_ms: Estimate
    tunnel_exit_reached_percent: Estimate
    recognition_ft: Estimate
    recognition_after_release_ms: Estimate
    recognition_before_arrival_ms: Estimate
    recognition_reached_percent: Estimate
    break_onset_ft: Estimate
    break_onset_after_release_ms: Estimate
    break_onset_before_arrival_ms: Estimate
    break_onset_reached_percent: Estimate
    path_gap_at_100ms_arcmin: Estimate
    path_gap_at_100ms_in: Estimate
    path_gap_at_commit_arcmin: Estimate
    path_gap_at_commit_in: Estimate
    late_break_in: Estimate
    late_break_share_percent: Estimate
    blind_break_in: Estimate
    mix_strike_without_contact_percent: Estimate
    def __init__(self, swing_percent: _Optional[_Union[Estimate, _Mapping]] = ..., zone_percent: _Optional[_Union[Estimate, _Mapping]] = ..., chase_percent: _Optional[_Union[Estimate, _Mapping]] = ..., called_strike_percent: _Optional[_Union[Estimate, _Mapping]] = ..., swinging_strike_percent: _Optional[_Union[Estimate, _Mapping]] = ..., ball_percent: _Optional[_Union[Estimate, _Mapping]] = ..., strike_without_contact_percent: _Optional[_Union[Estimate, _Mapping]] = ..., miss_chance_percent: _Optional[_Union[Estimate, _Mapping]] = ..., clean_contact_percent: _Optional[_Union[Estimate, _Mapping]] = ..., belief_at_commit_percent: _Optional[_Union[Estimate, _Mapping]] = ..., arrival_surprise_vertical_in: _Optional[_Union[Estimate, _Mapping]] = ..., arrival_surprise_side_in: _Optional[_Union[Estimate, _Mapping]] = ..., arrival_surprise_rms_in: _Optional[_Union[Estimate, _Mapping]] = ..., timing_surprise_ms: _Optional[_Union[Estimate, _Mapping]] = ..., tunnel_exit_ft: _Optional[_Union[Estimate, _Mapping]] = ..., tunnel_exit_after_release_ms: _Optional[_Union[Estimate, _Mapping]] = ..., tunnel_exit_before_arrival_ms: _Optional[_Union[Estimate, _Mapping]] = ..., tunnel_exit_reached_percent: _Optional[_Union[Estimate, _Mapping]] = ..., recognition_ft: _Optional[_Union[Estimate, _Mapping]] = ..., recognition_after_release_ms: _Optional[_Union[Estimate, _Mapping]] = ..., recognition_before_arrival_ms: _Optional[_Union[Estimate, _Mapping]] = ..., recognition_reached_percent: _Optional[_Union[Estimate, _Mapping]] = ..., break_onset_ft: _Optional[_Union[Estimate, _Mapping]] = ..., break_onset_after_release_ms: _Optional[_Union[Estimate, _Mapping]] = ..., break_onset_before_arrival_ms: _Optional[_Union[Estimate, _Mapping]] = ..., break_onset_reached_percent: _Optional[_Union[Estimate, _Mapping]] = ..., path_gap_at_100ms_arcmin: _Optional[_Union[Estimate, _Mapping]] = ..., path_gap_at_100ms_in: _Optional[_Union[Estimate, _Mapping]] = ..., path_gap_at_commit_arcmin: _Optional[_Union[Estimate, _Mapping]] = ..., path_gap_at_commit_in: _Optional[_Union[Estimate, _Mapping]] = ..., late_break_in: _Optional[_Union[Estimate, _Mapping]] = ..., late_break_share_percent: _Optional[_Union[Estimate, _Mapping]] = ..., blind_break_in: _Optional[_Union[Estimate, _Mapping]] = ..., mix_strike_without_contact_percent: _Optional[_Union[Estimate, _Mapping]] = ...) -> None: ...

class PitchesOfMix(_message.Message):
    __slots__ = ("by_key", "by_key_order")
    class ByKeyEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: PitchEstimates
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[PitchEstimates, _Mapping]] = ...) -> None: ...
    BY_KEY_FIELD_NUMBER: _ClassVar[int]
    BY_KEY_ORDER_FIELD_NUMBER: _ClassVar[int]
    by_key: _containers.MessageMap[str, PitchEstimates]
    by_key_order: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, by_key: _Optional[_Mapping[str, PitchEstimates]] = ..., by_key_order: _Optional[_Iterable[str]] = ...) -> None: ...

class ByPitch(_message.Message):
    __slots__ = ("by_key", "by_key_order")
    class ByKeyEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: Estimate
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[Estimate, _Mapping]] = ...) -> None: ...
    BY_KEY_FIELD_NUMBER: _ClassVar[int]
    BY_KEY_ORDER_FIELD_NUMBER: _ClassVar[int]
    by_key: _containers.MessageMap[str, Estimate]
    by_key_order: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, by_key: _Optional[_Mapping[str, Estimate]] = ..., by_key_order: _Optional[_Iterable[str]] = ...) -> None: ...

class BeforeHitter(_message.Message):
    __slots__ = ("bats", "familiarity", "pitches", "better")
    BATS_FIELD_NUMBER: _ClassVar[int]
    FAMILIARITY_FIELD_NUMBER: _ClassVar[int]
    PITCHES_FIELD_NUMBER: _ClassVar[int]
    BETTER_FIELD_NUMBER: _ClassVar[int]
    bats: str
    familiarity: float
    pitches: ByPitch
    better: Better
    def __init__(self, bats: _Optional[str] = ..., familiarity: _Optional[float] = ..., pitches: _Optional[_Union[ByPitch, _Mapping]] = ..., better: _Optional[_Union[Better, _Mapping]] = ...) -> None: ...

class Better(_message.Message):
    __slots__ = ("pitch", "measure", "chance_percent", "too_few_draws", "difference")
    PITCH_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    CHANCE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    TOO_FEW_DRAWS_FIELD_NUMBER: _ClassVar[int]
    DIFFERENCE_FIELD_NUMBER: _ClassVar[int]
    pitch: str
    measure: str
    chance_percent: float
    too_few_draws: bool
    difference: Estimate
    def __init__(self, pitch: _Optional[str] = ..., measure: _Optional[str] = ..., chance_percent: _Optional[float] = ..., too_few_draws: _Optional[bool] = ..., difference: _Optional[_Union[Estimate, _Mapping]] = ...) -> None: ...

class Target(_message.Message):
    __slots__ = ("target_side_ft", "target_height_ft", "estimate")
    TARGET_SIDE_FT_FIELD_NUMBER: _ClassVar[int]
    TARGET_HEIGHT_FT_FIELD_NUMBER: _ClassVar[int]
    ESTIMATE_FIELD_NUMBER: _ClassVar[int]
    target_side_ft: float
    target_height_ft: float
    estimate: Estimate
    def __init__(self, target_side_ft: _Optional[float] = ..., target_height_ft: _Optional[float] = ..., estimate: _Optional[_Union[Estimate, _Mapping]] = ...) -> None: ...

class Place(_message.Message):
    __slots__ = ("target_side_ft", "target_height_ft", "value")
    TARGET_SIDE_FT_FIELD_NUMBER: _ClassVar[int]
    TARGET_HEIGHT_FT_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    target_side_ft: float
    target_height_ft: float
    value: float
    def __init__(self, target_side_ft: _Optional[float] = ..., target_height_ft: _Optional[float] = ..., value: _Optional[float] = ...) -> None: ...

class Mix(_message.Message):
    __slots__ = ("shares_percent", "shares_percent_order", "estimate", "pitches")
    class SharesPercentEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: float
        def __init__(self, key: _Optional[str] = ..., value: _Optional[float] = ...) -> None: ...
    SHARES_PERCENT_FIELD_NUMBER: _ClassVar[int]
    SHARES_PERCENT_ORDER_FIELD_NUMBER: _ClassVar[int]
    ESTIMATE_FIELD_NUMBER: _ClassVar[int]
    PITCHES_FIELD_NUMBER: _ClassVar[int]
    shares_percent: _containers.ScalarMap[str, float]
    shares_percent_order: _containers.RepeatedScalarFieldContainer[str]
    estimate: Estimate
    pitches: ByPitch
    def __init__(self, shares_percent: _Optional[_Mapping[str, float]] = ..., shares_percent_order: _Optional[_Iterable[str]] = ..., estimate: _Optional[_Union[Estimate, _Mapping]] = ..., pitches: _Optional[_Union[ByPitch, _Mapping]] = ...) -> None: ...

class Curve(_message.Message):
    __slots__ = ("share_percent", "value", "low_percent", "high_percent")
    SHARE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    LOW_PERCENT_FIELD_NUMBER: _ClassVar[int]
    HIGH_PERCENT_FIELD_NUMBER: _ClassVar[int]
    share_percent: _containers.RepeatedScalarFieldContainer[float]
    value: _containers.RepeatedScalarFieldContainer[float]
    low_percent: float
    high_percent: float
    def __init__(self, share_percent: _Optional[_Iterable[float]] = ..., value: _Optional[_Iterable[float]] = ..., low_percent: _Optional[float] = ..., high_percent: _Optional[float] = ...) -> None: ...

class Move(_message.Message):
    __slots__ = ("step", "measures", "note")
    STEP_FIELD_NUMBER: _ClassVar[int]
    MEASURES_FIELD_NUMBER: _ClassVar[int]
    NOTE_FIELD_NUMBER: _ClassVar[int]
    step: float
    measures: PitchEstimates
    note: str
    def __init__(self, step: _Optional[float] = ..., measures: _Optional[_Union[PitchEstimates, _Mapping]] = ..., note: _Optional[str] = ...) -> None: ...

class Leak(_message.Message):
    __slots__ = ("called", "value", "good_value", "gain", "share_percent", "measure")
    CALLED_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    GOOD_VALUE_FIELD_NUMBER: _ClassVar[int]
    GAIN_FIELD_NUMBER: _ClassVar[int]
    SHARE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    called: str
    value: float
    good_value: float
    gain: Estimate
    share_percent: float
    measure: str
    def __init__(self, called: _Optional[str] = ..., value: _Optional[float] = ..., good_value: _Optional[float] = ..., gain: _Optional[_Union[Estimate, _Mapping]] = ..., share_percent: _Optional[float] = ..., measure: _Optional[str] = ...) -> None: ...

class Goal(_message.Message):
    __slots__ = ("kind", "number", "pitch", "value")
    KIND_FIELD_NUMBER: _ClassVar[int]
    NUMBER_FIELD_NUMBER: _ClassVar[int]
    PITCH_FIELD_NUMBER: _ClassVar[int]
    VALUE_FIELD_NUMBER: _ClassVar[int]
    kind: str
    number: float
    pitch: str
    value: float
    def __init__(self, kind: _Optional[str] = ..., number: _Optional[float] = ..., pitch: _Optional[str] = ..., value: _Optional[float] = ...) -> None: ...

class Road(_message.Message):
    __slots__ = ("change", "new_value", "reachable", "reason", "measure_there", "lowest", "highest", "trouble", "arrives_percent")
    CHANGE_FIELD_NUMBER: _ClassVar[int]
    NEW_VALUE_FIELD_NUMBER: _ClassVar[int]
    REACHABLE_FIELD_NUMBER: _ClassVar[int]
    REASON_FIELD_NUMBER: _ClassVar[int]
    MEASURE_THERE_FIELD_NUMBER: _ClassVar[int]
    LOWEST_FIELD_NUMBER: _ClassVar[int]
    HIGHEST_FIELD_NUMBER: _ClassVar[int]
    TROUBLE_FIELD_NUMBER: _ClassVar[int]
    ARRIVES_PERCENT_FIELD_NUMBER: _ClassVar[int]
    change: Estimate
    new_value: float
    reachable: bool
    reason: str
    measure_there: float
    lowest: float
    highest: float
    trouble: str
    arrives_percent: float
    def __init__(self, change: _Optional[_Union[Estimate, _Mapping]] = ..., new_value: _Optional[float] = ..., reachable: _Optional[bool] = ..., reason: _Optional[str] = ..., measure_there: _Optional[float] = ..., lowest: _Optional[float] = ..., highest: _Optional[float] = ..., trouble: _Optional[str] = ..., arrives_percent: _Optional[float] = ...) -> None: ...

class Frontier(_message.Message):
    __slots__ = ("speed_mph", "spin_rpm")
    SPEED_MPH_FIELD_NUMBER: _ClassVar[int]
    SPIN_RPM_FIELD_NUMBER: _ClassVar[int]
    speed_mph: float
    spin_rpm: float
    def __init__(self, speed_mph: _Optional[float] = ..., spin_rpm: _Optional[float] = ...) -> None: ...
