//! A server for one person on this machine: HTTP/1.1 with one request to a connection.
//!
//! It listens to the loopback alone. A request is heard if it was sent to this very address (`Host`), by a page of this
//! very server if by any (`Origin`), and knows the token in the path. Heads, bodies, waiting connections and the time a
//! request may take to arrive are bounded. `httparse` reads heads; a larger server brings a runtime of fifty crates
//! for what is one reader here.

use std::io::{ErrorKind, Read, Write};
use std::net::{Ipv4Addr, Shutdown, SocketAddr, TcpListener, TcpStream};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, TrySendError, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// The longest head, bytes.
const HEAD: usize = 16 * 1024;
/// The longest body, bytes.
pub const BODY: usize = 2 * 1024 * 1024;
/// The most lines of a head.
const LINES: usize = 64;
/// A request must have arrived, and its answer been taken, within this.
const PATIENCE: Duration = Duration::from_secs(10);
/// So many requests are answered side by side.
const WORKERS: usize = 16;
/// So many connections wait; more are told to come again.
const WAITING: usize = 1024;

/// What is asked.
#[derive(Debug)]
pub struct Request {
    /// Whether something is sent along (`POST`), and not only asked for (`GET`).
    pub posts: bool,
    /// The path behind the token, without the slash before it.
    pub path: String,
    /// What stands behind the question mark.
    pub query: String,
    /// What was sent along.
    pub body: Vec<u8>,
}

/// What is answered.
#[derive(Debug)]
pub struct Answer {
    /// Status of HTTP.
    pub status: u16,
    /// Media type.
    pub kind: &'static str,
    /// What the browser saves it as, where it isn't to show it.
    pub saved_as: Option<&'static str>,
    /// Where to go instead: a path behind the token.
    pub location: Option<String>,
    /// The text.
    pub body: String,
}

impl Answer {
    /// A text of a media type.
    pub fn of(kind: &'static str, body: String) -> Answer {
        Answer {
            status: 200,
            kind,
            saved_as: None,
            location: None,
            body,
        }
    }

    /// A page.
    pub fn page(body: String) -> Answer {
        Answer::of("text/html; charset=utf-8", body)
    }

    /// A refusal in a sentence.
    pub fn refusal(status: u16, why: &str) -> Answer {
        Answer {
            status,
            ..Answer::of("text/plain; charset=utf-8", format!("{why}\n"))
        }
    }

    /// Somewhere else to go.
    pub fn elsewhere(to: &str) -> Answer {
        Answer {
            location: Some(to.to_string()),
            ..Answer::refusal(303, "see there")
        }
    }
}

/// The server: where it listens, and what it is known by.
#[derive(Debug)]
pub struct Server {
    listener: TcpListener,
    address: SocketAddr,
    token: String,
    idle: Duration,
    /// Milliseconds after the beginning at which somebody last asked.
    heard: AtomicU64,
    begun: Instant,
    closed: AtomicBool,
}

impl Server {
    /// A server at `port` of the loopback, any free one for 0, that closes after `idle` without a question.
    ///
    /// # Errors
    /// The port is taken, or the system has no random bytes.
    pub fn open(port: u16, idle: Duration) -> std::io::Result<Server> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let address = listener.local_addr()?;
        let mut bytes = [0u8; 16];
        getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
        Ok(Server {
            listener,
            address,
            token: bytes.iter().map(|byte| format!("{byte:02x}")).collect(),
            idle,
            heard: AtomicU64::new(0),
            begun: Instant::now(),
            closed: AtomicBool::new(false),
        })
    }

    /// The address to open in a browser.
    pub fn url(&self) -> String {
        format!("http://{}/{}/", self.address, self.token)
    }

    /// Answers until nobody has asked for the idle time, or [`Server::close`].
    pub fn serve(&self, answer: impl Fn(&Request) -> Answer + Sync) {
        let (waiting, next) = sync_channel::<TcpStream>(WAITING);
        let next = Mutex::new(next);
        std::thread::scope(|scope| {
            for _ in 0..WORKERS {
                scope.spawn(|| {
                    while let Some(stream) = taken(&next) {
                        self.attend(stream, &answer);
                    }
                });
            }
            scope.spawn(|| self.watch());
            for stream in self.listener.incoming() {
                if self.closed.load(Ordering::SeqCst) {
                    break;
                }
                let Ok(stream) = stream else { continue };
                if let Err(TrySendError::Full(mut stream)) = waiting.try_send(stream) {
                    let busy = Answer::refusal(503, "too many questions at once: ask again");
                    let _ = stream.set_write_timeout(Some(Duration::from_millis(100)));
                    let _ = stream.write_all(&written(&busy));
                }
            }
            drop(waiting);
        });
    }

    /// Ends [`Server::serve`] once what was asked is answered.
    pub fn close(&self) {
        self.closed.store(true, Ordering::SeqCst);
        // Whoever waits for a connection gets one.
        let _ = TcpStream::connect_timeout(&self.address, Duration::from_secs(1));
    }

    /// Closes the server after the idle time.
    fn watch(&self) {
        let step = (self.idle / 20).clamp(Duration::from_millis(10), Duration::from_secs(1));
        while !self.closed.load(Ordering::SeqCst) {
            std::thread::sleep(step);
            let heard = Duration::from_millis(self.heard.load(Ordering::SeqCst));
            if self.begun.elapsed().saturating_sub(heard) >= self.idle {
                self.close();
            }
        }
    }

    /// Reads a request, answers it and ends the connection.
    fn attend(&self, mut stream: TcpStream, answer: &(impl Fn(&Request) -> Answer + Sync)) {
        let _ = stream.set_nodelay(true);
        let mut said = match self.request(&mut stream) {
            Ok(request) => {
                let since = u64::try_from(self.begun.elapsed().as_millis()).unwrap_or(u64::MAX);
                self.heard.store(since, Ordering::SeqCst);
                // A fault of the program stays with the request that met it.
                catch_unwind(AssertUnwindSafe(|| answer(&request))).unwrap_or_else(|_| {
                    Answer::refusal(500, "the program itself failed; please report it")
                })
            }
            Err(Some(refusal)) => refusal,
            Err(None) => return,
        };
        if let Some(location) = &mut said.location {
            *location = format!("/{}/{location}", self.token);
        }
        let _ = stream.set_write_timeout(Some(PATIENCE));
        if stream.write_all(&written(&said)).is_ok() {
            ended(&mut stream);
        }
    }

    /// The request on a connection.
    ///
    /// # Errors
    /// A refusal; nothing where nobody is there any more.
    fn request(&self, stream: &mut TcpStream) -> Result<Request, Option<Answer>> {
        let until = Instant::now() + PATIENCE;
        let mut bytes = Vec::new();
        let (head, body_at) = loop {
            if let Some(read) = head(&bytes)? {
                break read;
            }
            if bytes.len() >= HEAD {
                return Err(Some(Answer::refusal(431, "the head is too long")));
            }
            more(stream, &mut bytes, HEAD, until)?;
        };
        let path = self.admitted(&head)?;
        let posts = match head.method.as_str() {
            "GET" => false,
            "POST" => true,
            _ => {
                return Err(Some(Answer::refusal(
                    405,
                    "only GET and POST are known here",
                )));
            }
        };
        let length = head.length()?;
        if length > BODY {
            let why = format!("more than {} MiB was sent", BODY >> 20);
            return Err(Some(Answer::refusal(413, &why)));
        }
        if head.value("expect").is_some()
            && stream.write_all(b"HTTP/1.1 100 Continue\r\n\r\n").is_err()
        {
            return Err(None);
        }
        let mut body = bytes.split_off(body_at);
        while body.len() < length {
            more(stream, &mut body, length, until)?;
        }
        body.truncate(length);
        let (path, query) = path.split_once('?').unwrap_or((&path, ""));
        Ok(Request {
            posts,
            path: path.to_string(),
            query: query.to_string(),
            body,
        })
    }

    /// The path behind the token, if the request may come in.
    fn admitted(&self, head: &Head) -> Result<String, Option<Answer>> {
        let own = self.address.to_string();
        let hosts: Vec<&str> = head.values("host").collect();
        if hosts != [own.as_str()] {
            return Err(Some(Answer::refusal(
                421,
                "this isn't the address of that host",
            )));
        }
        let from = format!("http://{own}");
        if head.values("origin").any(|origin| origin != from) {
            return Err(Some(Answer::refusal(403, "another page may not ask here")));
        }
        let rest = head.path.strip_prefix('/').unwrap_or_default();
        let (token, path) = rest.split_once('/').unwrap_or((rest, ""));
        if !is_same(token.as_bytes(), self.token.as_bytes()) {
            let why = "open the address that `nameplate desk` printed";
            return Err(Some(Answer::refusal(404, why)));
        }
        Ok(path.to_string())
    }
}

/// The next connection; nothing once there will be none.
fn taken(next: &Mutex<Receiver<TcpStream>>) -> Option<TcpStream> {
    next.lock()
        .unwrap_or_else(PoisonError::into_inner)
        .recv()
        .ok()
}

/// Whether two texts are the same, in a time that doesn't tell where they differ.
fn is_same(a: &[u8], b: &[u8]) -> bool {
    let differ = a.iter().zip(b).fold(0, |differ, (a, b)| differ | (a ^ b));
    a.len() == b.len() && differ == 0
}

/// The head of a request.
#[derive(Debug)]
struct Head {
    method: String,
    path: String,
    lines: Vec<(String, String)>,
}

impl Head {
    /// The values of a name in small letters.
    fn values<'h>(&'h self, name: &'h str) -> impl Iterator<Item = &'h str> {
        let own = self.lines.iter().filter(move |line| line.0 == name);
        own.map(|line| line.1.as_str())
    }

    fn value<'h>(&'h self, name: &'h str) -> Option<&'h str> {
        self.values(name).next()
    }

    /// How long the body is.
    fn length(&self) -> Result<usize, Option<Answer>> {
        let lengths: Vec<&str> = self.values("content-length").collect();
        if self.value("transfer-encoding").is_some() {
            return Err(Some(Answer::refusal(
                411,
                "the length of what is sent must be told",
            )));
        }
        match lengths.as_slice() {
            [] => Ok(0),
            [one] if !one.is_empty() && one.bytes().all(|byte| byte.is_ascii_digit()) => {
                Ok(one.parse().unwrap_or(usize::MAX))
            }
            _ => Err(Some(Answer::refusal(
                400,
                "the length of what is sent can't be read",
            ))),
        }
    }
}

/// The head at the beginning of `bytes`, and where it ends; nothing where it isn't whole yet.
fn head(bytes: &[u8]) -> Result<Option<(Head, usize)>, Option<Answer>> {
    let mut lines = [httparse::EMPTY_HEADER; LINES];
    let mut request = httparse::Request::new(&mut lines);
    let end = match request.parse(bytes) {
        Ok(httparse::Status::Complete(end)) => end,
        Ok(httparse::Status::Partial) => return Ok(None),
        Err(httparse::Error::TooManyHeaders) => {
            return Err(Some(Answer::refusal(431, "the head has too many lines")));
        }
        Err(_) => {
            return Err(Some(Answer::refusal(
                400,
                "that isn't a request of HTTP/1.1",
            )));
        }
    };
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let head = Head {
        method: request.method.unwrap_or_default().to_string(),
        path: request.path.unwrap_or_default().to_string(),
        lines: request
            .headers
            .iter()
            .map(|line| (line.name.to_ascii_lowercase(), text(line.value)))
            .collect(),
    };
    Ok(Some((head, end)))
}

/// Reads on, to no more than `most` bytes in all.
fn more(
    stream: &mut TcpStream,
    bytes: &mut Vec<u8>,
    most: usize,
    until: Instant,
) -> Result<(), Option<Answer>> {
    let left = until.saturating_duration_since(Instant::now());
    if left.is_zero() || stream.set_read_timeout(Some(left)).is_err() {
        return Err(Some(Answer::refusal(
            408,
            "the request took too long to arrive",
        )));
    }
    let mut piece = [0; 8192];
    let room = most.saturating_sub(bytes.len()).clamp(1, piece.len());
    match stream.read(&mut piece[..room]) {
        Ok(0) => Err(None),
        Ok(read) => {
            bytes.extend_from_slice(&piece[..read]);
            Ok(())
        }
        Err(error) if error.kind() == ErrorKind::Interrupted => Ok(()),
        Err(error) if matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => Err(
            Some(Answer::refusal(408, "the request took too long to arrive")),
        ),
        Err(_) => Err(None),
    }
}

/// Ends a connection so that its answer arrives: what was sent too much is read away, but not for long.
fn ended(stream: &mut TcpStream) {
    let _ = stream.shutdown(Shutdown::Write);
    let _ = stream.set_read_timeout(Some(Duration::from_millis(200)));
    let mut piece = [0; 8192];
    for _ in 0..512 {
        match stream.read(&mut piece) {
            Ok(read) if read > 0 => {}
            _ => return,
        }
    }
}

/// What a page may do: nothing but show itself, run the desk's own script and send its own forms to the desk.
const POLICY: &str = "default-src 'none'; img-src data:; style-src 'self'; script-src 'self'; connect-src 'self'; form-action 'self'; \
                      base-uri 'none'; frame-ancestors 'none'";

/// An answer as it is sent.
fn written(answer: &Answer) -> Vec<u8> {
    let reason = match answer.status {
        200 => "OK",
        303 => "See Other",
        400 => "Bad Request",
        403 => "Forbidden",
        404 => "Not Found",
        405 => "Method Not Allowed",
        408 => "Request Timeout",
        411 => "Length Required",
        413 => "Content Too Large",
        421 => "Misdirected Request",
        431 => "Request Header Fields Too Large",
        503 => "Service Unavailable",
        _ => "Internal Server Error",
    };
    let mut head = format!(
        "HTTP/1.1 {} {reason}\r\nContent-Type: {}\r\nContent-Length: {}\r\nConnection: close\r\nCache-Control: no-store\r\n\
         Content-Security-Policy: {POLICY}\r\nX-Content-Type-Options: nosniff\r\nReferrer-Policy: same-origin\r\n\
         Cross-Origin-Opener-Policy: same-origin\r\nCross-Origin-Resource-Policy: same-origin\r\n",
        answer.status,
        answer.kind,
        answer.body.len()
    );
    if let Some(name) = answer.saved_as {
        head.push_str(&format!(
            "Content-Disposition: attachment; filename=\"{name}\"\r\n"
        ));
    }
    if let Some(location) = &answer.location {
        head.push_str(&format!("Location: {location}\r\n"));
    }
    if answer.status == 405 {
        head.push_str("Allow: GET, POST\r\n");
    }
    head.push_str("\r\n");
    [head.as_bytes(), answer.body.as_bytes()].concat()
}
