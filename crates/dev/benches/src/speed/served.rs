//! The local server, and phones that speak to it: plain requests over connections that stay open.

use std::io::{self, BufRead as _, BufReader, Read as _, Write as _};
use std::net::{Ipv4Addr, SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use socket2::{Domain, Socket, Type};

use crate::speed::process::{cpu_s, most_mb};

/// How long an answer may take before a phone counts as left alone.
const PATIENCE: Duration = Duration::from_secs(60);

/// A server that runs; it ends when it is dropped.
pub struct Served {
    child: Child,
    /// Its port.
    pub port: u16,
    /// The phrase that lets the first device in; none without sharing.
    pub phrase: Option<String>,
}

impl Served {
    /// Starts the program so: the command must be one for `serve`, without opening a browser, on any port.
    ///
    /// # Errors
    /// It cannot be started, or does not say where it is.
    pub fn start(command: &mut Command) -> io::Result<Self> {
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn()?;
        let said = child.stdout.take().ok_or_else(|| io::Error::other("no output"))?;
        let mut lines = BufReader::new(said).lines();
        let shares = command.get_args().any(|a| a == "--share");
        let mut served = Self {
            child,
            port: 0,
            phrase: None,
        };
        for line in &mut lines {
            let line = line?;
            if served.port == 0 {
                served.port = line.rsplit(':').next().and_then(|p| p.parse().ok()).unwrap_or(0);
            }
            served.phrase = line.trim().strip_prefix("to edit").map(|p| p.trim().to_owned());
            if served.phrase.is_some() || !shares {
                break;
            }
        }
        // The rest is read away, so that the server never waits for its reader.
        std::thread::spawn(move || lines.for_each(drop));
        if served.port == 0 || (shares && served.phrase.is_none()) {
            return Err(io::Error::other("the server does not say where it is"));
        }
        Ok(served)
    }

    /// For an outing, on one core where `one_core` says so.
    ///
    /// # Errors
    /// As [`Served::start`].
    pub fn of(program: &Path, folder: &Path, outing: &str, share: bool, one_core: bool) -> io::Result<Self> {
        let mut command = if one_core {
            let mut command = Command::new("taskset");
            command.args(["-c", "0"]).arg(program);
            command
        } else {
            Command::new(program)
        };
        command
            .args(["serve", "--no-open", "--port", "0", outing])
            .current_dir(folder);
        if share {
            command.arg("--share");
        }
        command
            .env("XDG_DATA_HOME", folder.join("data"))
            .env("XDG_CACHE_HOME", folder.join("cache"));
        Self::start(&mut command)
    }

    /// Processor time so far, s.
    #[must_use]
    pub fn cpu_s(&self) -> Option<f64> {
        cpu_s(self.child.id())
    }

    /// Most memory so far, MB.
    #[must_use]
    pub fn most_mb(&self) -> Option<f64> {
        most_mb(self.child.id())
    }

    /// Waits until the plan is there.
    ///
    /// # Errors
    /// It does not come within five minutes.
    pub fn ready(&self, phone: &mut Phone) -> io::Result<()> {
        for _ in 0..1_500 {
            if !phone.get("/kit")?.text().contains("id=\"waiting\"") {
                return Ok(());
            }
            std::thread::sleep(Duration::from_millis(200));
        }
        Err(io::Error::other("no plan within five minutes"))
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An answer.
#[derive(Debug, Default)]
pub struct Answer {
    /// Its status.
    pub status: u16,
    /// Its head, in small letters.
    pub head: String,
    /// Its body as it came, compressed where it is.
    pub body: Vec<u8>,
    /// From asking to the last byte, s.
    pub took_s: f64,
}

impl Answer {
    /// The body as letters.
    #[must_use]
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// The value of a header.
    #[must_use]
    pub fn header(&self, name: &str) -> Option<&str> {
        let start = format!("{name}: ");
        self.head.lines().find_map(|l| l.strip_prefix(&start))
    }
}

/// A phone: one address, one connection that stays open, one session.
pub struct Phone {
    from: Ipv4Addr,
    port: u16,
    stream: Option<BufReader<TcpStream>>,
    cookie: String,
    /// Whether it takes compressed answers.
    pub packed: bool,
}

impl Phone {
    /// A phone at an address of this machine (127.0.0.N).
    #[must_use]
    pub fn at(number: u8, port: u16) -> Self {
        Self {
            from: Ipv4Addr::new(127, 0, 0, number),
            port,
            stream: None,
            cookie: String::new(),
            packed: false,
        }
    }

    fn connected(&self) -> io::Result<TcpStream> {
        let socket = Socket::new(Domain::IPV4, Type::STREAM, None)?;
        socket.bind(&SocketAddr::from((self.from, 0)).into())?;
        socket.connect(&SocketAddr::from((Ipv4Addr::LOCALHOST, self.port)).into())?;
        let stream = TcpStream::from(socket);
        stream.set_nodelay(true)?;
        stream.set_read_timeout(Some(PATIENCE))?;
        Ok(stream)
    }

    /// Enters with a phrase.
    ///
    /// # Errors
    /// It is not let in.
    pub fn enter(&mut self, phrase: &str) -> io::Result<()> {
        let answer = self.post(
            "/enter",
            "application/x-www-form-urlencoded",
            &format!("phrase={phrase}"),
        )?;
        let cookie = answer.header("set-cookie").and_then(|c| c.split(';').next());
        match cookie {
            Some(cookie) => {
                self.cookie = cookie.to_owned();
                Ok(())
            }
            None => Err(io::Error::other(format!(
                "not let in: {} {}",
                answer.status,
                answer.text()
            ))),
        }
    }

    /// Reads a page.
    ///
    /// # Errors
    /// The connection breaks.
    pub fn get(&mut self, path: &str) -> io::Result<Answer> {
        self.ask(&format!("GET {path} HTTP/1.1\r\nAccept: text/html\r\n"), "")
    }

    /// Sends a form, or an entry.
    ///
    /// # Errors
    /// The connection breaks.
    pub fn post(&mut self, path: &str, kind: &str, body: &str) -> io::Result<Answer> {
        let head = format!(
            "POST {path} HTTP/1.1\r\nAccept: application/json\r\nOrigin: http://127.0.0.1:{}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\n",
            self.port,
            body.len()
        );
        self.ask(&head, body)
    }

    fn ask(&mut self, head: &str, body: &str) -> io::Result<Answer> {
        let packed = if self.packed { "Accept-Encoding: gzip\r\n" } else { "" };
        let cookie = if self.cookie.is_empty() {
            String::new()
        } else {
            format!("Cookie: {}\r\n", self.cookie)
        };
        let whole = format!("{head}Host: 127.0.0.1:{}\r\n{packed}{cookie}\r\n{body}", self.port);
        let start = Instant::now();
        // A connection that idled too long is closed by the server; a new one is made, as browsers do.
        for again in [true, false] {
            let mut stream = match self.stream.take() {
                Some(stream) => stream,
                None => BufReader::new(self.connected()?),
            };
            let answer = stream
                .get_mut()
                .write_all(whole.as_bytes())
                .and_then(|()| answer_of(&mut stream));
            match answer {
                Ok(mut answer) => {
                    answer.took_s = start.elapsed().as_secs_f64();
                    if answer.header("connection") != Some("close") {
                        self.stream = Some(stream);
                    }
                    return Ok(answer);
                }
                Err(error) if !again => return Err(error),
                Err(_) => {}
            }
        }
        Err(io::Error::other("no answer"))
    }
}

fn answer_of(stream: &mut BufReader<TcpStream>) -> io::Result<Answer> {
    let mut head = String::new();
    loop {
        let mut line = String::new();
        if stream.read_line(&mut line)? == 0 {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        if line == "\r\n" {
            break;
        }
        match line.trim_end().split_once(": ") {
            Some((name, value)) => head += &format!("{}: {value}\n", name.to_ascii_lowercase()),
            None => head += &format!("{}\n", line.trim_end()),
        }
    }
    let mut answer = Answer {
        status: head.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or(0),
        head,
        ..Answer::default()
    };
    let length: Option<usize> = answer.header("content-length").and_then(|l| l.parse().ok());
    if let Some(length) = length {
        answer.body = vec![0; length];
        stream.read_exact(&mut answer.body)?;
        return Ok(answer);
    }
    // In pieces, each with its length before it (RFC 9112, 7.1).
    while answer.header("transfer-encoding") == Some("chunked") {
        let mut line = String::new();
        stream.read_line(&mut line)?;
        let length = usize::from_str_radix(line.trim(), 16).map_err(|_| io::Error::other("no length of a piece"))?;
        let mut piece = vec![0; length + 2];
        stream.read_exact(&mut piece)?;
        if length == 0 {
            break;
        }
        answer.body.extend_from_slice(&piece[..length]);
    }
    Ok(answer)
}
