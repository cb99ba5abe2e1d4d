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
}

// A hose's place, and which hose it is.
labels! {
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
    SEVERAL_SETS = "Sets of this name";
}

// What a device wrote that is not believed.
labels! {
    JUDGE = "Look through";
    JUDGE_TITLE = "What is not believed";
    JUDGE_NONE = "Every entry of this device is believed.";
}
