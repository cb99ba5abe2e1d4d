//! The page's own words: headings, buttons and what is beside fields. What
//! is said about a hose comes from the core and is not here.

// Sentences about a hose, which the core has.
pub use hosewright_core::words::form::{
    IDENTIFY, REGISTER as REGISTER_TITLE, REGISTERED, WELCOME as EMPTY_TITLE,
};
pub use hosewright_core::words::notices::{
    NO_HISTORY, NO_REPLACEMENT as SWAP_NONE, NONE_IN_SERVICE as SURVIVAL_NONE, SWAP_FINISHED,
};
pub use hosewright_core::words::screens::*;
pub use hosewright_core::words::tags::{
    TAGS_ALL, TAGS_FORM, TAGS_IN_ORDER, TAGS_LABELS, TAGS_ROLL, TAGS_SHEET_A4, TAGS_SHEET_LETTER,
    TAGS_SIZE, TAGS_TITLE, TIE, TIE_LEAD, TIE_NONE, TIE_SCAN,
};

// What is called the same on phones and in the terminal.
pub use hosewright_core::words::care::{CHOOSE_SET as FIT_CHOOSE, PLACE, TO_STOCK, WHY};
pub use hosewright_core::words::inspection::{HAND_OUT, SCAN_SET, TAKE_BACK};
pub use hosewright_core::words::labels::*;
pub use hosewright_core::words::owner::{CODE, SET_TAG_NONE, SET_TAG_OWN};
pub use hosewright_core::words::swap::TITLE as SWAP_TITLE;
pub use hosewright_core::words::withdrawal::{
    CHOSEN as TAKE_BACK_CHOSEN, LEAD as TAKE_BACK_LEAD, TOGETHER as TAKE_BACK_TOGETHER,
    WITHDRAW as TAKE_BACK_TITLE,
};

/// Who writes on a device where nobody has said yet who they are.
pub const NOBODY: &str = "nobody yet";

macro_rules! labels {
    ($($name:ident = $text:literal;)+) => { $(pub const $name: &str = $text;)+ };
}

mod doubt;

pub use doubt::*;

// Around every screen.
labels! {
    NAME = "Hosewright";
    SKIP = "Skip to the page";
    DOOR_TODAY = "Today";
    DOOR_HOSES = "Hoses";
    DOOR_OWNER = "Owner";
    DOOR_TAGS = "Tags";
    SCAN_A_HOSE = "Scan a hose, or type its code";
    SCAN_SHORT = "Code";
    SCAN_GO = "Go";
    SCAN_CAMERA = "Camera";
    SCAN_STOP = "Stop";
    SCAN_PHOTO = "Photo";
    SCAN_READ_PHOTO = "Read photo";
    SCAN_TORCH = "Lamp";
    SCAN_ZOOM = "Closer";
    SCAN_NO_CAMERA = "The camera isn't available. Take a photo, or type the code.";
    SCAN_NEW_HOSE = "Scan the new hose";
    SCAN_FOR_TAGS = "Scan a hose to print its tag";
    DEMO_BANNER = "Demonstration: an invented dive centre.";
    DEMO_LEAVE = "Leave";
    WRITING_AS = "Recording as";
    CHANGE = "Change";
    SIGN_OUT = "Sign out";
    TODAY = "Today is";
}

// The start.
labels! {
    EMPTY_DEMO = "Look around first";
    EMPTY_DEMO_LEAD = "Open an invented dive centre with five years of history. It is kept apart from your own record and is gone when Hosewright is closed.";
    EMPTY_DEMO_GO = "Open the demonstration";
    EMPTY_FIRST = "Start with your own";
    EMPTY_FIRST_GO = "Register the first hose";
    EMPTY_LIST_GO = "Or import a list";
    TRY_THESE = "Try these";
    TRY_LEAD = "Hoses of the demonstration, one of each answer:";
    TODAY_TITLE = "Today";
    TODAY_ALL = "All of them";
    BENCH_OTHERS = "The other tables";
    START_TAGS = "Print tags for hoses";
}

// A hose.
labels! {
    AGE_AND_CARE = "Age and care";
    ALL_ACTIONS = "Actions";
    WRITTEN = "Saved.";
    CANCEL = "Back to the hose";
    SET_BACK = "Back to the set";
    JOB_BACK = "Back";
    NOTE_HINT = "Optional";
}

// Looking a hose over.
labels! {
    CARE_TITLE = "Care";
}

// Places and sets.
labels! {
    SETS_TITLE = "Regulator sets";
    SETS_OUT = "Out, to come back";
    SETS_ALL = "All sets";
    SETS_NONE = "No such set on record.";
    NEW_SET = "New set";
    PATTERNS = "Begin with a usual set:";
    ANOTHER = "Another like this";
    FILL = "Scan a hose for";
    FILL_SCAN = "Scan a hose for this port";
    FILL_LEAD = "The next empty port follows by itself.";
    FILL_GO = "Put it in";
    KIND_NOT_KNOWN = "kind not known";
    SET_PORTS = "Ports";
    PORT = "Port";
    HOLDS = "In it";
    SET = "Set";
    SINCE = "Since";
    FIRST_PAGE = "From the beginning";
}

// Rental.
labels! {
    OUT_AGAIN = "Start the scan again";
    OUT_REMOVE = "Remove";
    OUT_OF = "of";
}

// Swap.
labels! {
    SWAP_ALL = "Show the whole stock";
    SWAP_FITS = "In stock, and fits";
    SWAP_NOT = "In stock, and does not fit";
    SWAP_ORDER = "To order";
    SWAP_STEPS = "All steps";
    SWAP_OFF = "off";
    SWAP_ON_WORD = "on";
}

// Registering.
labels! {
    MADE = "Made";
    MAKER = "Maker, as printed on it";
    LOT = "Lot, as printed on it";
    LOT_SHORT = "Lot";
    MODEL = "Model, as printed on it";
    MADE_SPAN = "Made from and to";
    MADE_SPAN_HINT = "as 2022-01..2022-06; may stay empty";
}

// Lists.
labels! {
    HOSES_EVERY = "Show every hose";
    FOUND_TITLE = "Which hose?";
    FOUND_LEAD = "These have";
    FOUND_NEAR = "No hose has it; these come near";
    BEGINS = "Starts with";
    VERDICT = "Verdict";
    HOSE = "Hose";
    FILTER = "Show";
    CSV = "Download as CSV";
    COPY = "Copy";
    COPIED = "Copied";
}

// The owner's questions.
labels! {
    OWNER_TITLE = "For the owner";
    DUE_TITLE = "What is due";
    DUE_NOTHING = "Nothing is due up to";
    DUE_UNTIL = "Due up to";
    CALENDAR_OPEN = "Open in a calendar";
    WITHIN = "Look ahead";
    BY_DAY = "By";
    WHAT = "What";
    ORDER_TITLE = "What to order";
    ORDER_BUY = "Buy";
    ORDER_NEED = "Needed";
    ORDER_STOCK = "In stock";
    ORDER_FOR = "Replaces";
    AGES_TITLE = "How old the fleet is";
    AGES_MADE = "From made";
    AGES_SERVICE = "In service";
    AGES_YEARS = "Years";
    AGES_HOSES = "Hoses";
    AGES_CHART_MADE = "Hoses by years from made; ?: unknown";
    AGES_CHART_SERVICE = "Hoses by years in service; ?: never fitted";
    AGES_UNKNOWN = "Unknown";
    AGES_NEVER = "Never fitted";
    AGES_ALL = "All";
    AGES_RETIRED = "Retired, not counted here:";
    SURVIVAL_TITLE = "How long hoses last";
    SURVIVAL_BY = "Group by";
    SURVIVAL_TOGETHER = "All together";
    SURVIVAL_MAKER = "Maker";
    SURVIVAL_LOT = "Lot";
    SURVIVAL_CONSTRUCTION = "Construction";
    SURVIVAL_GROUP = "Group";
    SURVIVAL_RETIRED = "Retired";
    SURVIVAL_SERVING = "Serving";
    SURVIVAL_MEDIAN = "Half have failed by";
    SURVIVAL_NOT_YET = "not yet";
    SURVIVAL_STEPS = "The steps of the curve";
    SURVIVAL_DAYS = "Days";
    SURVIVAL_AT_RISK = "Followed";
    SURVIVAL_FAILED = "Failed";
    SURVIVAL_LASTS = "Lasts, %";
    SURVIVAL_LOWER = "at least, %";
    SURVIVAL_UPPER = "at most, %";
    SURVIVAL_NEVER = "Never in service, not counted here:";
    SURVIVAL_SURE = "How sure";
    RECALL_TITLE = "Recalls";
    RECALL_LOOK = "Look up a recall";
    RECALL_TRACE = "Recall";
    RECALL_TO_FIND = "To find";
    PAGE_OF = "Rows";
}

// Limits.
labels! {
    LIMITS_TITLE = "Limits";
    LIMITS_HOLD = "Limits in force";
    LIMITS_ON = "Limit";
    LIMITS_PERSONAL = "Personal";
    LIMITS_RENTAL = "Rental";
    LIMITS_NOW = "Now";
    LIMITS_THEN = "Then";
    LIMITS_RULES = "The owner's limits, general ones first";
}

// The record in and out.
labels! {
    MEET_TITLE = "Meet another device";
    MEET_LEAD = "By sight, from screen to camera, in a shared folder, or by a file: both records then have what either had.";
    MEET_BACK = "Back to the meeting";
    MEET_FILE = "By a file";
    MEET_FILE_LEAD = "A bundle on a stick or in a message, both ways.";
    FOLDER_TITLE = "In a shared folder";
    FOLDER_LEAD = "On a stick, or in a folder that a program keeps alike on several computers: what others left there comes in, and the whole record is left for them.";
    FOLDER = "The folder";
    FOLDER_HINT = "Its whole path on this computer, such as /media/stick/hoses or E:\\hoses. If it is not there yet, it is made.";
    FOLDER_WHOLE = "type the whole path of the folder, from its drive or its root on";
    FOLDER_DEMO = "the demonstration is invented; leave it first, and meet with your own record";
    FOLDER_GO = "Meet there";
    FOLDER_MET = "Met in the folder";
    FOLDER_NOBODY = "No other device left anything there yet.";
    NETWORK_GO = "Devices in the network";
    NETWORK_BACK = "Back to the network";
    NETWORK_DEMO = "the demonstration is invented; leave it first";
    NETWORK_ROLE = "a device that comes in is not dismissed";
    FOLDER_LEFT = "Left for the others:";
    FILM_GONE = "This film is not kept here any more. Begin it again.";
    FILM_TAKE = "Take it in";
    SIGHT_FAILED = "Watching stopped. Turn the camera on again.";
    RECORD_TITLE = "Import and export";
    RECORD_LIST = "Import a list of hoses";
    RECORD_LIST_LEAD = "A spreadsheet saved as CSV. You see what would be registered before anything is saved.";
    RECORD_TEMPLATE_LEAD = "Headings in English, German, French, Spanish or Italian are understood, in any order. Or fill in this one.";
    RECORD_TEMPLATE = "Download a list to fill in";
    RECORD_FILE = "File";
    RECORD_LIST_GO = "Show what would be registered";
    RECORD_ENTRIES = "Import another device's record";
    RECORD_ENTRIES_LEAD = "A bundle (.hwbundle), an export (.jsonl), or a film as a picture (.png). Entries that are here already change nothing.";
    RECORD_PARTIAL = "If an export has bad lines, import the good ones";
    RECORD_ENTRIES_GO = "Import";
    RECORD_OUT = "Export the record";
    RECORD_OUT_LEAD = "The whole record in one file: a bundle for another device, or an export as lines of text.";
    RECORD_BUNDLE = "Download a bundle";
    RECORD_EXPORT = "Download an export";
    RECORD_SINCE_LEAD = "Only what another device is missing: choose a bundle that it made.";
    RECORD_SINCE_GO = "Download what it is missing";
    RECORD_CAME = "Imported";
    RECORD_BACK = "Back to the record";
    BRING_TITLE = "Who wrote these entries";
    BRING_LEAVE_OUT = "Leave out entries by these";
    BRING_OTHERS = "The others";
    RECORD_LINE = "Line";
    RECORD_NOT_TAKEN = "Lines that were not imported";
    PLAN_TITLE = "What would be registered";
    PLAN_NOTHING = "Nothing is saved yet.";
    PLAN_NUMBER = "Own number";
    PLAN_TAG = "Tag";
    PLAN_GO = "Register them";
    PLAN_GO_PARTIAL = "Register these, leave out the rest";
    PLAN_BEFORE = "Before";
    PLAN_MATCH = "Columns that are not understood";
    PLAN_MATCH_LEAD = "Say what they are, or leave them out.";
    PLAN_MATCH_NONE = "Leave it out";
    PLAN_MATCH_GO = "Read the list again";
    PLAN_SETS = "Sets that are not on record";
    PLAN_SETS_NO = "No: their hoses go to stock";
    PLAN_SETS_RENTAL = "Yes, for rental";
    PLAN_SETS_PERSONAL = "Yes, for personal use";
    PLAN_SETS_MADE = "Sets";
    PLAN_ALREADY = "Already here";
    PLAN_ALREADY_LEAD = "These rows say what is on record already. Nothing is saved for them.";
    PLAN_REFUSED = "Rows with errors";
    PLAN_REPEATED = "Duplicate rows";
    PLAN_STOCK = "To stock instead";
    PLAN_ASSUMED = "Assumed";
    PLAN_IGNORED = "Columns not used:";
    PLAN_TAKEN = "Registered";
    PLAN_TAGS = "Print their tags";
}

// Devices.
labels! {
    DEVICES_TITLE = "Devices";
    DEVICES_LEAD = "The devices that write to this record, and which of them are believed.";
    DEVICES_OWN = "This record";
    DEVICES_ALL = "Every device";
    DEVICES_DEVICE = "Device";
    DEVICES_ENTRIES = "Entries";
    DEVICES_NEWEST = "Newest";
    DEVICES_ROLE = "Role";
    DEVICES_NOTE = "Note";
    DEVICES_CHANGE = "Change";
    STAFF_LEAD = "Who works here, what each may do, badges and PINs.";
    STAFF_CHANGE = "Change";
    STAFF_SEEN = "Seen";
    STAFF_DISMISS = "Dismiss this device";
    DEVICES_BELIEVED = "believed";
    DEVICES_BACK = "Back to the devices";
}

// Tags.
labels! {
    TAGS_WHICH = "Which hoses";
    TAGS_OF_SET = "Of a set";
    TAGS_CODES = "Codes";
    TAGS_CODES_HINT = "any number, separated by spaces";
    TAGS_BLANK = "Blank tags, for hoses to come";
    TAGS_WRAP_A4 = "Strips that wrap round the hose, A4";
    TAGS_WRAP_LETTER = "Strips that wrap round the hose, Letter";
    TAGS_DPI = "Printer resolution, dots per inch";
    TAGS_DIAMETER = "Outside diameter of the hose";
    TAGS_GRID = "Columns and rows, of a sheet of labels";
    PICK_ORDER = "Order";
    PICK_TEXT = "Text of the symbol";
    TAGS_PICK = "List to pick by, as CSV";
    TAGS_SYMBOLS = "Symbols for an engraver, as SVG";
    TAGS_CODES_CSV = "Codes for an engraver, as CSV";
    TAGS_BLANK_NEW = "Every file of blank tags has codes of its own.";
    TAGS_TYING = "Tying them on";
    TAGS_ROLL_LABEL = "Label of the roll, width x height";
    TAGS_ROLL_LABEL_HINT = "as 57x32mm; empty: as large as the tag";
    TIE_TITLE = "Tie a tag on a hose";
    TIE_GO = "Tie it on";
    TAGS_GRID_HINT = "as 4x8; empty: as many as fit";
    TAGS_PREVIEW = "Preview";
    TAGS_PDF = "Open the PDF";
    TAGS_RULER = "Test page for the ruler";
    TAGS_RULER_LEAD = "Print it at 100 % (no scaling) and check the scale at the bottom with a ruler.";
    TAGS_EACH = "Each tag:";
}

// Visitors and refusals.
labels! {
    LOGIN_TITLE = "Pass phrase";
    LOGIN_LEAD = "This desk is open to other devices in the shop. Ask at the counter for the pass phrase.";
    LOGIN_GO = "Open";
    LOGIN_WRONG = "wrong pass phrase";
    LOGIN_PIN = "Or by your name";
    LOGIN_NAME = "Name";
    LOGIN_PIN_GO = "Open by PIN";
    LOGIN_PIN_WRONG = "that name and PIN do not go together";
    WHO_TITLE = "Who is writing?";
    WHO_LEAD = "This name is kept with everything you record. A nickname is fine.";
    WHO_NAME = "Name";
    WHO_GO = "Use this name";
    REFUSED_TITLE = "That did not work";
    REFUSED_UNCHANGED = "Nothing was changed.";
    REFUSED_GO_BACK = "Your entries are still there: use the browser's Back button.";
    REFUSED_FILE = "Choose the file again.";
    REFUSED_STILL_HERE = "Your entries are still below.";
    REFUSED_NEAR = "Did you mean";
    REFUSED_BACK = "Back to the start";
}
