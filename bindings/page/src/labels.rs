//! The page's own words: headings, buttons and what stands beside fields. What
//! is said about a hose comes from the core and is not here.

// Sentences about a hose, which the core has.
pub use hosewright_core::words::form::{
    DESCRIBE, REGISTER as REGISTER_TITLE, REGISTER_LEAD, REGISTERED, WELCOME as EMPTY_TITLE,
};
pub use hosewright_core::words::notices::{
    BARCODE_LEADS_TOO as BIND_LEAD, CLEANED as CLEAN_LEAD, NO_FREE_PORT as FIT_NO_PORT, NO_HISTORY,
    NO_REPLACEMENT as SWAP_NONE, NONE_IN_SERVICE as SURVIVAL_NONE, OLD_TAG_WITHDRAWN as RETAG_LEAD,
    RECALL_HOLDS as RECALL_START_LEAD, RETIRED_FOR_GOOD as RETIRE_LEAD, SWAP_FINISHED,
    UNTICKED_IS_LOOKED_AT as QUICK_LEAD,
};

macro_rules! labels {
    ($($name:ident = $text:literal;)+) => { $(pub const $name: &str = $text;)+ };
}

mod doubt;

pub use doubt::*;

// Around every screen.
labels! {
    NAME = "Hosewright";
    SKIP = "Skip to the page";
    DOOR_SCAN = "Scan";
    DOOR_HOSES = "Hoses";
    DOOR_SETS = "Sets";
    DOOR_OWNER = "Owner";
    DOOR_TAGS = "Tags";
    SCAN_A_HOSE = "Scan a hose, or type its code";
    SCAN_SHORT = "Code";
    SCAN_GO = "Go";
    SCAN_CAMERA = "Camera";
    SCAN_STOP = "Stop";
    SCAN_PHOTO = "Photo";
    SCAN_READ_PHOTO = "Read photo";
    SCAN_LOOKING = "Hold the tag in the picture.";
    SCAN_NO_CAMERA = "The camera cannot be used. Take a photo, or type the code.";
    SCAN_FOR_SET = "Scan every hose, in any order";
    SCAN_NEW_HOSE = "Scan the new hose";
    SCAN_FOUND_HOSE = "Scan a hose that was found";
    SCAN_FOR_TAGS = "Scan a hose to print its tag";
    DEMO_BANNER = "Demonstration: an invented dive centre.";
    DEMO_LEAVE = "Leave";
    WRITING_AS = "Writing as";
    CHANGE = "Change";
    SIGN_OUT = "Sign out";
    TODAY = "Today is";
}

// The start.
labels! {
    START_TITLE = "May this hose go in the water?";
    START_LEAD = "Scan the tag on a hose. A scanner that types, the camera, a photo or the keyboard: all go into the box above.";
    EMPTY_LEAD = "There are two ways in.";
    EMPTY_DEMO = "Look round first";
    EMPTY_DEMO_LEAD = "Open an invented dive centre with five years of history. It stays apart from your own record, and goes when the desk is closed.";
    EMPTY_DEMO_GO = "Open the demonstration";
    EMPTY_FIRST = "Begin with your own";
    EMPTY_FIRST_LEAD = "Register the first hose, print its tag, tie it on. It takes two minutes.";
    EMPTY_FIRST_GO = "Register the first hose";
    EMPTY_LIST_GO = "Or take in a list that you have";
    TRY_THESE = "Try these";
    TRY_LEAD = "Hoses of the demonstration, one of each answer:";
    START_HOSES = "Every hose, and how it stands";
    START_SETS = "Regulator sets: hand out, take back";
    START_OWNER = "What is due, what to order, how long hoses last, recalls";
    START_TAGS = "Print tags for hoses";
}

// A hose.
labels! {
    WHY = "Why";
    AGE_AND_CARE = "Age and care";
    AGE = "Age";
    LOOKED_OVER = "Looked over";
    DIVES = "Dives";
    DUE = "Due";
    WHERE = "Where";
    RECORD = "Record";
    HISTORY = "History";
    ALL_ACTIONS = "Write down";
    FULL = "Full inspection";
    QUICK = "Quick look";
    LEAK = "Leak test";
    RESEAL = "New O-rings";
    RECOUPLE = "New coupling";
    CLEAN = "Clean";
    SWAP = "Swap";
    SWAP_ON = "Go on with the swap";
    RETIRE = "Retire";
    PLACE = "Fit or move";
    RETAG = "New tag";
    BIND = "Bind a barcode";
    BIND_TEXT = "What the barcode says: scan it into this field";
    PRINT_TAG = "Print its tag";
    REGISTER_IT = "Register this hose";
    FIND_RECALLED = "Set aside for the recall";
    TAKE_BACK_SET = "Take its set back";
    SCAN_ANOTHER = "Scan another hose";
    SEE_ITS_OWN = "See the hose";
    WRITTEN = "Written down.";
    SAVE = "Write it down";
    CANCEL = "Back to the hose";
    ON_DAY = "Day, where it was not today";
    NOTE = "Note";
    NOTE_HINT = "Not needed";
}

// Looking a hose over.
labels! {
    NOTHING_FOUND = "Looked at, nothing found";
    FOUND_HERE = "Found here:";
    LAST_TIME = "Last time";
    LAST_TIME_NOTHING = "Last time: nothing found";
    FULL_LEAD = "Every place needs an answer.";
    RESULT = "Did nothing leak?";
    PASSED = "Passed: nothing leaked";
    FAILED = "Failed: it leaked";
    PRESSURE = "Pressure";
    PRESSURE_HINT = "as 200 bar or 3000 psi; needed where nothing leaked";
    METHOD = "How it was tested";
    COUNT = "How many";
    PHOTO_OF_IT = "Photo of it";
    PHOTO_HINT = "JPEG or PNG; kept small, without the place where it was taken.";
    WHICH_END = "Which end?";
    END_A = "At the first stage";
    END_B = "At the far end";
    SEAL_SIZE = "Size of the O-ring, as its dash number";
    RETIRE_WHY = "Why";
    RETAG_EMPTY = "Leave the field empty to draw a new code.";
    RETAG_CODE = "Code of a tag that was printed blank";
    CARE_TITLE = "Care";
}

// Places and sets.
labels! {
    SETS_TITLE = "Regulator sets";
    SETS_OUT = "Out, to come back";
    SETS_ALL = "All sets";
    SETS_NONE = "No such set is on record.";
    NEW_SET = "New set";
    SET_NAME = "Name";
    SET_USE = "Who dives with it";
    SET_RENTAL = "Rental";
    SET_PERSONAL = "Personal";
    SET_HP = "High-pressure ports, 7/16-20";
    SET_LP = "Low-pressure ports, 3/8-24";
    SET_LP_WIDE = "Low-pressure ports, 1/2-20";
    SET_HP_OLD = "High-pressure ports, 3/8-24 (old first stages)";
    SET_UNKNOWN = "3/8-24 ports of which nobody knows whether they give high or low pressure";
    SET_DEVICES = "In a port instead of a hose";
    SET_DEVICES_HINT = "as LP4=relief valve, HP2=transmitter";
    OXYGEN = "Cleaned for oxygen";
    KIND_NOT_KNOWN = "kind not known";
    KIND_LP = "low pressure";
    KIND_HP = "high pressure";
    PORT_GIVES = "What the port gives:";
    GREASE = "Grease on the O-rings, where the hose is cleaned for oxygen";
    GREASE_OXYGEN = "for oxygen";
    GREASE_OTHER = "other";
    GREASE_NOT_ASKED = "the hose is not for oxygen";
    SET_PORTS = "Ports";
    SET_TAG_OWN = "The set's own tag, for its first stage:";
    SET_TAG_NONE = "The set has no tag of its own yet.";
    SET_TAG_NEW = "Give the set a new tag";
    PORT = "Port";
    HOLDS = "In it";
    HAND_OUT = "Hand out";
    TAKE_BACK = "Take back";
    SET = "Set";
    TICKET = "Ticket";
    TICKET_HINT = "A number, never a person's name";
    SINCE = "Since";
    TO_STOCK = "Take it off, to stock";
    FIT_IN = "Fit it in a port";
    FIT_CHOOSE = "Choose the set";
    FIT = "Fit";
    MORE = "More";
    FIRST_PAGE = "From the beginning";
}

// Rental.
labels! {
    OUT_TITLE = "Hand out";
    OUT_GO = "Hand it out";
    OUT_FOUND = "Found";
    OUT_MISSING = "Missing";
    OUT_FOREIGN = "Not of this set";
    OUT_STOPS = "What stops it";
    OUT_WATCH = "Say to the hirer";
    OUT_OVER = "Hand it out nevertheless";
    OUT_NAME = "Your name";
    OUT_WHY = "Reason";
    OUT_AGAIN = "Begin the scan again";
    OUT_OF = "of";
    IN_TITLE = "Take back";
    IN_DIVES = "Dives made with it";
    IN_DIVES_UNKNOWN = "Nobody knows";
    IN_LOOK = "Every hose, and a quick look at it";
    IN_HERE = "Here";
    IN_MISSING = "Missing";
    IN_LOST = "The hoses that did not come back";
    SCAN_RETURN = "Scan the hoses that came back";
    IN_GO = "Take it back";
    IN_SEEN = "Something was seen";
    IN_HOSES = "The hoses that came back";
    IN_QUARANTINE = "In quarantine";
}

// Swap.
labels! {
    SWAP_TITLE = "Swap";
    SWAP_ALL = "Look through the whole stock";
    SWAP_CHOOSE = "Which hose goes on?";
    SWAP_FITS = "In stock, and fits";
    SWAP_NOT = "In stock, and does not fit";
    SWAP_ORDER = "To order";
    SWAP_STEP = "Step";
    SWAP_DONE = "Done";
    SWAP_GIVE_UP = "Give the swap up";
    SWAP_GIVE_UP_WHY = "Why";
    SWAP_STEPS = "All steps";
    SWAP_OFF = "off";
    SWAP_ON_WORD = "on";
    SWAP_ANSWER = "Answer";
    SWAP_GOOD = "They are good";
    SWAP_MISSING = "One is missing";
    SWAP_DAMAGED = "One is damaged";
    SWAP_TORQUE = "Torque, where it was measured";
    SWAP_TORQUE_HINT = "as 5 N·m";
    SWAP_STOCK = "To stock";
    SWAP_RETIRE = "Retire it";
    SWAP_SCAN = "Scan it, or type its code";
}

// Registering.
labels! {
    SERVICE = "What it does";
    SERVICE_SECOND = "Breathing: to a second stage";
    SERVICE_INFLATOR = "Inflating: to a jacket, wing or dry suit";
    SERVICE_GAUGE = "High pressure: to a gauge or transmitter";
    CONSTRUCTION = "How it is built";
    RUBBER = "Rubber";
    BRAIDED = "Braided";
    LENGTH = "Length with its unit";
    LENGTH_HINT = "as 22 in or 56 cm";
    FITTING_A = "Thread at the first stage";
    FITTING_A_USUAL = "The usual one";
    FITTING_A_WIDE = "1/2-20 (a few designs)";
    FITTING_B = "Far end";
    FITTING_B_USUAL = "The usual one";
    FITTING_B_OWN = "The maker's own fitting, named here:";
    MADE = "Made";
    BOUGHT = "Bought";
    IN_SERVICE = "In service since, before this record";
    DATE_HINT = "as 2023, 2023-05 or 2023-05-20";
    MAKER = "Maker, as printed on it";
    LOT = "Lot, as printed on it";
    LOT_SHORT = "Lot";
    MODEL = "Model, as printed on it";
    MADE_SPAN = "Made from and to";
    MADE_SPAN_HINT = "as 2022-01..2022-06; may stay empty";
    SEND_HOME = "It went home with its customer";
    COME_IN = "It came in again";
    NEW_TICKET = "The new ticket";
    OWN_NUMBER = "Your own number for it";
    OWN_NUMBER_HINT = "as LP-17";
    OWN_NOTE = "Note";
    TICKET_OF_CUSTOMER = "Ticket, where it is a customer's";
    TICKET_OF_CUSTOMER_HINT = "a number, never a name; empty for the centre's own";
    PROTECTOR = "A sleeve covers an end";
    BLANK_TAG = "Code of a tag that was printed blank, where one is on it";
    REGISTER_GO = "Register";
}

// Lists.
labels! {
    HOSES_TITLE = "Hoses";
    BEGINS = "Begins with";
    HOSES_NONE = "No hose on record begins so.";
    VERDICT = "Verdict";
    CODE = "Code";
    HOSE = "Hose";
    FILTER = "Show";
    CSV = "Download as CSV";
}

// The owner's questions.
labels! {
    OWNER_TITLE = "For the owner";
    DUE_TITLE = "What is due";
    DUE_LEAD = "Every inspection, leak test and replacement, overdue first.";
    DUE_NOTHING = "Nothing is due up to";
    DUE_UNTIL = "Due up to";
    WITHIN = "Look ahead";
    BY_DAY = "By";
    WHAT = "What";
    ORDER_TITLE = "What to order";
    ORDER_LEAD = "Hoses to buy for those that have to be replaced, what is in stock set against it.";
    ORDER_NOTHING = "Nothing has to be replaced up to";
    ORDER_BUY = "Buy";
    ORDER_NEED = "Needed";
    ORDER_STOCK = "In stock";
    ORDER_FOR = "In place of";
    AGES_TITLE = "How old the fleet is";
    AGES_LEAD = "Hoses by years, from made and in service.";
    AGES_MADE = "From made";
    AGES_SERVICE = "In service";
    AGES_YEARS = "Years";
    AGES_HOSES = "Hoses";
    AGES_CHART_MADE = "Hoses by years from made; ?: unknown";
    AGES_CHART_SERVICE = "Hoses by years in service; ?: never fitted";
    AGES_UNKNOWN = "Unknown";
    AGES_NEVER = "Never fitted";
    AGES_ALL = "All";
    AGES_RETIRED = "Out of service, and not counted here:";
    SURVIVAL_TITLE = "How long hoses last";
    SURVIVAL_LEAD = "The share of hoses that lasts, by years in service, with its 95 % band.";
    SURVIVAL_BY = "Told apart by";
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
    SURVIVAL_NEVER = "Never in service, and not counted here:";
    SURVIVAL_CHART = "% that last, by years in service";
    RECALL_TITLE = "Recalls";
    RECALL_LEAD = "Every hose that a recall means or could mean, where it is, and which have been found.";
    RECALL_NONE = "Nothing is under a recall.";
    RECALL_LOOK = "Look up what a maker names";
    RECALL_START = "Start the recall";
    RECALL_WHY = "Why";
    RECALL_TRACE = "Recall";
    RECALL_TO_FIND = "To find";
    RECALL_FOUND = "Found";
    RECALL_FOUND_GO = "Found, set aside";
    RECALL_NEAR = "Near this spelling";
    PAGE_OF = "Rows";
}

// Limits.
labels! {
    LIMITS_TITLE = "Limits";
    LIMITS_LEAD = "How long a hose may serve, how many dives, how often it is looked over; and who says so.";
    LIMITS_HOLD = "What holds";
    LIMITS_ON = "Limit on";
    LIMITS_PERSONAL = "Personal";
    LIMITS_RENTAL = "Rental";
    LIMITS_RULES = "The owner's rules, from general to particular";
    LIMITS_SET = "Set limits";
    LIMITS_SET_UNKNOWN_DIVES = "Set dives a day";
    LIMITS_SET_LEAD = "What is left empty stays as it is.";
    LIMITS_UNKNOWN_DIVES = "Dives a day where a return does not know";
    LIMITS_WHICH_USE = "In which use";
    LIMITS_WHICH_SERVICE = "Which service";
    LIMITS_WHICH_CONSTRUCTION = "Which construction";
    LIMITS_ANY = "Any";
    LIMITS_TIME_HINT = "as 60m or 5y";
    LIMITS_DIVES_HINT = "a number, or none";
}

// The record in and out.
labels! {
    RECORD_TITLE = "Record in and out";
    RECORD_LEAD = "Take in a list of hoses or what another device wrote; take the whole record away.";
    RECORD_LIST = "A list of hoses that you have";
    RECORD_LIST_LEAD = "A spreadsheet, saved as CSV. What would be registered is shown first.";
    RECORD_FILE = "File";
    RECORD_LIST_GO = "Show what would be registered";
    RECORD_ENTRIES = "What another device wrote";
    RECORD_ENTRIES_LEAD = "A bundle (.hwbundle) or an export (.jsonl). Which it is, is told by its content; what is here already changes nothing.";
    RECORD_PARTIAL = "Of an export with bad lines, take the good ones";
    RECORD_ENTRIES_GO = "Take it in";
    RECORD_OUT = "Take the record away";
    RECORD_OUT_LEAD = "The whole of it, in one file: a bundle for another device, an export as lines of text.";
    RECORD_BUNDLE = "Download a bundle";
    RECORD_EXPORT = "Download an export";
    RECORD_SINCE_LEAD = "Only what another device lacks: choose a bundle that it made.";
    RECORD_SINCE_GO = "Download what it lacks";
    RECORD_CAME = "What came";
    RECORD_BACK = "Back to the record";
    BRING_TITLE = "Who wrote in it";
    BRING_LEAVE_OUT = "Leave out what these wrote";
    BRING_OTHERS = "The others";
    RECORD_LINE = "Line";
    RECORD_NOT_TAKEN = "Lines that were not taken";
    PLAN_TITLE = "What would be registered";
    PLAN_NOTHING = "Nothing is written yet.";
    PLAN_NUMBER = "Own number";
    PLAN_TAG = "Tag";
    PLAN_GO = "Register them";
    PLAN_GO_PARTIAL = "Register these, leave out the rest";
    PLAN_REFUSED = "Rows that are not understood";
    PLAN_REPEATED = "Rows that repeat another";
    PLAN_STOCK = "To stock instead";
    PLAN_ASSUMED = "Taken for granted";
    PLAN_LINES = "lines";
    PLAN_IGNORED = "Columns that are not read:";
    PLAN_TAKEN = "Registered";
    PLAN_TAGS = "Print their tags";
}

// Devices.
labels! {
    DEVICES_TITLE = "Devices";
    DEVICES_LEAD = "Which devices write in this record, and which are believed.";
    DEVICES_OWN = "This record";
    DEVICES_ALL = "Every device";
    DEVICES_DEVICE = "Device";
    DEVICES_ENTRIES = "Entries";
    DEVICES_NEWEST = "Newest";
    DEVICES_ROLE = "Role";
    DEVICES_NOTE = "Note";
    DEVICES_CHANGE = "Change";
    DEVICES_BELIEVED = "believed";
    DEVICES_WORD = "The owner's word on a device";
    DEVICES_NUMBER = "The device's number, or its beginning";
    DEVICES_WHAT = "What it may write from here on";
    DEVICES_NAME = "What people call it";
    DEVICES_FROM_START = "What it wrote so far is judged by this too";
    DEVICES_WORD_GO = "Say so";
    DEVICES_FOUND = "Found a fleet";
    DEVICES_FOUND_GO = "Found a fleet, and show its key";
    DEVICES_JOIN = "Join a fleet";
    DEVICES_FLEET = "The fleet's whole number, as its owner's device shows it";
    DEVICES_JOIN_GO = "Join";
    DEVICES_WORDS = "The owner's key";
    DEVICES_WORDS_GO = "Show its words again";
    DEVICES_RECOVER = "Bring the owner's key to this device";
    DEVICES_RECOVER_WORDS = "Its 24 words";
    DEVICES_RECOVER_GO = "Keep it here";
    DEVICES_BACK = "Back to the devices";
}

// Tags.
labels! {
    TAGS_TITLE = "Print tags";
    TAGS_LEAD = "Choose the hoses and how they are printed. Try one page before you print many.";
    TAGS_WHICH = "Which hoses";
    TAGS_OF_SET = "Of a set";
    TAGS_CODES = "Codes";
    TAGS_CODES_HINT = "as many as you like, spaces between them";
    TAGS_ALL = "Every hose in service";
    TAGS_BLANK = "Blank tags, for hoses to come";
    TAGS_SIZE = "Width of a tag";
    TAGS_FORM = "Form";
    TAGS_SHEET_A4 = "Sheet, A4";
    TAGS_SHEET_LETTER = "Sheet, Letter";
    TAGS_ROLL = "Label roll: one tag a label";
    TAGS_WRAP_A4 = "Strips that wrap round the hose, A4";
    TAGS_WRAP_LETTER = "Strips that wrap round the hose, Letter";
    TAGS_DPI = "The printer's dots an inch";
    TAGS_DIAMETER = "How thick the hose is";
    TAGS_GRID = "Columns and rows, of a sheet of labels";
    TAGS_GRID_HINT = "as 4x8; empty: as many as fit";
    TAGS_PREVIEW = "Preview";
    TAGS_PDF = "Open the PDF";
    TAGS_RULER = "Test page for the ruler";
    TAGS_RULER_LEAD = "Print it at its own size (100 %, no scaling), and lay a ruler on the measure at its foot.";
    TAGS_EACH = "Each tag:";
    TAGS_NONE = "No hose is chosen yet.";
}

// Visitors and refusals.
labels! {
    LOGIN_TITLE = "Pass phrase";
    LOGIN_LEAD = "This desk is open to other devices in the shop. Its pass phrase is known at the counter.";
    LOGIN_PLAIN = "The way from here to the desk is not encrypted: use it in a network that you trust.";
    LOGIN_GO = "Open";
    LOGIN_WRONG = "that is not the pass phrase";
    WHO_TITLE = "Who is writing?";
    WHO_LEAD = "The name that stands in the record beside what you write down. A nickname does.";
    WHO_NAME = "Name";
    WHO_GO = "Write as this name";
    COUNTING_TITLE = "Counting";
    COUNTED_BEFORE = "What was written in the last moments is not counted here yet.";
    COUNTED_AGAIN = "Show it again";
    REFUSED_TITLE = "That did not work";
    REFUSED_UNCHANGED = "Nothing was changed.";
    REFUSED_GO_BACK = "What you filled in is still there: go back to it with the browser's own button.";
    REFUSED_FILE = "A file that was chosen has to be chosen again.";
    REFUSED_STILL_HERE = "What you filled in is still below.";
    REFUSED_NEAR = "Did you mean";
    REFUSED_BACK = "Back to the start";
}
