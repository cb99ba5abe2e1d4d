use super::*;

fn read<T: std::str::FromStr>(typed: &str) -> Option<T> {
    typed.parse().ok()
}

#[test]
fn what_is_in_a_port_and_what_a_port_gives_are_read() {
    let device = |typed: &str| {
        read::<PortDevice>(typed).map(|d| (d.port.to_string(), d.device.map(String::from)))
    };
    let said =
        |port: &str, device: Option<&str>| Some((port.to_owned(), device.map(str::to_owned)));
    assert_eq!(device("lp4= relief  valve"), said("LP4", Some("relief valve")));
    assert_eq!(device("HP2=none"), said("HP2", None));
    assert_eq!(device("P1=plug"), said("P1", None));
    for typed in ["", "LP4", "LP4=", "XX=valve", "=valve"] {
        assert_eq!(device(typed), None, "{typed}");
    }
    let gives = |typed: &str| read::<PortIs>(typed).map(|is| (is.port.to_string(), is.pressure));
    assert_eq!(gives("P1=LP"), Some(("P1".to_owned(), Pressure::Low)));
    assert_eq!(gives("p2 = hp"), Some(("P2".to_owned(), Pressure::High)));
    for typed in ["", "P1", "P1=unknown", "P1=", "Q1=LP"] {
        assert_eq!(gives(typed), None, "{typed}");
    }
}

#[test]
fn ports_are_counted_by_kind_and_thread() {
    for (typed, wanted) in [
        ("LP:3/8-24=4", Some((PortKind::Low, 4))),
        ("HP:7/16-20", Some((PortKind::High, 1))),
        // An old first stage.
        ("HP:3/8-24=1", Some((PortKind::High, 1))),
        ("unknown:3/8-24=2", Some((PortKind::Unknown, 2))),
        ("unknown:7/16-20=1", None),
        ("unknown:1/2-20=1", None),
        ("LP:7/16-20=1", None),
        ("HP:1/2-20=1", None),
    ] {
        assert_eq!(read::<PortCount>(typed).map(|p| (p.kind, p.count)), wanted, "{typed}");
    }
}
