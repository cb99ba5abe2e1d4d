#![allow(clippy::unwrap_used)]

use super::*;

fn written(path: &Path, replace: Replace, text: &str) -> Result<(), FileError> {
    let mut file = NewFile::begin(path, replace)?;
    file.write_all(text.as_bytes()).unwrap();
    file.finish()
}

fn names(folder: &Path) -> Vec<String> {
    let files = fs::read_dir(folder).unwrap().flatten();
    files.map(|file| file.file_name().to_string_lossy().into_owned()).collect()
}

#[test]
fn a_file_is_whole_or_not_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a");
    let mut given_up = NewFile::begin(&path, Replace::Nothing).unwrap();
    given_up.write_all(b"half").unwrap();
    drop(given_up);
    assert_eq!(names(folder.path()), Vec::<String>::new());

    let mut late = NewFile::begin(&path, Replace::Nothing).unwrap();
    late.write_all(b"late").unwrap();
    written(&path, Replace::Nothing, "one").unwrap();
    assert!(matches!(late.finish(), Err(FileError::There(_))));
    assert!(matches!(written(&path, Replace::Nothing, "two"), Err(FileError::There(_))));
    assert_eq!(fs::read_to_string(&path).unwrap(), "one");
    written(&path, Replace::File, "three").unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), "three");
    assert_eq!(names(folder.path()), ["a"]);
}

#[test]
fn a_store_that_comes_while_a_file_is_written_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a");
    let mut file = NewFile::begin(&path, Replace::File).unwrap();
    file.write_all(b"a picture").unwrap();
    let mut store = vec![0; 4096];
    store[68..72].copy_from_slice(&STORE_ID.to_be_bytes());
    fs::write(&path, &store).unwrap();
    assert!(matches!(file.finish(), Err(FileError::Store(_))));
    assert_eq!(fs::read(&path).unwrap(), store);
}

#[test]
fn what_is_made_elsewhere_takes_no_place_that_is_taken() {
    let folder = tempfile::tempdir().unwrap();
    let (made, place) = (folder.path().join("made"), folder.path().join("place"));
    fs::write(&made, "new").unwrap();
    assert!(put(&made, &place).unwrap());
    fs::write(&made, "newer").unwrap();
    assert!(!put(&made, &place).unwrap());
    assert_eq!(fs::read_to_string(&place).unwrap(), "new");
}

#[cfg(unix)]
#[test]
fn a_file_keeps_who_may_read_it() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a");
    let mode = || fs::metadata(&path).unwrap().permissions().mode() & 0o777;
    written(&path, Replace::Nothing, "one").unwrap();
    let usual = mode();
    assert_eq!(usual & 0o600, 0o600);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    written(&path, Replace::File, "two").unwrap();
    assert_eq!(mode(), 0o640);
    write_private(&path, b"three").unwrap();
    assert_eq!((mode(), fs::read_to_string(&path).unwrap().as_str()), (0o600, "three"));
    // Beside what others write by the system's own means.
    fs::write(folder.path().join("b"), "").unwrap();
    let theirs = fs::metadata(folder.path().join("b")).unwrap().permissions().mode() & 0o777;
    assert_eq!(usual, theirs);
}
