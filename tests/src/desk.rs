//! The command line as a person uses it: the real binary, an empty folder, and
//! what it said.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use serde_json::Value;
use tempfile::TempDir;

/// The day on which the tests play, unless they say another.
pub const TODAY: &str = "2026-06-15";

/// If the binary is; it is built once for each run of the tests.
///
/// # Panics
/// If it cannot be built: no test of it means anything then.
#[must_use]
#[allow(clippy::panic, reason = "a harness for tests")]
pub fn binary() -> &'static Path {
    static BINARY: OnceLock<PathBuf> = OnceLock::new();
    BINARY.get_or_init(|| {
        let cargo = option_env!("CARGO").unwrap_or("cargo");
        let profile = if cfg!(debug_assertions) { "dev" } else { "release" };
        // Of the whole workspace, so that it shares what the tests were built from.
        let build = ["build", "-q", "--workspace", "--bin", "hosewright", "--profile", profile];
        let built = Command::new(cargo).args(build).status();
        let this = std::env::current_exe().unwrap_or_default();
        // target/debug/deps/command_line-0123: the binary is two folders up.
        let name = format!("hosewright{}", std::env::consts::EXE_SUFFIX);
        let found = this.ancestors().map(|folder| folder.join(&name)).find(|path| path.is_file());
        match (built.is_ok_and(|status| status.success()), found) {
            (true, Some(path)) => path,
            _ => panic!("the binary hosewright could not be built"),
        }
    })
}

/// A folder of its own with a store in it.
pub struct Desk {
    folder: TempDir,
}

/// What a command said and how it ended.
pub struct Said {
    /// 0, 1 or 2; -1 where it was killed.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Desk {
    /// An empty folder.
    ///
    /// # Panics
    /// If the system gives no folder.
    #[must_use]
    #[allow(clippy::expect_used, reason = "a harness for tests")]
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().expect("a folder") }
    }

    /// A file in the folder.
    #[must_use]
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The store's file.
    #[must_use]
    pub fn store(&self) -> PathBuf {
        self.path("store.hosewright")
    }

    /// A command that is not run yet: in the folder, on the day of the tests.
    #[must_use]
    pub fn command<I: AsRef<OsStr>>(&self, arguments: impl IntoIterator<Item = I>) -> Command {
        let mut command = Command::new(binary());
        command.current_dir(self.folder.path());
        for name in ["HOSEWRIGHT_BY", "HOSEWRIGHT_SEED", "HOSEWRIGHT_STOP_AT", "NO_COLOR"] {
            command.env_remove(name);
        }
        command.env("HOSEWRIGHT_KEYS", self.path("keys"));
        command.env("HOSEWRIGHT_STORE", self.store()).env("USER", "tester");
        command.args(["--today", TODAY]).args(arguments);
        command
    }

    /// Runs a command whose arguments have no spaces, as it is typed.
    #[must_use]
    pub fn run(&self, line: &str) -> Said {
        self.run_args(line.split_whitespace())
    }

    /// Runs a command.
    #[must_use]
    pub fn run_args<I: AsRef<OsStr>>(&self, arguments: impl IntoIterator<Item = I>) -> Said {
        said(self.command(arguments).output())
    }

    /// Runs a command that must succeed, and returns its first line.
    ///
    /// # Panics
    /// If it does not.
    pub fn done(&self, line: &str) -> String {
        let said = self.run(line);
        assert_eq!(said.code, 0, "{line}\n{}{}", said.out, said.err);
        said.out.lines().next().unwrap_or_default().to_owned()
    }

    /// The JSON that a command prints, whatever its exit code.
    ///
    /// # Panics
    /// If it prints something else.
    #[must_use]
    #[allow(clippy::panic, reason = "a harness for tests")]
    pub fn json(&self, line: &str) -> Value {
        let said = self.run(&format!("{line} --json"));
        serde_json::from_str(&said.out)
            .unwrap_or_else(|e| panic!("{line}: {e}\n{}{}", said.out, said.err))
    }

    /// The whole record, for comparing before and after.
    #[must_use]
    pub fn export(&self) -> String {
        self.run("export").out
    }

    /// Registers a braided second-stage hose and returns its code.
    pub fn hose(&self) -> String {
        self.done(
            "register --service second-stage --construction braided --length 22in --end-a 3/8-24 \
             --end-b 9/16-18 --made 2024-03 --maker Kelpline --lot B17",
        )
    }

    /// Registers a rubber gauge hose and returns its code.
    pub fn gauge_hose(&self) -> String {
        self.done(
            "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 \
             --end-b 7/16-20 --made 2024-03",
        )
    }
}

impl Default for Desk {
    fn default() -> Self {
        Self::new()
    }
}

/// What a command said.
///
/// # Panics
/// If it could not be run.
#[allow(clippy::panic, reason = "a harness for tests")]
#[must_use]
pub fn said(output: std::io::Result<Output>) -> Said {
    let output = output.unwrap_or_else(|e| panic!("the binary could not be run: {e}"));
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Said {
        code: output.status.code().unwrap_or(-1),
        out: text(&output.stdout),
        err: text(&output.stderr),
    }
}
