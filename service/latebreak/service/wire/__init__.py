"""Between protobuf messages and what the questions take and give."""
