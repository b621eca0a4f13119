//! Bands.
