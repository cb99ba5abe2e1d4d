use super::*;
use crate::fleet::ordered::ToReplace;
use crate::hose::{Construction, End, Service, Specification};
use crate::story::{day, hose};
use crate::words::order_message::Because;

const TODAY: &str = "2026-06-15";

fn replaced(by: Option<&str>, because: Because) -> ToReplace {
    ToReplace {
        code: "2RWB-XCB4-GDEA-7".parse().unwrap_or_else(|e| unreachable!("{e}")),
        number: None,
        place: "set R3, port LP1".to_owned(),
        why: vec!["of lot B17 of Kelpline".to_owned()],
        because,
        by: by.map(day),
    }
}

fn line(of: &Specification, hoses: Vec<ToReplace>, in_stock: usize) -> OrderLine {
    OrderLine {
        service: of.service(),
        construction: of.construction(),
        length: of.length().clone(),
        end_a: of.fitting(End::A).clone(),
        end_b: of.fitting(End::B).clone(),
        oxygen: false,
        words: crate::words::hose_to_buy(of),
        need: hoses.len(),
        in_stock,
        to_buy: hoses.len() - in_stock,
        hoses,
        stock: Vec::new(),
        held: Vec::new(),
    }
}

fn order(lines: Vec<OrderLine>) -> Order {
    let to_buy = lines.iter().map(|line| line.to_buy).sum();
    Order { until: day("2026-09-13"), lines, to_buy, undescribed: Vec::new() }
}

#[test]
fn a_message_says_what_how_many_by_when_and_why_and_no_more() {
    let (lp, hp) = (
        hose(Service::SecondStage, Construction::Braided),
        hose(Service::Gauge, Construction::Rubber),
    );
    let later = vec![
        replaced(Some("2026-08-01"), Because::Age),
        replaced(Some("2026-07-01"), Because::Age),
        replaced(Some("2026-07-20"), Because::Dives),
    ];
    let now = vec![replaced(None, Because::Recalled), replaced(Some("2026-09-01"), Because::Age)];
    let order = order(vec![line(&lp, later, 1), line(&hp, now, 0)]);
    let told = order.message(day(TODAY)).unwrap_or_default();
    let wanted = format!(
        "{}\n\n2 x {lp}\n   needed by 2026-07-01; to replace 1 at the limit of dives, 2 at the limit \
         of age, less 1 in stock\n2 x {hp}\n   needed now; to replace 1 recalled, 1 at the limit of \
         age\n\nIn all: 4 hoses.\n{}\n",
        say::BEGIN,
        say::END
    );
    assert_eq!(told, wanted);
    for secret in ["2RWB", "R3", "LP1", "B17", "Kelpline"] {
        assert!(!told.contains(secret), "{secret}");
    }
}

#[test]
fn what_the_stock_gives_is_not_in_it() {
    let lp = hose(Service::SecondStage, Construction::Braided);
    let served = line(&lp, vec![replaced(None, Because::Age)], 1);
    assert_eq!(order(vec![served]).message(day(TODAY)), None);
    assert_eq!(order(Vec::new()).message(day(TODAY)), None);
}

/// The last good day is today: it is needed now, and tomorrow has its own day.
#[test]
fn both_sides_of_today() {
    for (by, said) in [
        ("2026-06-14", "needed now"),
        (TODAY, "needed now"),
        ("2026-06-16", "needed by 2026-06-16"),
    ] {
        assert_eq!(say::by(Some(day(by)), day(TODAY)), said);
    }
}
