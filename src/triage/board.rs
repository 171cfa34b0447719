//! All enquiries together, in the order in which somebody should turn to them.

use std::collections::{BTreeMap, HashMap};

use serde::Serialize;

use crate::rulebook::Contact;

use super::assess::{Assessed, ByHand};
use super::desk::Desk;
use super::line::Line;

/// The ranked enquiries.
#[derive(Debug, Default)]
pub struct Board {
    /// What a person has to look at, the most urgent of what could be read first.
    pub by_hand: Vec<ByHand>,
    /// The rest, ranked.
    pub lines: Vec<Line>,
    /// Other papers that lay among them: what they are, and how many.
    pub passed_over: BTreeMap<String, usize>,
    /// Lines of each household that wrote more than once, by place; the household's number less one.
    households: Vec<Vec<u32>>,
}

/// How many there are of what.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Counts {
    /// Enquiries, by hand or not.
    pub enquiries: usize,
    /// A person has to look at them.
    pub by_hand: usize,
    /// Overdue.
    pub overdue: usize,
    /// By how soon to reply, the most urgent first: known to be so, and so until answered.
    pub levels: Vec<LevelCount>,
    /// Enquiries that share a reference or a contact with another.
    pub of_one_household: usize,
}

/// How many are of one level.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LevelCount {
    /// The level.
    pub contact: Contact,
    /// Known to be so.
    pub known: usize,
    /// So until answered.
    pub until_answered: usize,
}

impl Board {
    /// Takes one enquiry.
    pub fn take(&mut self, assessed: Assessed) {
        match assessed {
            Assessed::Line(line) => self.lines.push(*line),
            Assessed::ByHand(by_hand) => self.by_hand.push(*by_hand),
            Assessed::PassedOver(what) => *self.passed_over.entry(what).or_default() += 1,
        }
    }

    /// Puts them in order, and finds those of one household.
    pub fn rank(&mut self) {
        self.lines
            .sort_unstable_by(|a, b| (a.rank, &a.label, a.line).cmp(&(b.rank, &b.label, b.line)));
        self.by_hand.sort_unstable_by(|a, b| {
            (b.contact(), a.text, &a.label, a.line).cmp(&(a.contact(), b.text, &b.label, b.line))
        });
        self.find_households();
    }

    /// Lines that share a mark belong to one household, also by way of a third.
    fn find_households(&mut self) {
        let mut seen: HashMap<(usize, u64), u32> = HashMap::new();
        for at in 0..self.lines.len() {
            let marks = self.lines[at].marks;
            let own = u32::try_from(at).unwrap_or(u32::MAX);
            for (kind, mark) in marks.into_iter().enumerate().filter(|(_, mark)| *mark != 0) {
                let Some(first) = seen.get(&(kind, mark)).copied() else {
                    seen.insert((kind, mark), own);
                    continue;
                };
                self.join(first, own);
            }
        }
        self.households.retain(|lines| !lines.is_empty());
        for (number, lines) in self.households.iter_mut().enumerate() {
            lines.sort_unstable();
            for at in lines {
                self.lines[*at as usize].household = number as u32 + 1;
            }
        }
    }

    fn join(&mut self, first: u32, other: u32) {
        let of = |board: &Self, at: u32| board.lines[at as usize].household;
        let (mut one, two) = (of(self, first), of(self, other));
        if one == 0 {
            self.households.push(vec![first]);
            one = self.households.len() as u32;
            self.lines[first as usize].household = one;
        }
        if two == one {
            return;
        }
        let moved = if two == 0 {
            vec![other]
        } else {
            std::mem::take(&mut self.households[two as usize - 1])
        };
        for at in &moved {
            self.lines[*at as usize].household = one;
        }
        self.households[one as usize - 1].extend(moved);
    }

    /// The other lines of the household of a line, by place.
    #[must_use]
    pub fn same_household(&self, at: usize) -> Vec<usize> {
        self.lines[at]
            .household
            .checked_sub(1)
            .and_then(|household| self.households.get(household as usize))
            .into_iter()
            .flatten()
            .map(|other| *other as usize)
            .filter(|other| *other != at)
            .collect()
    }

    /// True when somebody has to turn to one of them at once.
    #[must_use]
    pub fn has_at_once(&self) -> bool {
        let at_once = Some(Contact::AtOnce);
        self.by_hand
            .iter()
            .any(|by_hand| by_hand.contact() == at_once)
            || self
                .lines
                .iter()
                .any(|line| line.verdict.contact.until_answered == Contact::AtOnce)
    }

    /// How many there are of what.
    #[must_use]
    pub fn counts(&self) -> Counts {
        let of = |contact: Contact, known: bool| {
            self.lines
                .iter()
                .map(|line| line.verdict.contact)
                .filter(|pair| pair.until_answered == contact && (pair.known == contact) == known)
                .count()
        };
        Counts {
            enquiries: self.lines.len() + self.by_hand.len(),
            by_hand: self.by_hand.len(),
            overdue: self
                .lines
                .iter()
                .filter(|line| line.rank.is_overdue())
                .count(),
            levels: Contact::ALL
                .iter()
                .rev()
                .map(|contact| LevelCount {
                    contact: *contact,
                    known: of(*contact, true),
                    until_answered: of(*contact, false),
                })
                .collect(),
            of_one_household: self.households.iter().map(Vec::len).sum(),
        }
    }

    /// The place of a line by its reference or its place in the files; all of them, where several answer to it.
    #[must_use]
    pub fn find(&self, id: &str) -> Vec<usize> {
        let wanted = crate::words::folded(id);
        (0..self.lines.len())
            .filter(|at| {
                let line = &self.lines[*at];
                let reference = line.reference.as_deref().map(crate::words::folded);
                reference.as_deref() == Some(wanted.as_str()) || line.place() == id
            })
            .collect()
    }
}

impl Desk<'_> {
    /// Assesses and ranks every enquiry of an inbox. `seen` hears how many were taken so far.
    #[must_use]
    pub fn board(
        &self,
        pool: &rayon::ThreadPool,
        inbox: &mut crate::inbox::Inbox<'_>,
        mut seen: impl FnMut(usize),
    ) -> Board {
        let mut board = Board::default();
        let mut count = 0;
        let never: Result<(), std::convert::Infallible> = crate::inbox::each(
            pool,
            inbox,
            |item| self.assess(item),
            |batch| {
                count += batch.len();
                batch.into_iter().for_each(|assessed| board.take(assessed));
                seen(count);
                Ok(())
            },
        );
        let Ok(()) = never;
        board.rank();
        board
    }
}
