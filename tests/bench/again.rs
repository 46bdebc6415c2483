//! One edited figure, beside the whole audit: in files of twenty packages and in one file, in an early package and
//! in the last.

use std::time::{Duration, Instant};

use nameplate::engine::{self, Input, Memo, Options};

use super::generator;

/// Edits of which the best is taken.
const EDITS: usize = 5;

/// In catalogs of 1 000 and 10 000 packages, or of as many as are asked for.
pub fn all(asked: Option<usize>) {
    println!(
        "one figure edited: the whole audit, the audit again, {} threads",
        rayon::current_num_threads()
    );
    let sizes = asked.map_or(vec![1_000, 10_000], |packages| vec![packages]);
    for packages in sizes {
        for each in [20, packages] {
            one(packages, each);
        }
    }
}

fn one(packages: usize, each: usize) {
    let files = generator::files(packages, each);
    let options = Options::default();
    let took = |work: &mut dyn FnMut()| {
        let start = Instant::now();
        work();
        start.elapsed()
    };
    let whole = (0..2).map(|_| {
        let inputs = inputs(&files);
        took(&mut || drop(engine::audit(inputs.clone(), &options)))
    });
    let whole = whole.min().unwrap_or_default();
    let mut memo = Memo::new();
    memo.audit(inputs(&files), &options);
    for (which, early) in [("first", true), ("last", false)] {
        let mut best = Duration::MAX;
        for edit in 0..EDITS {
            let mut edited = files.clone();
            // A digit more or less: what stands below in the file moves.
            let file = if early { 1 } else { edited.len() - 1 };
            let text = &mut edited[file].1;
            let at = if early {
                text.find("depth = \"")
            } else {
                text.rfind("depth = \"")
            };
            text.insert_str(
                at.unwrap_or(0) + "depth = \"1.".len(),
                &"0".repeat(1 + edit % 2),
            );
            let inputs = inputs(&edited);
            best = best.min(took(&mut || {
                memo.audit(inputs.clone(), &options);
            }));
        }
        println!(
            "{packages:>6} packages, {each:>6} a file, edit in the {which:<5} {:>9.1} ms {:>8.1} ms {:>6.1} x",
            whole.as_secs_f64() * 1e3,
            best.as_secs_f64() * 1e3,
            whole.as_secs_f64() / best.as_secs_f64()
        );
    }
}

fn inputs(files: &[(String, String)]) -> Vec<Input> {
    let input = |(path, text): &(String, String)| Input {
        path: path.clone(),
        bytes: text.clone().into_bytes(),
        alone: false,
        borrowed: false,
    };
    files.iter().map(input).collect()
}
