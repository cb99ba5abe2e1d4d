//! Calculations against published values.

mod calendar;
mod fit;
mod reading;
mod survival;
mod tags;
