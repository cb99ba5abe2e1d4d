//! What buttons, headings and fields are called on a phone.

use hosewright_core::view::Action;
use hosewright_core::words::{counters, labels, set_form, sight, tags};

use crate::Words;

macro_rules! of_phones {
    ($($name:ident = $words:expr;)+) => {
        /// What buttons, headings and fields are called.
        #[allow(missing_docs, reason = "each is called what it says")]
        #[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
        pub struct Labels { $(pub $name: Words),+ }

        /// What buttons, headings and fields are called; asked once.
        #[uniffi::export(name = "labels")]
        #[must_use]
        pub fn all_labels() -> Labels {
            Labels { $($name: $words.into()),+ }
        }
    };
}

of_phones! {
    scan = labels::SCAN;
    looking = labels::SCAN_LOOKING;
    sets = labels::SETS;
    due = labels::DUE;
    age = labels::AGE;
    looked_over = labels::LOOKED_OVER;
    dives = labels::DIVES;
    place = labels::WHERE;
    record = labels::RECORD;
    history = labels::HISTORY;
    new_set = set_form::NEW;
    hoses = labels::HOSES_TITLE;
    find = labels::FIND;
    more = labels::MORE;
    start_again = labels::START_AGAIN;
    finished = labels::FINISHED;
    register_it = Action::Register { tag: None }.in_words();
    new_hose = "New hose";
    code_on_tag = "Code on the tag";
    settings = "Settings";
    help = "Help";
    answer = "Answer";
    read_aloud = "Read aloud";
    photos = "Photos";
    take_photo = "Take a photo";
    choose_photo = "Choose a photo";
    leave_photo = "Leave the photo out";
    print_tags = tags::TAGS_TITLE;
    share_file = "Share";
    next_90_days = "90 days";
    next_year = "1 year";
    your_name = "Your name, kept with what you record";
    asking = "One moment";
    close = "Close";
    torch_on = "Torch on";
    torch_off = "Torch off";
    zoom = "Zoom";
    less_glare = "Darker, against glare";
    usual_light = "Usual brightness";
    camera_picture = "Camera picture: hold a tag in front of it";
    read_chip = "Read a chip";
    write_chip = "Write a chip";
    hold_chip = "Hold the chip to the back of the phone, near its top";
    overwrite = "Overwrite it";
    take_in = "Import it";
    leave_it = "Cancel";
    use_name = "Use this name";
    who_writes = "Who writes this?";
    another_chip = "Another chip";
    share_and_receive = "Share and receive";
    share_record = "Share the whole record";
    receive_record = "Import a file";
    share_damaged = "Share the damaged record that was set aside";
    salvage = "Save what can be read";
    network = counters::TITLE;
    stop = counters::STOP;
    by_sight = sight::TITLE;
    film_shown = sight::SHOWN;
    show_here = sight::HOLDS;
    show_all = sight::SHOW_ALL;
    show_rest = sight::SHOW_REST;
    start_film = sight::START;
    pause_film = sight::PAUSE;
    pace_of_film = sight::PACE;
    film_watched = sight::WATCHED;
    watch_film = sight::WATCH;
    stop_film = sight::STOP;
    forget_films = sight::FORGET;
}
