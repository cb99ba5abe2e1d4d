//! The page's own words where something is in doubt, or taken back.

// What looks like a slip.
labels! {
    ASKED_TITLE = "Is that right?";
    ASKED_NO = "No, go back";
}

// Holds by hand.
labels! {
    HOLD = "Put on hold";
    HOLD_TITLE = "Hold and release";
    RELEASE = "Release";
    RELEASE_OF_SET = "Release the set";
}

// A hose's place, and which hose it is.
labels! {
    IDENTIFY_THIS = "It is this one";
}

// Taking back.
labels! {
    FLEET_HISTORY_TITLE = "Limits, recalls and devices";
    FLEET_HISTORY_LEAD = "What was recorded about them, to review or withdraw.";
    FLEET_HISTORY_NONE = "Nothing is saved yet.";
}

// Sets.
labels! {
    SET_CHANGE = "Edit, hold or release";
    SEVERAL_SETS = "Sets of this name";
}

// What a device wrote that is not believed.
labels! {
    JUDGE = "Look through";
    JUDGE_TITLE = "What is not believed";
    JUDGE_NONE = "Every entry of this device is believed.";
}
