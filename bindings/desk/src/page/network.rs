//! Where this desk answers.

use hosewright_core::device::CounterAddress;
use std::net::{IpAddr, Ipv4Addr, UdpSocket};

/// Where it answers on this computer.
pub fn here(port: u16) -> String {
    format!("http://127.0.0.1:{port}/")
}

/// Where its open door answers: under this machine's own address, if it has one in a network.
pub fn in_network(port: u16) -> Vec<CounterAddress> {
    let address = own_address().unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST));
    format!("{address}:{port}").parse().into_iter().collect()
}

/// This machine's address in its network. Nothing is sent: connecting a socket
/// of this kind only looks up the way, here to an address for documentation
/// (RFC 5737).
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    socket.local_addr().ok().map(|address| address.ip()).filter(|address| !address.is_unspecified())
}
