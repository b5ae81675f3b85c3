//! A server that was started for a test, and what a browser would say to it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use jiff::Timestamp;
use ledger::payload::{CustomerDescribed, Payload};
use ledger::{Entry, EventId};

/// The program, with no ledger of whoever runs the tests in reach.
pub(crate) fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_saltmark"));
    command
        .env_remove("SALTMARK_LEDGER")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

/// A server that runs until it is dropped.
pub(crate) struct Server {
    pub(crate) child: Child,
    /// Host and port.
    pub(crate) host: String,
}

impl Server {
    /// Starts one on any free port and waits until it says where it is.
    pub(crate) fn start(ledger: &Path) -> Self {
        let mut child = program()
            .args(["serve", "--new", "--listen", "127.0.0.1:0", "--ledger"])
            .arg(ledger)
            .spawn()
            .unwrap();
        let mut said = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut said)
            .unwrap();
        let host = said
            .trim()
            .rsplit_once("http://")
            .unwrap_or_else(|| panic!("it said {said:?}"))
            .1
            .trim_end_matches('/')
            .to_owned();
        Self { child, host }
    }

    /// Says something, and gives status, head and body of the answer; none where the connection broke.
    pub(crate) fn ask(&self, request: &str, body: &[u8]) -> Option<(u16, String, Vec<u8>)> {
        let mut stream = TcpStream::connect(&self.host).ok()?;
        stream.set_read_timeout(Some(Duration::from_secs(30))).ok()?;
        let (line, headers) = request.split_once('\n').unwrap_or((request, ""));
        let has_host = headers.contains("host:");
        let mut head = format!("{line} HTTP/1.1\r\nconnection: close\r\n");
        if !has_host {
            head += &format!("host: {}\r\n", self.host);
        }
        for header in headers.lines() {
            head += &format!("{header}\r\n");
        }
        if !body.is_empty() {
            head += &format!("content-length: {}\r\n", body.len());
        }
        stream.write_all(format!("{head}\r\n").as_bytes()).ok()?;
        // A server that refuses a body may close before it has read it.
        let _sent = stream.write_all(body);
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).ok()?;
        let end = answer.windows(4).position(|window| window == b"\r\n\r\n")?;
        let head = String::from_utf8(answer[..end].to_vec()).ok()?;
        let status = head.split(' ').nth(1)?.parse().ok()?;
        Some((status, head.to_lowercase(), answer[end + 4..].to_vec()))
    }

    /// Ends it as a person would, and gives what it wrote to standard error.
    pub(crate) fn end(mut self) -> String {
        let pid = self.child.id().to_string();
        assert!(
            Command::new("kill")
                .args(["-TERM", &pid])
                .status()
                .unwrap()
                .success()
        );
        let mut log = String::new();
        let mut stderr = self.child.stderr.take().unwrap();
        stderr.read_to_string(&mut log).unwrap();
        assert!(self.child.wait().unwrap().success(), "{log}");
        log
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // It may have ended already.
        let _killed = self.child.kill();
        let _ended = self.child.wait();
    }
}

/// An entry that says who customer `number` is.
pub(crate) fn entry(number: u32) -> Entry {
    let at = Timestamp::from_millisecond(1_750_000_000_000 + i64::from(number)).unwrap();
    let described = CustomerDescribed {
        customer: format!("customer-{number}"),
        name: "Marrow & Daughter, Quillmere".to_owned(),
        ..CustomerDescribed::default()
    };
    let id = EventId::of_content(at, [number.to_be_bytes().as_slice()]);
    Entry::new(id, at, at, "Zoë", "van", &Payload::Customer(described))
}
