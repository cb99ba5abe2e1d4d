//! Calculations against published values.

mod barcodes;
mod calendar;
mod fit;
mod reading;
mod survival;
mod tags;
