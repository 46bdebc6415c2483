//! The desk over a socket: who may ask, what is refused, and that it answers as the commands do.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Shutdown, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use nameplate::desk::http::{Answer, BODY, Server};

/// The program with its desk open.
struct Open {
    child: Child,
    authority: String,
    token: String,
}

impl Drop for Open {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What came back.
struct Reply {
    status: u16,
    head: String,
    body: String,
}

fn open(catalog: &Path) -> Open {
    let mut child = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .arg("desk")
        .arg(catalog)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    let mut said = BufReader::new(child.stdout.take().unwrap());
    said.read_line(&mut line).unwrap();
    let url = line.split("http://").nth(1).expect("an address").trim();
    let (authority, token) = url.split_once('/').unwrap();
    assert!(authority.starts_with("127.0.0.1:"), "{line}");
    Open {
        authority: authority.into(),
        token: token.trim_end_matches('/').into(),
        child,
    }
}

fn sound() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-examples/sound")
}

/// Sends `bytes` as they are.
fn sent(authority: &str, bytes: &[u8]) -> Reply {
    let mut stream = TcpStream::connect(authority).unwrap();
    stream
        .set_read_timeout(Some(Duration::from_secs(120)))
        .unwrap();
    // Whoever refuses may not take all of it.
    let _ = stream.write_all(bytes);
    let mut reply = Vec::new();
    let _ = stream.read_to_end(&mut reply);
    let _ = stream.shutdown(Shutdown::Both);
    let text = String::from_utf8(reply).unwrap();
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let status = head.split(' ').nth(1).and_then(|word| word.parse().ok());
    Reply {
        status: status.unwrap_or(0),
        head: head.to_string(),
        body: body.to_string(),
    }
}

impl Open {
    fn get(&self, path: &str) -> Reply {
        let (authority, token) = (&self.authority, &self.token);
        let head = format!("GET /{token}/{path} HTTP/1.1\r\nHost: {authority}\r\n\r\n");
        sent(authority, head.as_bytes())
    }

    fn post(&self, path: &str, fields: &[(&str, &str)]) -> Reply {
        let encoded = |text: &str| -> String {
            let bytes = text.bytes();
            bytes.map(|byte| format!("%{byte:02X}")).collect()
        };
        let fields: Vec<String> = fields
            .iter()
            .map(|(name, value)| format!("{name}={}", encoded(value)))
            .collect();
        let body = fields.join("&");
        let (authority, token) = (&self.authority, &self.token);
        let head = format!(
            "POST /{token}/{path} HTTP/1.1\r\nHost: {authority}\r\nOrigin: http://{authority}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        );
        sent(authority, head.as_bytes())
    }
}

/// What the program itself says to the same question.
fn said(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .arg(sound())
        .output()
        .unwrap();
    String::from_utf8(output.stdout).unwrap()
}

const VILLAGE: [(&str, &str); 4] = [
    ("area", "650 m2"),
    ("depth", "1.7 m"),
    ("run", "18 m, 26 m"),
    ("tariff", "0.31 EUR/kWh"),
];
const THE_SAME: [&str; 11] = [
    "pond",
    "--area",
    "650 m2",
    "--depth",
    "1.7 m",
    "--run",
    "18 m",
    "--run",
    "26 m",
    "--tariff",
    "0.31 EUR/kWh",
];

#[test]
fn a_page_is_for_this_machine_and_asks_nobody_else() {
    let desk = open(&sound());
    assert_eq!(desk.token.len(), 32);
    let first = desk.get("");
    assert_eq!(first.status, 303);
    assert!(
        first
            .head
            .contains(&format!("Location: /{}/pond", desk.token)),
        "{}",
        first.head
    );
    for (path, kind) in [
        ("pond", "text/html"),
        ("catalog", "text/html"),
        ("whatif?package=mill-pair", "text/html"),
        ("desk.css", "text/css"),
        ("desk.js", "text/javascript"),
    ] {
        let reply = desk.get(path);
        assert_eq!(reply.status, 200, "{path}: {}", reply.body);
        let head = reply.head.to_ascii_lowercase();
        for wanted in [
            &format!("content-type: {kind}")[..],
            "content-security-policy: default-src 'none';",
            "frame-ancestors 'none'",
            "x-content-type-options: nosniff",
            "cache-control: no-store",
            "connection: close",
        ] {
            assert!(head.contains(wanted), "{path}: {wanted} in {head}");
        }
        assert!(
            !head.contains("set-cookie") && !head.contains("access-control"),
            "{head}"
        );
        // Nothing is loaded from elsewhere, and no style or script stands in the page itself.
        for foreign in [
            "src=\"http",
            "href=\"http",
            "url(http",
            "@import",
            " style=\"",
            "<style",
            "onclick",
        ] {
            assert!(!reply.body.contains(foreign), "{path} has {foreign}");
        }
        if kind == "text/html" {
            assert_eq!(reply.body.matches("<script").count(), 1, "{path}");
        }
    }
    assert_ne!(open(&sound()).token, desk.token);
}

#[test]
fn whoever_may_not_ask_is_refused() {
    let desk = open(&sound());
    let (authority, token) = (&desk.authority, &desk.token);
    let port = authority.rsplit(':').next().unwrap();
    let wrong = "0".repeat(32);
    let get = |path: &str, lines: &str| {
        sent(
            authority,
            format!("GET {path} HTTP/1.1\r\n{lines}\r\n").as_bytes(),
        )
    };
    let own = format!("Host: {authority}\r\n");
    let pond = format!("/{token}/pond");
    for (path, lines, status) in [
        (pond.clone(), own.clone(), 200),
        (
            pond.clone(),
            format!("{own}Origin: http://{authority}\r\n"),
            200,
        ),
        // The token.
        (format!("/{wrong}/pond"), own.clone(), 404),
        (format!("/{}/pond", &token[..31]), own.clone(), 404),
        (format!("/{token}0/pond"), own.clone(), 404),
        ("/pond".into(), own.clone(), 404),
        ("/".into(), own.clone(), 404),
        (format!("/x/../{token}/pond"), own.clone(), 404),
        (format!("http://{authority}/{token}/pond"), own.clone(), 404),
        // The host: a name that leads here is none of ours.
        (pond.clone(), format!("Host: localhost:{port}\r\n"), 421),
        (
            pond.clone(),
            format!("Host: rebound.example:{port}\r\n"),
            421,
        ),
        (pond.clone(), "Host: 127.0.0.1\r\n".into(), 421),
        (pond.clone(), String::new(), 421),
        (pond.clone(), format!("{own}Host: rebound.example\r\n"), 421),
        // The origin.
        (
            pond.clone(),
            format!("{own}Origin: http://elsewhere.example\r\n"),
            403,
        ),
        (pond.clone(), format!("{own}Origin: null\r\n"), 403),
        (
            pond.clone(),
            format!("{own}Origin: https://{authority}\r\n"),
            403,
        ),
        // What there is not.
        (format!("/{token}/Cargo.toml"), own.clone(), 404),
        (format!("/{token}/../../etc/passwd"), own.clone(), 404),
        (format!("/{token}/again"), own.clone(), 404),
        (format!("/{token}/whatif?package=none"), own.clone(), 404),
    ] {
        let reply = get(&path, &lines);
        assert_eq!(reply.status, status, "{path} {lines:?}: {}", reply.body);
        if status != 200 {
            assert!(!reply.body.contains(token.as_str()) && !reply.body.contains('<'));
        }
    }
    let raw = |bytes: &[u8]| sent(authority, bytes).status;
    let put = format!("PUT {pond} HTTP/1.1\r\n{own}\r\n");
    assert_eq!(raw(put.as_bytes()), 405);
    assert_eq!(raw(b"\x16\x03\x01\x02\x00\x01\x00\r\n\r\n"), 400);
    assert_eq!(raw(b"hello\r\n\r\n"), 400);
    let long = format!(
        "GET {pond} HTTP/1.1\r\n{own}X: {}\r\n\r\n",
        "x".repeat(20_000)
    );
    assert_eq!(raw(long.as_bytes()), 431);
    let many = format!("GET {pond} HTTP/1.1\r\n{own}{}\r\n", "X: y\r\n".repeat(100));
    assert_eq!(raw(many.as_bytes()), 431);
    // It is still there.
    assert_eq!(desk.get("pond").status, 200);
}

#[test]
fn bodies_are_bounded_before_they_are_read() {
    let desk = open(&sound());
    let (authority, token) = (&desk.authority, &desk.token);
    let post = |lines: &str, body: &[u8]| {
        let head = format!("POST /{token}/pond HTTP/1.1\r\nHost: {authority}\r\n{lines}\r\n");
        sent(authority, &[head.as_bytes(), body].concat())
    };
    let told = |length: usize| format!("Content-Length: {length}\r\n");
    // Only told, and never sent.
    assert_eq!(post(&told(BODY + 1), b"").status, 413);
    assert_eq!(
        post("Content-Length: 99999999999999999999999\r\n", b"").status,
        413
    );
    assert_eq!(post("Content-Length: -1\r\n", b"").status, 400);
    assert_eq!(post(&(told(3) + &told(4)), b"abc").status, 400);
    assert_eq!(
        post("Transfer-Encoding: chunked\r\n", b"0\r\n\r\n").status,
        411
    );
    // As long as may be: read, and said to be wrong.
    let most = [b"area=".as_slice(), &vec![b'1'; BODY - 5]].concat();
    let reply = post(&told(BODY), &most);
    assert_eq!(reply.status, 200);
    assert!(reply.body.contains("can't be answered yet"));
    // One byte more, and all of it sent.
    let reply = post(&told(BODY + 1), &vec![b'1'; BODY + 1]);
    assert!([413, 0].contains(&reply.status), "{}", reply.status);
    assert_eq!(desk.get("pond").status, 200);
}

/// The same sentences as the command's page.
#[test]
fn a_pond_is_answered_as_the_command_answers_it() {
    let desk = open(&sound());
    let reply = desk.post("pond", &VILLAGE);
    assert_eq!(reply.status, 200);
    let page = said(&[&THE_SAME[..], &["--format", "html"]].concat());
    let of = |page: &str| -> String {
        let begin = page
            .find("<section class=\"finding warning\"")
            .expect("an answer");
        let end = page[begin..].find("<h2 id=\"words\"").expect("its end");
        page[begin..begin + end].to_string()
    };
    assert!(of(&page) == of(&reply.body), "another answer");
    // The form keeps what was filled in.
    assert!(reply.body.contains("value=\"650 m2\"") && reply.body.contains("value=\"18 m, 26 m\""));
    let order = desk.post("order.csv", &VILLAGE);
    assert!(order.head.contains("attachment; filename=\"order.csv\""));
    assert_eq!(
        order.body,
        said(&[&THE_SAME[..], &["--format", "csv"]].concat())
    );
    let single = desk.post(
        "pond",
        &[&VILLAGE[..], &[("package", "mill-single")]].concat(),
    );
    assert!(
        single.body.contains("<h2 id=\"first\">mill-single"),
        "{}",
        single.status
    );
}

#[test]
fn an_outline_with_soundings_is_drawn_and_what_is_wrong_is_said() {
    let desk = open(&sound());
    let drawn = [
        ("outline", "0, 0\n30, 0\r\n34; 15\n12 22"),
        ("soundings", "10, 6, 1.1\n20, 9, 1.9\n14, 14, 1.5"),
        ("cabinet", "-2, 4"),
    ];
    let reply = desk.post("pond", &drawn);
    assert!(reply.body.contains("class=\"shore\"") && reply.body.contains("class=\"contour\""));
    for (fields, says) in [
        (&[("depth", "2 m")][..], "area is missing"),
        (&[("area", "650 m2")], "depth is missing"),
        (&[("area", "650"), ("depth", "2 m")], "unit"),
        (
            &[("outline", "0, 0\n30"), ("depth", "2 m")],
            "isn't two numbers",
        ),
        (&[("outline", "0, 0\n30, 0"), ("depth", "2 m")], "outline"),
        (
            &[("outline", "0, 0\n30, 0\n30, 30"), ("soundings", "1, 2")],
            "sounding",
        ),
        (
            &[("area", "650 m2"), ("depth", "2 m"), ("package", "none")],
            "no package",
        ),
        (
            &[("area", "650 m2\"\nown = \"x"), ("depth", "2 m")],
            "answered yet",
        ),
    ] {
        let reply = desk.post("pond", fields);
        assert_eq!(reply.status, 200, "{fields:?}");
        assert!(reply.body.contains("role=\"alert\""), "{fields:?}");
        assert!(reply.body.contains(says), "{fields:?}: {}", reply.body);
    }
}

#[test]
fn what_if_is_the_sweep_of_the_command() {
    let desk = open(&sound());
    let page = desk.get("whatif?package=mill-pair&option=with-airline&vary=depth&run=25&bore=12.5");
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args([
            "sweep",
            "mill-pair",
            "--option",
            "with-airline",
            "--format",
            "svg",
        ])
        .args([
            "--depth",
            "0.5 to 6.5 m",
            "--run",
            "25 m",
            "--bore",
            "12.5 mm",
            "--catalog",
        ])
        .arg(sound())
        .output()
        .unwrap();
    let svg = String::from_utf8(output.stdout).unwrap();
    let points = |text: &str| -> Vec<String> {
        let lines = text.split("<polyline class=\"line case").skip(1);
        lines
            .map(|line| line.split('>').next().unwrap().to_string())
            .collect()
    };
    assert_eq!(points(&page.body), points(&svg));
    assert_eq!(points(&svg).len(), 3);
    // Anything may be sent.
    for query in [
        "depth=1e308&run=-5&bore=NaN",
        "vary=none&figure=none",
        "option=none",
        "depth=%00%ff",
    ] {
        let reply = desk.get(&format!("whatif?package=mill-pair&{query}"));
        assert_eq!(reply.status, 200, "{query}");
        assert!(reply.body.contains("<polyline"), "{query}");
    }
}

#[test]
fn what_a_catalog_says_is_text() {
    let folder = tempfile::tempdir().unwrap();
    let evil = "<script>alert(1)</script><img src=x onerror=alert(1)>\\\" onfocus=\\\"alert(1)";
    let text = crate::ponds::package("linear", 2, 0.0127, 20.0)
        .replace("[catalog]", &format!("[catalog]\ntitle = \"{evil}\""))
        .replace("[package.it]", &format!("[package.it]\ntitle = \"{evil}\""))
        .replace("\"with-line\"", &format!("\"{evil}\""));
    std::fs::write(folder.path().join("catalog.toml"), text).unwrap();
    let desk = open(folder.path());
    let pages = [
        desk.get("catalog"),
        desk.get("whatif?package=it"),
        desk.post(
            "pond",
            &[
                ("area", "500 m2"),
                ("depth", "1.5 m"),
                ("title", "<b onclick=x>\"'"),
            ],
        ),
    ];
    for page in pages {
        assert_eq!(page.status, 200);
        assert!(page.body.contains("&lt;script&gt;alert"), "it is shown");
        for bad in ["<script>alert", "<img", "<b onclick", "\" onfocus=\""] {
            assert!(!page.body.contains(bad), "{bad}");
        }
    }
}

/// Every one of a thousand is answered.
#[test]
fn a_thousand_requests_at_once_are_answered() {
    let desk = open(&sound());
    let answered = std::thread::scope(|scope| {
        let asking: Vec<_> = (0..1000)
            .map(|number| {
                let path = if number % 100 == 0 {
                    "pond"
                } else {
                    "desk.css"
                };
                let desk = &desk;
                std::thread::Builder::new()
                    .stack_size(128 * 1024)
                    .spawn_scoped(scope, move || desk.get(path).status)
                    .unwrap()
            })
            .collect();
        let statuses = asking.into_iter().map(|one| one.join().unwrap());
        statuses.filter(|status| *status == 200).count()
    });
    assert_eq!(answered, 1000);
    // Those who say nothing keep nobody waiting.
    let silent: Vec<TcpStream> = (0..8)
        .map(|_| TcpStream::connect(&desk.authority).unwrap())
        .collect();
    assert_eq!(desk.get("pond").status, 200);
    drop(silent);
}

#[test]
fn a_fault_stays_with_its_request_and_a_closed_desk_is_gone() {
    let server = Server::open(0, Duration::from_secs(3600)).unwrap();
    let url = server.url();
    let (authority, token) = url["http://".len()..].split_once('/').unwrap();
    let token = token.trim_end_matches('/');
    std::thread::scope(|scope| {
        let serving = scope.spawn(|| {
            server.serve(|request| match request.path.as_str() {
                "fault" => panic!("on purpose"),
                path => Answer::page(path.to_string()),
            });
        });
        let get = |path: &str| {
            let head = format!("GET /{token}/{path} HTTP/1.1\r\nHost: {authority}\r\n\r\n");
            sent(authority, head.as_bytes())
        };
        assert_eq!(get("fault").status, 500);
        let reply = get("a?b=c");
        assert_eq!((reply.status, reply.body.as_str()), (200, "a"));
        server.close();
        serving.join().unwrap();
    });
    let authority = authority.to_string();
    drop(server);
    assert!(TcpStream::connect(authority).is_err());
}

/// It returns at all only because nobody asks.
#[test]
fn the_desk_closes_when_nobody_asks() {
    let server = Server::open(0, Duration::from_millis(50)).unwrap();
    server.serve(|_| Answer::page(String::new()));
}

#[test]
fn a_desk_without_a_catalog_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["desk", folder.path().to_str().unwrap()])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .contains("no catalog")
    );
}
