//! The URI record (NFC Forum, RTD URI 1.0): one byte for how an address begins,
//! then the rest of it.

/// How addresses begin, by the byte that replaces it (RTD URI 1.0, table 3).
pub(super) const PREFIXES: [&str; 36] = [
    "",
    "http://www.",
    "https://www.",
    "http://",
    "https://",
    "tel:",
    "mailto:",
    "ftp://anonymous:anonymous@",
    "ftp://ftp.",
    "ftps://",
    "sftp://",
    "smb://",
    "nfs://",
    "ftp://",
    "dav://",
    "news:",
    "telnet://",
    "imap:",
    "rtsp://",
    "urn:",
    "pop:",
    "sip:",
    "sips:",
    "tftp:",
    "btspp://",
    "btl2cap://",
    "btgoep://",
    "tcpobex://",
    "irdaobex://",
    "file://",
    "urn:epc:id:",
    "urn:epc:tag:",
    "urn:epc:pat:",
    "urn:epc:raw:",
    "urn:epc:",
    "urn:nfc:",
];

/// `https://`, the only way that a base begins.
const HTTPS: u8 = 0x04;

/// The payload of a record that says this text, ours with or without a base.
pub(super) fn payload(text: &str) -> Vec<u8> {
    let (prefix, rest) = match text.strip_prefix("HTTPS://") {
        Some(rest) => (HTTPS, rest),
        None => (0, text),
    };
    let mut bytes = vec![prefix];
    bytes.extend(rest.as_bytes());
    bytes
}

/// The text of a record's payload; none if it is empty or not UTF-8. Bytes
/// that stand for no beginning yet are taken for none (RTD URI 1.0, section
/// 3.2.2).
pub(super) fn text(payload: &[u8]) -> Option<String> {
    let (prefix, rest) = payload.split_first()?;
    let prefix = PREFIXES.get(usize::from(*prefix)).copied().unwrap_or("");
    std::str::from_utf8(rest).ok().map(|rest| format!("{prefix}{rest}"))
}
