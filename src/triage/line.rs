//! One enquiry as it is kept until all of them are ranked: small, since there may be hundreds of thousands.

use std::sync::Arc;

use jiff::Timestamp;

use crate::decision::Verdict;

use super::rank::Rank;

/// One enquiry, assessed.
#[derive(Debug, Clone)]
pub struct Line {
    /// What its file is called.
    pub label: Arc<str>,
    /// The line of the file it starts in; 0 for a file as a whole.
    pub line: u32,
    /// The code of its case.
    pub reference: Option<Box<str>>,
    /// The kind of bird, as it was told.
    pub species: Option<Box<str>>,
    /// True when only the day is known on which the message came.
    pub only_day: bool,
    /// When the reply is due, seconds since 1970.
    pub(super) reply_by: i64,
    /// The ordered outcomes.
    pub verdict: Verdict,
    /// The rule that decides how soon to reply, by its place in the rulebook.
    pub rule: Option<u16>,
    /// What to ask first.
    pub asks: [Option<Ask>; 3],
    /// Its place in the order of all.
    pub rank: Rank,
    /// Warnings about its answers.
    pub warnings: u16,
    /// By what households are known again: reference, mail address, telephone number, 0 where there is none. The board takes it out.
    pub(super) marks: Option<Box<[u64; 3]>>,
    /// The household it shares with others, from 1; 0 when it is the only one.
    pub(super) household: u32,
}

/// A question worth asking, packed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    /// Its group.
    pub group: u8,
    /// Its place in its group; none for the group as a whole.
    pub question: Option<u8>,
    /// The entry of a repeated group.
    pub item: Option<u16>,
    /// Steps the answer alone could move the outcomes.
    pub moves: u8,
    /// The outcomes it could lead to: the tightest known and the loosest until answered.
    pub could: Verdict,
}

impl Ask {
    /// Packs a question. None when a number does not fit, which no questionnaire comes near.
    pub(super) fn pack(ask: &crate::decision::brief::Ask) -> Option<Self> {
        let small = |at: Option<usize>| at.map(u8::try_from).transpose().ok();
        Some(Self {
            group: u8::try_from(ask.group).ok()?,
            question: small(ask.question)?,
            item: ask.item.map(u16::try_from).transpose().ok()?,
            moves: u8::try_from(ask.moves).ok()?,
            could: ask.could,
        })
    }
}

impl Line {
    /// What a person calls it: its reference, else its place.
    #[must_use]
    pub fn id(&self) -> String {
        self.reference
            .as_deref()
            .map_or_else(|| self.place(), str::to_owned)
    }

    /// When the message came; none where nobody said.
    #[must_use]
    pub fn received(&self) -> Option<Timestamp> {
        self.rank.received()
    }

    /// When the reply is due.
    #[must_use]
    pub fn reply_by(&self) -> Timestamp {
        // It was one before.
        Timestamp::from_second(self.reply_by).unwrap_or(Timestamp::MAX)
    }

    /// The file, and the line where it is a part of one.
    #[must_use]
    pub fn place(&self) -> String {
        place(&self.label, self.line)
    }
}

/// A file, and the line where something is a part of one.
pub(super) fn place(label: &str, line: u32) -> String {
    if line == 0 {
        label.to_owned()
    } else {
        format!("{label}:{line}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // 200,000 of them are held at once.
    #[test]
    fn a_line_is_small() {
        assert!(size_of::<Line>() <= 168, "{}", size_of::<Line>());
    }
}
