//! Texts by number, and places in them.
//!
//! A text is handed in as bytes; nothing here touches the disk. A place is a span of
//! bytes in the text *as it was given*: decoding never moves a byte, so a span taken
//! from the decoded text is also one of the file.

mod lines;
mod pages;
mod source;
mod span;

pub use lines::{LineIndex, Position};
pub use pages::{Frame, PagedText, Word};
pub use source::{DecodingFault, Source, Sources};
pub use span::{FileId, Span};
