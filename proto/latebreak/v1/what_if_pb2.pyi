from google.protobuf import any_pb2 as _any_pb2
from latebreak.v1 import answers_pb2 as _answers_pb2
from latebreak.v1 import fit_pb2 as _fit_pb2
from latebreak.v1 import goal_pb2 as _goal_pb2
from latebreak.v1 import scenario_pb2 as _scenario_pb2
from google.protobuf.internal import containers as _containers
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from collections.abc import Iterable as _Iterable, Mapping as _Mapping
from typing import ClassVar as _ClassVar, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor

class FlyRequest(_message.Message):
    __slots__ = ("scenario", "seed", "throws")
    SCENARIO_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    scenario: _scenario_pb2.Scenario
    seed: int
    throws: int
    def __init__(self, scenario: _Optional[_Union[_scenario_pb2.Scenario, _Mapping]] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ...) -> None: ...

class FlyResult(_message.Message):
    __slots__ = ("pitches", "pitches_order")
    class PitchesEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.PitchArrivals
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.PitchArrivals, _Mapping]] = ...) -> None: ...
    PITCHES_FIELD_NUMBER: _ClassVar[int]
    PITCHES_ORDER_FIELD_NUMBER: _ClassVar[int]
    pitches: _containers.MessageMap[str, _answers_pb2.PitchArrivals]
    pitches_order: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, pitches: _Optional[_Mapping[str, _answers_pb2.PitchArrivals]] = ..., pitches_order: _Optional[_Iterable[str]] = ...) -> None: ...

class FlyResponse(_message.Message):
    __slots__ = ("command", "title", "seed", "throws", "version", "warnings", "cautions", "result")
    COMMAND_FIELD_NUMBER: _ClassVar[int]
    TITLE_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    CAUTIONS_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    command: str
    title: str
    seed: int
    throws: int
    version: str
    warnings: _containers.RepeatedScalarFieldContainer[str]
    cautions: _containers.RepeatedScalarFieldContainer[str]
    result: FlyResult
    def __init__(self, command: _Optional[str] = ..., title: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., version: _Optional[str] = ..., warnings: _Optional[_Iterable[str]] = ..., cautions: _Optional[_Iterable[str]] = ..., result: _Optional[_Union[FlyResult, _Mapping]] = ...) -> None: ...

class CompareRequest(_message.Message):
    __slots__ = ("scenario", "pitches", "no_interval", "seed", "throws", "by", "count", "counts", "hitters")
    SCENARIO_FIELD_NUMBER: _ClassVar[int]
    PITCHES_FIELD_NUMBER: _ClassVar[int]
    NO_INTERVAL_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    BY_FIELD_NUMBER: _ClassVar[int]
    COUNT_FIELD_NUMBER: _ClassVar[int]
    COUNTS_FIELD_NUMBER: _ClassVar[int]
    HITTERS_FIELD_NUMBER: _ClassVar[int]
    scenario: _scenario_pb2.Scenario
    pitches: _containers.RepeatedScalarFieldContainer[str]
    no_interval: bool
    seed: int
    throws: int
    by: str
    count: str
    counts: bool
    hitters: bool
    def __init__(self, scenario: _Optional[_Union[_scenario_pb2.Scenario, _Mapping]] = ..., pitches: _Optional[_Iterable[str]] = ..., no_interval: _Optional[bool] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., by: _Optional[str] = ..., count: _Optional[str] = ..., counts: _Optional[bool] = ..., hitters: _Optional[bool] = ...) -> None: ...

class CompareResult(_message.Message):
    __slots__ = ("fastball", "pitches", "pitches_order", "better", "why", "judged_among", "others", "others_order", "mixes", "mixes_order", "counts", "counts_order", "hitters")
    class PitchesEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.PitchEstimates
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.PitchEstimates, _Mapping]] = ...) -> None: ...
    class OthersEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.PitchEstimates
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.PitchEstimates, _Mapping]] = ...) -> None: ...
    class MixesEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.PitchesOfMix
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.PitchesOfMix, _Mapping]] = ...) -> None: ...
    class CountsEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.ByPitch
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.ByPitch, _Mapping]] = ...) -> None: ...
    FASTBALL_FIELD_NUMBER: _ClassVar[int]
    PITCHES_FIELD_NUMBER: _ClassVar[int]
    PITCHES_ORDER_FIELD_NUMBER: _ClassVar[int]
    BETTER_FIELD_NUMBER: _ClassVar[int]
    WHY_FIELD_NUMBER: _ClassVar[int]
    JUDGED_AMONG_FIELD_NUMBER: _ClassVar[int]
    OTHERS_FIELD_NUMBER: _ClassVar[int]
    OTHERS_ORDER_FIELD_NUMBER: _ClassVar[int]
    MIXES_FIELD_NUMBER: _ClassVar[int]
    MIXES_ORDER_FIELD_NUMBER: _ClassVar[int]
    COUNTS_FIELD_NUMBER: _ClassVar[int]
    COUNTS_ORDER_FIELD_NUMBER: _ClassVar[int]
    HITTERS_FIELD_NUMBER: _ClassVar[int]
    fastball: str
    pitches: _containers.MessageMap[str, _answers_pb2.PitchEstimates]
    pitches_order: _containers.RepeatedScalarFieldContainer[str]
    better: _answers_pb2.Better
    why: _containers.RepeatedScalarFieldContainer[str]
    judged_among: str
    others: _containers.MessageMap[str, _answers_pb2.PitchEstimates]
    others_order: _containers.RepeatedScalarFieldContainer[str]
    mixes: _containers.MessageMap[str, _answers_pb2.PitchesOfMix]
    mixes_order: _containers.RepeatedScalarFieldContainer[str]
    counts: _containers.MessageMap[str, _answers_pb2.ByPitch]
    counts_order: _containers.RepeatedScalarFieldContainer[str]
    hitters: _containers.RepeatedCompositeFieldContainer[_answers_pb2.BeforeHitter]
    def __init__(self, fastball: _Optional[str] = ..., pitches: _Optional[_Mapping[str, _answers_pb2.PitchEstimates]] = ..., pitches_order: _Optional[_Iterable[str]] = ..., better: _Optional[_Union[_answers_pb2.Better, _Mapping]] = ..., why: _Optional[_Iterable[str]] = ..., judged_among: _Optional[str] = ..., others: _Optional[_Mapping[str, _answers_pb2.PitchEstimates]] = ..., others_order: _Optional[_Iterable[str]] = ..., mixes: _Optional[_Mapping[str, _answers_pb2.PitchesOfMix]] = ..., mixes_order: _Optional[_Iterable[str]] = ..., counts: _Optional[_Mapping[str, _answers_pb2.ByPitch]] = ..., counts_order: _Optional[_Iterable[str]] = ..., hitters: _Optional[_Iterable[_Union[_answers_pb2.BeforeHitter, _Mapping]]] = ...) -> None: ...

class CompareResponse(_message.Message):
    __slots__ = ("command", "title", "seed", "throws", "version", "warnings", "cautions", "result")
    COMMAND_FIELD_NUMBER: _ClassVar[int]
    TITLE_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    CAUTIONS_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    command: str
    title: str
    seed: int
    throws: int
    version: str
    warnings: _containers.RepeatedScalarFieldContainer[str]
    cautions: _containers.RepeatedScalarFieldContainer[str]
    result: CompareResult
    def __init__(self, command: _Optional[str] = ..., title: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., version: _Optional[str] = ..., warnings: _Optional[_Iterable[str]] = ..., cautions: _Optional[_Iterable[str]] = ..., result: _Optional[_Union[CompareResult, _Mapping]] = ...) -> None: ...

class AimRequest(_message.Message):
    __slots__ = ("scenario", "pitch", "measure", "no_interval", "seed", "throws")
    SCENARIO_FIELD_NUMBER: _ClassVar[int]
    PITCH_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    NO_INTERVAL_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    scenario: _scenario_pb2.Scenario
    pitch: str
    measure: str
    no_interval: bool
    seed: int
    throws: int
    def __init__(self, scenario: _Optional[_Union[_scenario_pb2.Scenario, _Mapping]] = ..., pitch: _Optional[str] = ..., measure: _Optional[str] = ..., no_interval: _Optional[bool] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ...) -> None: ...

class AimResult(_message.Message):
    __slots__ = ("pitch", "fastball", "measure", "now", "best", "gain", "chance_percent", "away", "away_order", "grid", "why", "judged_among")
    class AwayEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.Estimate
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ...) -> None: ...
    PITCH_FIELD_NUMBER: _ClassVar[int]
    FASTBALL_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    NOW_FIELD_NUMBER: _ClassVar[int]
    BEST_FIELD_NUMBER: _ClassVar[int]
    GAIN_FIELD_NUMBER: _ClassVar[int]
    CHANCE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    AWAY_FIELD_NUMBER: _ClassVar[int]
    AWAY_ORDER_FIELD_NUMBER: _ClassVar[int]
    GRID_FIELD_NUMBER: _ClassVar[int]
    WHY_FIELD_NUMBER: _ClassVar[int]
    JUDGED_AMONG_FIELD_NUMBER: _ClassVar[int]
    pitch: str
    fastball: str
    measure: str
    now: _answers_pb2.Target
    best: _answers_pb2.Target
    gain: _answers_pb2.Estimate
    chance_percent: float
    away: _containers.MessageMap[str, _answers_pb2.Estimate]
    away_order: _containers.RepeatedScalarFieldContainer[str]
    grid: _containers.RepeatedCompositeFieldContainer[_answers_pb2.Place]
    why: _containers.RepeatedScalarFieldContainer[str]
    judged_among: str
    def __init__(self, pitch: _Optional[str] = ..., fastball: _Optional[str] = ..., measure: _Optional[str] = ..., now: _Optional[_Union[_answers_pb2.Target, _Mapping]] = ..., best: _Optional[_Union[_answers_pb2.Target, _Mapping]] = ..., gain: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., chance_percent: _Optional[float] = ..., away: _Optional[_Mapping[str, _answers_pb2.Estimate]] = ..., away_order: _Optional[_Iterable[str]] = ..., grid: _Optional[_Iterable[_Union[_answers_pb2.Place, _Mapping]]] = ..., why: _Optional[_Iterable[str]] = ..., judged_among: _Optional[str] = ...) -> None: ...

class AimResponse(_message.Message):
    __slots__ = ("command", "title", "seed", "throws", "version", "warnings", "cautions", "result")
    COMMAND_FIELD_NUMBER: _ClassVar[int]
    TITLE_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    CAUTIONS_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    command: str
    title: str
    seed: int
    throws: int
    version: str
    warnings: _containers.RepeatedScalarFieldContainer[str]
    cautions: _containers.RepeatedScalarFieldContainer[str]
    result: AimResult
    def __init__(self, command: _Optional[str] = ..., title: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., version: _Optional[str] = ..., warnings: _Optional[_Iterable[str]] = ..., cautions: _Optional[_Iterable[str]] = ..., result: _Optional[_Union[AimResult, _Mapping]] = ...) -> None: ...

class MixRequest(_message.Message):
    __slots__ = ("scenario", "no_interval", "seed", "throws")
    SCENARIO_FIELD_NUMBER: _ClassVar[int]
    NO_INTERVAL_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    scenario: _scenario_pb2.Scenario
    no_interval: bool
    seed: int
    throws: int
    def __init__(self, scenario: _Optional[_Union[_scenario_pb2.Scenario, _Mapping]] = ..., no_interval: _Optional[bool] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ...) -> None: ...

class MixResult(_message.Message):
    __slots__ = ("fastball", "measure", "today", "best", "gain", "chance_percent", "guessed_percent", "guessed_percent_order", "guessed_loss", "curves", "curves_order", "why")
    class GuessedPercentEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: float
        def __init__(self, key: _Optional[str] = ..., value: _Optional[float] = ...) -> None: ...
    class CurvesEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.Curve
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.Curve, _Mapping]] = ...) -> None: ...
    FASTBALL_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    TODAY_FIELD_NUMBER: _ClassVar[int]
    BEST_FIELD_NUMBER: _ClassVar[int]
    GAIN_FIELD_NUMBER: _ClassVar[int]
    CHANCE_PERCENT_FIELD_NUMBER: _ClassVar[int]
    GUESSED_PERCENT_FIELD_NUMBER: _ClassVar[int]
    GUESSED_PERCENT_ORDER_FIELD_NUMBER: _ClassVar[int]
    GUESSED_LOSS_FIELD_NUMBER: _ClassVar[int]
    CURVES_FIELD_NUMBER: _ClassVar[int]
    CURVES_ORDER_FIELD_NUMBER: _ClassVar[int]
    WHY_FIELD_NUMBER: _ClassVar[int]
    fastball: str
    measure: str
    today: _answers_pb2.Mix
    best: _answers_pb2.Mix
    gain: _answers_pb2.Estimate
    chance_percent: float
    guessed_percent: _containers.ScalarMap[str, float]
    guessed_percent_order: _containers.RepeatedScalarFieldContainer[str]
    guessed_loss: float
    curves: _containers.MessageMap[str, _answers_pb2.Curve]
    curves_order: _containers.RepeatedScalarFieldContainer[str]
    why: _containers.RepeatedScalarFieldContainer[str]
    def __init__(self, fastball: _Optional[str] = ..., measure: _Optional[str] = ..., today: _Optional[_Union[_answers_pb2.Mix, _Mapping]] = ..., best: _Optional[_Union[_answers_pb2.Mix, _Mapping]] = ..., gain: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., chance_percent: _Optional[float] = ..., guessed_percent: _Optional[_Mapping[str, float]] = ..., guessed_percent_order: _Optional[_Iterable[str]] = ..., guessed_loss: _Optional[float] = ..., curves: _Optional[_Mapping[str, _answers_pb2.Curve]] = ..., curves_order: _Optional[_Iterable[str]] = ..., why: _Optional[_Iterable[str]] = ...) -> None: ...

class MixResponse(_message.Message):
    __slots__ = ("command", "title", "seed", "throws", "version", "warnings", "cautions", "result")
    COMMAND_FIELD_NUMBER: _ClassVar[int]
    TITLE_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    CAUTIONS_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    command: str
    title: str
    seed: int
    throws: int
    version: str
    warnings: _containers.RepeatedScalarFieldContainer[str]
    cautions: _containers.RepeatedScalarFieldContainer[str]
    result: MixResult
    def __init__(self, command: _Optional[str] = ..., title: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., version: _Optional[str] = ..., warnings: _Optional[_Iterable[str]] = ..., cautions: _Optional[_Iterable[str]] = ..., result: _Optional[_Union[MixResult, _Mapping]] = ...) -> None: ...

class LeversRequest(_message.Message):
    __slots__ = ("scenario", "pitch", "no_interval", "seed", "throws", "measure")
    SCENARIO_FIELD_NUMBER: _ClassVar[int]
    PITCH_FIELD_NUMBER: _ClassVar[int]
    NO_INTERVAL_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    scenario: _scenario_pb2.Scenario
    pitch: str
    no_interval: bool
    seed: int
    throws: int
    measure: str
    def __init__(self, scenario: _Optional[_Union[_scenario_pb2.Scenario, _Mapping]] = ..., pitch: _Optional[str] = ..., no_interval: _Optional[bool] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., measure: _Optional[str] = ...) -> None: ...

class LeversResult(_message.Message):
    __slots__ = ("pitch", "fastball", "now", "levers", "levers_order", "leaks", "leaks_order", "why", "judged_among")
    class LeversEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.Move
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.Move, _Mapping]] = ...) -> None: ...
    class LeaksEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.Leak
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.Leak, _Mapping]] = ...) -> None: ...
    PITCH_FIELD_NUMBER: _ClassVar[int]
    FASTBALL_FIELD_NUMBER: _ClassVar[int]
    NOW_FIELD_NUMBER: _ClassVar[int]
    LEVERS_FIELD_NUMBER: _ClassVar[int]
    LEVERS_ORDER_FIELD_NUMBER: _ClassVar[int]
    LEAKS_FIELD_NUMBER: _ClassVar[int]
    LEAKS_ORDER_FIELD_NUMBER: _ClassVar[int]
    WHY_FIELD_NUMBER: _ClassVar[int]
    JUDGED_AMONG_FIELD_NUMBER: _ClassVar[int]
    pitch: str
    fastball: str
    now: _answers_pb2.PitchEstimates
    levers: _containers.MessageMap[str, _answers_pb2.Move]
    levers_order: _containers.RepeatedScalarFieldContainer[str]
    leaks: _containers.MessageMap[str, _answers_pb2.Leak]
    leaks_order: _containers.RepeatedScalarFieldContainer[str]
    why: _containers.RepeatedScalarFieldContainer[str]
    judged_among: str
    def __init__(self, pitch: _Optional[str] = ..., fastball: _Optional[str] = ..., now: _Optional[_Union[_answers_pb2.PitchEstimates, _Mapping]] = ..., levers: _Optional[_Mapping[str, _answers_pb2.Move]] = ..., levers_order: _Optional[_Iterable[str]] = ..., leaks: _Optional[_Mapping[str, _answers_pb2.Leak]] = ..., leaks_order: _Optional[_Iterable[str]] = ..., why: _Optional[_Iterable[str]] = ..., judged_among: _Optional[str] = ...) -> None: ...

class LeversResponse(_message.Message):
    __slots__ = ("command", "title", "seed", "throws", "version", "warnings", "cautions", "result")
    COMMAND_FIELD_NUMBER: _ClassVar[int]
    TITLE_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    CAUTIONS_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    command: str
    title: str
    seed: int
    throws: int
    version: str
    warnings: _containers.RepeatedScalarFieldContainer[str]
    cautions: _containers.RepeatedScalarFieldContainer[str]
    result: LeversResult
    def __init__(self, command: _Optional[str] = ..., title: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., version: _Optional[str] = ..., warnings: _Optional[_Iterable[str]] = ..., cautions: _Optional[_Iterable[str]] = ..., result: _Optional[_Union[LeversResult, _Mapping]] = ...) -> None: ...

class ReachRequest(_message.Message):
    __slots__ = ("scenario", "pitch", "measure", "goal", "by", "no_interval", "seed", "throws")
    SCENARIO_FIELD_NUMBER: _ClassVar[int]
    PITCH_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    GOAL_FIELD_NUMBER: _ClassVar[int]
    BY_FIELD_NUMBER: _ClassVar[int]
    NO_INTERVAL_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    scenario: _scenario_pb2.Scenario
    pitch: str
    measure: str
    goal: str
    by: _containers.RepeatedScalarFieldContainer[str]
    no_interval: bool
    seed: int
    throws: int
    def __init__(self, scenario: _Optional[_Union[_scenario_pb2.Scenario, _Mapping]] = ..., pitch: _Optional[str] = ..., measure: _Optional[str] = ..., goal: _Optional[str] = ..., by: _Optional[_Iterable[str]] = ..., no_interval: _Optional[bool] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ...) -> None: ...

class ReachResult(_message.Message):
    __slots__ = ("pitch", "fastball", "measure", "goal", "now", "levers", "levers_order", "frontier", "judged_among")
    class LeversEntry(_message.Message):
        __slots__ = ("key", "value")
        KEY_FIELD_NUMBER: _ClassVar[int]
        VALUE_FIELD_NUMBER: _ClassVar[int]
        key: str
        value: _answers_pb2.Road
        def __init__(self, key: _Optional[str] = ..., value: _Optional[_Union[_answers_pb2.Road, _Mapping]] = ...) -> None: ...
    PITCH_FIELD_NUMBER: _ClassVar[int]
    FASTBALL_FIELD_NUMBER: _ClassVar[int]
    MEASURE_FIELD_NUMBER: _ClassVar[int]
    GOAL_FIELD_NUMBER: _ClassVar[int]
    NOW_FIELD_NUMBER: _ClassVar[int]
    LEVERS_FIELD_NUMBER: _ClassVar[int]
    LEVERS_ORDER_FIELD_NUMBER: _ClassVar[int]
    FRONTIER_FIELD_NUMBER: _ClassVar[int]
    JUDGED_AMONG_FIELD_NUMBER: _ClassVar[int]
    pitch: str
    fastball: str
    measure: str
    goal: _answers_pb2.Goal
    now: _answers_pb2.Estimate
    levers: _containers.MessageMap[str, _answers_pb2.Road]
    levers_order: _containers.RepeatedScalarFieldContainer[str]
    frontier: _containers.RepeatedCompositeFieldContainer[_answers_pb2.Frontier]
    judged_among: str
    def __init__(self, pitch: _Optional[str] = ..., fastball: _Optional[str] = ..., measure: _Optional[str] = ..., goal: _Optional[_Union[_answers_pb2.Goal, _Mapping]] = ..., now: _Optional[_Union[_answers_pb2.Estimate, _Mapping]] = ..., levers: _Optional[_Mapping[str, _answers_pb2.Road]] = ..., levers_order: _Optional[_Iterable[str]] = ..., frontier: _Optional[_Iterable[_Union[_answers_pb2.Frontier, _Mapping]]] = ..., judged_among: _Optional[str] = ...) -> None: ...

class ReachResponse(_message.Message):
    __slots__ = ("command", "title", "seed", "throws", "version", "warnings", "cautions", "result")
    COMMAND_FIELD_NUMBER: _ClassVar[int]
    TITLE_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    CAUTIONS_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    command: str
    title: str
    seed: int
    throws: int
    version: str
    warnings: _containers.RepeatedScalarFieldContainer[str]
    cautions: _containers.RepeatedScalarFieldContainer[str]
    result: ReachResult
    def __init__(self, command: _Optional[str] = ..., title: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., version: _Optional[str] = ..., warnings: _Optional[_Iterable[str]] = ..., cautions: _Optional[_Iterable[str]] = ..., result: _Optional[_Union[ReachResult, _Mapping]] = ...) -> None: ...

class FitThrowsRequest(_message.Message):
    __slots__ = ("base", "csv", "later_csv", "columns", "fastball", "seed", "throws", "labels", "more_csv", "goal")
    BASE_FIELD_NUMBER: _ClassVar[int]
    CSV_FIELD_NUMBER: _ClassVar[int]
    LATER_CSV_FIELD_NUMBER: _ClassVar[int]
    COLUMNS_FIELD_NUMBER: _ClassVar[int]
    FASTBALL_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    LABELS_FIELD_NUMBER: _ClassVar[int]
    MORE_CSV_FIELD_NUMBER: _ClassVar[int]
    GOAL_FIELD_NUMBER: _ClassVar[int]
    base: _scenario_pb2.Scenario
    csv: bytes
    later_csv: bytes
    columns: bytes
    fastball: str
    seed: int
    throws: int
    labels: FitThrowsLabels
    more_csv: _containers.RepeatedScalarFieldContainer[bytes]
    goal: _goal_pb2.KeptGoal
    def __init__(self, base: _Optional[_Union[_scenario_pb2.Scenario, _Mapping]] = ..., csv: _Optional[bytes] = ..., later_csv: _Optional[bytes] = ..., columns: _Optional[bytes] = ..., fastball: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., labels: _Optional[_Union[FitThrowsLabels, _Mapping]] = ..., more_csv: _Optional[_Iterable[bytes]] = ..., goal: _Optional[_Union[_goal_pb2.KeptGoal, _Mapping]] = ...) -> None: ...

class FitThrowsLabels(_message.Message):
    __slots__ = ("base", "csv", "later_csv", "more_csv", "goal")
    BASE_FIELD_NUMBER: _ClassVar[int]
    CSV_FIELD_NUMBER: _ClassVar[int]
    LATER_CSV_FIELD_NUMBER: _ClassVar[int]
    MORE_CSV_FIELD_NUMBER: _ClassVar[int]
    GOAL_FIELD_NUMBER: _ClassVar[int]
    base: str
    csv: str
    later_csv: str
    more_csv: _containers.RepeatedScalarFieldContainer[str]
    goal: str
    def __init__(self, base: _Optional[str] = ..., csv: _Optional[str] = ..., later_csv: _Optional[str] = ..., more_csv: _Optional[_Iterable[str]] = ..., goal: _Optional[str] = ...) -> None: ...

class FitThrowsResponse(_message.Message):
    __slots__ = ("command", "title", "seed", "throws", "version", "warnings", "cautions", "result")
    COMMAND_FIELD_NUMBER: _ClassVar[int]
    TITLE_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    WARNINGS_FIELD_NUMBER: _ClassVar[int]
    CAUTIONS_FIELD_NUMBER: _ClassVar[int]
    RESULT_FIELD_NUMBER: _ClassVar[int]
    command: str
    title: str
    seed: int
    throws: int
    version: str
    warnings: _containers.RepeatedScalarFieldContainer[str]
    cautions: _containers.RepeatedScalarFieldContainer[str]
    result: _fit_pb2.FitResult
    def __init__(self, command: _Optional[str] = ..., title: _Optional[str] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ..., version: _Optional[str] = ..., warnings: _Optional[_Iterable[str]] = ..., cautions: _Optional[_Iterable[str]] = ..., result: _Optional[_Union[_fit_pb2.FitResult, _Mapping]] = ...) -> None: ...

class StreamFlightsRequest(_message.Message):
    __slots__ = ("scenario", "pitches", "points", "seed", "throws")
    SCENARIO_FIELD_NUMBER: _ClassVar[int]
    PITCHES_FIELD_NUMBER: _ClassVar[int]
    POINTS_FIELD_NUMBER: _ClassVar[int]
    SEED_FIELD_NUMBER: _ClassVar[int]
    THROWS_FIELD_NUMBER: _ClassVar[int]
    scenario: _scenario_pb2.Scenario
    pitches: _containers.RepeatedScalarFieldContainer[str]
    points: int
    seed: int
    throws: int
    def __init__(self, scenario: _Optional[_Union[_scenario_pb2.Scenario, _Mapping]] = ..., pitches: _Optional[_Iterable[str]] = ..., points: _Optional[int] = ..., seed: _Optional[int] = ..., throws: _Optional[int] = ...) -> None: ...

class Path(_message.Message):
    __slots__ = ("throw", "outcome", "time_s", "x_ft", "y_ft", "z_ft")
    THROW_FIELD_NUMBER: _ClassVar[int]
    OUTCOME_FIELD_NUMBER: _ClassVar[int]
    TIME_S_FIELD_NUMBER: _ClassVar[int]
    X_FT_FIELD_NUMBER: _ClassVar[int]
    Y_FT_FIELD_NUMBER: _ClassVar[int]
    Z_FT_FIELD_NUMBER: _ClassVar[int]
    throw: int
    outcome: str
    time_s: _containers.RepeatedScalarFieldContainer[float]
    x_ft: _containers.RepeatedScalarFieldContainer[float]
    y_ft: _containers.RepeatedScalarFieldContainer[float]
    z_ft: _containers.RepeatedScalarFieldContainer[float]
    def __init__(self, throw: _Optional[int] = ..., outcome: _Optional[str] = ..., time_s: _Optional[_Iterable[float]] = ..., x_ft: _Optional[_Iterable[float]] = ..., y_ft: _Optional[_Iterable[float]] = ..., z_ft: _Optional[_Iterable[float]] = ...) -> None: ...

class StreamFlightsResponse(_message.Message):
    __slots__ = ("pitch", "paths")
    PITCH_FIELD_NUMBER: _ClassVar[int]
    PATHS_FIELD_NUMBER: _ClassVar[int]
    pitch: str
    paths: _containers.RepeatedCompositeFieldContainer[Path]
    def __init__(self, pitch: _Optional[str] = ..., paths: _Optional[_Iterable[_Union[Path, _Mapping]]] = ...) -> None: ...

class ListModelsRequest(_message.Message):
    __slots__ = ()
    def __init__(self) -> None: ...

class Model(_message.Message):
    __slots__ = ("name", "kind", "distribution", "version", "problem")
    NAME_FIELD_NUMBER: _ClassVar[int]
    KIND_FIELD_NUMBER: _ClassVar[int]
    DISTRIBUTION_FIELD_NUMBER: _ClassVar[int]
    VERSION_FIELD_NUMBER: _ClassVar[int]
    PROBLEM_FIELD_NUMBER: _ClassVar[int]
    name: str
    kind: str
    distribution: str
    version: str
    problem: str
    def __init__(self, name: _Optional[str] = ..., kind: _Optional[str] = ..., distribution: _Optional[str] = ..., version: _Optional[str] = ..., problem: _Optional[str] = ...) -> None: ...

class ListModelsResponse(_message.Message):
    __slots__ = ("models",)
    MODELS_FIELD_NUMBER: _ClassVar[int]
    models: _containers.RepeatedCompositeFieldContainer[Model]
    def __init__(self, models: _Optional[_Iterable[_Union[Model, _Mapping]]] = ...) -> None: ...

class AskRequest(_message.Message):
    __slots__ = ("id", "fly", "compare", "levers", "reach", "aim", "mix", "fit_throws")
    ID_FIELD_NUMBER: _ClassVar[int]
    FLY_FIELD_NUMBER: _ClassVar[int]
    COMPARE_FIELD_NUMBER: _ClassVar[int]
    LEVERS_FIELD_NUMBER: _ClassVar[int]
    REACH_FIELD_NUMBER: _ClassVar[int]
    AIM_FIELD_NUMBER: _ClassVar[int]
    MIX_FIELD_NUMBER: _ClassVar[int]
    FIT_THROWS_FIELD_NUMBER: _ClassVar[int]
    id: str
    fly: FlyRequest
    compare: CompareRequest
    levers: LeversRequest
    reach: ReachRequest
    aim: AimRequest
    mix: MixRequest
    fit_throws: FitThrowsRequest
    def __init__(self, id: _Optional[str] = ..., fly: _Optional[_Union[FlyRequest, _Mapping]] = ..., compare: _Optional[_Union[CompareRequest, _Mapping]] = ..., levers: _Optional[_Union[LeversRequest, _Mapping]] = ..., reach: _Optional[_Union[ReachRequest, _Mapping]] = ..., aim: _Optional[_Union[AimRequest, _Mapping]] = ..., mix: _Optional[_Union[MixRequest, _Mapping]] = ..., fit_throws: _Optional[_Union[FitThrowsRequest, _Mapping]] = ...) -> None: ...

class Status(_message.Message):
    __slots__ = ("code", "message", "details")
    CODE_FIELD_NUMBER: _ClassVar[int]
    MESSAGE_FIELD_NUMBER: _ClassVar[int]
    DETAILS_FIELD_NUMBER: _ClassVar[int]
    code: int
    message: str
    details: _containers.RepeatedCompositeFieldContainer[_any_pb2.Any]
    def __init__(self, code: _Optional[int] = ..., message: _Optional[str] = ..., details: _Optional[_Iterable[_Union[_any_pb2.Any, _Mapping]]] = ...) -> None: ...

class AskResponse(_message.Message):
    __slots__ = ("id", "fly", "compare", "levers", "reach", "aim", "mix", "fit_throws", "status")
    ID_FIELD_NUMBER: _ClassVar[int]
    FLY_FIELD_NUMBER: _ClassVar[int]
    COMPARE_FIELD_NUMBER: _ClassVar[int]
    LEVERS_FIELD_NUMBER: _ClassVar[int]
    REACH_FIELD_NUMBER: _ClassVar[int]
    AIM_FIELD_NUMBER: _ClassVar[int]
    MIX_FIELD_NUMBER: _ClassVar[int]
    FIT_THROWS_FIELD_NUMBER: _ClassVar[int]
    STATUS_FIELD_NUMBER: _ClassVar[int]
    id: str
    fly: FlyResponse
    compare: CompareResponse
    levers: LeversResponse
    reach: ReachResponse
    aim: AimResponse
    mix: MixResponse
    fit_throws: FitThrowsResponse
    status: Status
    def __init__(self, id: _Optional[str] = ..., fly: _Optional[_Union[FlyResponse, _Mapping]] = ..., compare: _Optional[_Union[CompareResponse, _Mapping]] = ..., levers: _Optional[_Union[LeversResponse, _Mapping]] = ..., reach: _Optional[_Union[ReachResponse, _Mapping]] = ..., aim: _Optional[_Union[AimResponse, _Mapping]] = ..., mix: _Optional[_Union[MixResponse, _Mapping]] = ..., fit_throws: _Optional[_Union[FitThrowsResponse, _Mapping]] = ..., status: _Optional[_Union[Status, _Mapping]] = ...) -> None: ...
