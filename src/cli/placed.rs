//! PDFs are taken apart in a process of their own, under limits of time and memory: what is hostile or
//! damaged ends that process and never this one.

use std::io::{Read, Write};
use std::process::{Command, ExitStatus, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::spec_sheet::{UnreadKind, pdf};

use super::{Failure, SOUND, output, refusal};

/// How long one file may take.
const LONGEST: Duration = Duration::from_secs(20);
/// Most bytes of a PDF; a spec sheet with photographs has a few million.
const MOST_BYTES: usize = 64 * 1024 * 1024;
/// Most bytes that are taken from the other process.
const MOST_TEXT: u64 = 256 * 1024 * 1024;
/// Most address space of the other process, in bytes.
#[cfg(unix)]
const MOST_MEMORY: u64 = 1024 * 1024 * 1024;
/// Stack of the thread that takes the PDF apart, which follows nested objects by calling itself.
const STACK: usize = 64 * 1024 * 1024;

/// Take a PDF from standard input apart into placed text, for the program itself.
#[derive(Debug, clap::Args)]
pub struct PlacedText {
    /// Read this file, in a process of its own.
    #[arg(value_name = "FILE")]
    file: Option<std::path::PathBuf>,
}

impl PlacedText {
    /// Runs it.
    pub fn run(self) -> Result<u8, Failure> {
        let text = match self.file {
            Some(file) => {
                let bytes = std::fs::read(&file).map_err(|error| Failure::Unreadable {
                    path: file.display().to_string(),
                    why: refusal(&error),
                })?;
                placed_text(&bytes)
            }
            None => inside()?,
        };
        output::print(&text).map(|()| SOUND)
    }
}

/// Placed text of a PDF, whatever its bytes.
pub fn placed_text(bytes: &[u8]) -> String {
    if bytes.len() > MOST_BYTES {
        return pdf::unreadable(UnreadKind::TooLarge);
    }
    match apart(bytes) {
        Ok(text) => text,
        Err(why) => pdf::unreadable(why),
    }
}

/// Runs the other process, and waits for it no longer than it may take.
fn apart(bytes: &[u8]) -> Result<String, UnreadKind> {
    let program = std::env::current_exe().map_err(|_| UnreadKind::Kind)?;
    let mut child = Command::new(program)
        .arg("placed-text")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|_| UnreadKind::Kind)?;
    let (input, output) = (child.stdin.take(), child.stdout.take());
    let bytes = bytes.to_vec();
    // Both ends are served at once, lest each wait for the other.
    let writer = thread::spawn(move || input.map(|mut input| input.write_all(&bytes)));
    let reader = thread::spawn(move || {
        let mut text = Vec::new();
        let read = output.map(|output| output.take(MOST_TEXT).read_to_end(&mut text));
        (text, read.is_some_and(|read| read.is_ok()))
    });
    let status = wait(&mut child);
    let _ = writer.join();
    let (text, is_read) = reader.join().unwrap_or_default();
    let status = status?;
    if !status.success() {
        return Err(fault(status));
    }
    String::from_utf8(text).ok().filter(|text| is_read && text.starts_with(pdf::MARK)).ok_or(UnreadKind::Damaged)
}

fn wait(child: &mut std::process::Child) -> Result<ExitStatus, UnreadKind> {
    let begun = Instant::now();
    let mut pause = Duration::from_millis(1);
    loop {
        match child.try_wait() {
            Ok(Some(status)) => return Ok(status),
            Ok(None) if begun.elapsed() < LONGEST => {}
            _ => {
                let _ = child.kill();
                let _ = child.wait();
                return Err(UnreadKind::TooMuchWork);
            }
        }
        thread::sleep(pause);
        pause = (pause * 2).min(Duration::from_millis(20));
    }
}

/// Why the other process ended without an answer. It panics on what is damaged; the system or the allocator
/// ends it when it asks for too much.
fn fault(status: ExitStatus) -> UnreadKind {
    if status.code().is_some() { UnreadKind::Damaged } else { UnreadKind::TooMuchWork }
}

/// What the other process does.
fn inside() -> Result<String, Failure> {
    #[cfg(unix)]
    {
        let memory = rlimit::Resource::AS.set(MOST_MEMORY, MOST_MEMORY);
        let seconds = LONGEST.as_secs() + 5;
        let time = rlimit::Resource::CPU.set(seconds, seconds);
        // Without limits it isn't begun: the caller tells that the file wasn't read.
        if memory.and(time).is_err() {
            return Ok(pdf::unreadable(UnreadKind::Kind));
        }
    }
    let mut bytes = Vec::new();
    if std::io::stdin().take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes).is_err() {
        return Ok(pdf::unreadable(UnreadKind::Damaged));
    }
    std::panic::set_hook(Box::new(|_| {}));
    let worker = thread::Builder::new().stack_size(STACK).spawn(move || pdf::placed_text(&bytes));
    let text = worker.ok().and_then(|worker| worker.join().ok());
    Ok(text.unwrap_or_else(|| pdf::unreadable(UnreadKind::Damaged)))
}
