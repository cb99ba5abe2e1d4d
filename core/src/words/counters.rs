//! Meeting in a shop's network, in words.

use chrono::NaiveDate;

use super::{day, meeting};
use crate::device::{DeviceId, Invitation, Role};
use crate::hose::Label;
use crate::journal::{CounterMeeting, HowFar};

/// Over the shop's network.
pub const TITLE: &str = "In the shop's network";
/// What it is.
pub const LEAD: &str = "Other devices meet this one by themselves while they are in the same \
    network, and browsers open this page. All of it is encrypted, and nobody comes in who was not \
    let in here.";
/// While it is closed.
pub const CLOSED: &str = "Closed: this page answers on this computer alone.";
/// Where another device looks at it.
pub const AT_THE_DESK: &str = "It is opened, and devices are let in, on the desk's own computer.";
/// Over the form that opens it.
pub const OPEN_TITLE: &str = "Open it";
/// Its button.
pub const OPEN_GO: &str = "Open to the network";
/// The field for browsers.
pub const PASS_PHRASE: &str = "Pass phrase for browsers";
/// What it is for.
pub const PASS_PHRASE_HINT: &str = "At least 12 characters; four words do well. Leave it empty if \
    people come in by their names and PINs alone.";
/// Where one was chosen before.
pub const PASS_PHRASE_KEPT: &str = "Leave it empty to keep the one that was chosen before.";
/// Closes it.
pub const CLOSE: &str = "Close to the network";
/// What that does.
pub const CLOSE_LEAD: &str = "Browsers on other devices have to sign in again after it. Devices \
    that were let in stay so.";
/// Over its addresses, while it is open.
pub const OPEN: &str = "Open at";
/// What a browser asks, before it shows the page.
pub const BROWSERS: &str = "A browser that comes for the first time warns that it does not know \
    this page's certificate, because no authority vouches for a computer in a shop. Compare the \
    fingerprint that it shows under “certificate” with this one. If they are the same, go on; if \
    not, somebody sits between.";
/// Where no pass phrase was chosen.
pub const NO_PASS_PHRASE: &str = "No pass phrase was chosen: browsers come in by the name and PIN \
    of somebody who works here, and devices by a symbol.";
/// Over the symbol that lets a device in.
pub const LET_IN: &str = "Let a device in";
/// Its button.
pub const LET_IN_GO: &str = "Show the symbol";
/// Ends a symbol.
pub const END_SYMBOL: &str = "End this symbol";
/// Lets a device in no longer.
pub const FORGET: &str = "Let it in no longer";
/// Where the owner admitted the device: forgetting is not enough.
pub const ADMITTED: &str = "The owner admitted it: to keep it out, dismiss it under Devices.";
/// Over the fingerprint of the certificate.
pub const FINGERPRINT: &str = "Fingerprint (SHA-256)";
/// Over the text of the symbol.
pub const TEXT: &str = "Its text";
/// Leads to what became of the symbol.
pub const HAS_IT_COME: &str = "Has it come in?";
/// How it is done.
pub const LET_IN_STEPS: [&str; 3] = [
    "Choose what the device may write, and show the symbol.",
    "A phone with the app scans the symbol like a tag. On a computer its text is given to “Call a \
     counter”, or typed after “hosewright exchange”.",
    "It takes in what is here, and gives what it has. From then on it meets this counter by \
     itself.",
];
/// Beside a symbol that is shown.
pub const ONE_DEVICE: &str = "It lets in one device, once. Keep it from eyes that are not meant.";
/// Where the owner's key is not here.
pub const NOT_ADMITTED: &str = "The owner's key is not on this computer, so the device is let in \
    and not yet admitted: what it writes is kept, and counts once the owner admits it.";
/// Where there is no fleet.
pub const NO_FLEET: &str = "This record belongs to no fleet, so every device that comes in is \
    believed.";
/// Over the devices that were let in.
pub const LET_IN_HERE: &str = "Let in here";
/// Where there are none.
pub const NOBODY: &str = "No device was let in by a symbol yet.";
/// After the last minute.
pub const OVER: &str = "The symbol is used, or its minutes are over.";

/// How long a symbol still lets a device in.
#[must_use]
pub fn minutes(left: u64) -> String {
    match left {
        0 => "It counts for less than a minute more.".to_owned(),
        1 => "It counts for 1 minute more.".to_owned(),
        more => format!("It counts for {more} minutes more."),
    }
}

/// The way in for the next device, where it was used.
#[must_use]
pub fn let_in(device: &DeviceId, role: Option<Role>) -> String {
    let name = device.short();
    match role {
        Some(role) => {
            format!("Device {name} came in and is admitted: it {}.", meeting::role(Some(role)))
        }
        None => format!("Device {name} came in."),
    }
}

/// A device that was let in.
#[must_use]
pub fn paired(name: &str, on: NaiveDate, today: NaiveDate) -> String {
    format!("{name}, since {}", day(on, today))
}

/// What a meeting with a counter did, a sentence a line.
#[must_use]
pub fn met(meeting: &CounterMeeting) -> Vec<String> {
    met_and(meeting, meeting::merge(&meeting.merge))
}

/// The same, where another face says in its own words what came in ([`meeting::merge_and`]).
#[must_use]
pub fn met_and(meeting: &CounterMeeting, came: Vec<String>) -> Vec<String> {
    let counter = meeting::named(&meeting.counter, meeting.name.as_ref());
    let mut said = vec![format!("Met the counter {counter}.")];
    said.extend(
        meeting.joined.map(|fleet| {
            format!("This record belongs to the fleet {} from now on.", fleet.short())
        }),
    );
    said.extend(came);
    let entries = |n: u64| meeting::counted_of(n, "entry", "entries");
    said.push(match meeting.sent {
        0 => "The counter had all that is here.".to_owned(),
        sent => format!("{} sent, {} of them new there", entries(sent), meeting.new_there),
    });
    if meeting.refused_there > 0 {
        said.push(format!("The counter refused {}.", entries(meeting.refused_there)));
    }
    said
}

/// Stops a meeting.
pub const STOP: &str = "Stop";
/// Meets the counters that are known.
pub const MEET_NOW: &str = "Meet now";
/// Reads the symbol that lets a phone in.
pub const SCAN_SYMBOL: &str = "Scan a counter's symbol";
/// Lets a phone in.
pub const MEET_IT: &str = "Meet it";
/// On a phone: what it is.
pub const PHONE_LEAD: &str = "A counter that let this phone in is met over the shop's network: \
    each takes in what it lacks. It is encrypted, and nothing goes anywhere else.";
/// On a phone that no counter let in.
pub const PHONE_NONE: &str = "No counter let this phone in yet, so it uses no network. Choose \
    “Let a device in” on the counter's screen, and scan the symbol that it shows.";
/// On a phone that meets by itself.
pub const PHONE_BY_ITSELF: &str = "This phone does so by itself while you use it, every few \
    minutes.";
/// Over what came of the last time.
pub const PHONE_LAST: &str = "The last time by itself:";
/// On a phone that doesn't.
pub const PHONE_OFF: &str = "It is switched off in Settings, so this phone uses no network.";
/// What is switched on and off in the settings of a phone.
pub const PHONE_SETTING: &str = "Meet counters over the shop's network";
/// What that is.
pub const PHONE_SETTING_HINT: &str = "Off until a counter lets this phone in. Nothing else uses \
    the network.";

/// Before a phone is let in by a symbol, a sentence a line; `joins` is whether it then belongs to
/// the counter's fleet.
#[must_use]
pub fn asks(invitation: &Invitation, joins: bool) -> Vec<String> {
    let mut at: Vec<String> = invitation.addresses().iter().map(ToString::to_string).collect();
    if at.len() > 1
        && let Some(last) = at.pop()
    {
        at = vec![format!("{} or {last}", at.join(", "))];
    }
    let mut said = vec![format!(
        "This symbol is of the counter {}, at {}. It lets this phone in: each takes in what it \
         lacks of the other, encrypted, over the network that this phone is in.",
        invitation.counter().short(),
        at.concat()
    )];
    if joins {
        said.push(
            "If the counter's record belongs to a fleet, this phone's belongs to it too then."
                .to_owned(),
        );
    }
    said.push("Later they meet by themselves, until you switch that off in Settings.".to_owned());
    said
}

/// Where one of several counters could not be met.
#[must_use]
pub fn not_met(counter: &DeviceId, why: &str) -> String {
    super::sentence(&format!("Counter {}: {why}", counter.short()))
}

/// A counter that is known, and when it was last met.
#[must_use]
pub fn known(counter: &DeviceId, name: Option<&Label>, on: NaiveDate, today: NaiveDate) -> String {
    format!("Counter {}, last met {}", meeting::named(counter, name), day(on, today))
}

/// How far a meeting over a network is.
#[must_use]
pub fn how_far(far: HowFar) -> String {
    let bytes = |n: u64| format!("{} kB", n.div_ceil(1000));
    let entries = |n: u64| meeting::counted_of(n, "entry", "entries");
    match far {
        HowFar::Waits => "Waiting for the other side.".to_owned(),
        HowFar::Came(came, None) => format!("{} came.", bytes(came)),
        HowFar::Came(came, Some(all)) => format!("{} of {} came.", bytes(came), bytes(all)),
        HowFar::TakenIn(taken, all) => format!("{taken} of {} looked at.", entries(all)),
        HowFar::Sent(sent, all) => format!("{} of {} sent.", bytes(sent), bytes(all)),
        HowFar::Entries { read, sent } => format!("{} read, {sent} sent.", entries(read)),
    }
}

/// While one goes on.
pub const UNDER_WAY: &str = "A meeting is under way";
/// What one does meanwhile.
pub const UNDER_WAY_LEAD: &str = "You can go on working here meanwhile.";
/// Before it says how far it is.
pub const BEGINS: &str = "It begins.";
/// Leads to it.
pub const HOW_FAR: &str = "How far is it?";
/// Once it was asked to stop, and until it has.
pub const STOPPING: &str = "It stops as soon as it can. Nothing is left half done.";
/// Over one that was stopped.
pub const STOPPED: &str = "Stopped";
/// Over one that was refused.
pub const NOT_MET: &str = "The meeting did not go through";
/// Over what came before that.
pub const CAME_BEFORE: &str = "Done before that";
/// Over the one that was last.
pub const LAST: &str = "The last meeting";
/// Leads to it.
pub const WHAT_CAME: &str = "What came of it";
/// Where another one is to begin.
pub const ONE_AT_A_TIME: &str = "a meeting is under way at this computer already, and there is one at a \
    time: wait until it is over, or stop it";

/// Over the form that calls others.
pub const CALL: &str = "Call a counter or the branches' server";
/// What it is for.
pub const CALL_LEAD: &str = "From this computer to another: a counter lets it in by the symbol that it \
    shows, and knows it from then on.";
/// Which.
pub const PLACE: &str = "The symbol's text, or an address";
/// How it is typed.
pub const PLACE_HINT: &str = "HWC1:… as the counter shows it, https://… of a counter, or postgres://… of \
    the server. Left empty, every counter that this computer knows is met.";
/// Of a server.
pub const PASS_WORD: &str = "The server's pass word, if it asks for one";
/// The button.
pub const CALL_GO: &str = "Meet";
/// Over what came of it.
pub const MET: &str = "Met";
/// Where what was typed is none.
pub const NO_PLACE: &str = "this is neither a counter's symbol nor an address; copy it again";
/// Where none was met yet.
pub const NO_COUNTER: &str = "this computer knows no counter yet; type the text of the symbol that one \
    shows";
