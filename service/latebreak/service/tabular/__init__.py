"""Tables in files, CSV or Parquet: one writer for sweeps, answers and measured throws."""
