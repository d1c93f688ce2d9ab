"""The service: the same questions over gRPC, with limits, deadlines and authentication."""
