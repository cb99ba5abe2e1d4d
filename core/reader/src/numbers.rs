//! Between whole numbers and fractions: the only place that casts fractions.

/// A fraction as an index, towards zero; below zero, zero.
pub const fn index(value: f64) -> usize {
    pixel(value) as usize
}

/// The same with half of its digits, which processors work out far quicker.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast from a fraction stops at the ends"
)]
pub const fn pixel(value: f64) -> u32 {
    value as u32
}

/// A count as a fraction; counts of pixels and modules are small.
#[allow(clippy::cast_precision_loss, reason = "pixels and modules are far below 2^52")]
pub const fn real(value: usize) -> f64 {
    value as f64
}

/// A fraction with half of its digits.
#[allow(clippy::cast_possible_truncation, reason = "grey levels need few digits")]
pub const fn short(value: f64) -> f32 {
    value as f32
}

/// A whole number that fits 16 bits, or the end of their range.
#[allow(clippy::cast_possible_truncation, reason = "clamped before")]
pub fn narrow(value: i32) -> i16 {
    value.clamp(-32_768, 32_767) as i16
}

/// A fraction in 65,536ths; the ends of the range are 32,768 pixels away.
#[allow(clippy::cast_possible_truncation, reason = "a cast from a fraction stops at the ends")]
pub const fn fixed(value: f64) -> i32 {
    (value * 65_536.0) as i32
}

/// The whole part of a fraction.
#[allow(clippy::cast_possible_truncation, reason = "a cast from a fraction stops at the ends")]
pub const fn whole(value: f64) -> i64 {
    value as i64
}
