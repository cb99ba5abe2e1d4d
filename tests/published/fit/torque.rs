//! Torques against published values and against pint.

use hosewright_core::fit::torque::{Crowfoot, JointTorque, torque};
use hosewright_core::measure::parse_torque;
use hosewright_tests::peers;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};
use uom::si::angle::degree;
use uom::si::f64::{Angle, Torque};
use uom::si::torque::newton_meter;

fn newton_metres(typed: &str) -> f64 {
    parse_torque(typed).map_or(f64::NAN, |t| t.get::<newton_meter>())
}

/// NIST SP 811, appendix B.8 (printed to seven figures), and the exact
/// definitions behind it.
#[test]
fn torques_by_nist_sp_811() {
    let table = [
        ("1 lbf·in", 0.112_984_829_027_616_7),
        ("1 lbf·ft", 1.355_817_948_331_400_4),
        ("1 kgf·cm", 0.098_066_5),
        ("1 kgf·m", 9.806_65),
        ("40 lbf·in", 4.519_393_161_104_668),
        ("60 lbf·in", 6.779_089_741_657_002),
    ];
    for (typed, expected) in table {
        assert!((newton_metres(typed) / expected - 1.0).abs() < 1e-14, "{typed}");
    }
    let printed = [("1 lbf·in", 0.112_984_8), ("1 lbf·ft", 1.355_818), ("1 kgf·m", 9.806_65)];
    for (typed, expected) in printed {
        assert!((newton_metres(typed) / expected - 1.0).abs() < 5e-7, "{typed}");
    }
    let five = torque(JointTorque::default(), None);
    assert!((five.pound_force_inches - 44.253_73).abs() < 5e-6);
    assert!((five.pound_force_feet - 3.687_811).abs() < 5e-7);
    assert!((five.kilogram_force_centimetres - 5.0 * 10.197_162_129_779_282).abs() < 1e-12);
}

fn setting(torque: f64, wrench: &str, crowfoot: &str, degrees: f64) -> f64 {
    let angle = Some(Angle::new::<degree>(degrees));
    let crowfoot = Crowfoot::parse(crowfoot, wrench, angle);
    let torque = Torque::new::<newton_meter>(torque);
    crowfoot.map_or(f64::NAN, |c| c.setting(torque).get::<newton_meter>())
}

/// Worked examples in print. The unit of torque does not matter to the ratio.
#[test]
fn wrenches_with_an_extension() {
    let table = [
        // US naval aviation training manual, on computing torque.
        (100.0, "12 in", "6 in", 0.0, 66.7, 0.05),
        // A light-helicopter maintenance manual, chapter 20: forwards and back.
        (135.0, "10 in", "1.5 in", 0.0, 117.39, 0.005),
        (135.0, "10 in", "1.5 in", 180.0, 158.82, 0.005),
        // A light-aeroplane maintenance manual, section 2-90.
        (30.0, "1 ft", "0.25 ft", 0.0, 24.0, 1e-9),
        // T·L/(L + E·cos a) of US Army TM 9-254, figure 4-6, computed.
        (20.0, "30 cm", "5 cm", 0.0, 17.1429, 5e-5),
        (20.0, "30 cm", "5 cm", 30.0, 17.4774, 5e-5),
        (20.0, "30 cm", "5 cm", 45.0, 17.8915, 5e-5),
        (20.0, "30 cm", "5 cm", 90.0, 20.0, 1e-9),
        (20.0, "30 cm", "5 cm", 135.0, 22.6719, 5e-5),
        (20.0, "30 cm", "5 cm", 180.0, 24.0, 1e-9),
    ];
    for (torque, wrench, crowfoot, degrees, expected, most) in table {
        let found = setting(torque, wrench, crowfoot, degrees);
        assert!((found - expected).abs() <= most, "{torque}, {crowfoot} on {wrench}: {found}");
    }
}

#[test]
fn the_same_torques_as_pint() {
    let mut rng = ChaCha8Rng::seed_from_u64(811);
    let values: Vec<f64> = (0..500).map(|_| rng.random_range(0.001..20.0)).collect();
    let answer = peers::ask("torque.py", &json!(values));
    assert_eq!(answer.as_ref().err(), None);
    let answer = answer.unwrap_or_default();
    assert_eq!(answer.as_array().map(Vec::len), Some(values.len()));
    for (value, peer) in values.iter().zip(answer.as_array().into_iter().flatten()) {
        let joint = JointTorque::parse(&format!("{value} N·m")).unwrap_or_default();
        let ours = torque(joint, None);
        let ours =
            [ours.pound_force_inches, ours.pound_force_feet, ours.kilogram_force_centimetres];
        for (our, peer) in ours.iter().zip(peer.as_array().into_iter().flatten()) {
            let peer = Value::as_f64(peer).unwrap_or(f64::NAN);
            assert!((our / peer - 1.0).abs() < 1e-12, "{value} N·m: {our} {peer}");
        }
    }
}
