//! The address of the branches' server, as PostgreSQL writes it: `postgres://…`.

use std::net::IpAddr;
use std::path::PathBuf;

use hosewright_core::journal::BranchError;
use postgres::Config;
use postgres::config::{Host, SslMode};

/// Whether what was typed is such an address.
pub fn is_address(typed: &str) -> bool {
    typed.starts_with("postgres://") || typed.starts_with("postgresql://")
}

/// The settings that an address has, and the file of the authority that is believed besides the
/// system's. Its pass word may be in the environment, where the list of processes does not show it.
///
/// Without `sslmode` TLS is needed, but for a server on this computer. Where there is TLS the
/// certificate is always checked, with its name: `verify-ca` and `verify-full` mean `require`.
pub fn read(address: &str) -> Result<(Config, Option<PathBuf>), BranchError> {
    let (place, options) = address.split_once('?').unwrap_or((address, ""));
    let (mut kept, mut authority, mut says_mode) = (Vec::new(), None, false);
    for option in options.split('&').filter(|option| !option.is_empty()) {
        match option.split_once('=') {
            Some(("sslrootcert", file)) => authority = Some(PathBuf::from(file)),
            Some(("sslmode", "verify-ca" | "verify-full")) => {
                says_mode = true;
                kept.push("sslmode=require");
            }
            Some(("sslmode", _)) => {
                says_mode = true;
                kept.push(option);
            }
            _ => kept.push(option),
        }
    }
    let options = kept.join("&");
    let known = if options.is_empty() { place.to_owned() } else { format!("{place}?{options}") };
    let mut settings: Config = known.parse().map_err(|error: postgres::Error| {
        let why =
            std::error::Error::source(&error).map_or_else(String::new, |why| format!(": {why}"));
        BranchError(format!("this is no address of a PostgreSQL server ({error}{why})"))
    })?;
    if settings.get_password().is_none()
        && let Ok(word) = std::env::var("PGPASSWORD")
    {
        settings.password(word);
    }
    if !says_mode {
        let here = settings.get_hosts().iter().all(is_here);
        settings.ssl_mode(if here { SslMode::Disable } else { SslMode::Require });
    }
    settings.application_name("hosewright");
    Ok((settings, authority))
}

/// Whether a host is this computer.
fn is_here(host: &Host) -> bool {
    match host {
        Host::Tcp(name) => {
            let address: Result<IpAddr, _> = name.parse();
            name == "localhost" || address.is_ok_and(|address| address.is_loopback())
        }
        #[cfg(unix)]
        Host::Unix(_) => true,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic)]
mod tests {
    use super::*;

    #[test]
    fn away_from_here_tls_is_needed_unless_the_address_says_otherwise() {
        for (address, mode) in [
            ("postgres://desk@db.example/fleet", SslMode::Require),
            ("postgresql://desk@10.0.0.4:5433/fleet", SslMode::Require),
            ("postgres://desk@localhost/fleet", SslMode::Disable),
            ("postgres://desk@127.0.0.1/fleet", SslMode::Disable),
            ("postgres://desk@[::1]/fleet", SslMode::Disable),
            ("postgres://desk@%2Fvar%2Frun%2Fpostgresql/fleet", SslMode::Disable),
            ("postgres://desk@db.example/fleet?sslmode=disable", SslMode::Disable),
            ("postgres://desk@db.example/fleet?sslmode=prefer", SslMode::Prefer),
            ("postgres://desk@localhost/fleet?sslmode=verify-full", SslMode::Require),
            ("postgres://desk@localhost/fleet?sslmode=verify-ca", SslMode::Require),
        ] {
            assert_eq!(read(address).unwrap().0.get_ssl_mode(), mode, "{address}");
        }
    }

    #[test]
    fn an_authority_may_be_named_and_nonsense_is_refused() {
        let named = "postgres://a@db.example/f?sslrootcert=/etc/shop.pem&connect_timeout=5";
        let (settings, authority) = read(named).unwrap();
        assert_eq!(authority, Some(PathBuf::from("/etc/shop.pem")));
        assert_eq!(settings.get_connect_timeout(), Some(&std::time::Duration::from_secs(5)));
        for wrong in
            ["postgres://a@b:port/f", "postgres://a@b/f?sslmode=often", "postgres://a@b/f?x=1"]
        {
            assert!(
                read(wrong).is_err_and(|why| why.to_string().contains("no address")),
                "{wrong}"
            );
        }
        assert!(is_address("postgres://a") && is_address("postgresql://a"));
        assert!(!is_address("/media/stick") && !is_address("postgres"));
    }
}
