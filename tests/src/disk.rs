//! A few megabytes of memory as a disk, to be filled up or made read-only: in a namespace of its
//! own if the system allows it, else as root.

#![allow(clippy::expect_used, clippy::panic, reason = "a harness for tests")]

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::desk::binary;

/// Says that this process runs where it may mount.
const INSIDE: &str = "HOSEWRIGHT_TEST_MAY_MOUNT";

/// Runs a test of the calling program again where it may mount; whether this is
/// that run. The test is named by its module (`module_path!()`) and its function.
///
/// # Panics
/// If the test fails there.
#[must_use]
pub fn may_mount(module: &str, test: &str) -> bool {
    if std::env::var_os(INSIDE).is_some() {
        return true;
    }
    let _ = binary();
    let this = std::env::current_exe().expect("a program has a path");
    let (_, module) = module.split_once("::").expect("a test is in a module");
    let again = |mut command: Command| {
        command.args(["--exact", &format!("{module}::{test}"), "--nocapture"]).env(INSIDE, "1");
        command.output().expect("a test runs")
    };
    let mut apart = Command::new("unshare");
    apart.args(["--user", "--map-root-user", "--mount", "--"]).arg(&this);
    let mut asked = Command::new("unshare");
    asked.args(["--user", "--map-root-user", "--mount", "true"]);
    let allowed = asked.output().is_ok_and(|done| done.status.success());
    let done = again(if allowed { apart } else { Command::new(&this) });
    let text = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(done.status.success(), "{text}{}", String::from_utf8_lossy(&done.stderr));
    assert!(text.contains("1 passed"), "{text}");
    false
}

/// A disk of a few megabytes, with a file on it that can be taken away.
pub struct SmallDisk {
    place: PathBuf,
}

impl SmallDisk {
    /// Mounts a disk of so many megabytes in a folder that is made for it.
    ///
    /// # Panics
    /// If nothing can be mounted.
    #[must_use]
    pub fn new(place: PathBuf, megabytes: usize) -> Self {
        fs::create_dir(&place).expect("a folder can be made");
        let size = format!("size={megabytes}m");
        let mounted =
            Command::new("mount").args(["-t", "tmpfs", "-o", &size, "none"]).arg(&place).status();
        assert!(
            mounted.is_ok_and(|status| status.success()),
            "a disk of memory cannot be mounted here: run as root, or allow user namespaces"
        );
        Self { place }
    }

    /// Where it is.
    #[must_use]
    pub fn place(&self) -> &Path {
        &self.place
    }

    /// Fills it but for so many kilobytes.
    ///
    /// # Panics
    /// If it is not as full then as asked.
    pub fn fill(&self, but: usize) {
        let ballast = vec![0; self.free().saturating_sub(but * 1024)];
        let mut file = File::create(self.place.join("ballast")).expect("a file can be made");
        // A last page may be taken by the file's own keeping.
        let _ = file.write_all(&ballast);
        let free = self.free();
        assert!(free <= but * 1024, "{free} bytes are free");
    }

    /// Takes the ballast away.
    ///
    /// # Panics
    /// If there is none.
    pub fn make_room(&self) {
        fs::remove_file(self.place.join("ballast")).expect("the ballast is there");
    }

    /// From here on it can only be read.
    ///
    /// # Panics
    /// If the system refuses that.
    pub fn make_read_only(&self) {
        let mut remount = Command::new("mount");
        remount.args(["-o", "remount,ro"]).arg(&self.place);
        assert!(remount.status().is_ok_and(|status| status.success()), "it stays writable");
    }

    fn free(&self) -> usize {
        let told = Command::new("df").args(["-B1", "--output=avail"]).arg(&self.place).output();
        let told = String::from_utf8_lossy(&told.expect("df runs").stdout).into_owned();
        let free = told.lines().nth(1).map(str::trim).and_then(|line| line.parse().ok());
        free.expect("df names the room")
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.place).status();
    }
}
