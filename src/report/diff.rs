//! A text before and after, as a unified diff (the format of POSIX `diff -u`, which `patch` reads).

use similar::{Algorithm, TextDiff};

/// Lines shown around each change.
const AROUND: usize = 3;

/// The difference between `before` and `after` of the text at `path`; empty where they are the same.
///
/// The bytes of each line stay as they are, its end of line and bytes that are no UTF-8 included, so that
/// the result can be applied.
pub fn unified(path: &str, before: &[u8], after: &[u8]) -> Vec<u8> {
    let (old, new) = (lines(before), lines(after));
    let mut config = TextDiff::configure();
    let config = config.algorithm(Algorithm::Myers).newline_terminated(true);
    let diff = config.diff_slices(&old, &new);
    let mut unified = diff.unified_diff();
    let mut text = Vec::new();
    for hunk in unified.context_radius(AROUND).iter_hunks() {
        if text.is_empty() {
            text.extend_from_slice(format!("--- {path}\n+++ {path}\n").as_bytes());
        }
        // Hunk by hunk the bytes stay as they are, which the whole at once doesn't promise. Writing into memory
        // can't fail.
        let _ = hunk.to_writer(&mut text);
    }
    text
}

/// The lines of a text as `patch` counts them: each ends with a line feed and with nothing else.
fn lines(text: &[u8]) -> Vec<&[u8]> {
    text.split_inclusive(|byte| *byte == b'\n').collect()
}

#[cfg(test)]
mod tests {
    use super::unified;

    #[test]
    fn lines_keep_their_bytes() {
        let before = b"a = 1\r\nb = \"\xff\"\r\nc = 3";
        let after = b"a = 1\r\nb = \"\xff!\"\r\nc = 3";
        let text = unified("x.toml", before, after);
        assert_eq!(
            text,
            b"--- x.toml\n+++ x.toml\n@@ -1,3 +1,3 @@\n a = 1\r\n-b = \"\xff\"\r\n+b = \"\xff!\"\r\n c = 3\n\\ No newline at end of file\n"
        );
        assert_eq!(unified("x.toml", before, before), b"");
        // A carriage return alone ends no line.
        let text = unified("x.toml", b"a\rb\n", b"a\rc\n");
        assert_eq!(text, b"--- x.toml\n+++ x.toml\n@@ -1 +1 @@\n-a\rb\n+a\rc\n");
    }
}
