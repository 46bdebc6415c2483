//! A text before and after, as a unified diff (the format of POSIX `diff -u`, which `patch` reads).

use similar::{Algorithm, TextDiff};

/// Lines shown around each change.
const AROUND: usize = 3;

/// The difference between `before` and `after` of the text at `path`; empty where they are the same.
///
/// The bytes of each line stay as they are, its end of line and bytes that are no UTF-8 included, so that
/// the result can be applied.
pub fn unified(path: &str, before: &[u8], after: &[u8]) -> Vec<u8> {
    let mut config = TextDiff::configure();
    let diff = config.algorithm(Algorithm::Myers).diff_lines(before, after);
    let mut text = Vec::new();
    let mut unified = diff.unified_diff();
    let unified = unified.context_radius(AROUND).header(path, path);
    // Writing into memory can't fail.
    let _ = unified.to_writer(&mut text);
    text
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
    }
}
