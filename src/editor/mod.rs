//! A language server (LSP 3.17): what the audit knows, in an editor, while somebody types.
//!
//! - `frames`: messages on a stream;
//! - `lines`: places as an editor counts them; `uri`: addresses of files;
//! - `unit`: what is audited together, by a memo that does only what changed;
//! - `show`: findings as diagnostics;
//! - `spot`: what the format has at a place; `names`: IDs, where they are given and where they are used;
//! - `hover`, `complete`, `actions`, `outline`: answers.
//!
//! One thread reads messages, one works. Everything that waits is taken in before anything is worked on, so that work
//! on a text that has changed since isn't begun. What the program fails at is told, and the next message is read. The
//! messages are made by hand: the shapes are few, and a crate for the stream that was looked at ends with the first
//! message it can't read, and makes as much room as a header asks for.

mod actions;
mod complete;
mod frames;
mod hover;
mod lines;
mod names;
mod outline;
mod show;
mod spot;
mod unit;
mod uri;

use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, sync_channel};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::engine::{self, Input};
use crate::spec_sheet::Extract;

use frames::Frame;
use lines::{Encoding, Lines};
use unit::{Stale, Unit};

/// Without a message for so long, what was typed is looked at.
const PAUSE: Duration = Duration::from_millis(5);
/// So long at most is it put off.
const LATEST: Duration = Duration::from_millis(100);
/// Messages that wait to be taken in; then the client waits.
const WAITING: usize = 64;
/// Requests that wait for an answer; beyond them one is refused.
const QUEUED: usize = 256;
/// Texts that are open at once; beyond them one isn't looked at.
const OPEN: usize = 2000;

/// Files as they are read around the open ones.
pub trait Shelf {
    /// What is audited together with the file or folder at `home`, `open` texts in place of what lies there.
    ///
    /// # Errors
    /// It can't be read; in a sentence.
    fn read(&mut self, home: &str, open: &[(String, Vec<u8>)]) -> Result<Files, String>;

    /// Whether there is a file.
    fn is_file(&mut self, path: &str) -> bool;

    /// Whether a repository begins in a folder.
    fn is_top(&mut self, folder: &str) -> bool;
}

/// Files that are audited together.
#[derive(Debug, Default)]
pub struct Files {
    /// Their texts, by path from the root.
    pub inputs: Vec<Input>,
    /// Those of the documents and spec sheets that they name that are there.
    pub documents: BTreeSet<String>,
    /// The texts of files that have pages.
    pub pages: BTreeMap<String, Extract>,
    /// The day that waivers are held to.
    pub today: String,
}

/// A text that is open in the editor.
#[derive(Debug)]
pub(crate) struct Open {
    uri: String,
    text: String,
    version: Value,
    /// What it is audited with.
    home: String,
}

/// Serves one editor until it says goodbye or its stream ends; whether it said goodbye.
///
/// # Errors
/// The output can't be written.
pub fn serve(
    input: impl BufRead + Send,
    output: &mut dyn Write,
    shelf: &mut dyn Shelf,
) -> std::io::Result<bool> {
    std::thread::scope(|scope| {
        let (sender, receiver) = sync_channel(WAITING);
        scope.spawn(move || listen(input, &sender));
        let mut session = Session::new(output, shelf);
        session.work(&receiver)?;
        // The listener ends with its stream, or as nobody takes in what it hears.
        drop(receiver);
        Ok(session.state == State::Down)
    })
}

fn listen(mut input: impl BufRead, sender: &SyncSender<Frame>) {
    while let Ok(Some(frame)) = frames::read(&mut input) {
        let is_last = matches!(&frame, Frame::Message(bytes) if is_exit(bytes));
        if sender.send(frame).is_err() || is_last {
            return;
        }
    }
}

/// Whether a message is the last one: an editor that waits for the server's end doesn't close the stream.
fn is_exit(bytes: &[u8]) -> bool {
    bytes.len() < 200
        && serde_json::from_slice::<Value>(bytes).is_ok_and(|message| {
            message.get("method").and_then(Value::as_str) == Some("exit")
                && message.get("id").is_none()
        })
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    /// Nobody said hello.
    New,
    Up,
    /// Nothing more is asked.
    Down,
}

/// Why a request isn't answered, by the protocol's numbers.
#[derive(Debug)]
pub(crate) enum Refusal {
    Unreadable(String),
    Unknown,
    Arguments,
    NotNow,
    Cancelled,
    Failed(String),
    Fault,
}

impl Refusal {
    fn code(&self) -> i32 {
        match self {
            Refusal::Unreadable(_) => -32700,
            Refusal::Unknown => -32601,
            Refusal::Arguments => -32602,
            Refusal::NotNow => -32002,
            Refusal::Cancelled => -32800,
            Refusal::Failed(_) => -32803,
            Refusal::Fault => -32603,
        }
    }

    fn says(&self) -> String {
        match self {
            Refusal::Unreadable(why) | Refusal::Failed(why) => why.clone(),
            Refusal::Unknown => "this server doesn't answer that".into(),
            Refusal::Arguments => "what the request is about can't be read".into(),
            Refusal::NotNow => "the session hasn't begun, or is over".into(),
            Refusal::Cancelled => "it was taken back".into(),
            Refusal::Fault => FAULT.into(),
        }
    }
}

const FAULT: &str = "The program itself failed, not your files; please report it.";

type Answer = Result<Value, Refusal>;

struct Request {
    id: Value,
    method: String,
    params: Value,
}

struct Session<'s> {
    output: &'s mut dyn Write,
    shelf: &'s mut dyn Shelf,
    state: State,
    encoding: Encoding,
    /// Folders that are open in the editor: no catalog is looked for above them.
    folders: Vec<String>,
    open: BTreeMap<String, Open>,
    units: BTreeMap<String, Unit>,
    waiting: Vec<Request>,
    /// Whether grades are shown beside promises.
    grades: bool,
    /// Since when something is stale.
    since: Option<Instant>,
    /// What was told of troubles, so that it isn't told at each keystroke.
    told: BTreeSet<String>,
}

impl<'s> Session<'s> {
    fn new(output: &'s mut dyn Write, shelf: &'s mut dyn Shelf) -> Session<'s> {
        Session {
            output,
            shelf,
            state: State::New,
            encoding: Encoding::default(),
            folders: Vec::new(),
            open: BTreeMap::new(),
            units: BTreeMap::new(),
            waiting: Vec::new(),
            grades: false,
            since: None,
            told: BTreeSet::new(),
        }
    }

    fn work(&mut self, receiver: &Receiver<Frame>) -> std::io::Result<()> {
        loop {
            let patience = match (self.since, self.waiting.is_empty()) {
                (None, true) => None,
                (Some(since), true) => Some(PAUSE.min(LATEST.saturating_sub(since.elapsed()))),
                (_, false) => Some(Duration::ZERO),
            };
            let frame = match patience {
                None => receiver.recv().map_err(|_| RecvTimeoutError::Disconnected),
                Some(patience) => receiver.recv_timeout(patience),
            };
            match frame {
                Ok(Frame::Message(bytes)) => {
                    if !self.heard(&bytes)? {
                        return Ok(());
                    }
                }
                Ok(Frame::Broken(why)) => {
                    self.refuse(
                        &Value::Null,
                        &Refusal::Unreadable(format!("not a message: {why}")),
                    )?;
                }
                Err(RecvTimeoutError::Timeout) => self.settle()?,
                Err(RecvTimeoutError::Disconnected) => return self.settle(),
            }
        }
    }

    /// Takes in one message; false at the last one.
    fn heard(&mut self, bytes: &[u8]) -> std::io::Result<bool> {
        let message: Value = match serde_json::from_slice(bytes) {
            Ok(message) => message,
            Err(_) => {
                let why = "not a message: it isn't JSON".to_string();
                self.refuse(&Value::Null, &Refusal::Unreadable(why))?;
                return Ok(true);
            }
        };
        let params = message.get("params").cloned().unwrap_or(Value::Null);
        let method = message
            .get("method")
            .and_then(Value::as_str)
            .map(str::to_string);
        let id = message.get("id").cloned();
        match (method, id) {
            (Some(method), None) if method == "exit" => return Ok(false),
            (Some(method), None) => self.notified(&method, &params)?,
            (Some(method), Some(id @ (Value::String(_) | Value::Number(_)))) => {
                self.asked(Request { id, method, params })?;
            }
            // An answer to something, which nobody asked, or no message at all.
            (None, Some(_)) => {}
            (_, id) => {
                let why = "not a message: it has no method, or an ID that is none".to_string();
                self.refuse(&id.unwrap_or(Value::Null), &Refusal::Unreadable(why))?;
            }
        }
        Ok(true)
    }

    fn asked(&mut self, request: Request) -> std::io::Result<()> {
        match (self.state, request.method.as_str()) {
            (State::New, "initialize") => {
                let answer = self.begin(&request.params);
                self.state = State::Up;
                self.answer(&request.id, Ok(answer))
            }
            (State::Up, "shutdown") => {
                self.settle()?;
                self.state = State::Down;
                self.answer(&request.id, Ok(Value::Null))
            }
            (State::Up, "initialize") => self.answer(&request.id, Err(Refusal::Arguments)),
            (State::Up, _) if self.waiting.len() >= QUEUED => {
                self.settle()?;
                self.waiting.push(request);
                Ok(())
            }
            (State::Up, _) => {
                self.waiting.push(request);
                Ok(())
            }
            _ => self.answer(&request.id, Err(Refusal::NotNow)),
        }
    }

    fn answer(&mut self, id: &Value, answer: Answer) -> std::io::Result<()> {
        match answer {
            Ok(result) => {
                let message = json!({ "jsonrpc": "2.0", "id": id, "result": result });
                frames::write(&mut self.output, &message)
            }
            Err(refusal) => self.refuse(id, &refusal),
        }
    }

    fn refuse(&mut self, id: &Value, refusal: &Refusal) -> std::io::Result<()> {
        let error = json!({ "code": refusal.code(), "message": refusal.says() });
        let message = json!({ "jsonrpc": "2.0", "id": id, "error": error });
        frames::write(&mut self.output, &message)
    }

    fn tell(&mut self, method: &str, params: &Value) -> std::io::Result<()> {
        let message = json!({ "jsonrpc": "2.0", "method": method, "params": params });
        frames::write(&mut self.output, &message)
    }

    /// Says a trouble once.
    fn warn(&mut self, says: String) -> std::io::Result<()> {
        // A long session doesn't remember everything that ever went wrong.
        if self.told.len() > QUEUED {
            self.told.clear();
        }
        if !self.told.insert(says.clone()) {
            return Ok(());
        }
        self.tell("window/logMessage", &json!({ "type": 2, "message": says }))
    }

    fn begin(&mut self, params: &Value) -> Value {
        let encodings = params.pointer("/capabilities/general/positionEncodings");
        let mut encodings = encodings.and_then(Value::as_array).into_iter().flatten();
        if encodings.any(|one| one == Encoding::Utf8.name()) {
            self.encoding = Encoding::Utf8;
        }
        let folders = params.get("workspaceFolders").and_then(Value::as_array);
        let folders = folders
            .into_iter()
            .flatten()
            .filter_map(|one| one.get("uri"));
        let all = folders
            .chain(params.get("rootUri"))
            .filter_map(Value::as_str);
        self.folders = all.filter_map(uri::path).collect();
        self.set(params.get("initializationOptions").unwrap_or(&Value::Null));
        json!({
            "serverInfo": { "name": "nameplate", "version": env!("CARGO_PKG_VERSION") },
            "capabilities": {
                "positionEncoding": self.encoding.name(),
                "textDocumentSync": { "openClose": true, "change": 2, "save": {} },
                "hoverProvider": true,
                "definitionProvider": true,
                "referencesProvider": true,
                "renameProvider": { "prepareProvider": true },
                "completionProvider": { "triggerCharacters": ["[", ".", "\"", " ", "="] },
                "codeActionProvider": { "codeActionKinds": ["quickfix", "source.fixAll"] },
                "documentSymbolProvider": true,
                "foldingRangeProvider": true,
                "inlayHintProvider": true,
                "workspace": { "workspaceFolders": { "supported": true, "changeNotifications": true } },
            },
        })
    }

    /// Takes in settings: `{ "grades": true }`, or the same below the program's name.
    fn set(&mut self, settings: &Value) {
        let own = settings.get("nameplate").unwrap_or(settings);
        if let Some(grades) = own.get("grades").and_then(Value::as_bool) {
            self.grades = grades;
        }
    }

    fn notified(&mut self, method: &str, params: &Value) -> std::io::Result<()> {
        if method == "$/cancelRequest" {
            return self.cancelled(params);
        }
        if self.state != State::Up {
            return Ok(());
        }
        match method {
            "textDocument/didOpen" => self.opened(params),
            "textDocument/didChange" => self.changed(params),
            "textDocument/didClose" => return self.closed(params),
            "textDocument/didSave" | "workspace/didChangeWatchedFiles" => self.refresh(),
            "workspace/didChangeConfiguration" => {
                self.set(params.get("settings").unwrap_or(&Value::Null));
            }
            "workspace/didChangeWorkspaceFolders" => self.moved(params),
            _ => {}
        }
        Ok(())
    }

    fn cancelled(&mut self, params: &Value) -> std::io::Result<()> {
        let id = params.get("id").unwrap_or(&Value::Null);
        let Some(place) = self.waiting.iter().position(|one| one.id == *id) else {
            return Ok(());
        };
        let request = self.waiting.remove(place);
        self.answer(&request.id, Err(Refusal::Cancelled))
    }

    fn moved(&mut self, params: &Value) {
        let listed = |name: &str| -> Vec<String> {
            let all = params
                .pointer(&format!("/event/{name}"))
                .and_then(Value::as_array);
            let uris = all
                .into_iter()
                .flatten()
                .filter_map(|one| one.get("uri")?.as_str());
            uris.filter_map(uri::path).collect()
        };
        let removed = listed("removed");
        self.folders.retain(|folder| !removed.contains(folder));
        self.folders.extend(listed("added"));
        self.refresh();
    }

    fn refresh(&mut self) {
        for unit in self.units.values_mut() {
            unit.stale = Stale::Files;
        }
        self.is_stale();
    }

    fn is_stale(&mut self) {
        self.since.get_or_insert_with(Instant::now);
    }

    fn opened(&mut self, params: &Value) {
        let text = |name: &str| params.pointer(&format!("/textDocument/{name}"));
        let (Some(uri), Some(body)) = (
            text("uri").and_then(Value::as_str),
            text("text").and_then(Value::as_str),
        ) else {
            return;
        };
        let Some(path) = uri::path(uri) else { return };
        let is_ours =
            path.ends_with(".toml") || engine::is_sheet(&path) && !engine::is_paged(&path);
        if !is_ours || self.open.len() >= OPEN {
            return;
        }
        let home = self.home(&path, body);
        self.units.entry(home.clone()).or_default().stale = Stale::Files;
        let open = Open {
            uri: uri.to_string(),
            text: body.to_string(),
            version: text("version").cloned().unwrap_or(Value::Null),
            home,
        };
        self.open.insert(path, open);
        self.is_stale();
    }

    /// What the text at `path` is audited with: the nearest folder above that has a catalog, else itself.
    fn home(&mut self, path: &str, text: &str) -> String {
        let is_head = path.ends_with("/catalog.toml");
        let input = Input {
            path: path.to_string(),
            bytes: text.as_bytes().to_vec(),
            alone: true,
            borrowed: false,
        };
        let is_part = is_head || engine::is_sheet(path) || !may_be_whole(text);
        if !is_part && engine::is_whole(&input) {
            return path.to_string();
        }
        let mut above = path;
        while let Some((folder, _)) = above.rsplit_once('/') {
            let head = format!("{folder}/catalog.toml");
            if self.open.contains_key(&head) || head == path || self.shelf.is_file(&head) {
                return folder.to_string();
            }
            let is_end = self
                .folders
                .iter()
                .any(|one| one.trim_end_matches('/') == folder);
            if is_end || self.shelf.is_top(folder) {
                break;
            }
            above = folder;
        }
        path.to_string()
    }

    fn changed(&mut self, params: &Value) {
        let Some(path) = path_of(params) else { return };
        let encoding = self.encoding;
        let Some(open) = self.open.get_mut(&path) else {
            return;
        };
        let changes = params.get("contentChanges").and_then(Value::as_array);
        for change in changes.into_iter().flatten() {
            let Some(text) = change.get("text").and_then(Value::as_str) else {
                continue;
            };
            match change.get("range") {
                Some(range) if !range.is_null() => {
                    let bytes = Lines::of(&open.text, encoding).bytes(range);
                    if let Some(bytes) = bytes {
                        open.text.replace_range(bytes, text);
                    }
                }
                _ => open.text = text.to_string(),
            }
        }
        open.version = params
            .pointer("/textDocument/version")
            .cloned()
            .unwrap_or(Value::Null);
        let (text, home) = (open.text.clone(), open.home.clone());
        // With a head it becomes a catalog of its own, and without one a part of another.
        let now = self.home(&path, &text);
        if now != home {
            if let Some(open) = self.open.get_mut(&path) {
                open.home.clone_from(&now);
            }
            for home in [home, now] {
                self.units.entry(home).or_default().stale = Stale::Files;
            }
        } else if let Some(unit) = self.units.get_mut(&home) {
            unit.change(&path, &text);
        }
        self.is_stale();
    }

    fn closed(&mut self, params: &Value) -> std::io::Result<()> {
        let Some(path) = path_of(params) else {
            return Ok(());
        };
        if let Some(open) = self.open.remove(&path) {
            if let Some(unit) = self.units.get_mut(&open.home) {
                unit.stale = Stale::Files;
            }
            self.is_stale();
        }
        Ok(())
    }

    /// Audits what changed, says what is new of it, and answers what was asked.
    fn settle(&mut self) -> std::io::Result<()> {
        self.since = None;
        self.leave()?;
        let homes: Vec<String> = self.units.keys().cloned().collect();
        for home in homes {
            self.audit(&home)?;
        }
        for request in std::mem::take(&mut self.waiting) {
            let answered = catch_unwind(AssertUnwindSafe(|| {
                self.answered(&request.method, &request.params)
            }));
            let answer = answered.unwrap_or(Err(Refusal::Fault));
            self.answer(&request.id, answer)?;
        }
        Ok(())
    }

    /// Forgets what has no open text any more.
    fn leave(&mut self) -> std::io::Result<()> {
        let homes: BTreeSet<&String> = self.open.values().map(|open| &open.home).collect();
        let left: Vec<String> = { self.units.keys() }
            .filter(|home| !homes.contains(home))
            .cloned()
            .collect();
        for home in left {
            let Some(unit) = self.units.remove(&home) else {
                continue;
            };
            for path in unit.told() {
                self.publish(path, &json!([]))?;
            }
        }
        Ok(())
    }

    fn audit(&mut self, home: &str) -> std::io::Result<()> {
        let Some(unit) = self.units.get_mut(home) else {
            return Ok(());
        };
        if unit.stale == Stale::No {
            return Ok(());
        }
        if unit.stale == Stale::Files {
            let open = self.open.iter();
            let open = open.map(|(path, open)| (path.clone(), open.text.as_bytes().to_vec()));
            match self.shelf.read(home, &open.collect::<Vec<_>>()) {
                Ok(files) => unit.take(files),
                Err(why) => {
                    unit.stale = Stale::No;
                    return self.warn(why);
                }
            }
        }
        if !unit.audit() {
            return self.warn(FAULT.into());
        }
        for (path, list) in unit.news(&self.open, self.encoding) {
            self.publish(&path, &list)?;
        }
        Ok(())
    }

    fn publish(&mut self, path: &str, list: &Value) -> std::io::Result<()> {
        let mut params = json!({ "uri": uri::shown(path, &self.open), "diagnostics": list });
        if let Some(open) = self.open.get(path).filter(|open| !open.version.is_null()) {
            params["version"] = open.version.clone();
        }
        self.tell("textDocument/publishDiagnostics", &params)
    }

    /// What a request is about: a text that is open, as it was audited last.
    fn about(&mut self, params: &Value) -> Result<Asked<'_>, Refusal> {
        let failed = |why: &str| Refusal::Failed(why.to_string());
        let path = path_of(params).ok_or(Refusal::Arguments)?;
        let (open, encoding) = (&self.open, self.encoding);
        let text = open.get(&path);
        let text = text.ok_or_else(|| failed("this text isn't open, or no part of a catalog"))?;
        let unit = self
            .units
            .get_mut(&text.home)
            .filter(|unit| unit.holds(&path));
        let unit = unit.ok_or_else(|| failed("its catalog leaves this file out"))?;
        let file = unit.file(&path);
        let file = file.ok_or_else(|| failed("the program failed at this file"))?;
        let at = params.get("position").and_then(|place| {
            let number = |key: &str| place.get(key).and_then(Value::as_u64);
            let lines = Lines::of(&text.text, encoding);
            Some(lines.offset(number("line")?, number("character")?))
        });
        Ok(Asked {
            open,
            unit,
            file,
            text: &text.text,
            at,
            encoding,
        })
    }

    fn answered(&mut self, method: &str, params: &Value) -> Answer {
        let grades = self.grades;
        match method {
            "textDocument/hover" => hover::at(&mut self.about(params)?),
            "textDocument/definition" => names::definition(&mut self.about(params)?),
            "textDocument/references" => {
                let declared = params.pointer("/context/includeDeclaration");
                names::references(
                    &mut self.about(params)?,
                    declared.and_then(Value::as_bool).unwrap_or(true),
                )
            }
            "textDocument/prepareRename" => names::prepare(&mut self.about(params)?),
            "textDocument/rename" => {
                let name = params.get("newName").and_then(Value::as_str);
                let name = name.ok_or(Refusal::Arguments)?;
                names::rename(&mut self.about(params)?, name)
            }
            "textDocument/completion" => complete::at(&mut self.about(params)?),
            "textDocument/codeAction" => actions::of(&mut self.about(params)?, params),
            "textDocument/documentSymbol" => outline::symbols(&mut self.about(params)?),
            "textDocument/foldingRange" => outline::folds(&mut self.about(params)?),
            "textDocument/inlayHint" if !grades => Ok(json!([])),
            "textDocument/inlayHint" => outline::hints(&mut self.about(params)?, params),
            _ => Err(Refusal::Unknown),
        }
    }
}

/// What a request is about.
struct Asked<'a> {
    open: &'a BTreeMap<String, Open>,
    unit: &'a mut Unit,
    file: crate::text::FileId,
    text: &'a str,
    /// The byte it is about, where it is about one.
    at: Option<usize>,
    encoding: Encoding,
}

impl Asked<'_> {
    fn at(&self) -> Result<usize, Refusal> {
        self.at.ok_or(Refusal::Arguments)
    }

    fn lines(&self) -> Lines<'_> {
        Lines::of(self.text, self.encoding)
    }
}

/// Whether a text may stand for itself, as far as its lines' beginnings tell: most needn't be read to know that they don't.
fn may_be_whole(text: &str) -> bool {
    const TABLES: [&str; 3] = ["catalog", "pond", "intake"];
    text.lines().any(|line| {
        let key = line.trim_start_matches(['[', ' ', '\t', '"', '\'', '\u{feff}']);
        TABLES.iter().any(|table| key.starts_with(table))
    })
}

fn path_of(params: &Value) -> Option<String> {
    uri::path(params.pointer("/textDocument/uri")?.as_str()?)
}
