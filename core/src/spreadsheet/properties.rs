//! Whatever a list holds, no row of it is lost.

use proptest::strategy::Strategy;

use super::read_sheet;
use super::tests::{read, today};

/// A cell that is likely to be interesting.
fn cell() -> impl Strategy<Value = String> {
    let known =
        ["spg", "80 cm", "Type", "Length (cm)", "\"", "\n", "03/04/2022", "3/8", "Mar-22", ""];
    proptest::prop_oneof![
        proptest::sample::select(known.to_vec()).prop_map(str::to_owned),
        "\\PC{0,8}",
    ]
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(128))]

    #[test]
    fn no_bytes_are_too_odd(bytes in proptest::collection::vec(0_u8.., 0..300)) {
        let _ = read_sheet(&bytes, today());
        let headed = [b"Type,Length\n".as_slice(), &bytes].concat();
        let _ = read_sheet(&headed, today());
    }

    /// Every row is answered for: taken, refused or said to repeat.
    #[test]
    fn no_row_is_lost(rows in proptest::collection::vec((cell(), cell(), cell()), 1..20)) {
        let quoted = |cell: &str| format!("\"{}\"", cell.replace('"', "\"\""));
        let text: String = rows
            .iter()
            .map(|(a, b, c)| format!("{},{},{}\n", quoted(a), quoted(b), quoted(c)))
            .collect();
        let sheet = read(&format!("Type,Length,DOM\n{text}"));
        let blank = |(a, b, c): &&(String, String, String)| {
            [a, b, c].iter().all(|cell| cell.trim().is_empty())
        };
        let expected = rows.len() - rows.iter().filter(blank).count();
        let answered = sheet.rows.len() + sheet.refused.len() + sheet.repeated.len();
        proptest::prop_assert_eq!(answered, expected);
    }
}
