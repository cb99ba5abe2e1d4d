//! What a phone says of records that come in.

use super::*;

#[test]
fn a_merge_on_a_phone_names_no_command() {
    let fleet = "00112233445566778899aabbccddeeff".parse().ok();
    let report = MergeReport { fleet, ..MergeReport::default() };
    let (here, elsewhere) = (merged(&report), meeting::merge(&report));
    assert!(elsewhere.concat().contains("device join"));
    assert!(here.concat().contains("This phone belongs to none"));
    assert!(!here.concat().contains("device join"));
    assert_eq!(here.len(), elsewhere.len());
}
