//! Messages on a stream: a header with their length, then so many bytes.
//!
//! What isn't a message is told and read over; nothing that a header says makes room for more than a message may have.

use std::io::{BufRead, Read, Write};

/// Bytes of the largest message: a catalog's largest file, escaped.
const MOST: usize = 64 * 1024 * 1024;
/// Bytes of the longest line of a header.
const LONGEST_LINE: u64 = 4096;

/// What came.
#[derive(Debug, PartialEq, Eq)]
pub enum Frame {
    /// The bytes of a message.
    Message(Vec<u8>),
    /// Something that is none, and why.
    Broken(&'static str),
}

/// The next message; nothing at the end of the stream.
///
/// # Errors
/// The stream can't be read.
pub fn read(input: &mut impl BufRead) -> std::io::Result<Option<Frame>> {
    let mut length = None;
    loop {
        let mut line = Vec::new();
        input
            .by_ref()
            .take(LONGEST_LINE)
            .read_until(b'\n', &mut line)?;
        if line.is_empty() {
            return Ok(None);
        }
        let text = String::from_utf8_lossy(&line);
        let text = text.trim();
        if text.is_empty() {
            match length.take() {
                Some(length) => return body(input, length).map(Some),
                // Empty lines between messages hurt nobody.
                None => continue,
            }
        }
        let Some((name, value)) = text.split_once(':') else {
            return Ok(Some(Frame::Broken("a line that is no header")));
        };
        if name.trim().eq_ignore_ascii_case("content-length") {
            match value.trim().parse::<usize>() {
                Ok(value) => length = Some(value),
                Err(_) => return Ok(Some(Frame::Broken("a length that is no number"))),
            }
        }
    }
}

fn body(input: &mut impl BufRead, length: usize) -> std::io::Result<Frame> {
    let mut bytes = Vec::new();
    if length > MOST {
        std::io::copy(
            &mut input.by_ref().take(length as u64),
            &mut std::io::sink(),
        )?;
        return Ok(Frame::Broken("a message larger than 64 MiB"));
    }
    // Room is made for what comes, not for what is announced.
    input.by_ref().take(length as u64).read_to_end(&mut bytes)?;
    Ok(match bytes.len() == length {
        true => Frame::Message(bytes),
        false => Frame::Broken("a message that ends early"),
    })
}

/// Writes a message.
///
/// # Errors
/// The stream can't be written.
pub fn write(output: &mut impl Write, message: &serde_json::Value) -> std::io::Result<()> {
    let text = message.to_string();
    write!(output, "Content-Length: {}\r\n\r\n{text}", text.len())?;
    output.flush()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(mut bytes: &[u8]) -> Vec<Frame> {
        let input = &mut bytes;
        std::iter::from_fn(|| read(input).unwrap()).collect()
    }

    #[test]
    fn what_is_no_message_is_read_over() {
        let frames = all(
            b"Content-Length: 2\r\nContent-Type: x\r\n\r\n{}nonsense\r\ncontent-length: 3\n\nabc",
        );
        assert_eq!(
            frames,
            [
                Frame::Message(b"{}".to_vec()),
                Frame::Broken("a line that is no header"),
                Frame::Message(b"abc".to_vec()),
            ]
        );
    }

    #[test]
    fn no_header_makes_room_for_what_does_not_come() {
        let frames = all(b"Content-Length: 18446744073709551615\r\n\r\nabc");
        assert_eq!(frames, [Frame::Broken("a message larger than 64 MiB")]);
        let frames = all(b"Content-Length: 60000000\r\n\r\nabc");
        assert_eq!(frames, [Frame::Broken("a message that ends early")]);
        let frames = all(b"Content-Length: -1\r\n\r\n");
        assert_eq!(frames, [Frame::Broken("a length that is no number")]);
    }
}
