//! Ones and zeros as bits.

/// Eight of them as a byte, the first as the lowest bit.
pub fn of_eight(ones: [u8; 8]) -> u8 {
    // Each bit of the factor lifts one of the eight into the uppermost byte.
    u64::from_le_bytes(ones).wrapping_mul(0x0102_0408_1020_4080).to_be_bytes()[0]
}
