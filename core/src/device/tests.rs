use super::*;
use crate::hose::Label;
use data_encoding::HEXLOWER_PERMISSIVE as HEX;

fn bytes<const N: usize>(hex: &str) -> [u8; N] {
    let bytes = HEX.decode(hex.as_bytes()).ok().and_then(|b| <[u8; N]>::try_from(b).ok());
    bytes.unwrap_or_else(|| unreachable!("{hex}"))
}

/// RFC 8032 section 7.1, tests 1 to 3: secret, public, message, signature.
const RFC_8032: [(&str, &str, &str, &str); 3] = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
];

#[test]
fn signatures_are_those_of_rfc_8032() {
    for (secret, public, message, signature) in RFC_8032 {
        let key = DeviceKey::from_secret(&bytes(secret));
        let message = HEX.decode(message.as_bytes()).unwrap_or_default();
        assert_eq!(key.id().to_string(), public);
        assert_eq!(key.sign(&message).0, bytes(signature));
        assert!(key.sign(&message).proves(&key.id(), &message));
        assert!(!key.sign(b"another").proves(&key.id(), &message));
    }
}

/// The published vectors of BIP-39 for 256 bits of entropy, first and last of
/// its list with even bytes.
#[test]
fn a_key_is_24_words_of_bip_39_and_back() {
    let zeros = DeviceKey::from_secret(&[0; 32]).to_words();
    assert_eq!(zeros.as_str(), format!("{}art", "abandon ".repeat(23)));
    let ones = DeviceKey::from_secret(&[0xff; 32]).to_words();
    assert_eq!(ones.as_str(), format!("{}vote", "zoo ".repeat(23)));
    let typed = format!("  {}ART\n", "Abandon ".repeat(23));
    assert!(DeviceKey::from_words(&typed).is_ok_and(|key| *key.secret() == [0; 32]));
    let table = [
        ("abandon", WordsError::Number(1)),
        (&"abandon ".repeat(24), WordsError::Check),
        (&format!("{}arx", "abandon ".repeat(23)), WordsError::Unknown(24, "arx".to_owned())),
    ];
    for (typed, error) in table {
        assert_eq!(DeviceKey::from_words(typed).err(), Some(error), "{typed}");
    }
}

#[test]
fn a_warrant_is_genuine_as_it_was_signed_and_not_otherwise() {
    let owner = DeviceKey::from_secret(&[7; 32]);
    let device = DeviceKey::from_secret(&[8; 32]).id();
    let name = Label::new("a name", "boat").ok();
    let warrant = Warrant::sign(&owner, (device, name), Role::Bench, 3, 1_000);
    assert!(warrant.is_genuine());
    let text = serde_json::to_string(&warrant).unwrap_or_default();
    assert_eq!(serde_json::from_str::<Warrant>(&text).ok().as_ref(), Some(&warrant));
    let other = DeviceKey::from_secret(&[9; 32]).id();
    let altered = [
        Warrant { role: Role::Owner, ..warrant.clone() },
        Warrant { after: 0, ..warrant.clone() },
        Warrant { said: 999, ..warrant.clone() },
        Warrant { name: None, ..warrant.clone() },
        Warrant { device: other, ..warrant.clone() },
        Warrant { fleet: other, ..warrant },
    ];
    for altered in altered {
        assert!(!altered.is_genuine(), "{altered:?}");
    }
}

#[test]
fn keys_are_kept_whole_and_spoilt_ones_are_said() {
    let Ok(folder) = tempfile::tempdir() else { unreachable!("a folder") };
    let ring = FolderKeyring::new(folder.path().join("keys"));
    let key = DeviceKey::from_secret(&[5; 32]);
    assert!(ring.find(&key.id()).is_ok_and(|found| found.is_none()));
    assert!(ring.keep(&key).is_ok());
    let found = ring.find(&key.id()).ok().flatten();
    assert_eq!(found.map(|found| found.id()), Some(key.id()));
    let path = folder.path().join("keys").join(format!("{}.key", key.id()));
    assert!(std::fs::write(path, [6; 32]).is_ok());
    assert!(matches!(ring.find(&key.id()), Err(KeyringError::Spoiled(_))));
}

#[test]
fn a_device_is_named_by_16_or_32_bytes() {
    for good in ["00".repeat(16), "fF".repeat(32)] {
        assert_eq!(good.parse().map(|id: DeviceId| id.to_string()), Ok(good.to_lowercase()));
    }
    for bad in ["", "0", "zz", &"0".repeat(31), &"0".repeat(65)] {
        assert!(bad.parse::<DeviceId>().is_err(), "{bad}");
    }
}
