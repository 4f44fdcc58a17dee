"""The record: a GeoPackage file that stores and fetches, and computes nothing."""
