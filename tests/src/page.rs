//! The counter page as a browser sees it: the real program, asked over HTTP in
//! plain bytes, so that a test can also send what no browser would.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use crate::desk::Desk;

/// A page that does not answer in this time never will: a test that waits longer
/// fails instead of hanging. No machine is so busy that an answer takes as long.
const NEVER: Duration = Duration::from_secs(600);

/// A page that is served; it ends with the test.
pub struct Page {
    child: Child,
    /// Its host and port, as `127.0.0.1:40123`.
    pub host: String,
    /// What goes along with each request, line by line.
    pub headers: Vec<String>,
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What came back.
#[derive(Debug, Clone)]
pub struct Reply {
    /// The status.
    pub status: u16,
    /// The lines of the head.
    pub head: Vec<String>,
    /// The body.
    pub bytes: Vec<u8>,
}

impl Reply {
    /// What came on a connection; status 0 if it is no answer.
    #[must_use]
    pub fn of(all: &[u8]) -> Self {
        let end = all.windows(4).position(|four| four == b"\r\n\r\n").unwrap_or(all.len());
        let (head, body) = all.split_at(end);
        let head = String::from_utf8_lossy(head);
        let head: Vec<String> = head.lines().map(ToOwned::to_owned).collect();
        let status = head.first().and_then(|line| line.split(' ').nth(1)?.parse().ok());
        let bytes = body.get(4..).unwrap_or_default().to_vec();
        Self { status: status.unwrap_or(0), head, bytes }
    }

    /// The body as text.
    #[must_use]
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.bytes).into_owned()
    }

    /// A header; empty if there is none.
    #[must_use]
    pub fn header(&self, name: &str) -> &str {
        let named = self.head.iter().filter_map(|line| line.split_once(':'));
        let mut found = named.filter(|(known, _)| known.eq_ignore_ascii_case(name));
        found.next().map_or("", |(_, text)| text.trim())
    }
}

#[allow(clippy::expect_used, clippy::panic, reason = "a harness for tests")]
impl Page {
    /// Serves a desk's record on a port that is free.
    ///
    /// # Panics
    /// If it does not come up.
    #[must_use]
    pub fn of(desk: &Desk, more: &[&str]) -> Self {
        Self::served(desk.command(["desk", "--port", "0"].iter().chain(more)))
    }

    /// A command that serves a page, run until the test ends.
    ///
    /// # Panics
    /// If it does not come up.
    #[must_use]
    pub fn served(mut command: Command) -> Self {
        let mut child = command.stdout(Stdio::piped()).spawn().expect("the binary");
        let mut line = String::new();
        let out = child.stdout.take().expect("its output");
        BufReader::new(out).read_line(&mut line).expect("a line");
        let host = line.trim().trim_start_matches("http://").trim_end_matches('/').to_owned();
        assert!(host.contains(':'), "the page said “{line}”");
        Self { child, host, headers: Vec::new() }
    }

    /// The most memory that the program has taken so far, in kB, as Linux says it.
    #[must_use]
    pub fn most_memory(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
        line.trim().trim_end_matches("kB").trim().parse().ok()
    }

    /// Ends the program as Ctrl-C does, and returns whether it ended well.
    ///
    /// # Panics
    /// If it cannot be told.
    #[must_use]
    pub fn interrupted(mut self) -> bool {
        let number = self.child.id().to_string();
        let told = Command::new("kill").args(["-INT", &number]).status();
        assert!(told.is_ok_and(|status| status.success()), "kill");
        self.child.wait().is_ok_and(|status| status.success())
    }

    /// Sends bytes as they are, and reads what comes until the end.
    ///
    /// # Panics
    /// If nothing answers.
    #[must_use]
    pub fn raw(&self, bytes: &[u8]) -> Reply {
        let mut stream = TcpStream::connect(&self.host).expect("the page");
        stream.set_read_timeout(Some(NEVER)).expect("a time");
        // A request that is too large is refused before all of it was read.
        let _ = stream.write_all(bytes);
        let mut all = Vec::new();
        let _ = stream.read_to_end(&mut all);
        Reply::of(&all)
    }

    /// Asks with a method, a path, lines of a head and a body.
    #[must_use]
    pub fn ask(&self, method: &str, path: &str, lines: &[&str], body: &[u8]) -> Reply {
        let own = self.headers.iter().map(String::as_str);
        let more: String = own.chain(lines.iter().copied()).map(|l| format!("{l}\r\n")).collect();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Length: {}\r\n{more}\r\n",
            self.host,
            body.len()
        );
        self.raw(&[head.as_bytes(), body].concat())
    }

    /// Asks for a screen.
    #[must_use]
    pub fn get(&self, path: &str) -> Reply {
        self.ask("GET", path, &[], &[])
    }

    /// Asks for a screen that must be there, and returns its text.
    ///
    /// # Panics
    /// If it is not.
    #[must_use]
    pub fn shown(&self, path: &str) -> String {
        let reply = self.get(path);
        assert_eq!(reply.status, 200, "{path}: {}", reply.text());
        reply.text()
    }

    /// The token of a screen's forms.
    #[must_use]
    pub fn token(&self) -> String {
        token_of(&self.get("/register").text())
    }

    /// Sends a form as a page of ours does.
    #[must_use]
    pub fn post(&self, path: &str, fields: &[(&str, &str)]) -> Reply {
        self.post_with(&self.token(), path, &[], fields)
    }

    /// The same with a token that is known already, and more lines of a head.
    #[must_use]
    pub fn post_with(
        &self,
        token: &str,
        path: &str,
        lines: &[&str],
        fields: &[(&str, &str)],
    ) -> Reply {
        let fields = std::iter::once(("token", token)).chain(fields.iter().copied());
        let body: Vec<String> =
            fields.map(|(name, text)| format!("{}={}", escaped(name), escaped(text))).collect();
        let origin = format!("Origin: http://{}", self.host);
        let kind = "Content-Type: application/x-www-form-urlencoded";
        let lines = [&[origin.as_str(), kind], lines].concat();
        self.ask("POST", path, &lines, body.join("&").as_bytes())
    }

    /// Sends a form that must be taken, and returns where it leads.
    ///
    /// # Panics
    /// If it is refused.
    pub fn done(&self, path: &str, fields: &[(&str, &str)]) -> String {
        let reply = self.post(path, fields);
        assert_eq!(reply.status, 303, "{path}: {}", plain(&reply.text()));
        reply.header("location").to_owned()
    }

    /// Begins a meeting, and returns what is shown once it is over; a form that is refused at
    /// once, as it is shown again.
    #[must_use]
    pub fn met(&self, path: &str, fields: &[(&str, &str)]) -> Reply {
        let began = self.post(path, fields);
        let to = began.header("location").to_owned();
        if began.status != 303 {
            return began;
        }
        loop {
            let reply = self.get(&to);
            if !reply.text().contains("data-goes-on") {
                return reply;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Sends a form that is asked about first, says yes, and returns where it
    /// leads.
    ///
    /// # Panics
    /// If it is not asked about, or refused.
    pub fn sure(&self, path: &str, fields: &[(&str, &str)]) -> String {
        let asked = self.post(path, fields);
        let text = asked.text();
        assert_eq!(asked.status, 409, "{path}: {}", plain(&text));
        assert!(text.contains("name=\"sure\" value=\"1\""), "{path}: {}", plain(&text));
        self.done(path, &[fields, &[("sure", "1")]].concat())
    }

    /// Gives the pass phrase, and goes on in the session that it opens.
    ///
    /// # Panics
    /// If it is refused.
    pub fn sign_in(&mut self, phrase: &str) {
        let token = token_of(&self.get("/login").text());
        let origin = format!("Origin: http://{}", self.host);
        let kind = "Content-Type: application/x-www-form-urlencoded";
        let body = format!("token={token}&pass={}", escaped(phrase));
        let opened = self.ask("POST", "/login", &[&origin, kind], body.as_bytes());
        assert_eq!(opened.status, 303, "{}", plain(&opened.text()));
        let cookie = opened.header("set-cookie").split(';').next().unwrap_or_default();
        self.headers.push(format!("Cookie: {cookie}"));
    }

    /// Sends a photo as the box at the top does.
    #[must_use]
    pub fn photo(&self, fields: &[(&str, &str)], file: &[u8]) -> Reply {
        self.file("/photo", fields, "photo", file)
    }

    /// Sends a file in a field, behind other fields.
    #[must_use]
    pub fn file(&self, path: &str, fields: &[(&str, &str)], field: &str, file: &[u8]) -> Reply {
        let token = self.token();
        let fields = std::iter::once(("token", token.as_str())).chain(fields.iter().copied());
        let mut body: Vec<u8> = Vec::new();
        for (name, text) in fields {
            let part = format!(
                "--b0undary\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n"
            );
            body.extend(part.as_bytes());
        }
        let head = format!(
            "--b0undary\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"a\"\r\n\
             Content-Type: application/octet-stream\r\n\r\n"
        );
        body.extend(head.as_bytes());
        body.extend(file);
        body.extend(b"\r\n--b0undary--\r\n");
        let origin = format!("Origin: http://{}", self.host);
        let kind = "Content-Type: multipart/form-data; boundary=b0undary";
        self.ask("POST", path, &[&origin, kind], &body)
    }
}

fn token_of(text: &str) -> String {
    let after = text.split("name=\"token\" value=\"").nth(1).unwrap_or_default();
    after.split('"').next().unwrap_or_default().to_owned()
}

/// A text as it is in a form.
#[must_use]
pub fn escaped(text: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-_.~".contains(&b);
    text.bytes().fold(String::new(), |made, b| {
        if plain(b) { made + &char::from(b).to_string() } else { format!("{made}%{b:02X}") }
    })
}

/// What a person reads of a page: its text without its marks, in one line.
#[must_use]
pub fn plain(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => inside = true,
            '>' if inside => {
                inside = false;
                text.push(' ');
            }
            c if !inside => text.push(c),
            _ => {}
        }
    }
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
    text.replace("&amp;", "&").split_whitespace().collect::<Vec<_>>().join(" ")
}
