//! `desk`: the counter page.

use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::output::aside;
use crate::page::{
    CertificateError, PassPhrase, PassPhraseError, Patience, Serving, Site, read_certificate, serve,
};
use crate::store;
use crate::web::{FILES, WITHOUT};

/// Serves the counter page.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright desk\n  hosewright desk --pass-phrase\n  hosewright desk --lan\n\n\
    It answers on this computer alone, until Ctrl-C. With --lan any browser in the network can open\n\
    it with the pass phrase; the connection is not encrypted, so use a network that you\n\
    trust. Browsers give a page the camera only on this computer: a phone takes a photo instead."
)]
pub struct CounterPage {
    /// The port; 0 takes one that is free
    #[arg(long, default_value_t = 7462)]
    port: u16,
    /// Serve other devices in the network too, behind a pass phrase
    #[arg(long)]
    lan: bool,
    /// Seconds a sender may pause; a whole request may take twenty times as long
    #[arg(long, value_name = "SECONDS", default_value_t)]
    patience: Patience,
    /// Serve the page for phones' browsers too, with this certificate (PEM, its chain behind it):
    /// one of an authority that browsers trust
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
            today: desk.pretended,
            by: desk.moment.by.clone(),
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
        let (Some(chain), Some(key)) = (&self.certificate, &self.key) else { return Ok(None) };
        if FILES.is_empty() {
            return Err(Failure::refused(WITHOUT));
        }
        let refused = |error: CertificateError| Failure::refused(error.to_string());
        let tls = read_certificate(chain, key).map_err(refused)?;
        Ok(Some(Site { port: self.web_port, tls }))
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
