//! Writing files without losing one.

use std::fs::{self, File, OpenOptions};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use crate::failure::Failure;

/// Writes a file. One that is there is refused without `force`; what is
/// written goes beside it first, so that a failure leaves it as it was.
pub fn write<T>(
    path: &Path,
    force: bool,
    write: impl FnOnce(&mut File) -> Result<T, Failure>,
) -> Result<T, Failure> {
    refuse_present(path, force)?;
    let beside = beside(path);
    let file = OpenOptions::new().write(true).create_new(true).open(&beside);
    let mut file = file.map_err(Failure::io(path))?;
    let done = write(&mut file).and_then(|done| {
        file.sync_all().map_err(Failure::io(path))?;
        fs::rename(&beside, path).map_err(Failure::io(path))?;
        Ok(done)
    });
    if done.is_err() {
        let _ = fs::remove_file(&beside);
    }
    done
}

/// Refuses a file that is there already.
pub fn refuse_present(path: &Path, force: bool) -> Result<(), Failure> {
    match fs::symlink_metadata(path) {
        Ok(about) if about.is_dir() => {
            Err(Failure::refused(format!("{} is a folder; name a file", path.display())))
        }
        Ok(_) if !force => Err(Failure::refused(format!(
            "{} is there already; name another file, or write over it with --force",
            path.display()
        ))),
        Err(error) if error.kind() != ErrorKind::NotFound => Err(Failure::io(path)(error)),
        _ => Ok(()),
    }
}

fn beside(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".part-{}", std::process::id()));
    path.with_file_name(name)
}
