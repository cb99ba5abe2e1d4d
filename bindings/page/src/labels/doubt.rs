//! The page's own words where something is in doubt, or taken back.

// What looks like a slip.
labels! {
    ASKED_TITLE = "Is that right?";
    ASKED_YES = "Yes, save it";
    ASKED_NO = "No, go back";
}

// Holds by hand.
labels! {
    HOLD = "Put on hold";
    HOLD_TITLE = "Hold and release";
    RELEASE = "Release";
    RELEASE_OF_SET = "Release the set";
    REASON = "Why";
    REASON_HINT = "At most 80 characters";
}

// A hose's place, and which hose it is.
labels! {
    IDENTIFY = "Two hoses with one tag";
    IDENTIFY_THIS = "It is this one";
}

// Taking back.
labels! {
    TAKE_BACK_LINE = "Withdraw";
    TAKE_BACK_TITLE = "Withdraw";
    TAKE_BACK_TOGETHER = "These were recorded together and are withdrawn together.";
    TAKE_BACK_LEAD = "Nothing is erased: the history shows both.";
    TAKE_BACK_ALONE = "Only the chosen one";
    TAKE_BACK_CHOSEN = "Chosen";
    TAKE_BACK_GO = "Withdraw it";
    FLEET_HISTORY_TITLE = "Limits, recalls and devices";
    FLEET_HISTORY_LEAD = "What was recorded about them, to review or withdraw.";
    FLEET_HISTORY_NONE = "Nothing is saved yet.";
}

// Sets.
labels! {
    SET_CHANGE = "Edit, hold or release";
    SET_JOIN = "Merge with another set";
    SET_JOIN_OTHER = "The other set's name or code";
    SET_JOIN_GO = "Merge the sets";
    SET_DISSOLVE = "Dissolve the set";
    SET_DISSOLVE_LEAD = "For a set that no longer exists. Its ports must be empty.";
    SEVERAL_SETS = "Sets of this name";
}

// Recalls.
labels! {
    RECALL_END = "End the recall";
    RECALL_CHECK_OFF = "Check a hose off";
    RECALL_CHECK_OFF_GO = "Check it off";
}

// What a device wrote that is not believed.
labels! {
    JUDGE = "Look through";
    JUDGE_TITLE = "What is not believed";
    JUDGE_NONE = "Every entry of this device is believed.";
    JUDGE_ADMIT = "Believe these entries";
    JUDGE_ADMIT_LEAD = "They were written before devices signed their entries. Only do this for a device that you know.";
    JUDGE_DISMISS = "Dismiss these entries";
    JUDGE_DISMISS_LEAD = "They stay in the histories but no longer raise a warning.";
    JUDGE_LOST = "Declare the missing entries lost";
    JUDGE_LOST_LEAD = "For a device that is gone: entries that nobody else has are lost.";
}
