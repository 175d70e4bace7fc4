//! A server of our own and a client that sends exactly what it is told.
#![allow(clippy::unwrap_used, dead_code, reason = "tests; not every test file uses all")]

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use farhop_web::{Options, Server};

/// A running server.
pub struct Running {
    /// Its port.
    pub port: u16,
    /// The phrase that lets the first device in; none without sharing.
    pub phrase: Option<String>,
}

/// An answer.
pub struct Answer {
    /// Status code.
    pub status: u16,
    /// Header lines in small letters.
    pub headers: String,
    /// The body.
    pub body: String,
    /// The body as it came.
    pub bytes: Vec<u8>,
}

impl Answer {
    /// The value of a header.
    pub fn header(&self, name: &str) -> Option<&str> {
        let start = format!("{name}: ");
        self.headers.lines().find_map(|l| l.strip_prefix(&start))
    }
}

/// An empty folder of its own.
pub fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("web-{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// Serves an outing until the test ends. Devices are forgotten then.
pub fn serve(outing: Option<PathBuf>, share: bool) -> Running {
    serve_with_data(outing, share, None)
}

/// Serves an outing until the test ends, with devices kept in a folder.
pub fn serve_with_data(outing: Option<PathBuf>, share: bool, data: Option<PathBuf>) -> Running {
    let options = Options {
        outing,
        port: 0,
        share,
        single: None,
        say: Arc::new(|_| {}),
    };
    let server = Server::bind_with_data(options, data).unwrap();
    let port: u16 = server.local_address().rsplit_once(':').unwrap().1.parse().unwrap();
    let phrase = server.opening_address().split_once('#').map(|(_, p)| p.to_owned());
    std::thread::spawn(move || server.run());
    Running { port, phrase }
}

impl Running {
    /// The host under which it answers.
    pub fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// Sends a request as it stands; the host is added where none is given.
    pub fn send(&self, line: &str, headers: &[(&str, &str)], body: &str) -> Answer {
        self.send_from([127, 0, 0, 1], line, headers, body)
    }

    /// A connection from an address of this machine.
    fn connected(&self, from: [u8; 4]) -> TcpStream {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        let stream = runtime.block_on(async {
            let socket = tokio::net::TcpSocket::new_v4().unwrap();
            socket.bind((std::net::Ipv4Addr::from(from), 0).into()).unwrap();
            socket
                .connect((std::net::Ipv4Addr::LOCALHOST, self.port).into())
                .await
                .unwrap()
        });
        let stream = stream.into_std().unwrap();
        stream.set_nonblocking(false).unwrap();
        stream
    }

    /// The same from an address of this machine.
    pub fn send_from(&self, from: [u8; 4], line: &str, headers: &[(&str, &str)], body: &str) -> Answer {
        let mut text = format!("{line} HTTP/1.1\r\nConnection: close\r\n");
        let own = ("Host", self.host());
        if !headers.iter().any(|(name, _)| *name == "Host") {
            text.push_str(&format!("{}: {}\r\n", own.0, own.1));
        }
        for (name, value) in headers {
            text.push_str(&format!("{name}: {value}\r\n"));
        }
        if !body.is_empty() {
            text.push_str(&format!("Content-Length: {}\r\n", body.len()));
        }
        text.push_str("\r\n");
        text.push_str(body);
        let mut wire = self.connected(from);
        wire.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        // A server that refuses may close before everything is written.
        let _ = wire.write_all(text.as_bytes());
        let mut bytes = Vec::new();
        let _ = wire.read_to_end(&mut bytes);
        let whole = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = whole.split_once("\r\n\r\n").unwrap_or((&whole, ""));
        let (first, rest) = head.split_once("\r\n").unwrap_or((head, ""));
        Answer {
            status: first.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or(0),
            headers: rest
                .replace("\r\n", "\n")
                .lines()
                .map(small_name)
                .collect::<Vec<_>>()
                .join("\n"),
            body: body.to_owned(),
            bytes: bytes
                .windows(4)
                .position(|w| w == b"\r\n\r\n")
                .map_or(Vec::new(), |at| bytes[at + 4..].to_vec()),
        }
    }

    /// Reads a page.
    pub fn get(&self, path: &str) -> Answer {
        self.send(&format!("GET {path}"), &[("Accept", "text/html")], "")
    }

    /// Sends a form from one of our own pages.
    pub fn post(&self, path: &str, form: &str) -> Answer {
        self.post_from([127, 0, 0, 1], path, form)
    }

    /// The same from an address of this machine.
    pub fn post_from(&self, from: [u8; 4], path: &str, form: &str) -> Answer {
        let origin = format!("http://{}", self.host());
        let headers = [
            ("Origin", origin.as_str()),
            ("Content-Type", "application/x-www-form-urlencoded"),
            ("Accept", "application/json"),
        ];
        self.send_from(from, &format!("POST {path}"), &headers, form)
    }

    /// Sends data from one of our own pages.
    pub fn post_json(&self, path: &str, json: &str) -> Answer {
        let origin = format!("http://{}", self.host());
        let headers = [
            ("Origin", origin.as_str()),
            ("Content-Type", "application/json"),
            ("Accept", "application/json"),
        ];
        self.send(&format!("POST {path}"), &headers, json)
    }

    /// Waits until the plan is there.
    pub fn ready(&self) {
        for _ in 0..600 {
            let answer = self.get("/kit");
            if !answer.body.contains("id=\"waiting\"") {
                assert!(
                    answer.body.contains("id=\"packing\""),
                    "{} {}",
                    answer.status,
                    answer.body
                );
                return;
            }
            std::thread::sleep(Duration::from_millis(200));
        }
        panic!("no plan after two minutes");
    }
}

fn small_name(line: &str) -> String {
    match line.split_once(':') {
        Some((name, value)) => format!("{}:{value}", name.to_ascii_lowercase()),
        None => line.to_owned(),
    }
}
