//! How far a run is, for whoever waits for it.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Counts of a run that is under way.
#[derive(Debug, Default)]
pub struct Progress {
    done: AtomicUsize,
    all: AtomicUsize,
}

impl Progress {
    /// So many packages done, of so many.
    pub fn now(&self) -> (usize, usize) {
        let of = |count: &AtomicUsize| count.load(Ordering::Relaxed);
        (of(&self.done), of(&self.all))
    }

    /// So many more will be done.
    pub fn expect(&self, more: usize) {
        self.all.fetch_add(more, Ordering::Relaxed);
    }

    /// So many more are done.
    pub fn step(&self, more: usize) {
        self.done.fetch_add(more, Ordering::Relaxed);
    }
}
