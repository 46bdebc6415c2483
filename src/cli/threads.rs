//! The threads that a run works with.

use rayon::ThreadPoolBuilder;

/// Most threads that may be asked for: no machine of the trade has more cores, and each takes memory.
pub const MOST: i64 = 256;

/// Enough for what is nested as deep as is read.
const STACK: usize = 8 << 20;

/// Does `work` with so many threads, but no more than there are cores, as more only take memory; else one for each
/// core. On this one alone where the system gives no other.
pub fn with<T: Send>(jobs: Option<u16>, work: impl FnOnce() -> T + Send) -> T {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let threads = jobs.map_or(cores, |jobs| usize::from(jobs).min(cores));
    let pool = ThreadPoolBuilder::new()
        .num_threads(threads)
        .stack_size(STACK);
    if let Ok(pool) = pool.build() {
        return pool.install(work);
    }
    // Whatever is to be done side by side is then done one after another.
    let _alone = ThreadPoolBuilder::new()
        .num_threads(1)
        .use_current_thread()
        .build();
    work()
}
