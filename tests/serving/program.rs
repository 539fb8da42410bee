//! The built program showing a layout, and the few lines of HTTP (RFC 9112) with which a test speaks to it.

#![allow(dead_code, reason = "each test file uses what it needs")]

use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, Shutdown, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};

/// Longer than any answer takes, so that a busy machine is no failure.
pub(crate) const PATIENCE: Duration = Duration::from_secs(60);

/// A small deck, quick to work out.
pub(crate) const LAYOUT: &str = r#"# kept as it is
title = "Foredeck of the dinghy"
units = "mm"

[[deck]]
id = "foredeck"
title = "Foredeck"
outline.half_breadths = [[0, 0], [900, 420], [1400, 430]]
margin = { edge = 40, fitting = 30 }

[[deck.fitting]]
name = "cleat"
circle = { at = [600, 0], diameter = 80 }
"#;

/// The program while it shows a layout; it ends with this.
pub(crate) struct Served {
    program: Child,
    pub(crate) port: u16,
    pub(crate) token: String,
}

impl Served {
    /// Shows `layout`, at work in its folder.
    pub(crate) fn begin(layout: &Path) -> Self {
        let mut program = Command::new(env!("CARGO_BIN_EXE_spile"))
            .current_dir(layout.parent().expect("a layout lies in a folder"))
            .arg("show")
            .arg(layout)
            .arg("--no-open")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("spile starts");
        let output = program.stdout.take().expect("its output is ours");
        let mut address = String::new();
        BufReader::new(output)
            .read_line(&mut address)
            .expect("it says its address");
        let rest = address.trim().strip_prefix("http://127.0.0.1:");
        let (port, token) = rest
            .and_then(|rest| rest.strip_suffix('/')?.split_once('/'))
            .unwrap_or_else(|| unreachable!("{address:?} is no address of a page"));
        Self {
            port: port.parse().expect("a port is a number"),
            token: token.to_owned(),
            program,
        }
    }

    pub(crate) fn id(&self) -> u32 {
        self.program.id()
    }

    /// Ends it at once, as `kill -9` does, whatever it is about.
    pub(crate) fn kill(&mut self) {
        self.program.kill().expect("it can be ended");
        self.program.wait().expect("it has ended");
    }

    pub(crate) fn is_alive(&mut self) -> bool {
        self.program
            .try_wait()
            .expect("it can be asked for")
            .is_none()
    }

    /// Whether it lives, as the system says it, for a test that fails.
    fn state(&self) -> String {
        let status = fs::read_to_string(format!("/proc/{}/status", self.id())).unwrap_or_default();
        let state = status.lines().find(|line| line.starts_with("State:"));
        state.unwrap_or("its state is not known").to_owned()
    }

    pub(crate) fn connect(&self) -> TcpStream {
        let socket = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).expect("it listens");
        socket.set_read_timeout(Some(PATIENCE)).expect("a timeout");
        socket.set_write_timeout(Some(PATIENCE)).expect("a timeout");
        socket
    }

    /// Sends these bytes, then hears the answer; none where the connection is closed without one.
    pub(crate) fn send(&self, bytes: &[u8]) -> Option<Answer> {
        let mut socket = self.connect();
        // It may be refused before all of it is said.
        let _ = socket.write_all(bytes);
        Answer::heard(&mut socket)
    }

    /// Sends these bytes and says that there is no more to come.
    pub(crate) fn send_all(&self, bytes: &[u8]) -> Option<Answer> {
        let mut socket = self.connect();
        let _ = socket.write_all(bytes);
        let _ = socket.shutdown(Shutdown::Write);
        Answer::heard(&mut socket)
    }

    /// A request as the page sends it, its head still open: what follows are more headers, or the empty line.
    pub(crate) fn head(&self, method: &str, target: &str) -> String {
        let port = self.port;
        format!("{method} {target} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n")
    }

    /// Where something of the page is.
    pub(crate) fn at(&self, what: &str) -> String {
        format!("/{}/{what}", self.token)
    }

    pub(crate) fn get(&self, what: &str) -> Answer {
        let head = self.head("GET", &self.at(what));
        let answer = self.send(format!("{head}\r\n").as_bytes());
        answer.unwrap_or_else(|| unreachable!("no answer to {what}; {}", self.state()))
    }

    /// What the page asks with a body.
    pub(crate) fn post_text(&self, what: &str, body: &str) -> Answer {
        let answer = self.send(&self.posted(what, body));
        answer.unwrap_or_else(|| unreachable!("no answer to {what}; {}", self.state()))
    }

    pub(crate) fn post(&self, what: &str, body: &Value) -> Answer {
        self.post_text(what, &body.to_string())
    }

    /// The bytes of a request with a body.
    pub(crate) fn posted(&self, what: &str, body: &str) -> Vec<u8> {
        let head = self.head("POST", &self.at(what));
        let length = body.len();
        let kind = "Content-Type: application/json";
        format!("{head}{kind}\r\nContent-Length: {length}\r\n\r\n{body}").into_bytes()
    }

    /// The version of the file that stands now.
    pub(crate) fn version(&self) -> u64 {
        let version = self.get("file").json()["version"].as_u64();
        version.expect("a file has a version")
    }

    pub(crate) fn save(&self, text: &str, over: u64) -> Answer {
        self.post("save", &json!({ "text": text, "over": over }))
    }

    /// Memory that it holds, bytes (`VmRSS` of proc(5)).
    #[cfg(target_os = "linux")]
    pub(crate) fn memory(&self) -> u64 {
        self.counted("VmRSS:")
    }

    /// The most that it has held so far, bytes (`VmHWM` of proc(5)).
    #[cfg(target_os = "linux")]
    pub(crate) fn most_memory(&self) -> u64 {
        self.counted("VmHWM:")
    }

    #[cfg(target_os = "linux")]
    fn counted(&self, what: &str) -> u64 {
        let status = fs::read_to_string(format!("/proc/{}/status", self.id())).expect("it lives");
        let line = status.lines().find_map(|line| line.strip_prefix(what));
        let kilobytes = line.and_then(|line| line.trim().strip_suffix(" kB"));
        let kilobytes = kilobytes.and_then(|number| number.parse::<u64>().ok());
        kilobytes.expect("a number of kilobytes") << 10
    }

    /// Files, sockets and pipes that it holds open.
    #[cfg(target_os = "linux")]
    pub(crate) fn open_files(&self) -> usize {
        let open = fs::read_dir(format!("/proc/{}/fd", self.id()));
        open.expect("it lives").count()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

/// An answer of the program.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    /// Its lines but the first, names in small letters.
    pub(crate) headers: Vec<(String, String)>,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    /// All that comes until the connection is closed.
    pub(crate) fn heard(socket: &mut impl Read) -> Option<Self> {
        let mut bytes = Vec::new();
        // A connection that is reset may have been answered before.
        let _ = socket.read_to_end(&mut bytes);
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n")?;
        let head = String::from_utf8(bytes[..end].to_vec()).expect("a head is plain text");
        let mut lines = head.split("\r\n");
        let status = lines.next()?.split(' ').nth(1)?;
        let headers = lines.filter_map(|line| line.split_once(": "));
        Some(Self {
            status: status.parse().expect("a status is a number"),
            headers: headers
                .map(|(name, value)| (name.to_ascii_lowercase(), value.to_owned()))
                .collect(),
            body: bytes[end + 4..].to_vec(),
        })
    }

    /// What stands above it under a name; nothing where that is not said once.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        let mut all = self.headers.iter().filter(|(one, _)| one == name);
        let first = all.next()?;
        all.next().is_none().then_some(first.1.as_str())
    }

    /// Whether a text was saved.
    pub(crate) fn is_saved(&self) -> bool {
        self.status == 200 && self.json()["refused"] != true
    }

    /// Whether it was not, for another program has changed the file.
    pub(crate) fn is_refused_for_a_change(&self) -> bool {
        self.status == 200 && self.json()["refused"] == true
    }

    /// Whether it says, for people, why something cannot be had of a text.
    pub(crate) fn is_trouble(&self) -> bool {
        self.status == 200 && self.json()["trouble"].is_string()
    }

    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body).expect("the answer is JSON")
    }
}

/// Why a file cannot be shown, where it is there and cannot be.
pub(crate) fn unreadable(file: &Value) -> Option<&str> {
    file["unreadable"].as_str()
}

/// Everything in a folder and below: what it is, and what it holds or leads to.
pub(crate) fn tree(folder: &Path) -> BTreeMap<PathBuf, (String, Vec<u8>)> {
    let mut all = BTreeMap::new();
    let mut waiting = vec![folder.to_owned()];
    while let Some(folder) = waiting.pop() {
        for entry in fs::read_dir(&folder).expect("it can be listed") {
            let path = entry.expect("it can be listed").path();
            let kind = fs::symlink_metadata(&path).expect("it is there");
            let kind = kind.file_type();
            let holds = if kind.is_file() {
                fs::read(&path).expect("it can be read")
            } else if kind.is_symlink() {
                let to = fs::read_link(&path).expect("it leads somewhere");
                to.to_string_lossy().into_owned().into_bytes()
            } else {
                Vec::new()
            };
            if kind.is_dir() {
                waiting.push(path.clone());
            }
            all.insert(path, (format!("{kind:?}"), holds));
        }
    }
    all
}
