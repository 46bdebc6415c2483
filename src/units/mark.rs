//! How a number is known.

/// How a number is known, from the firmest ground to the softest.
///
/// The order is the order of trust: the *weakest mark* a verdict rests on is the
/// greatest of its marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mark {
    /// A law of conservation or exact geometry.
    Exact,
    /// It stands in the catalog, or follows from it by arithmetic.
    Stated,
    /// It stands in a published source that was read.
    Published,
    /// It stands in a published source, but is quoted from memory.
    FromMemory,
    /// The trade works this way; nobody published it.
    CommonPractice,
    /// The judgement of this project.
    Judgement,
}

impl Mark {
    /// The words a person reads.
    pub fn words(self) -> &'static str {
        match self {
            Mark::Stated => "stated",
            Mark::Exact => "exact",
            Mark::Published => "published",
            Mark::FromMemory => "from memory",
            Mark::CommonPractice => "common practice",
            Mark::Judgement => "judgement",
        }
    }
}

impl std::fmt::Display for Mark {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.words())
    }
}
