//! A bar on standard error that tells how far a long run is; on terminals only.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::engine::Progress;

/// A run that is shorter shows nothing.
const PATIENCE: Duration = Duration::from_secs(1);
/// Between two looks at how far it is.
const TICK: Duration = Duration::from_millis(100);

/// A bar that waits until a run has become long.
#[derive(Debug)]
pub struct Bar {
    stop: Sender<()>,
    thread: JoinHandle<()>,
}

impl Bar {
    /// Whether there is a terminal that a bar can be drawn on.
    pub fn has_room() -> bool {
        let is_dumb = std::env::var_os("TERM").is_none_or(|term| term == "dumb");
        std::io::stderr().is_terminal() && !is_dumb
    }

    /// Watches `progress`, and draws on standard error once that has gone on for a second.
    pub fn watch(progress: Arc<Progress>) -> Option<Bar> {
        Bar::on(progress, ProgressDrawTarget::stderr(), PATIENCE)
    }

    fn on(progress: Arc<Progress>, target: ProgressDrawTarget, patience: Duration) -> Option<Bar> {
        let (stop, stopped) = channel();
        let thread = std::thread::Builder::new().spawn(move || {
            if stopped.recv_timeout(patience) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            let bar = ProgressBar::with_draw_target(None, target);
            let style = ProgressStyle::with_template("auditing {bar:30} {pos} of {len} packages");
            if let Ok(style) = style {
                bar.set_style(style.progress_chars("=> "));
            }
            loop {
                let (done, all) = progress.now();
                bar.set_length(all as u64);
                bar.set_position(done as u64);
                if stopped.recv_timeout(TICK) != Err(RecvTimeoutError::Timeout) {
                    break;
                }
            }
            // Nothing of it stays: the report stands for itself.
            bar.finish_and_clear();
        });
        // Where there is no thread to be had, there is no bar.
        let thread = thread.ok()?;
        Some(Bar { stop, thread })
    }

    /// Takes the bar away.
    pub fn stop(self) {
        let _ = self.stop.send(());
        // A bar that failed is no reason to lose the report.
        let _ = self.thread.join();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use indicatif::InMemoryTerm;

    fn drawn(patience: Duration, work: Duration) -> (String, String) {
        let term = InMemoryTerm::new(5, 80);
        let target = ProgressDrawTarget::term_like(Box::new(term.clone()));
        let progress = Arc::new(Progress::default());
        progress.expect(8);
        progress.step(2);
        let bar = Bar::on(progress, target, patience).unwrap();
        std::thread::sleep(work);
        let during = term.contents();
        bar.stop();
        (during, term.contents())
    }

    #[test]
    fn a_long_run_has_a_bar_that_goes_and_a_short_one_none() {
        let short = drawn(Duration::from_secs(60), Duration::from_millis(200));
        assert_eq!(short, (String::new(), String::new()));
        let (during, after) = drawn(Duration::from_millis(10), Duration::from_millis(600));
        assert!(during.contains("2 of 8 packages"), "{during}");
        assert_eq!(after, "");
    }
}
