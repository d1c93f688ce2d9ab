"""Answers as tables for people."""
