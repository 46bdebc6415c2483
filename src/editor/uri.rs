//! Addresses of files.

use std::collections::BTreeMap;

use percent_encoding::{AsciiSet, CONTROLS, percent_decode_str, utf8_percent_encode};

use super::Open;

/// What stands for itself in no path of an address (RFC 3986, section 3.3).
const ESCAPED: &AsciiSet = &CONTROLS
    .add(b' ')
    .add(b'"')
    .add(b'#')
    .add(b'%')
    .add(b'<')
    .add(b'>')
    .add(b'?')
    .add(b'[')
    .add(b'\\')
    .add(b']')
    .add(b'^')
    .add(b'`')
    .add(b'{')
    .add(b'|')
    .add(b'}');

/// The path of a file's address, with forward slashes; nothing for what is no file.
pub(super) fn path(uri: &str) -> Option<String> {
    let rest = uri.strip_prefix("file://")?;
    // A host before the path is this machine or nobody's.
    let path = &rest[rest.find('/')?..];
    let path = percent_decode_str(path).decode_utf8().ok()?;
    let bytes = path.as_bytes();
    let has_drive = bytes.len() > 2 && bytes[1].is_ascii_alphabetic() && bytes[2] == b':';
    Some(if has_drive {
        path[1..].to_string()
    } else {
        path.into_owned()
    })
}

/// The address of the file at `path`: as the editor wrote it where it is open.
pub(super) fn shown(path: &str, open: &BTreeMap<String, Open>) -> String {
    if let Some(open) = open.get(path) {
        return open.uri.clone();
    }
    let slash = if path.starts_with('/') { "" } else { "/" };
    format!("file://{slash}{}", utf8_percent_encode(path, ESCAPED))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_a_path_and_back() {
        let open = BTreeMap::new();
        for written in ["/a b/ü#1.toml", "/x/100%.toml", "c:/parts/a.toml"] {
            assert_eq!(path(&shown(written, &open)).as_deref(), Some(written));
        }
        assert_eq!(path("file:///c%3A/a.toml").as_deref(), Some("c:/a.toml"));
        assert_eq!(path("file://localhost/a").as_deref(), Some("/a"));
        assert_eq!((path("untitled:1"), path("file://x")), (None, None));
    }
}
