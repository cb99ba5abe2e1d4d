//! Where this desk answers.

use std::net::{IpAddr, Ipv4Addr, UdpSocket};

/// Where it answers: here, and in the network under this machine's own address.
pub fn addresses(port: u16, open: bool) -> Vec<String> {
    let here = format!("http://127.0.0.1:{port}/");
    let there = own_address().filter(|_| open).map(|address| format!("http://{address}:{port}/"));
    std::iter::once(here).chain(there).collect()
}

/// This machine's address in its network. Nothing is sent: connecting a socket
/// of this kind only looks up the way, here to an address for documentation
/// (RFC 5737).
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    socket.local_addr().ok().map(|address| address.ip()).filter(|address| !address.is_unspecified())
}
