//! The one table of what can be asked. Hosts answer from it, and tests try every
//! row without a session or a token.

use http::Method;
use percent_encoding::percent_decode_str;

use crate::refusal::Refusal;
use crate::route::{How, Route, Takes, again, done, from, sends, shown, stock, to_all};
use crate::screens::{
    answer, assets, backup, bench, bringing, calendar, care, case, devices, due, folder, forms,
    hold, hoses, identify, job, judging, limits, list, lost, meet, network, order, owner, places,
    recall, record, rental, scan, set_change, set_inspection, sets, show, staff, start, survival,
    swap, tags, take_back, tie, under_way, visitor, watch,
};

/// A row of the table, found by its address.
#[derive(Clone)]
pub struct Found {
    /// The row.
    pub route: &'static Route,
    /// What stands for the names in its path.
    pub(crate) parameters: Vec<(&'static str, String)>,
}

/// Finds what a request asks for.
///
/// # Errors
/// [`Refusal::NoPage`], [`Refusal::NoMethod`], or [`Refusal::Bad`] if the
/// address cannot be read.
pub fn find(method: &Method, path: &str) -> Result<Found, Refusal> {
    let how = match *method {
        Method::GET | Method::HEAD => Some(How::Get),
        Method::POST => Some(How::Post),
        _ => None,
    };
    let rows = ROUTES.iter().filter_map(|route| Some((route, route.parts(path)?)));
    let mut rows = rows.peekable();
    rows.peek().ok_or(Refusal::NoPage)?;
    let (route, parts) = rows.find(|(route, _)| Some(route.how) == how).ok_or(Refusal::NoMethod)?;
    let read = |(name, sent): (&'static str, &str)| {
        let text = percent_decode_str(sent).decode_utf8();
        let text = text.map_err(|_| Refusal::bad("the address or the form cannot be read"))?;
        Ok((name, text.into_owned()))
    };
    let parameters = parts.into_iter().map(read).collect::<Result<_, Refusal>>()?;
    Ok(Found { route, parameters })
}

/// How a path can be asked, as the header `Allow` lists it.
pub fn allowed(path: &str) -> String {
    let rows = ROUTES.iter().filter(|route| route.parts(path).is_some());
    let each: Vec<&str> = rows
        .map(|route| match route.how {
            How::Get => "GET,HEAD",
            How::Post => "POST",
        })
        .collect();
    each.join(",")
}

/// Whether an address is a screen of this page and nothing else: no other site, no
/// question of its own.
pub fn is_screen(path: &str) -> bool {
    let plain = !path.contains(['?', '#', '\\', '\r', '\n']);
    plain && ROUTES.iter().any(|route| route.how == How::Get && route.parts(path).is_some())
}

/// Everything that can be asked.
#[rustfmt::skip]
pub const ROUTES: &[Route] = &[
    to_all(shown("/style.css", assets::style)),
    to_all(shown("/page.js", assets::script)),
    to_all(shown("/lens.js", assets::lens)),
    to_all(shown("/sight.js", assets::sight)),
    to_all(shown("/meeting.js", assets::meeting)),
    to_all(shown("/icon.svg", assets::icon)),
    to_all(shown("/calendar/{address}", calendar::feed)),
    to_all(shown("/login", visitor::login)),
    to_all(done("/login", visitor::sign_in)),
    done("/logout", visitor::sign_out),
    shown("/who", visitor::who),
    again(done("/who", visitor::set_who)),
    shown("/", start::show),
    done("/backup", backup::download),
    shown("/restore", backup::form),
    again(sends(Takes::File, done("/restore", backup::restore))),
    shown("/lost/phone", lost::phone),
    again(done("/lost/phone", lost::dismiss_phone)),
    shown("/lost/laptop", lost::laptop),
    again(done("/lost/laptop", lost::dismiss_laptop)),
    shown("/left", lost::left),
    again(done("/left", lost::dismiss_left)),
    done("/demo", start::open_demo),
    done("/demo/leave", start::leave_demo),
    shown("/scan", scan::typed),
    sends(Takes::Photo, done("/photo", scan::photo)),
    sends(Takes::Frame, done("/frame", scan::frame)),
    shown("/hose/{code}", answer::show),
    shown("/hose/{code}/inspect", forms::inspect),
    again(sends(Takes::Photos, done("/hose/{code}/inspect", forms::inspected))),
    shown("/hose/{code}/photo/{name}", answer::photo),
    shown("/hose/{code}/care", care::forms),
    from("care", done("/hose/{code}/clean", forms::clean)),
    from("care", done("/hose/{code}/home", care::home)),
    from("care", done("/hose/{code}/come-in", care::come_in)),
    from("care", done("/hose/{code}/reseal", forms::reseal)),
    from("care", done("/hose/{code}/recouple", forms::recouple)),
    from("care", done("/hose/{code}/dived", forms::dived)),
    from("care", done("/hose/{code}/bind", forms::bind)),
    shown("/hose/{code}/describe", forms::describe),
    again(done("/hose/{code}/describe", forms::edited)),
    from("care", done("/hose/{code}/retire", forms::retire)),
    from("care", done("/hose/{code}/retag", forms::retag)),
    shown("/hose/{code}/place", places::form),
    from("place", done("/hose/{code}/fit", forms::fit)),
    from("place", done("/hose/{code}/remove", places::remove)),
    from("place", done("/hose/{code}/confirm-place", forms::confirm_place)),
    shown("/hose/{code}/job", job::of_hose),
    shown("/hose/{code}/case", case::of_hose),
    shown("/hose/{code}/case/case.pdf", case::paper_of_hose),
    shown("/hose/{code}/case/entries.jsonl", case::entries_of_hose),
    shown("/hose/{code}/hold", hold::forms),
    again(done("/hose/{code}/hold", forms::hold)),
    from("hold", done("/hose/{code}/release", hold::release)),
    shown("/hose/{code}/identify", identify::form),
    again(done("/hose/{code}/identify", forms::identified)),
    shown("/take-back/{entry}", take_back::form),
    again(done("/take-back/{entry}", take_back::write)),
    stock("all", shown("/hose/{code}/swap", swap::choose)),
    shown("/swap/{old}/{new}", swap::show),
    again(done("/swap/{old}/{new}", swap::step)),
    shown("/swap/{old}/{new}/another", swap::another),
    again(done("/swap/{old}/{new}/another", swap::exchange)),
    done("/swap/{old}/{new}/back", swap::back),
    done("/swap/{old}/{new}/give-up", swap::give_up),
    shown("/bench", bench::doors),
    shown("/bench/{tool}", bench::table),
    shown("/hoses", hoses::list),
    shown("/register", forms::register),
    again(done("/register", forms::registered)),
    shown("/sets", sets::list),
    shown("/sets/new", sets::form),
    again(done("/sets/new", sets::write)),
    shown("/set/{name}", sets::show),
    shown("/set/{name}/job", job::of_set),
    shown("/set/{name}/case", case::of_set),
    shown("/set/{name}/case/case.pdf", case::paper_of_set),
    shown("/set/{name}/case/entries.jsonl", case::entries_of_set),
    shown("/set/{name}/change", set_change::forms),
    again(done("/set/{name}/change", set_change::change)),
    from("change", done("/set/{name}/hold", set_change::hold)),
    from("change", done("/set/{name}/release", set_change::release)),
    from("change", done("/set/{name}/tag", set_change::tag)),
    from("change", done("/set/{name}/dived", set_change::dived)),
    from("change", done("/set/{name}/join", set_change::join)),
    from("change", done("/set/{name}/home", set_change::home)),
    from("change", done("/set/{name}/come-in", set_change::come_in)),
    from("change", done("/set/{name}/dissolve", set_change::dissolve)),
    shown("/set/{name}/inspect", set_inspection::form),
    again(done("/set/{name}/inspect", set_inspection::write)),
    shown("/set/{name}/fill", sets::fill),
    again(done("/set/{name}/fill", sets::filled)),
    shown("/set/{name}/out", rental::check),
    again(done("/set/{name}/out", rental::hand_out)),
    from("..", done("/set/{name}/go", rental::go)),
    from("..", done("/set/{name}/unpack", rental::unpack)),
    shown("/set/{name}/slip", rental::slip),
    shown("/set/{name}/in", rental::form),
    again(sends(Takes::Photos, done("/set/{name}/in", rental::take_back))),
    shown("/set/{name}/returned", rental::returned),
    shown("/return", rental::form_of_any),
    shown("/owner", owner::doors),
    shown("/owner/due", due::show),
    shown("/owner/due/print", due::print),
    shown("/owner/due/calendar.ics", calendar::file),
    shown("/owner/calendar", calendar::show),
    from("..", done("/owner/calendar/new", calendar::renew)),
    from("..", done("/owner/calendar/off", calendar::end)),
    shown("/owner/order", order::show),
    shown("/owner/ages", owner::ages),
    shown("/owner/survival", survival::show),
    shown("/owner/recall", recall::show),
    again(done("/owner/recall", recall::start)),
    done("/owner/recall/found", recall::found),
    shown("/owner/recall/scan", recall::show),
    from("..", done("/owner/recall/scan", recall::scanned)),
    from("..", done("/owner/recall/end", recall::end)),
    from("..", done("/owner/recall/check-off", recall::check_off)),
    shown("/owner/history", take_back::of_fleet),
    shown("/owner/limits", limits::show),
    again(done("/owner/limits", limits::set)),
    shown("/owner/limits/check", limits::check),
    shown("/owner/meet", meet::doors),
    from("..", done("/owner/meet/show", show::begin)),
    shown("/owner/meet/film", show::film),
    shown("/owner/meet/film/strip", show::strip),
    shown("/owner/meet/film/film.png", show::picture),
    from("..", done("/owner/meet/folder", folder::begin)),
    shown("/owner/meet/folder", folder::shown),
    from("..", done("/owner/meet/folder/take", folder::take)),
    from("..", done("/owner/meet/call", network::called)),
    shown("/owner/meet/under-way", under_way::show),
    from("..", done("/owner/meet/under-way/stop", under_way::stop)),
    shown("/owner/meet/network", network::show),
    from("..", done("/owner/meet/network/open", network::open)),
    from("..", done("/owner/meet/network/close", network::close)),
    from("..", done("/owner/meet/network/let-in", network::invite)),
    from("..", done("/owner/meet/network/forget", network::forget)),
    shown("/owner/meet/network/symbol", network::symbol),
    from("symbol", done("/owner/meet/network/end-symbol", network::uninvite)),
    shown("/owner/meet/watch", watch::screen),
    sends(Takes::Frame, done("/owner/meet/watch/frame", watch::frame)),
    from("..", done("/owner/meet/watch/stop", watch::stop)),
    from("..", done("/owner/meet/watch/forget", watch::forget)),
    from("..", done("/owner/meet/watch/take", watch::take)),
    shown("/owner/record", record::show),
    shown("/owner/record/export.jsonl", record::export),
    shown("/owner/record/template.csv", record::template_csv),
    shown("/owner/record/bundle.hwbundle", record::bundle),
    from("..", sends(Takes::File, done("/owner/record/entries", bringing::entries))),
    shown("/owner/record/entries", bringing::shown),
    from("..", done("/owner/record/entries/take", bringing::take)),
    from("..", sends(Takes::File, done("/owner/record/since", record::since))),
    from("..", sends(Takes::File, done("/owner/record/list", list::send))),
    shown("/owner/record/list", list::plan),
    from("..", done("/owner/record/list/take", list::take)),
    shown("/owner/staff", staff::list),
    again(done("/owner/staff", staff::add)),
    from("..", done("/owner/staff/seen", staff::seen)),
    shown("/owner/staff/{person}", staff::show),
    again(done("/owner/staff/{person}", staff::change)),
    from("..", done("/owner/staff/{person}/pin", staff::pin)),
    from("..", done("/owner/staff/{person}/no-pin", staff::no_pin)),
    shown("/owner/staff/{person}/left", staff::leaves),
    again(done("/owner/staff/{person}/left", staff::left)),
    shown("/owner/devices", devices::show),
    again(done("/owner/devices", devices::word)),
    from("..", done("/owner/devices/found", devices::found)),
    from("..", done("/owner/devices/join", devices::join)),
    from("..", done("/owner/devices/words", devices::words)),
    from("..", done("/owner/devices/seal", devices::seal)),
    from("..", done("/owner/devices/replace", devices::replace)),
    from("..", done("/owner/devices/take-in", devices::take_in)),
    from("..", done("/owner/devices/follow", devices::follow)),
    shown("/owner/devices/entries", judging::show),
    from("entries", done("/owner/devices/admit", judging::admit)),
    from("entries", done("/owner/devices/dismiss", judging::dismiss)),
    from("entries", done("/owner/devices/lost", judging::lost)),
    from("..", done("/owner/devices/recover", devices::recover)),
    shown("/tags", tags::choose),
    shown("/tags/sheet.pdf", tags::pdf),
    shown("/tags/ruler.pdf", tags::ruler),
    shown("/tags/tags.csv", tags::list),
    shown("/tags/tags.svg", tags::symbols),
    shown("/tie/{code}", tie::choose),
    shown("/tags/{code}/tag.svg", tags::picture),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_leads_to_screens_of_ours_alone() {
        for to in ["/scan", "/set/Blue%201/out", "/swap/A/B", "/tags", "/owner/recall"] {
            assert!(is_screen(to), "{to}");
        }
        for to in [
            "",
            "//elsewhere.example",
            "https://elsewhere.example",
            "/scan?x=1",
            "/set//out",
            "/\\elsewhere.example",
            "scan",
            "/nothing",
            "/scan\r\nX: y",
            "/set/../../out",
        ] {
            assert!(!is_screen(to), "{to}");
        }
    }
}
