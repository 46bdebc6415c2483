//! Files from strangers are read in a process of their own, with limits, so that one that was made to do harm, or is
//! damaged, can't take the program with it.

use std::io::{Read, Write};
use std::process::{Child, Command, Stdio};
use std::sync::{Condvar, Mutex, mpsc};
use std::time::{Duration, Instant};

use super::{Failure, SOUND, UNUSABLE, output, refusal};

/// What came of a file.
pub enum Answer {
    /// What its reader wrote.
    Read(Vec<u8>),
    /// It takes more time or memory than a file may.
    TooMuchWork,
    /// Its reader gave up.
    Damaged,
}

/// How long a file may take. The longest of real sheets takes a tenth of a second.
const SECONDS: u64 = 20;
/// How much memory its reader may ask for.
#[cfg(unix)]
const MEMORY: u64 = 1 << 30;
/// The stack of the reader: what is nested deep in a file is nested deep in it.
const STACK: usize = 64 << 20;
/// How much the reader may write.
const MOST_WRITTEN: u64 = 64 << 20;
/// So many files are read at once, as each may take that memory.
const AT_ONCE: usize = 2;
/// How long all files of a run together may take, in the time of their readers.
const SECONDS_OF_RUN: u64 = 120;
/// How much all their readers may write.
const MOST_WRITTEN_OF_RUN: u64 = 256 << 20;
/// How much of its complaint is looked at.
const MOST_COMPLAINED: u64 = 4096;

/// What the files of a run may take together, and how many of them are being read.
struct Budget {
    left: Mutex<Left>,
    free: Condvar,
}

struct Left {
    time: Duration,
    written: u64,
    reading: usize,
}

static OF_RUN: Budget = Budget::new(SECONDS_OF_RUN, MOST_WRITTEN_OF_RUN);

/// A place among those that are read at once, with what it may take at most.
struct Turn<'b> {
    budget: &'b Budget,
    began: Instant,
    time: Duration,
    most_written: u64,
    written: u64,
}

impl Budget {
    const fn new(seconds: u64, written: u64) -> Budget {
        let left = Left {
            time: Duration::from_secs(seconds),
            written,
            reading: 0,
        };
        Budget {
            left: Mutex::new(left),
            free: Condvar::new(),
        }
    }

    /// Waits for a place; nothing where there is nothing left.
    fn turn(&self) -> Option<Turn<'_>> {
        let left = self.left.lock().ok()?;
        let free = self.free.wait_while(left, |left| left.reading >= AT_ONCE);
        let mut left = free.ok()?;
        if left.time.is_zero() || left.written == 0 {
            return None;
        }
        left.reading += 1;
        Some(Turn {
            budget: self,
            began: Instant::now(),
            time: left.time.min(Duration::from_secs(SECONDS)),
            most_written: left.written.min(MOST_WRITTEN),
            written: 0,
        })
    }
}

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        if let Ok(mut left) = self.budget.left.lock() {
            left.reading -= 1;
            left.time = left.time.saturating_sub(self.began.elapsed());
            left.written = left.written.saturating_sub(self.written);
        }
        self.budget.free.notify_one();
    }
}

/// Has the command `reader` of this program read `bytes`, in a process of its own; the file is called `path`.
///
/// # Errors
/// The program can't be started again.
pub fn ask(reader: &str, path: &str, bytes: &[u8]) -> Result<Answer, Failure> {
    let failure = |error: std::io::Error| Failure::Unreadable {
        path: path.to_string(),
        why: format!(
            "the program can't start itself again to read it: {}",
            refusal(&error)
        ),
    };
    let Some(mut turn) = OF_RUN.turn() else {
        return Ok(Answer::TooMuchWork);
    };
    let mut command = Command::new(std::env::current_exe().map_err(failure)?);
    command
        .arg(reader)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().map_err(failure)?;
    let read = converse(&mut child, bytes, &mut turn);
    // Whatever became of it, it doesn't stay behind.
    let _ = child.kill();
    let _ = child.wait();
    Ok(read)
}

/// Hands the bytes over and waits for the text, as long as that may take.
fn converse(child: &mut Child, bytes: &[u8], turn: &mut Turn) -> Answer {
    let end = turn.began + turn.time;
    let most = turn.most_written;
    let (Some(mut to), Some(from), Some(complaint)) =
        (child.stdin.take(), child.stdout.take(), child.stderr.take())
    else {
        return Answer::Damaged;
    };
    let (tell, told) = mpsc::channel();
    std::thread::scope(|scope| {
        // A reader that ends before it has read all is no fault of the writer. Where there is no thread to be
        // had its pipe is closed, and nothing comes of the file.
        let thread = || std::thread::Builder::new();
        let _ = thread().spawn_scoped(scope, move || drop(to.write_all(bytes)));
        let complained = thread().spawn_scoped(scope, move || all(complaint, MOST_COMPLAINED));
        let _ = thread().spawn_scoped(scope, move || drop(tell.send(all(from, most))));
        let written = told.recv_timeout(end.saturating_duration_since(Instant::now()));
        turn.written = written.as_ref().map_or(0, |written| written.len() as u64);
        let status = match written {
            Ok(_) => wait(child, end),
            Err(_) => None,
        };
        if status.is_none() {
            // The threads end when its pipes do.
            let _ = child.kill();
            let _ = child.wait();
        }
        let complained = complained.ok().and_then(|thread| thread.join().ok());
        let complaint = complained.unwrap_or_default();
        match (written, status) {
            (Ok(written), _) if written.len() as u64 >= most => Answer::TooMuchWork,
            (Ok(written), Some(status)) if status.success() => Answer::Read(written),
            (_, None) => Answer::TooMuchWork,
            (_, Some(status)) if spent(status) || is_out_of_memory(&complaint) => {
                Answer::TooMuchWork
            }
            _ => Answer::Damaged,
        }
    })
}

fn all(from: impl Read, most: u64) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut from = from;
    // What was read before a fault is judged like the rest.
    let _ = from.by_ref().take(most).read_to_end(&mut bytes);
    // Who isn't listened to any more mustn't be kept waiting.
    let _ = std::io::copy(&mut from, &mut std::io::sink());
    bytes
}

/// How the reader ended; nothing if it doesn't in time.
fn wait(child: &mut Child, end: Instant) -> Option<std::process::ExitStatus> {
    loop {
        match child.try_wait() {
            Ok(Some(status)) => return Some(status),
            Ok(None) if Instant::now() < end => std::thread::sleep(Duration::from_millis(1)),
            _ => return None,
        }
    }
}

/// Whether it was ended for the processor's time that it took.
#[cfg(unix)]
fn spent(status: std::process::ExitStatus) -> bool {
    use std::os::unix::process::ExitStatusExt;
    // SIGXCPU and SIGKILL, by their numbers on Linux and macOS alike (from memory).
    matches!(status.signal(), Some(24 | 9))
}

#[cfg(not(unix))]
fn spent(_: std::process::ExitStatus) -> bool {
    false
}

/// Whether it ended for want of memory: that is what the language's own library then says.
fn is_out_of_memory(complaint: &[u8]) -> bool {
    let says = |words: &[u8]| memchr::memmem::find(complaint, words).is_some();
    says(b"memory allocation of") || says(b"capacity overflow")
}

/// What such a reader does: `read` what stands on standard input, under limits, and write what came of it.
///
/// # Errors
/// What was read can't be written.
pub fn answer(read: fn(Vec<u8>) -> String) -> Result<u8, Failure> {
    limit();
    let mut bytes = Vec::new();
    if std::io::stdin().lock().read_to_end(&mut bytes).is_err() {
        return Ok(UNUSABLE);
    }
    let reader = std::thread::Builder::new().stack_size(STACK);
    let line = reader
        .spawn(move || read(bytes))
        .map(|thread| thread.join());
    let Ok(Ok(line)) = line else {
        return Ok(UNUSABLE);
    };
    output::print(&line)?;
    Ok(SOUND)
}

/// Limits what this process may take. The system holds it to that whatever it does.
#[cfg(unix)]
fn limit() {
    use rlimit::{Resource, setrlimit};
    // A system that doesn't know one of them has the clock of the process that waits.
    let limits = [
        (Resource::AS, MEMORY),
        (Resource::CPU, SECONDS),
        (Resource::CORE, 0),
        (Resource::FSIZE, 0),
    ];
    for (resource, most) in limits {
        let _ = setrlimit(resource, most, most);
    }
}

#[cfg(not(unix))]
fn limit() {}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that panics has failed")]
mod tests {
    use super::*;

    #[test]
    fn files_share_what_a_run_may_take() {
        let budget = Budget::new(3600, MOST_WRITTEN + 7);
        let mut first = budget.turn().unwrap();
        assert_eq!(first.most_written, MOST_WRITTEN);
        assert_eq!(first.time, Duration::from_secs(SECONDS));
        first.written = MOST_WRITTEN;
        drop(first);
        let mut second = budget.turn().unwrap();
        assert_eq!(second.most_written, 7);
        second.written = 7;
        drop(second);
        assert!(budget.turn().is_none());
        assert!(Budget::new(0, 1).turn().is_none());
    }

    #[test]
    fn only_so_many_are_read_at_once() {
        let budget = Budget::new(3600, 1);
        let turns = [budget.turn().unwrap(), budget.turn().unwrap()];
        std::thread::scope(|scope| {
            let third = scope.spawn(|| budget.turn().is_some());
            assert_eq!(budget.left.lock().unwrap().reading, AT_ONCE);
            drop(turns);
            assert!(third.join().unwrap());
        });
        assert_eq!(budget.left.lock().unwrap().reading, 0);
    }
}
