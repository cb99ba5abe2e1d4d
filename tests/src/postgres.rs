//! A PostgreSQL server of its own for a test: Debian's, in a folder that goes with it.

use std::ffi::OsStr;
use std::io::Write;
use std::net::TcpListener;
use std::os::unix::fs::{MetadataExt, chown};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use tempfile::TempDir;

/// The account that a server runs under where the tests are run by root, whom it refuses.
const ACCOUNT: &str = "postgres";

/// A server that runs, until it is dropped.
pub struct Server {
    folder: TempDir,
    programs: PathBuf,
    port: u16,
    process: Option<Child>,
}

#[allow(clippy::expect_used, clippy::panic, reason = "a harness for tests")]
impl Server {
    /// Makes one and starts it.
    ///
    /// # Panics
    /// If PostgreSQL is not there, or does not start.
    #[must_use]
    pub fn start() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        if is_root() {
            let (user, group) = account();
            chown(folder.path(), Some(user), Some(group)).expect("the folder for its account");
        }
        let mut server = Self { folder, programs: programs(), port: 0, process: None };
        let data = server.data();
        let mut make = server.program("initdb");
        make.arg("-D").arg(&data).args([
            "-A",
            "trust",
            "-U",
            "desk",
            "-N",
            "-E",
            "UTF8",
            "--no-locale",
        ]);
        let made = make.output().expect("initdb");
        assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
        server.port = TcpListener::bind("127.0.0.1:0")
            .and_then(|free| free.local_addr())
            .map_or(0, |address| address.port());
        server.run();
        server
    }

    /// A file among its settings: a certificate, a key.
    ///
    /// # Panics
    /// If it cannot be written.
    pub fn keep(&self, name: &str, text: &str) -> PathBuf {
        let path = self.data().join(name);
        std::fs::write(&path, text).expect("a file");
        let mode = std::os::unix::fs::PermissionsExt::from_mode(0o600);
        std::fs::set_permissions(&path, mode).expect("its permissions");
        if is_root() {
            let (user, group) = account();
            chown(&path, Some(user), Some(group)).expect("the file for its account");
        }
        path
    }

    /// Adds settings; it is stopped and started for them.
    ///
    /// # Panics
    /// If they cannot be written, or it does not start with them.
    pub fn set(&mut self, settings: &str) {
        self.kill();
        let path = self.data().join("postgresql.conf");
        let mut file = std::fs::OpenOptions::new().append(true).open(path).expect("its settings");
        writeln!(file, "{settings}").expect("its settings");
        self.run();
    }

    /// Starts it again after [`Server::kill`].
    ///
    /// # Panics
    /// If it does not start.
    pub fn run(&mut self) {
        let mut run = self.program("postgres");
        run.arg("-D").arg(self.data()).args(["-p", &self.port.to_string()]);
        run.args(["-c", "listen_addresses=127.0.0.1", "-c", "unix_socket_directories="]);
        let log = std::fs::File::create(self.folder.path().join("log")).expect("its log");
        run.args(["-c", "fsync=off"]).stdout(Stdio::null()).stderr(log);
        self.process = Some(run.spawn().expect("postgres"));
        for _ in 0..1_500 {
            let mut ready = self.program("pg_isready");
            ready.args(["-q", "-h", "127.0.0.1", "-p", &self.port.to_string()]);
            if ready.status().is_ok_and(|status| status.success()) {
                return;
            }
            sleep(Duration::from_millis(20));
        }
        let log = std::fs::read_to_string(self.folder.path().join("log")).unwrap_or_default();
        panic!("postgres did not start: {log}");
    }

    /// Kills it and all its processes at once.
    pub fn kill(&mut self) {
        let Some(mut process) = self.process.take() else { return };
        // The first line of this file is the number of its first process; the others end with it.
        let id = std::fs::read_to_string(self.data().join("postmaster.pid")).unwrap_or_default();
        match id.lines().next() {
            // Whoever started it under its account ends with it.
            Some(id) => drop(Command::new("kill").args(["-9", id]).status()),
            None => drop(process.kill()),
        }
        let _ = process.wait();
        let _ = std::fs::remove_file(self.data().join("postmaster.pid"));
    }

    /// Its address, with options behind it.
    #[must_use]
    pub fn address(&self, options: &str) -> String {
        format!("postgres://desk@127.0.0.1:{}/postgres{options}", self.port)
    }

    /// What it answers to some SQL, a row a line.
    ///
    /// # Panics
    /// If it refuses it.
    #[must_use]
    pub fn ask(&self, sql: &str) -> String {
        let mut ask = self.program("psql");
        ask.args(["-h", "127.0.0.1", "-p", &self.port.to_string(), "-U", "desk", "-d", "postgres"]);
        ask.args(["-v", "ON_ERROR_STOP=1", "-qAtc", sql]);
        let said = ask.output().expect("psql");
        assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
        String::from_utf8_lossy(&said.stdout).trim().to_owned()
    }

    fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    /// One of its programs, under an account that it accepts.
    fn program(&self, name: &str) -> Command {
        let path = self.programs.join(name);
        let mut command = if is_root() {
            let mut command = Command::new("runuser");
            command.args([
                OsStr::new("-u"),
                OsStr::new(ACCOUNT),
                OsStr::new("--"),
                path.as_os_str(),
            ]);
            command
        } else {
            Command::new(path)
        };
        command.current_dir(self.folder.path());
        command
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.kill();
    }
}

fn is_root() -> bool {
    std::fs::metadata("/proc/self").is_ok_and(|own| own.uid() == 0)
}

/// The numbers of the account and its group.
#[allow(clippy::expect_used, reason = "a harness for tests")]
fn account() -> (u32, u32) {
    let number = |of: &str| {
        let said = Command::new("id").args([of, ACCOUNT]).output().expect("id");
        String::from_utf8_lossy(&said.stdout).trim().parse().expect("the account of PostgreSQL")
    };
    (number("-u"), number("-g"))
}

/// Where Debian keeps the newest server's programs, which are not all on the path.
#[allow(clippy::expect_used, reason = "a harness for tests")]
fn programs() -> PathBuf {
    let versions = std::fs::read_dir("/usr/lib/postgresql").into_iter().flatten().flatten();
    let mut there: Vec<PathBuf> = versions
        .map(|version| version.path().join("bin"))
        .filter(|programs: &PathBuf| Path::new(programs).join("postgres").is_file())
        .collect();
    there.sort();
    there.pop().expect("PostgreSQL: install the package postgresql")
}
