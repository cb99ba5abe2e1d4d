use proptest::prelude::*;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;

use super::*;
use crate::tag::mod_37_2;

fn some_code(seed: u64) -> Code {
    Code::draw(&mut ChaCha8Rng::seed_from_u64(seed))
}

#[test]
fn typed_forms_that_are_forgiven() {
    // The check is python-stdnum's; the characters are those that are mixed up.
    let printed = "01H7-K2M9-0101-Y".to_owned();
    let code = Code::parse(&printed).unwrap_or(some_code(1));
    assert_eq!(code.to_string(), printed);
    let forms = [
        printed.clone(),
        printed.to_lowercase(),
        printed.replace('-', ""),
        printed.replace('-', " "),
        printed.replace('-', "–"),
        format!("  {printed}\n"),
        printed.replace('0', "O").replace('1', "I"),
        printed.to_lowercase().replace('0', "o").replace('1', "l"),
    ];
    for form in forms {
        assert_eq!(Code::parse(&form), Ok(code), "{form}");
    }
}

#[test]
fn what_is_no_code_says_why() {
    let table = [
        ("", "“” has 0 characters; a code has 13"),
        ("7K3M", "“7K3M” has 4 characters; a code has 13"),
        ("7K3M-9QWX-T4RB-CC", "has 14 characters"),
        ("UK3M-9QWX-T4RB-C", "“U” can't be in a code"),
        ("7K3M-9QWX-T4RB-*", "“*” can't be in a code"),
        ("0000-0000-0000-0", "the last character does not agree"),
    ];
    for (typed, start) in table {
        let said = Code::parse(typed).err().map(|e| e.to_string()).unwrap_or_default();
        assert!(said.contains(start), "{typed}: {said}");
    }
}

#[test]
fn a_code_whose_check_is_no_crockford_character_is_never_drawn() {
    // 00000001 has the check * (python-stdnum 2.2), and leading zeros change
    // nothing, since the sum starts from 0.
    assert_eq!(mod_37_2("000000000001"), Some('*'));
    assert_eq!(Code::from_bits(1), None);
    assert_eq!(Code::from_bits(1 << 60), None);
    assert!(Code::from_bits(0).is_some_and(|c| c.to_string() == "0000-0000-0000-1"));
    let good = (0..10_000).filter(|bits| Code::from_bits(*bits).is_some()).count();
    // 32 of 37 checks are Crockford characters.
    assert!((8_500..8_800).contains(&good), "{good}");
}

#[test]
fn every_slip_and_every_swap_is_noticed_and_undone() {
    for seed in 0..20 {
        let code = some_code(seed);
        let good: Vec<char> = code.compact().chars().collect();
        let mut wrong = Vec::new();
        for at in 0..good.len() {
            for other in CROCKFORD.iter().map(|b| char::from(*b)) {
                let mut text = good.clone();
                text[at] = other;
                wrong.push(text);
            }
        }
        for at in 1..good.len() {
            let mut text = good.clone();
            text.swap(at - 1, at);
            wrong.push(text);
        }
        for text in wrong.into_iter().filter(|t| *t != good) {
            let text: String = text.into_iter().collect();
            assert!(matches!(Code::parse(&text), Err(CodeError::WrongCheck { .. })), "{text}");
            assert!(Code::one_slip_away(&text).contains(&code), "{text}");
        }
        assert_eq!(Code::one_slip_away(&code.to_string()), Vec::new());
    }
}

#[test]
fn an_impossible_character_is_taken_as_the_slip() {
    let code = some_code(7);
    let text = code.compact();
    let broken = format!("U{}", &text[1..]);
    let near = Code::one_slip_away(&broken);
    assert!(near.contains(&code));
    assert!(near.iter().all(|c| c.compact()[1..] == text[1..]), "{near:?}");
    assert_eq!(Code::one_slip_away(&format!("UU{}", &text[2..])), Vec::new());
}

#[test]
fn a_prefix_is_the_range_of_its_codes() {
    let code = some_code(3);
    let text = code.to_string();
    for length in 1..=14 {
        let typed: String = text.chars().take(length).collect();
        assert!(Code::prefix(&typed).is_some_and(|p| p.holds(code)), "{typed}");
    }
    assert_eq!(Code::prefix("").map(Prefix::bits), None);
    assert_eq!(Code::prefix(&text).map(Prefix::bits), None);
    assert_eq!(Code::prefix("7U").map(Prefix::bits), None);
    assert_eq!(Code::prefix("z").map(Prefix::bits), Some(31 << 55..=MASK));
}

proptest! {
    #[test]
    fn printing_and_parsing_are_inverse(seed: u64) {
        let code = some_code(seed);
        prop_assert_eq!(Code::parse(&code.to_string()), Ok(code));
        prop_assert_eq!(Code::parse(&code.compact()), Ok(code));
        prop_assert_eq!(Code::from_bits(code.bits()), Some(code));
    }

    #[test]
    fn anything_typed_is_answered(typed in "\\PC{0,20}") {
        if let Ok(code) = Code::parse(&typed) {
            prop_assert_eq!(Code::parse(&code.to_string()), Ok(code));
        }
        let _ = (Code::prefix(&typed), Code::one_slip_away(&typed));
    }
}
