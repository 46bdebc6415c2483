//! Signals that would end the program in the middle of what it does, without a word.

/// A file that grows larger than the system lets it is an error of the one who writes it, and no end of the program.
#[cfg(unix)]
pub fn refuse_and_go_on() {
    use std::sync::Arc;
    // Whoever listens to the signal isn't ended by it, and the write fails with the reason.
    let heard = Arc::default();
    // Where that can't be arranged the program does its work all the same.
    let _ = signal_hook::flag::register(SIGXFSZ, heard);
}

/// By its number on Linux and macOS alike (from memory).
#[cfg(unix)]
const SIGXFSZ: i32 = 25;

#[cfg(not(unix))]
pub fn refuse_and_go_on() {}
