//! How tight, in the units that wrenches have, and what a wrench with a
//! crowfoot must be set to.

use std::fmt;

use serde::Serialize;
use uom::si::angle::radian;
use uom::si::f64::{Angle, Length, Torque};
use uom::si::length::millimeter;
use uom::si::ratio::ratio;
use uom::si::torque::newton_meter;

use super::{DEPRESSURISE, FitError, TECHNICIAN, in_mm, within};
use crate::measure::{
    KILOGRAM_FORCE_CENTIMETRE, MeasureError, POUND_FORCE_FOOT, POUND_FORCE_INCH, parse_length,
    parse_torque,
};

/// The most that is accepted for a hose joint, in newton metres. Common
/// practice, no source: four times what is usual, so that it catches a slipped
/// unit (44 N·m for 44 lbf·in).
const MOST: f64 = 20.0;

/// What over-tightening does.
pub const OVER_TIGHTENING: &str = "Over-tightening crushes the O-ring's seat and strains the thread, and seals no better: the O-ring does the sealing.";

/// What to say beside every answer about torque.
pub const TORQUE_CAUTIONS: &[&str] = &[
    DEPRESSURISE,
    "Finger tight first, then a nudge, so that fingers cannot undo it: about 5 N·m, which is common practice, no source; the maker's figure goes first.",
    OVER_TIGHTENING,
    "Use fixed spanners that fit with very little play, not adjustable ones.",
    "Where the far part would turn too (second stage, gauge), hold it with a second spanner, the two pinched against each other.",
    TECHNICIAN,
];

/// The torque of a hose joint: above 0 and up to 20 N·m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointTorque(Torque);

impl JointTorque {
    /// Reads a torque as people write it: `5N·m`, `44 in-lb`.
    ///
    /// # Errors
    /// [`FitError::Measure`] if it is not a torque, or not above nothing;
    /// [`FitError::TooTight`] if it is more than a hose joint takes.
    pub fn parse(typed: &str) -> Result<Self, FitError> {
        let torque = parse_torque(typed)?;
        let typed = typed.trim().to_owned();
        let newton_metres = torque.get::<newton_meter>();
        if newton_metres > MOST {
            return Err(FitError::TooTight { typed, most: "20 N·m", why: OVER_TIGHTENING });
        }
        if newton_metres > 0.0 {
            return Ok(Self(torque));
        }
        let (what, least, most) = ("torque", "just above 0 N·m", "20 N·m");
        Err(FitError::Measure(MeasureError::OutOfRange { typed, what, least, most }))
    }

    /// The torque as a quantity.
    #[must_use]
    pub const fn quantity(self) -> Torque {
        self.0
    }
}

impl Default for JointTorque {
    /// 5 N·m: common practice, no source.
    fn default() -> Self {
        Self(Torque::new::<newton_meter>(5.0))
    }
}

/// A crowfoot on a torque wrench: how far it moves the nut from the wrench's
/// square, at which angle, and how long the wrench is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crowfoot {
    extension: Length,
    wrench: Length,
    angle: Angle,
}

impl Crowfoot {
    /// A crowfoot of `extension` from the middle of the wrench's square to the
    /// middle of the nut (0 to 500 mm, and at most half of the wrench), on a
    /// wrench of `wrench` from its square to the middle of the grip (50 mm to
    /// 2 m), where the hand must be. The angle is 0° where the crowfoot points
    /// straight on, 90° where it stands across, 180° where it points back;
    /// without one it points straight on.
    ///
    /// # Errors
    /// [`FitError::Measure`] or [`FitError::CrowfootTooLong`].
    pub fn new(extension: Length, wrench: Length, angle: Option<Angle>) -> Result<Self, FitError> {
        Self::checked((extension, &in_mm(extension)), (wrench, &in_mm(wrench)), angle)
    }

    /// Reads both lengths as people write them: `30mm` on `200mm`.
    ///
    /// # Errors
    /// [`FitError::Measure`] or [`FitError::CrowfootTooLong`].
    pub fn parse(extension: &str, wrench: &str, angle: Option<Angle>) -> Result<Self, FitError> {
        let crowfoot = (parse_length(extension)?, extension.trim());
        Self::checked(crowfoot, (parse_length(wrench)?, wrench.trim()), angle)
    }

    fn checked(
        (extension, crowfoot_typed): (Length, &str),
        (wrench, wrench_typed): (Length, &str),
        angle: Option<Angle>,
    ) -> Result<Self, FitError> {
        let words = ("0 mm", "500 mm");
        let extension = within(extension, crowfoot_typed, "crowfoot", (0.0, 500.0), words)?;
        let words = ("50 mm", "2 m");
        let wrench = within(wrench, wrench_typed, "torque wrench", (50.0, 2000.0), words)?;
        // Twice as long would divide by nothing if it points back; half is
        // already more than any crowfoot, and keeps the setting sane.
        if extension.get::<millimeter>() * 2.0 > wrench.get::<millimeter>() + 1e-9 {
            return Err(FitError::CrowfootTooLong {
                crowfoot: crowfoot_typed.to_owned(),
                wrench: wrench_typed.to_owned(),
            });
        }
        let angle = angle.unwrap_or(Angle::new::<radian>(0.0));
        if !(0.0..=std::f64::consts::PI).contains(&angle.get::<radian>()) {
            return Err(FitError::Measure(MeasureError::OutOfRange {
                typed: format!("{:.1}°", angle.get::<uom::si::angle::degree>()),
                what: "angle of a crowfoot",
                least: "0°, straight on",
                most: "180°, pointing back",
            }));
        }
        Ok(Self { extension, wrench, angle })
    }

    /// What the wrench must be set to for `torque` at the nut:
    /// T·L / (L + E·cos a) (US Army TM 9-254, figure 4-6).
    #[must_use]
    pub fn setting(&self, torque: Torque) -> Torque {
        let reach = self.wrench + self.extension * self.angle.get::<radian>().cos();
        torque * (self.wrench / reach).get::<ratio>()
    }
}

/// Reads the angle of a crowfoot in degrees: `90`, `90°`, `90 deg`.
///
/// # Errors
/// [`FitError::Measure`] if it is not a number.
pub fn parse_angle(typed: &str) -> Result<Angle, FitError> {
    let text = typed.trim();
    let ends = ["°", "degrees", "deg"];
    let number = ends.iter().find_map(|end| text.strip_suffix(end)).unwrap_or(text).trim_end();
    let degrees = number.parse().ok().filter(|degrees: &f64| degrees.is_finite());
    let degrees = degrees.ok_or_else(|| MeasureError::NotANumber {
        typed: text.to_owned(),
        what: "an angle in degrees",
        examples: "90 or 90°",
    })?;
    Ok(Angle::new::<uom::si::angle::degree>(degrees))
}

/// A torque in the four units, and the wrench's setting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TorqueAnswer {
    /// N·m.
    pub newton_metres: f64,
    /// lbf·in.
    pub pound_force_inches: f64,
    /// lbf·ft.
    pub pound_force_feet: f64,
    /// kgf·cm.
    pub kilogram_force_centimetres: f64,
    /// What the wrench must be set to, N·m: the torque itself without a crowfoot.
    pub wrench_setting_newton_metres: f64,
}

/// The torque in all units, and the setting of a wrench with or without a
/// crowfoot.
#[must_use]
pub fn torque(joint: JointTorque, crowfoot: Option<&Crowfoot>) -> TorqueAnswer {
    let newton_metres = joint.0.get::<newton_meter>();
    let setting = crowfoot.map_or(joint.0, |c| c.setting(joint.0));
    TorqueAnswer {
        newton_metres,
        pound_force_inches: newton_metres / POUND_FORCE_INCH,
        pound_force_feet: newton_metres / POUND_FORCE_FOOT,
        kilogram_force_centimetres: newton_metres / KILOGRAM_FORCE_CENTIMETRE,
        wrench_setting_newton_metres: setting.get::<newton_meter>(),
    }
}

impl fmt::Display for TorqueAnswer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:.2} N·m = {:.1} lbf·in = {:.2} lbf·ft = {:.1} kgf·cm; set the wrench to {:.2} N·m",
            self.newton_metres,
            self.pound_force_inches,
            self.pound_force_feet,
            self.kilogram_force_centimetres,
            self.wrench_setting_newton_metres,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(typed: &str) -> String {
        JointTorque::parse(typed).err().map(|e| e.to_string()).unwrap_or_default()
    }

    #[test]
    fn only_the_torque_of_a_hose_joint_is_taken() {
        for typed in ["5N·m", "44 lbf·in", "44 in-lb", "3.7 ft-lb", "51 kgf·cm", "20 Nm", "0.1 Nm"]
        {
            assert!(JointTorque::parse(typed).is_ok(), "{typed}");
        }
        for typed in ["0 Nm", "-5 Nm", "20.01 Nm", "44 N·m", "5", "5 kg", ""] {
            assert!(JointTorque::parse(typed).is_err(), "{typed}");
        }
        assert_eq!(
            refused("44 N·m"),
            "44 N·m is too tight for a hose joint, which takes 20 N·m at the very most. Over-tightening \
             crushes the O-ring's seat and strains the thread, and seals no better: the O-ring does \
             the sealing."
        );
        assert_eq!(
            refused("0 Nm"),
            "0 Nm is not a sensible torque: it must be between just above 0 N·m and 20 N·m"
        );
    }

    #[test]
    fn crowfoots_that_cannot_be_are_refused() {
        for (crowfoot, wrench) in [
            ("-30 mm", "200 mm"),
            ("30 mm", "0 mm"),
            ("30 mm", "-200 mm"),
            ("101 mm", "200 mm"),
            ("30 mm", "3 m"),
            ("30", "200 mm"),
        ] {
            assert!(Crowfoot::parse(crowfoot, wrench, None).is_err(), "{crowfoot} on {wrench}");
        }
        for degrees in [-1.0, 180.1, f64::NAN] {
            let angle = Some(Angle::new::<uom::si::angle::degree>(degrees));
            assert!(Crowfoot::parse("30 mm", "200 mm", angle).is_err(), "{degrees}");
        }
        assert!(Crowfoot::parse("0 mm", "200 mm", None).is_ok());
        assert!(Crowfoot::parse("100 mm", "200 mm", None).is_ok());
    }

    #[test]
    fn angles_are_read_in_degrees() {
        for (typed, radians) in
            [("0", 0.0), ("180°", std::f64::consts::PI), (" 90 deg", std::f64::consts::FRAC_PI_2)]
        {
            let angle = parse_angle(typed).map(|a| a.get::<radian>());
            assert!(angle.is_ok_and(|a| (a - radians).abs() < 1e-9), "{typed}");
        }
        for typed in ["", "°", "NaN", "inf", "90 rad", "ninety"] {
            assert!(parse_angle(typed).is_err(), "{typed}");
        }
    }

    #[test]
    fn what_people_and_programs_read() {
        let crowfoot = Crowfoot::parse("30mm", "200mm", None).ok();
        let answer = torque(JointTorque::default(), crowfoot.as_ref());
        assert_eq!(
            answer.to_string(),
            "5.00 N·m = 44.3 lbf·in = 3.69 lbf·ft = 51.0 kgf·cm; set the wrench to 4.35 N·m"
        );
        let json = serde_json::to_value(answer).unwrap_or_default();
        let keys: Vec<&str> =
            json.as_object().map(|o| o.keys().map(String::as_str).collect()).unwrap_or_default();
        assert_eq!(keys.len(), 5);
        for key in [
            "newton_metres",
            "pound_force_inches",
            "pound_force_feet",
            "kilogram_force_centimetres",
            "wrench_setting_newton_metres",
        ] {
            assert!(json[key].is_f64(), "{key}");
        }
        let plain = torque(JointTorque::default(), None);
        assert!((plain.wrench_setting_newton_metres - 5.0).abs() < 1e-12);
    }
}
