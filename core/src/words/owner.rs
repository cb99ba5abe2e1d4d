//! The words of the owner's forms: recalls, devices, what is not believed, and sets
//! that are one, gone or at home.

/// Starts a recall.
pub const RECALL: &str = "Start the recall";
/// Beside a recalled hose that is in someone's hand.
pub const RECALL_FOUND: &str = "Found and set aside";
/// Over the form that takes a hose off a recall.
pub const RECALL_CHECK_OFF: &str = "Check a hose off";
/// Its button.
pub const RECALL_CHECK_OFF_GO: &str = "Check it off";
/// Ends a recall.
pub const RECALL_END: &str = "End the recall";
/// The code of a hose.
pub const CODE: &str = "Code";

/// Believes entries that are not signed.
pub const ADMIT: &str = "Believe these entries";
/// When to do that.
pub const ADMIT_LEAD: &str = "They were written before devices signed their entries. Only do this \
    for a device that you know.";
/// Dismisses entries that are not believed.
pub const DISMISS: &str = "Dismiss these entries";
/// What that does.
pub const DISMISS_LEAD: &str = "They stay in the histories but no longer raise a warning.";
/// Gives up entries that nobody has.
pub const LOST: &str = "Declare the missing entries lost";
/// When to do that.
pub const LOST_LEAD: &str = "For a device that is gone: entries that nobody else has are lost.";

/// Over the form for what a device may record.
pub const PERMISSIONS: &str = "Device permissions";
/// Its button.
pub const PERMISSIONS_GO: &str = "Save permissions";
/// Which device.
pub const DEVICE: &str = "The device's number, or how it starts";
/// What it may record.
pub const DEVICE_MAY: &str = "What it may record from now on";
/// What a device is called.
pub const DEVICE_NAME: &str = "Its name";
/// Whether what it wrote before counts too.
pub const FROM_START: &str = "Apply this to what it wrote before, too";
/// Over the form that begins a fleet.
pub const FOUND: &str = "Set up a fleet";
/// Its button.
pub const FOUND_GO: &str = "Set up the fleet and show its key";
/// Over the form that joins a fleet.
pub const JOIN: &str = "Join a fleet";
/// Its button.
pub const JOIN_GO: &str = "Join";
/// Which fleet.
pub const FLEET: &str = "The fleet's full number, as its owner's device shows it";
/// Over the owner's key.
pub const KEY: &str = "The owner's key";
/// What can be done about it at a counter, where others stand.
pub const KEY_LEAD: &str = "Its words are shown here once, when the fleet is set up, and never again. \
    Check what you have on paper before you need it.";
/// Checks the words.
pub const KEY_GO: &str = "Check the words";
/// They are right.
pub const KEY_RIGHT: &str = "These are the owner's words.";
/// They are not.
pub const KEY_WRONG: &str = "these are the words of another key, and not of this fleet's";
/// Asks for the pass phrase of the owner's key.
pub const KEY_PASS_TITLE: &str = "The owner's key is needed";
/// Its field.
pub const KEY_PASS: &str = "Pass phrase of the owner's key";
/// Its button.
pub const KEY_PASS_GO: &str = "Go on";
/// Over the form that puts the owner's key under a pass phrase.
pub const SEAL: &str = "A pass phrase for the owner's key";
/// Why.
pub const SEAL_LEAD: &str = "Under a pass phrase, whoever takes this computer can't admit a device. It is \
    asked for whenever the owner's key is used.";
/// The field.
pub const SEAL_PASS: &str = "New pass phrase";
/// How it is chosen.
pub const SEAL_HINT: &str = "At least 12 characters; four words do well.";
/// Its button.
pub const SEAL_GO: &str = "Save the pass phrase";
/// Over the form that replaces the owner's key.
pub const REPLACE: &str = "Replace the owner's key";
/// When to do that.
pub const REPLACE_LEAD: &str = "After a theft, or when someone who knows the words leaves. A new key is \
    made and its words are shown once. Every device follows it as it hears of it, and the old key admits \
    nobody any more.";
/// The words of the key that is replaced.
pub const REPLACE_WORDS: &str = "The 24 words of today's key";
/// Since when somebody else may have had it.
pub const REPLACE_SINCE: &str = "First day on which somebody else may have had the key";
/// What that does.
pub const REPLACE_SINCE_HINT: &str = "What the old key granted from that day on counts no more. Leave \
    it empty if nobody had it.";
/// Its button.
pub const REPLACE_GO: &str = "Replace it and show the new words";
/// Over the form that takes another fleet in.
pub const TAKE_IN: &str = "Take another fleet in";
/// What that does.
pub const TAKE_IN_LEAD: &str = "For a centre that becomes part of this one. Let its record come in here \
    first; then all that its devices wrote is believed, as it was there. Its owner then lets it follow.";
/// Its button.
pub const TAKE_IN_GO: &str = "Take it in";
/// Over the form with which a fleet follows another.
pub const FOLLOW: &str = "Follow another fleet";
/// When to do that.
pub const FOLLOW_LEAD: &str = "Once the other owner took this fleet in, and its record came in here. From \
    then on both are one, under the other owner's key.";
/// Its button.
pub const FOLLOW_GO: &str = "Follow it";
/// Over the form that brings the owner's key here.
pub const RECOVER: &str = "Recover the owner's key on this device";
/// Its button.
pub const RECOVER_GO: &str = "Save it here";
/// The key as words.
pub const RECOVER_WORDS: &str = "Its 24 words";

/// A customer's hose or set goes home.
pub const SEND_HOME: &str = "Send home with its customer";
/// It comes in again.
pub const COME_IN: &str = "Back in for service";
/// Under which ticket.
pub const NEW_TICKET: &str = "The new ticket";
/// Over the form that says that two sets are one.
pub const SET_JOIN: &str = "Merge with another set";
/// Its button.
pub const SET_JOIN_GO: &str = "Merge the sets";
/// Which other set.
pub const SET_JOIN_OTHER: &str = "The other set's name or code";
/// Dissolves a set.
pub const SET_DISSOLVE: &str = "Dissolve the set";
/// When to do that.
pub const SET_DISSOLVE_LEAD: &str = "For a set that no longer exists. Its ports must be empty.";
/// Gives a set a new tag.
pub const SET_TAG: &str = "Give the set a new tag";
/// If it has none.
pub const SET_TAG_NONE: &str = "The set has no tag yet.";
/// Before its tag.
pub const SET_TAG_OWN: &str = "The set's own tag, on its first stage:";
