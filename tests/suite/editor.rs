//! The language server takes whatever comes: it answers each request once, and ends when it is told to.
//!
//! A session with a client that isn't ours is in `tests/editor/session.py`.

use std::collections::{BTreeMap, HashMap};
use std::io::{BufReader, Cursor, Write};
use std::process::{Command, Stdio};

use nameplate::editor::{self, Files, Shelf};
use serde_json::{Value, json};

use crate::air_packages::Draw;
use crate::generated::honest;
use crate::scratch;

/// Messages of the usual run.
const MESSAGES: usize = 4_000;
/// Messages when more is asked for, and the most memory of the program that takes them, MiB.
const MANY: usize = 100_000;
const MOST_MEMORY: u64 = 300;

/// Files in memory.
#[derive(Default)]
struct Kept(BTreeMap<String, Vec<u8>>);

impl Shelf for Kept {
    fn read(&mut self, home: &str, open: &[(String, Vec<u8>)]) -> Result<Files, String> {
        let mut all = self.0.clone();
        all.extend(open.iter().cloned());
        let below = format!("{home}/");
        all.retain(|path, _| path == home || path.starts_with(&below));
        if all.is_empty() {
            return Err(format!(
                "{home} can't be read: there is no such file or folder"
            ));
        }
        let input = |(path, bytes): (String, Vec<u8>)| match path == home {
            true => scratch::alone(path, bytes),
            false => scratch::input(path, bytes),
        };
        Ok(Files {
            inputs: all.into_iter().map(input).collect(),
            today: "2026-07-01".into(),
            ..Files::default()
        })
    }

    fn is_file(&mut self, path: &str) -> bool {
        self.0.contains_key(path)
    }

    fn is_top(&mut self, folder: &str) -> bool {
        folder.is_empty()
    }
}

fn frame(message: &Value) -> Vec<u8> {
    let text = message.to_string();
    format!("Content-Length: {}\r\n\r\n{text}", text.len()).into_bytes()
}

/// What a server wrote, message by message.
fn messages(mut bytes: &[u8]) -> Vec<Value> {
    let mut all = Vec::new();
    while !bytes.is_empty() {
        let head = bytes
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap();
        let length = std::str::from_utf8(&bytes[..head]).unwrap();
        let length: usize = length
            .strip_prefix("Content-Length: ")
            .unwrap()
            .parse()
            .unwrap();
        let body = &bytes[head + 4..head + 4 + length];
        all.push(serde_json::from_slice(body).unwrap());
        bytes = &bytes[head + 4 + length..];
    }
    all
}

const REQUESTS: [&str; 14] = [
    "textDocument/hover",
    "textDocument/definition",
    "textDocument/references",
    "textDocument/prepareRename",
    "textDocument/rename",
    "textDocument/completion",
    "textDocument/codeAction",
    "textDocument/documentSymbol",
    "textDocument/foldingRange",
    "textDocument/inlayHint",
    "initialize",
    "workspace/symbol",
    "$/nonsense",
    "",
];

const NOTIFICATIONS: [&str; 9] = [
    "textDocument/didOpen",
    "textDocument/didChange",
    "textDocument/didChange",
    "textDocument/didChange",
    "textDocument/didClose",
    "textDocument/didSave",
    "workspace/didChangeConfiguration",
    "workspace/didChangeWatchedFiles",
    "$/cancelRequest",
];

const FILES: [&str; 7] = [
    "file:///a/catalog.toml",
    "file:///a/packages.toml",
    "file:///a/page.md",
    "file:///b/one.toml",
    "file:///a/%F0%9D%84%9E.html",
    "untitled:1",
    "file://%ff",
];

fn any<'a, T>(all: &'a [T], draw: &mut Draw) -> &'a T {
    &all[draw.below(all.len() as u64) as usize]
}

fn position(draw: &mut Draw) -> Value {
    let number = |draw: &mut Draw| match draw.below(20) {
        0 => json!(u64::MAX),
        1 => json!(-1),
        2 => json!("3"),
        3 => json!(null),
        _ => json!(draw.below(60)),
    };
    json!({ "line": number(draw), "character": number(draw) })
}

/// Something that people type, or paste by mistake.
fn typed(draw: &mut Draw) -> String {
    const WORDS: [&str; 22] = [
        "",
        "\n",
        "\"",
        "[",
        "]]",
        "7",
        " m",
        "[package.",
        "depth = \"9 m\"\n",
        "𝄞",
        "\r",
        "\u{feff}",
        "{",
        "}",
        "=",
        "'''",
        "#",
        "compressor = \"linear-30\"\n",
        "up to 8 m deep",
        "<b>",
        "| 3 |",
        "\u{0}",
    ];
    let count = draw.below(4);
    (0..count).map(|_| *any(&WORDS, draw)).collect()
}

fn params(draw: &mut Draw, texts: &[String]) -> Value {
    let uri = *any(&FILES, draw);
    let range = json!({ "start": position(draw), "end": position(draw) });
    let change = match draw.below(4) {
        0 => json!({ "text": any(texts, draw) }),
        1 => json!({ "range": null }),
        _ => json!({ "range": range, "text": typed(draw) }),
    };
    let all = json!({
        "textDocument": { "uri": uri, "version": draw.below(100), "languageId": "toml", "text": any(texts, draw) },
        "position": position(draw),
        "range": range,
        "context": { "includeDeclaration": draw.below(2) == 0, "diagnostics": [], "only": (draw.below(9) == 0).then_some(["source.fixAll"]) },
        "newName": any(&["a-new-name", "No ID", "linear-30", ""], draw),
        "contentChanges": [change],
        "settings": { "nameplate": { "grades": draw.below(2) == 0 } },
        "id": draw.below(200),
    });
    match draw.below(24) {
        0 => Value::Null,
        1 => json!([1, "two"]),
        2 => json!({ "textDocument": 7 }),
        _ => all,
    }
}

/// Bytes that are no message.
fn broken(draw: &mut Draw) -> Vec<u8> {
    match draw.below(6) {
        0 => b"Content-Length: 9\r\n\r\n{\"id\": 1,".to_vec(),
        1 => b"Content-Length: x\r\n\r\n".to_vec(),
        2 => b"GET / HTTP/1.1\r\n".to_vec(),
        3 => frame(&json!([])),
        4 => frame(&json!({ "jsonrpc": "2.0", "id": { "a": 1 }, "method": "textDocument/hover" })),
        _ => (0..40)
            .map(|_| draw.next().to_le_bytes()[0])
            .chain(*b"\n")
            .collect(),
    }
}

/// A session of so many messages, and how many answers each ID is owed.
fn session(seed: u64, count: usize) -> (Vec<u8>, HashMap<u64, usize>) {
    let mut draw = Draw(seed);
    let texts: Vec<String> = (0..4)
        .map(|number| honest::catalog(number).text())
        .chain([
            "For ponds up to 30 ft deep, at 90 W.\n".into(),
            String::new(),
            "[package.a]\n".into(),
        ])
        .collect();
    let folders = json!([{ "uri": "file:///a", "name": "a" }]);
    let hello = json!({ "jsonrpc": "2.0", "id": 0, "method": "initialize", "params": { "capabilities": {}, "workspaceFolders": folders } });
    let mut bytes = frame(&hello);
    let mut owed = HashMap::from([(0, 1)]);
    for number in 1..=count as u64 {
        match draw.below(20) {
            0 => bytes.extend(broken(&mut draw)),
            1..=9 => {
                let method = *any(&NOTIFICATIONS, &mut draw);
                let params = params(&mut draw, &texts);
                bytes.extend(frame(
                    &json!({ "jsonrpc": "2.0", "method": method, "params": params }),
                ));
            }
            _ => {
                let method = *any(&REQUESTS, &mut draw);
                let params = params(&mut draw, &texts);
                bytes.extend(frame(
                    &json!({ "jsonrpc": "2.0", "id": number, "method": method, "params": params }),
                ));
                *owed.entry(number).or_default() += 1;
            }
        }
    }
    // After all that a text is opened, and known.
    let last = "[catalog]\nformat = 1\n\n[compressor.a]\nvoltage = \"230 V\"\n";
    let document =
        json!({ "uri": "file:///z/last.toml", "version": 1, "languageId": "toml", "text": last });
    // Brackets that a broken message left open are closed by an empty line.
    bytes.extend(b"\r\n\r\n");
    bytes.extend(frame(&json!({ "jsonrpc": "2.0", "method": "textDocument/didOpen", "params": { "textDocument": document } })));
    let place = json!({ "textDocument": { "uri": "file:///z/last.toml" }, "position": { "line": 4, "character": 2 } });
    let id = count as u64 + 1;
    bytes.extend(frame(
        &json!({ "jsonrpc": "2.0", "id": id, "method": "textDocument/hover", "params": place }),
    ));
    bytes.extend(frame(
        &json!({ "jsonrpc": "2.0", "id": id + 1, "method": "shutdown" }),
    ));
    bytes.extend(frame(&json!({ "jsonrpc": "2.0", "method": "exit" })));
    owed.extend([(id, 1), (id + 1, 1)]);
    (bytes, owed)
}

/// That every request was answered once, and that the last text was known.
fn check(said: &[u8], owed: &HashMap<u64, usize>, seed: u64) {
    let all = messages(said);
    let mut answers: HashMap<u64, usize> = HashMap::new();
    for message in &all {
        assert_eq!(message["jsonrpc"], "2.0", "{message}");
        if message.get("method").is_none() {
            assert!(
                message.get("result").is_some() != message.get("error").is_some(),
                "{message}"
            );
            if let Some(id) = message["id"].as_u64() {
                *answers.entry(id).or_default() += 1;
            }
            // The program has failed at nothing.
            assert_ne!(message["error"]["code"], -32603, "seed {seed}: {message}");
        }
    }
    assert!(
        answers == *owed,
        "seed {seed}: {:?}",
        owed.iter()
            .find(|(id, count)| answers.get(id) != Some(count))
    );
    let hover = all
        .iter()
        .find(|one| one["id"] == *owed.keys().max().unwrap() - 1);
    let hover = &hover.unwrap()["result"]["contents"]["value"];
    assert!(
        hover
            .as_str()
            .is_some_and(|text| text.contains("**voltage**")),
        "seed {seed}: {hover}"
    );
}

#[test]
fn whatever_comes_is_answered_once_and_ends_nothing() {
    for seed in 0..4 {
        let (bytes, owed) = session(seed, MESSAGES / 4);
        let mut said = Vec::new();
        let input = BufReader::new(Cursor::new(bytes));
        let ended = editor::serve(input, &mut said, &mut Kept::default()).unwrap();
        assert!(ended, "seed {seed}: it ended before it was told to");
        check(&said, &owed, seed);
    }
}

#[test]
#[ignore = "a hundred thousand messages; see DEVELOPERS.md"]
fn a_hundred_thousand_messages_end_nothing_and_take_no_memory() {
    let (bytes, owed) = session(99, MANY);
    let mut child = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .arg("editor")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut output = child.stdout.take().unwrap();
    let exit = frame(&json!({ "jsonrpc": "2.0", "method": "exit" }));
    let (body, _) = bytes.split_at(bytes.len() - exit.len());
    let body = body.to_vec();
    let (told, heard) = std::sync::mpsc::channel();
    let reader = std::thread::spawn(move || {
        let mut said = Vec::new();
        let mut part = [0; 65536];
        while let Ok(count @ 1..) = std::io::Read::read(&mut output, &mut part) {
            said.extend(&part[..count]);
            let _ = told.send(said.len());
        }
        said
    });
    input.write_all(&body).unwrap();
    // It is looked at once it has taken in all and before it goes.
    while heard
        .recv_timeout(std::time::Duration::from_secs(2))
        .is_ok()
    {}
    let status =
        std::fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let peak: Option<u64> = peak.and_then(|line| line.split_whitespace().next()?.parse().ok());
    input.write_all(&exit).unwrap();
    assert!(child.wait().unwrap().success());
    check(&reader.join().unwrap(), &owed, 99);
    if let Some(peak) = peak {
        println!("{} MiB at the most", peak / 1024);
        assert!(peak / 1024 < MOST_MEMORY, "{} MiB", peak / 1024);
    }
}

#[test]
fn a_stream_that_ends_ends_the_session() {
    for bytes in [&b""[..], b"Content-Length: 5\r\n", b"\xff\xff\xff"] {
        let mut said = Vec::new();
        let ended = editor::serve(Cursor::new(bytes), &mut said, &mut Kept::default());
        assert!(!ended.unwrap(), "{bytes:?}");
    }
}

#[test]
fn nothing_is_answered_before_a_greeting() {
    let mut bytes =
        frame(&json!({ "jsonrpc": "2.0", "id": 1, "method": "textDocument/hover", "params": {} }));
    bytes.extend(frame(&json!({ "jsonrpc": "2.0", "method": "exit" })));
    let mut said = Vec::new();
    let ended = editor::serve(Cursor::new(bytes), &mut said, &mut Kept::default()).unwrap();
    let all = messages(&said);
    assert!(
        !ended && all.len() == 1 && all[0]["error"]["code"] == -32002,
        "{all:?}"
    );
}
