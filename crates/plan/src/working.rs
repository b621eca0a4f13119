//! Workings.
