"""How pitches are judged before a hitter: setting -> lineup -> judged pitch -> measures -> estimates.

A scenario is made ready to fly (`settle`), its pitches are lined up (`line_up`), one of them, in one version or more,
is put before the hitter (`Lineup.judge`), its throws are measured (`measure_pitch`), and each measure is estimated with
what is not known about it (`Estimator`).
"""
