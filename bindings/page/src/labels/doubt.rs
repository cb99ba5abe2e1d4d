//! The page's own words where something is in doubt, or taken back.

// What looks like a slip.
labels! {
    ASKED_TITLE = "Is that right?";
    ASKED_YES = "Yes, write it down";
    ASKED_NO = "No, go back";
}

// Holds by hand.
labels! {
    HOLD = "Put on hold";
    HOLD_TITLE = "Hold and release";
    HOLD_INCIDENT = "After an accident, or the suspicion of one";
    HELD_BY = "by";
    RELEASE = "Release";
    RELEASE_NONE = "Nothing holds it by hand.";
    RELEASE_OF_SET = "Release the set";
    REASON = "Why";
    REASON_HINT = "At most 80 characters";
}

// A hose's place, and which hose it is.
labels! {
    CONFIRM_PLACE = "Confirm its place";
    CONFIRM_LEAD = "Look where the hose is. If that is where the record shows it, confirm it; else fit it or take it off here.";
    IDENTIFY = "Two hoses, one tag";
    IDENTIFY_LEAD = "Which of these is the hose in your hand? It gets a new tag, with a full inspection; the old tag answers no more.";
    IDENTIFY_THIS = "It is this one";
    IDENTIFY_NONE = "One hose was registered with this tag.";
    IDENTIFY_GO = "Give it the new tag";
}

// Descriptions.
labels! {
    DESCRIBE_WHY = "Why what was written down is wrong";
    DESCRIBE_WHY_HINT = "As: read off the hose. With a reason this replaces the earlier description. Without one both are judged, and the worse counts; a date or a lot that was not known needs one.";
    BRING_IN = "Bring in a record";
}

// Taking back.
labels! {
    TAKE_BACK_LINE = "Withdraw";
    TAKE_BACK_TITLE = "Withdraw";
    TAKE_BACK_TOGETHER = "These were written together and are taken back together.";
    TAKE_BACK_LEAD = "Nothing is erased: the history shows both.";
    TAKE_BACK_ALONE = "Only the one that was chosen";
    TAKE_BACK_CHOSEN = "Chosen";
    TAKE_BACK_GO = "Withdraw it";
    FLEET_HISTORY_TITLE = "Limits, recalls and devices";
    FLEET_HISTORY_LEAD = "What was written about them, to look through and to take back.";
    FLEET_HISTORY_NONE = "Nothing is written yet.";
}

// Sets.
labels! {
    SET_CHANGE = "Change, hold, release";
    SET_CHANGE_IT = "Change the set";
    SET_CHANGE_GO = "Change it";
    SET_WHY_HINT = "Needed where it takes away what spoke against a hose";
    SET_JOIN = "It is the same set as another";
    SET_JOIN_LEAD = "Where two devices put one set on record: it then has the hoses, holds and hand-outs of both.";
    SET_JOIN_OTHER = "The other set's name or code";
    SET_JOIN_GO = "They are one";
    SET_DISSOLVE = "Dissolve the set";
    SET_DISSOLVE_LEAD = "For a set that is no more. Its ports have to be empty.";
    SEVERAL_SETS = "Sets of this name";
}

// Recalls.
labels! {
    RECALL_END = "End the recall";
    RECALL_CHECK_OFF = "Check a hose off";
    RECALL_CHECK_OFF_LEAD = "For a hose that the recall does not mean, as the owner found.";
    RECALL_CHECK_OFF_GO = "Check it off";
}

// What a device wrote that is not believed.
labels! {
    JUDGE = "Look through";
    JUDGE_TITLE = "What is not believed";
    JUDGE_NONE = "Every entry of this device is believed.";
    JUDGE_ADMIT = "Believe these entries";
    JUDGE_ADMIT_LEAD = "They were written before devices signed what they write. Say so only of a device that you know.";
    JUDGE_DISMISS = "Dismiss these entries";
    JUDGE_DISMISS_LEAD = "They stay in the histories, and ask for no more attention.";
    JUDGE_LOST = "Declare the missing entries lost";
    JUDGE_LOST_LEAD = "For a device that is gone: what it wrote and nobody has will never come.";
}
