//! Files of pages: each is read in a process of its own, with limits, so that a file that was made to do harm, or
//! is damaged, can't take the audit with it.

use std::collections::{BTreeMap, BTreeSet};

use super::Failure;
use crate::engine::{self, Input};
use crate::spec_sheet::Extract;

/// The texts of those files among `inputs` that have pages, by path.
///
/// A document that a catalog cites as evidence, and that nobody names as a sheet, isn't read.
///
/// # Errors
/// The program can't be started again to read one.
pub fn read(inputs: &[Input]) -> Result<BTreeMap<String, Extract>, Failure> {
    let paged: Vec<&Input> = inputs
        .iter()
        .filter(|input| engine::is_paged(&input.path) && !input.borrowed)
        .collect();
    if paged.is_empty() {
        return Ok(BTreeMap::new());
    }
    let named: BTreeSet<String> = inputs.iter().flat_map(engine::sheet_files).collect();
    let cited: BTreeSet<String> = inputs.iter().flat_map(engine::evidence_files).collect();
    let sheets: Vec<&Input> = paged
        .into_iter()
        .filter(|input| input.alone || named.contains(&input.path) || !cited.contains(&input.path))
        .collect();
    texts(&sheets)
}

#[cfg(not(feature = "pdf"))]
fn texts(_sheets: &[&Input]) -> Result<BTreeMap<String, Extract>, Failure> {
    Ok(BTreeMap::new())
}

#[cfg(feature = "pdf")]
pub use child::ReadPages;
#[cfg(feature = "pdf")]
use child::texts;

#[cfg(feature = "pdf")]
mod child {
    use std::collections::BTreeMap;
    use std::io::{Read, Write};
    use std::process::{Child, Command, Stdio};
    use std::sync::{Condvar, Mutex, mpsc};
    use std::time::{Duration, Instant};

    use rayon::prelude::*;

    use super::super::{Failure, SOUND, UNUSABLE, output, refusal};
    use crate::engine::Input;
    use crate::spec_sheet::{Extract, UnreadKind, pdf};

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

    pub fn texts(sheets: &[&Input]) -> Result<BTreeMap<String, Extract>, Failure> {
        let texts = sheets
            .par_iter()
            .map(|input| Ok((input.path.clone(), text(input)?)));
        texts.collect()
    }

    fn text(input: &Input) -> Result<Extract, Failure> {
        let failure = |error: std::io::Error| Failure::Unreadable {
            path: input.path.clone(),
            why: format!(
                "the program can't start itself again to read it: {}",
                refusal(&error)
            ),
        };
        let Some(mut turn) = OF_RUN.turn() else {
            return Ok(Extract::unread(UnreadKind::TooMuchWork));
        };
        let mut command = Command::new(std::env::current_exe().map_err(failure)?);
        command
            .arg("read-pages")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().map_err(failure)?;
        let read = converse(&mut child, &input.bytes, &mut turn);
        // Whatever became of it, it doesn't stay behind.
        let _ = child.kill();
        let _ = child.wait();
        Ok(read)
    }

    /// Hands the bytes over and waits for the text, as long as that may take.
    fn converse(child: &mut Child, bytes: &[u8], turn: &mut Turn) -> Extract {
        let end = turn.began + turn.time;
        let most = turn.most_written;
        let (Some(mut to), Some(from), Some(complaint)) =
            (child.stdin.take(), child.stdout.take(), child.stderr.take())
        else {
            return Extract::unread(UnreadKind::Damaged);
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
                (Ok(written), _) if written.len() as u64 >= most => {
                    Extract::unread(UnreadKind::TooMuchWork)
                }
                (Ok(written), Some(status)) if status.success() => {
                    Extract::parse(&written).unwrap_or_else(|| Extract::unread(UnreadKind::Damaged))
                }
                (_, None) => Extract::unread(UnreadKind::TooMuchWork),
                (_, Some(status)) if spent(status) || is_out_of_memory(&complaint) => {
                    Extract::unread(UnreadKind::TooMuchWork)
                }
                _ => Extract::unread(UnreadKind::Damaged),
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

    /// Read a PDF file from standard input and write its text with the places of its words; for the program itself.
    #[derive(Debug, clap::Args)]
    pub struct ReadPages {}

    impl ReadPages {
        /// Runs it; the exit status.
        ///
        /// # Errors
        /// What was read can't be written.
        pub(crate) fn run(self) -> Result<u8, Failure> {
            limit();
            let mut bytes = Vec::new();
            if std::io::stdin().lock().read_to_end(&mut bytes).is_err() {
                return Ok(UNUSABLE);
            }
            let reader = std::thread::Builder::new().stack_size(STACK);
            let line = reader
                .spawn(move || pdf::extract(bytes).to_wire())
                .map(|thread| thread.join());
            let Ok(Ok(line)) = line else {
                return Ok(UNUSABLE);
            };
            output::print(&line)?;
            Ok(SOUND)
        }
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
}
