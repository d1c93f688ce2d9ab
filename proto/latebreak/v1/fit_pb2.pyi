from latebreak.v1 import answers_pb2 as _answers_pb2
from latebreak.v1 import goal_pb2 as _goal_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from collections.abc import Iterable as _Iterable, Mapping as _Mapping
from typing import ClassVar as _ClassVar, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class Flagged(_message.Message):
    __slots__ = ("file", "line", "pitch", "key", "reason", "left_out")
    FILE_FIELD_NUMBER: _ClassVar[int]
    LINE_FIELD_NUMBER: _ClassVar[int]
    PITCH_FIELD_NUMBER: _ClassVar[int]
    KEY_FIELD_NUMBER: _ClassVar[int]
    REASON_FIELD_NUMBER: _ClassVar[int]
    LEFT_OUT_FIELD_NUMBER: _ClassVar[int]
    file: str
    line: int
    pitch: str
    key: str
    reason: str
    left_out: bool
    def __init__(self, file: _Optional[str] = ..., line: _Optional[int] = ..., pitch: _Optional[str] = ..., key: _Optional[str] = ..., reason: _Optional[str] = ..., left_out: _Optional[bool] = ...) -> None: ...

class SessionCount(_message.Message):
    __slots__ = ("session", "used")
    SESSION_FIELD_NUMBER: _ClassVar[int]
    USED_FIELD_NUMBER: _ClassVar[int]
    session: str
    used: int
    def __init__(self, session: _Optional[str] = ..., used: _Optional[int] = ...) -> None: ...

class SpreadEstimates(_message.Message):
    __slots__ = ("speed_mph", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_in", "release_height_in", "extension_in", "launch_elevation_deg", "launch_azimuth_deg")
    SPEED_MPH_FIELD_NUMBER: _ClassVar[int]
    SPIN_RPM_FIELD_NUMBER: _ClassVar[int]
    BREAK_CLOCK_DEG_FIELD_NUMBER: _ClassVar[int]
    GYRO_DEG_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_IN_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_IN_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_IN_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_ELEVATION_DEG_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_AZIMUTH_DEG_FIELD_NUMBER: _ClassVar[int]
    speed_mph: _answers_pb2.Estimate
    spin_rpm: _answers_pb2.Estimate
    break_clock_deg: _answers_pb2.Estimate
    gyro_deg: _answers_pb2.Estimate
    release_side_in: _answers_pb2.Estimate
    release_height_in: _answers_pb2.Estimate
    extension_in: _answers_pb2.Estimate
    launch_elevation_deg: _answers_pb2.Estimate
    launch_azimuth_deg: _answers_pb2.Estimate
    def __init__(self, speed_mph: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., spin_rpm: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., break_clock_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., gyro_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., release_side_in: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., release_height_in: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., extension_in: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., launch_elevation_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., launch_azimuth_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ...) -> None: ...

class PitchFit(_message.Message):
    __slots__ = ("role", "count", "used", "sessions", "flagged", "speed_mph", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_ft", "release_height_ft", "extension_ft", "launch_elevation_deg", "launch_azimuth_deg", "efficiency_percent", "target_side_ft", "target_height_ft", "drag_coefficient", "lift_scale", "seam_force", "seam_force_clock_deg", "spread", "origin", "origin_order", "learned")
    class OriginEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: str
        def __init__(self, key: _Optional[str] = ..., value: _Optional[str] = ...) -> None: ...
    ROLE_FIELD_NUMBER: _ClassVar[int]
    COUNT_FIELD_NUMBER: _ClassVar[int]
    USED_FIELD_NUMBER: _ClassVar[int]
    SESSIONS_FIELD_NUMBER: _ClassVar[int]
    FLAGGED_FIELD_NUMBER: _ClassVar[int]
    SPEED_MPH_FIELD_NUMBER: _ClassVar[int]
    SPIN_RPM_FIELD_NUMBER: _ClassVar[int]
    BREAK_CLOCK_DEG_FIELD_NUMBER: _ClassVar[int]
    GYRO_DEG_FIELD_NUMBER: _ClassVar[int]
    RELEASE_SIDE_FT_FIELD_NUMBER: _ClassVar[int]
    RELEASE_HEIGHT_FT_FIELD_NUMBER: _ClassVar[int]
    EXTENSION_FT_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_ELEVATION_DEG_FIELD_NUMBER: _ClassVar[int]
    LAUNCH_AZIMUTH_DEG_FIELD_NUMBER: _ClassVar[int]
    EFFICIENCY_PERCENT_FIELD_NUMBER: _ClassVar[int]
    TARGET_SIDE_FT_FIELD_NUMBER: _ClassVar[int]
    TARGET_HEIGHT_FT_FIELD_NUMBER: _ClassVar[int]
    DRAG_COEFFICIENT_FIELD_NUMBER: _ClassVar[int]
    LIFT_SCALE_FIELD_NUMBER: _ClassVar[int]
    SEAM_FORCE_FIELD_NUMBER: _ClassVar[int]
    SEAM_FORCE_CLOCK_DEG_FIELD_NUMBER: _ClassVar[int]
    SPREAD_FIELD_NUMBER: _ClassVar[int]
    ORIGIN_FIELD_NUMBER: _ClassVar[int]
    ORIGIN_ORDER_FIELD_NUMBER: _ClassVar[int]
    LEARNED_FIELD_NUMBER: _ClassVar[int]
    role: str
    count: int
    used: int
    sessions: _containers.RepeatedCompositeFieldContainer[SessionCount]
    flagged: _containers.RepeatedCompositeFieldContainer[Flagged]
    speed_mph: _answers_pb2.Estimate
    spin_rpm: _answers_pb2.Estimate
    break_clock_deg: _answers_pb2.Estimate
    gyro_deg: _answers_pb2.Estimate
    release_side_ft: _answers_pb2.Estimate
    release_height_ft: _answers_pb2.Estimate
    extension_ft: _answers_pb2.Estimate
    launch_elevation_deg: _answers_pb2.Estimate
    launch_azimuth_deg: _answers_pb2.Estimate
    efficiency_percent: _answers_pb2.Estimate
    target_side_ft: _answers_pb2.Estimate
    target_height_ft: _answers_pb2.Estimate
    drag_coefficient: _answers_pb2.Estimate
    lift_scale: _answers_pb2.Estimate
    seam_force: _answers_pb2.Estimate
    seam_force_clock_deg: _answers_pb2.Estimate
    spread: SpreadEstimates
    origin: _containers.ScalarMap[str, str]
    origin_order: _containers.RepeatedScalarFieldContainer[str]
    learned: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, role: _Optional[str] = ..., count: _Optional[int] = ..., used: _Optional[int] = ..., sessions: _Optional[_Iterable[_Union[SessionCount, _Mapping]]] = ..., flagged: _Optional[_Iterable[_Union[Flagged, _Mapping]]] = ..., speed_mph: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., spin_rpm: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., break_clock_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., gyro_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., release_side_ft: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., release_height_ft: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., extension_ft: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., launch_elevation_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., launch_azimuth_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., efficiency_percent: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., target_side_ft: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., target_height_ft: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., drag_coefficient: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., lift_scale: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., seam_force: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., seam_force_clock_deg: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., spread: _Optional[_Union[SpreadEstimates, _Mapping]] = ..., origin: _Optional[_Mapping[str, str]] = ..., origin_order: _Optional[_Iterable[str]] = ..., learned: _Optional[_Iterable[str]] = ...) -> None: ...

class Change(_message.Message):
    __slots__ = ("value", "low", "high", "sampling_error", "chance_percent")
    VALUE_FIELD_NUMBER: _ClassVar[int]
    LOW_FIELD_NUMBER: _ClassVar[int]
    HIGH_FIELD_NUMBER: _ClassVar[int]
    SAMPLING_ERROR_FIELD_NUMBER: _ClassVar[int]
    CHANCE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    value: float
    low: float
    high: float
    sampling_error: float
    chance_percent: float
    def __init__(self, value: _Optional[float] = ..., low: _Optional[float] = ..., high: _Optional[float] = ..., sampling_error: _Optional[float] = ..., chance_percent: _Optional[float] = ...) -> None: ...

class Changes(_message.Message):
    __slots__ = ("by_key", "by_key_order")
    class ByKeyEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: Change
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[Change, _Mapping]] = ...) -> None: ...
    BY_KEY_FIELD_NUMBER: _ClassVar[int]
    BY_KEY_ORDER_FIELD_NUMBER: _ClassVar[int]
    by_key: _containers.MessageMap[str, Change]
    by_key_order: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, by_key: _Optional[_Mapping[str, Change]] = ..., by_key_order: _Optional[_Iterable[str]] = ...) -> None: ...

class Sentences(_message.Message):
    __slots__ = ("items",)
    ITEMS_FIELD_NUMBER: _ClassVar[int]
    items: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, items: _Optional[_Iterable[str]] = ...) -> None: ...

class RowCounts(_message.Message):
    __slots__ = ("read", "used", "left_out")
    READ_FIELD_NUMBER: _ClassVar[int]
    USED_FIELD_NUMBER: _ClassVar[int]
    LEFT_OUT_FIELD_NUMBER: _ClassVar[int]
    read: int
    used: int
    left_out: int
    def __init__(self, read: _Optional[int] = ..., used: _Optional[int] = ..., left_out: _Optional[int] = ...) -> None: ...

class FitResult(_message.Message):
    __slots__ = ("pitches", "pitches_order", "rows", "unreadable", "scenario", "changes", "changes_order", "moved", "moved_order", "goal")
    class PitchesEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: PitchFit
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[PitchFit, _Mapping]] = ...) -> None: ...
    class ChangesEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: Changes
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[Changes, _Mapping]] = ...) -> None: ...
    class MovedEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: Sentences
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[Sentences, _Mapping]] = ...) -> None: ...
    PITCHES_FIELD_NUMBER: _ClassVar[int]
    PITCHES_ORDER_FIELD_NUMBER: _ClassVar[int]
    ROWS_FIELD_NUMBER: _ClassVar[int]
    UNREADABLE_FIELD_NUMBER: _ClassVar[int]
    SCENARIO_FIELD_NUMBER: _ClassVar[int]
    CHANGES_FIELD_NUMBER: _ClassVar[int]
    CHANGES_ORDER_FIELD_NUMBER: _ClassVar[int]
    MOVED_FIELD_NUMBER: _ClassVar[int]
    MOVED_ORDER_FIELD_NUMBER: _ClassVar[int]
    GOAL_FIELD_NUMBER: _ClassVar[int]
    pitches: _containers.MessageMap[str, PitchFit]
    pitches_order: _containers.RepeatedScalarFieldContainer[str]
    rows: RowCounts
    unreadable: _containers.RepeatedCompositeFieldContainer[Flagged]
    scenario: str
    changes: _containers.MessageMap[str, Changes]
    changes_order: _containers.RepeatedScalarFieldContainer[str]
    moved: _containers.MessageMap[str, Sentences]
    moved_order: _containers.RepeatedScalarFieldContainer[str]
    goal: _goal_pb2.GoalProgress
    def __init__(self, pitches: _Optional[_Mapping[str, PitchFit]] = ..., pitches_order: _Optional[_Iterable[str]] = ..., rows: _Optional[_Union[RowCounts, _Mapping]] = ..., unreadable: _Optional[_Iterable[_Union[Flagged, _Mapping]]] = ..., scenario: _Optional[str] = ..., changes: _Optional[_Mapping[str, Changes]] = ..., changes_order: _Optional[_Iterable[str]] = ..., moved: _Optional[_Mapping[str, Sentences]] = ..., moved_order: _Optional[_Iterable[str]] = ..., goal: _Optional[_Union[_goal_pb2.GoalProgress, _Mapping]] = ...) -> None: ...
