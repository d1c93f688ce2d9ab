from latebreak.v1 import answers_pb2 as _answers_pb2
from latebreak.v1 import scenario_pb2 as _scenario_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from collections.abc import Iterable as _Iterable, Mapping as _Mapping
from typing import ClassVar as _ClassVar, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class KeptGoal(_message.Message):
    __slots__ = ("title", "pitch", "measure", "date", "seed", "throws", "version", "pitcher", "goal", "now", "roads", "roads_order")
    class RoadsEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: KeptRoad
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[KeptRoad, _Mapping]] = ...) -> None: ...
    TITLE_FIELD_NUMBER: _ClassVar[int]
    PITCH_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    DATE_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    PITCHER_FIELD_NUMBER: _ClassVar[int]
    GOAL_FIELD_NUMBER: _ClassVar[int]
    NOW_FIELD_NUMBER: _ClassVar[int]
    ROADS_FIELD_NUMBER: _ClassVar[int]
    ROADS_ORDER_FIELD_NUMBER: _ClassVar[int]
    title: str
    pitch: str
    measure: str
    date: str
    seed: int
    throws: int
    version: str
    pitcher: _scenario_pb2.Pitcher
    goal: _answers_pb2.Goal
    now: _answers_pb2.Estimate
    roads: _containers.MessageMap[str, KeptRoad]
    roads_order: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, title: _Optional[str] = ..., pitch: _Optional[str] = ..., measure: _Optional[str] = ..., date: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., version: _Optional[str] = ..., pitcher: _Optional[_Union[_scenario_pb2.Pitcher, _Mapping]] = ..., goal: _Optional[_Union[_answers_pb2.Goal, _Mapping]] = ..., now: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., roads: _Optional[_Mapping[str, KeptRoad]] = ..., roads_order: _Optional[_Iterable[str]] = ...) -> None: ...

class KeptRoad(_message.Message):
    __slots__ = ("now", "wanted")
    NOW_FIELD_NUMBER: _ClassVar[int]
    WANTED_FIELD_NUMBER: _ClassVar[int]
    now: float
    wanted: float
    def __init__(self, now: _Optional[float] = ..., wanted: _Optional[float] = ...) -> None: ...

class Progress(_message.Message):
    __slots__ = ("estimate", "share_percent", "chance_percent")
    ESTIMATE_FIELD_NUMBER: _ClassVar[int]
    SHARE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    CHANCE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    estimate: _answers_pb2.Estimate
    share_percent: _answers_pb2.Estimate
    chance_percent: float
    def __init__(self, estimate: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., share_percent: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., chance_percent: _Optional[float] = ...) -> None: ...

class SessionProgress(_message.Message):
    __slots__ = ("session", "used", "measure", "levers", "levers_order")
    class LeversEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: Progress
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[Progress, _Mapping]] = ...) -> None: ...
    SESSION_FIELD_NUMBER: _ClassVar[int]
    USED_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    LEVERS_FIELD_NUMBER: _ClassVar[int]
    LEVERS_ORDER_FIELD_NUMBER: _ClassVar[int]
    session: str
    used: int
    measure: Progress
    levers: _containers.MessageMap[str, Progress]
    levers_order: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, session: _Optional[str] = ..., used: _Optional[int] = ..., measure: _Optional[_Union[Progress, _Mapping]] = ..., levers: _Optional[_Mapping[str, Progress]] = ..., levers_order: _Optional[_Iterable[str]] = ...) -> None: ...

class GoalProgress(_message.Message):
    __slots__ = ("kept", "beside", "sessions", "said")
    KEPT_FIELD_NUMBER: _ClassVar[int]
    BESIDE_FIELD_NUMBER: _ClassVar[int]
    SESSIONS_FIELD_NUMBER: _ClassVar[int]
    SAID_FIELD_NUMBER: _ClassVar[int]
    kept: KeptGoal
    beside: str
    sessions: _containers.RepeatedCompositeFieldContainer[SessionProgress]
    said: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, kept: _Optional[_Union[KeptGoal, _Mapping]] = ..., beside: _Optional[str] = ..., sessions: _Optional[_Iterable[_Union[SessionProgress, _Mapping]]] = ..., said: _Optional[_Iterable[str]] = ...) -> None: ...
