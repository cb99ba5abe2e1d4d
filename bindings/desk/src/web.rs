//! The page for phones' browsers: the files that any host of files can serve.

use std::fs;
use std::io;
use std::path::Path;

/// A file by its name.
pub type WebFile = (&'static str, &'static [u8]);

/// The files; none if the program was built without them.
pub const FILES: &[WebFile] = include!(concat!(env!("OUT_DIR"), "/web.rs"));

/// Said by a program that was built without them.
pub const WITHOUT: &str = "this hosewright was built without the page for phones' browsers; build it \
    with bindings/web/build, then HOSEWRIGHT_WEB=target/pocket cargo build --release";

/// Writes files into a folder, which is made where there is none. Each is whole before it
/// takes the place of an earlier one, and the one by which browsers find a new version
/// comes last.
pub fn write(files: &[WebFile], folder: &Path) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    let last = |file: &&WebFile| file.0 == SERVICE;
    let (service, others): (Vec<_>, Vec<_>) = files.iter().partition(last);
    for (name, bytes) in others.into_iter().chain(service) {
        let mut part = tempfile::NamedTempFile::new_in(folder)?;
        io::Write::write_all(&mut part, bytes)?;
        readable(part.as_file())?;
        part.persist(folder.join(name))?;
    }
    Ok(())
}

const SERVICE: &str = "service.js";

/// A host of files is often another account.
#[cfg(unix)]
fn readable(file: &fs::File) -> io::Result<()> {
    file.set_permissions(std::os::unix::fs::PermissionsExt::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable(_: &fs::File) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn files_take_the_place_of_earlier_ones_and_leave_others_alone() {
        let folder = tempfile::tempdir().unwrap();
        let site = folder.path().join("site");
        write(&[("index.html", b"one"), (SERVICE, b"one")], &site).unwrap();
        fs::write(site.join("robots.txt"), "mine").unwrap();
        write(&[("index.html", b"two"), (SERVICE, b"two")], &site).unwrap();
        let text = |name: &str| fs::read_to_string(site.join(name)).unwrap();
        assert_eq!([text("index.html"), text(SERVICE), text("robots.txt")], ["two", "two", "mine"]);
        assert_eq!(fs::read_dir(&site).unwrap().count(), 3);
    }
}
