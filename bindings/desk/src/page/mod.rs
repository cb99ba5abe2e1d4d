//! Serves the counter page, for the counter's own computer and, where it is asked
//! for, any phone's browser in the shop. The page itself is in `bindings/page`.
//!
//! ```text
//! lock      locks that outlive a panic
//! lan       pass phrase, sessions, attempts
//! network   the addresses under which it answers
//! callers   devices that call: the symbol that lets one in, who proved who it is
//! calendar  the secret address of the calendar
//! certificate  the certificate that connections show, with its key: an authority's, or our own
//! connections  how many there are, and how long a sender may take
//! files     files that came, and files that are made to be sent
//! cookies   what browsers remember
//! waiting   what waits for a yes
//! watchings  the films that are watched, one a session
//! records   one writing connection, some reading ones, the demonstration
//! under_way the meeting that goes on while its page is looked at
//! calls     meets others over a network, for the person at the desk
//! door      the door to the shop's network while it is open
//! shared    what all requests share: records, secrets, permits
//! opening   opens that door
//! visit     a request on its way to the page
//! host      what the page asks of the desk
//! upload    what is sent with a request
//! meeting   devices that meet this counter
//! guard     who may ask: host, origin, session; headers of every response
//! answering from a request of the network to a response
//! site      the page for phones' browsers, as files
//! server    binds, says where it is, serves until Ctrl-C
//! ```
//!
//! Imports run down this list, never up.

mod answering;
mod calendar;
mod callers;
mod calls;
mod certificate;
mod connections;
mod cookies;
mod door;
mod files;
mod guard;
mod host;
mod lan;
mod lock;
mod meeting;
mod network;
mod opening;
mod records;
mod server;
mod shared;
mod site;
#[cfg(test)]
mod tests;
mod under_way;
mod upload;
mod visit;
mod waiting;
mod watchings;

pub use certificate::{Certificate, CertificateError, read as read_certificate};
pub use connections::Patience;
pub use lan::{PassPhrase, PassPhraseError};
pub use server::{Serving, Site, serve};
