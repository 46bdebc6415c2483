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

/// Tells whether somebody wants the program to end, from the keyboard or otherwise.
#[cfg(unix)]
pub fn asked_to_end() -> std::sync::Arc<std::sync::atomic::AtomicBool> {
    use std::sync::Arc;
    let heard = Arc::default();
    for signal in [SIGINT, SIGTERM] {
        // Where that can't be arranged the signal ends the program.
        let _ = signal_hook::flag::register(signal, Arc::clone(&heard));
    }
    heard
}

#[cfg(not(unix))]
pub fn asked_to_end() -> std::sync::Arc<std::sync::atomic::AtomicBool> {
    std::sync::Arc::default()
}

/// By their numbers on every Unix.
#[cfg(unix)]
const SIGINT: i32 = 2;
#[cfg(unix)]
const SIGTERM: i32 = 15;

/// By its number on Linux and macOS alike (from memory).
#[cfg(unix)]
const SIGXFSZ: i32 = 25;

#[cfg(not(unix))]
pub fn refuse_and_go_on() {}
