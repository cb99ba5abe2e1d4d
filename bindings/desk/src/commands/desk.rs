//! `desk`: the counter page.

use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::output::aside;
use crate::page::{
    Certificate, CertificateError, PassPhrase, PassPhraseError, Patience, Serving, Site,
    read_certificate, serve,
};
use crate::store;
use crate::web::{FILES, WITHOUT};

/// The port for other devices.
const LAN_PORT: u16 = 7464;

/// Serves the counter page.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright desk\n  hosewright desk --pass-phrase\n  hosewright desk --lan\n\n\
    It answers on this computer alone, until Ctrl-C. With --lan any browser in the network can open\n\
    it with the pass phrase, and devices that were let in meet this record by themselves. Those\n\
    connections are encrypted; a browser warns that it does not know the certificate, since no\n\
    authority vouches for a computer in a shop: compare the fingerprint that the page shows under\n\
    “Meet other devices”, or name a certificate of an authority."
)]
pub struct CounterPage {
    /// The port; 0 takes one that is free
    #[arg(long, default_value_t = 7462)]
    port: u16,
    /// Serve other devices in the network too, behind a pass phrase
    #[arg(long)]
    lan: bool,
    /// The port for other devices [default: 7464, or a free one if --port is 0]
    #[arg(long, value_name = "PORT")]
    lan_port: Option<u16>,
    /// Seconds a sender may pause; a whole request may take twenty times as long
    #[arg(long, value_name = "SECONDS", default_value_t)]
    patience: Patience,
    /// Serve the page for phones' browsers too, with this certificate (PEM, its chain behind it):
    /// one of an authority that browsers trust. --lan shows it too
    #[arg(long, value_name = "FILE", requires = "key")]
    certificate: Option<PathBuf>,
    /// The certificate's private key (PEM)
    #[arg(long, value_name = "FILE", requires = "certificate")]
    key: Option<PathBuf>,
    /// The port of the page for phones' browsers
    #[arg(long, value_name = "PORT", default_value_t = 7463)]
    web_port: u16,
    /// Choose the pass phrase for --lan: it is asked for, or read from standard input
    #[arg(long, conflicts_with_all = ["lan", "port"])]
    pass_phrase: bool,
}

impl CounterPage {
    /// Serves until Ctrl-C, or takes a new pass phrase.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        if self.pass_phrase {
            return choose(desk);
        }
        let refused = |error: PassPhraseError| Failure::refused(error.to_string());
        let lan = self.lan.then(|| PassPhrase::find(&store::keys_folder()?).map_err(refused));
        let serving = Serving {
            store: desk.place()?,
            port: self.port,
            lan: lan.transpose()?,
            lan_port: self.lan_port.unwrap_or(if self.port == 0 { 0 } else { LAN_PORT }),
            certificate: self.certificate()?,
            today: desk.pretended,
            by: desk.moment.by.clone(),
            units: desk.units,
            patience: self.patience,
            keys: store::keys_folder()?,
            site: self.site()?,
        };
        let site = serving.site.as_ref().map(|site| site.port);
        serve(serving, |addresses| {
            if desk.json {
                desk.json(&json!({ "addresses": addresses }))?;
            } else {
                for address in addresses {
                    desk.out.line(address)?;
                }
            }
            desk.out.flush()?;
            if let Some(port) = site {
                aside(&format!(
                    "The page for phones' browsers: https://NAME:{port}/ with the name that is in \
                     the certificate."
                ));
            }
            if crate::terminal::is_terminal() {
                aside("Open it in a browser. Ctrl-C ends it.");
            }
            Ok(())
        })?;
        Ok(Status::Done)
    }
}

impl CounterPage {
    /// The page for phones' browsers, where there is a certificate for it.
    fn site(&self) -> Result<Option<Site>, Failure> {
        let Some(certificate) = self.certificate()? else { return Ok(None) };
        match (FILES.is_empty(), self.lan) {
            (false, _) => Ok(Some(Site { port: self.web_port, certificate })),
            // It is for the counter page then.
            (true, true) => Ok(None),
            (true, false) => Err(Failure::refused(WITHOUT)),
        }
    }

    /// The certificate that was named.
    fn certificate(&self) -> Result<Option<Certificate>, Failure> {
        let (Some(chain), Some(key)) = (&self.certificate, &self.key) else { return Ok(None) };
        let refused = |error: CertificateError| Failure::refused(error.to_string());
        read_certificate(chain, key).map(Some).map_err(refused)
    }
}

fn choose(desk: &mut Desk) -> Outcome {
    if io::stdin().is_terminal() {
        aside(
            "The pass phrase for the counter page (four words do well; it is shown as you type):",
        );
    }
    let mut typed = String::new();
    io::stdin().read_line(&mut typed)?;
    let refused = |error: PassPhraseError| Failure::refused(error.to_string());
    let folder = store::keys_folder()?;
    let chosen = PassPhrase::choose(&typed, store::random()?).map_err(refused)?;
    let path = chosen.keep(&folder).map_err(refused)?;
    let said = format!("The pass phrase is kept, as a hash, in {}.", path.display());
    desk.out.line(said)?;
    Ok(Status::Done)
}
