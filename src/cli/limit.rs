//! A limit of time: when it is exceeded the program ends with a sentence, and nothing is half-written.

use std::process::exit;
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};
use std::time::{Duration, Instant};

use super::{Failure, UNUSABLE};

/// The work goes on.
const WORKING: u8 = 0;
/// What came of it is being written: the clock counts no more.
const WRITING: u8 = 1;
/// The time is over.
const OVER: u8 = 2;

/// A running clock.
#[derive(Debug)]
pub struct Limit {
    state: Arc<AtomicU8>,
    end: Instant,
    seconds: f64,
}

/// `text` as a number of seconds.
///
/// # Errors
/// It is no number above 0, or longer than a clock can count.
pub fn parse(text: &str) -> Result<f64, String> {
    let seconds: f64 = text
        .parse()
        .map_err(|_| "it isn't a number of seconds".to_string())?;
    // A year is more than any audit takes.
    if seconds > 0.0 && seconds <= 31_536_000.0 {
        Ok(seconds)
    } else {
        Err("it has to be above 0 and no more than a year".into())
    }
}

impl Limit {
    /// Starts the clock. After so many seconds the program ends with status 2, unless it writes by then.
    pub fn start(seconds: f64) -> Limit {
        let time = Duration::from_secs_f64(seconds);
        let limit = Limit {
            state: Arc::new(AtomicU8::new(WORKING)),
            end: Instant::now() + time,
            seconds,
        };
        let state = limit.state.clone();
        // Where there is no thread to be had, the time is looked at before anything is written.
        let _ = std::thread::Builder::new().spawn(move || {
            std::thread::sleep(time);
            if turn(&state, OVER) {
                super::failed(&failure(seconds));
                exit(i32::from(UNUSABLE));
            }
        });
        limit
    }

    /// Ends the counting, before anything is written.
    ///
    /// # Errors
    /// The time is over.
    pub fn reach(&self) -> Result<(), Failure> {
        let is_over = Instant::now() >= self.end;
        if turn(&self.state, if is_over { OVER } else { WRITING }) {
            return if is_over {
                Err(failure(self.seconds))
            } else {
                Ok(())
            };
        }
        // The other thread is about to end the program.
        loop {
            std::thread::park();
        }
    }
}

/// From working to another state; false if it was left already.
fn turn(state: &AtomicU8, to: u8) -> bool {
    let turned = state.compare_exchange(WORKING, to, Ordering::SeqCst, Ordering::SeqCst);
    turned.is_ok()
}

fn failure(seconds: f64) -> Failure {
    let unit = if seconds == 1.0 { "second" } else { "seconds" };
    Failure::Late(format!(
        "the audit took longer than the {seconds} {unit} of --time-limit, so nothing was written"
    ))
}
