//! One enquiry assessed: read, checked and decided without its trace. What cannot be read is for a person to look at.

use std::sync::Arc;

use sha2::{Digest as _, Sha256};

use crate::answers::{Answers, Given};
use crate::decision::Verdict;
use crate::inbox::Item;
use crate::intake::Checked;
use crate::language::FactRef;
use crate::mistake::Problem;
use crate::rulebook::{Contact, Triage};
use crate::words::folded;

use super::desk::Desk;
use super::line::{Ask, Line};
use super::rank::{Rank, Times};

/// How many mistakes of one enquiry are told; the rest are counted.
const MOST_FAULTS: usize = 5;

/// What became of an enquiry.
#[derive(Debug)]
pub enum Assessed {
    /// It was read whole.
    Line(Box<Line>),
    /// A person has to look at it.
    ByHand(Box<ByHand>),
    /// It is another paper of a case: what it is.
    PassedOver(String),
}

/// An enquiry that could not be read, or not all of it.
#[derive(Debug, Clone)]
pub struct ByHand {
    /// What its file is called.
    pub label: Arc<str>,
    /// The line of the file it starts in; 0 for a file as a whole.
    pub line: u32,
    /// The code of its case, when that could be read.
    pub reference: Option<Box<str>>,
    /// What is known by the answers that could be read; none when nothing could.
    pub verdict: Option<Verdict>,
    /// What is wrong, the first few.
    pub faults: Vec<Fault>,
    /// How many more things are wrong.
    pub more: usize,
    /// The first eight bytes of the SHA-256 of its text.
    pub(super) text: u64,
}

/// One thing that is wrong.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Fault {
    /// The mistake's kebab-case name.
    pub mistake: &'static str,
    /// Its line in the file; 0 for the file as a whole.
    pub line: usize,
    /// Its column in characters, from 1; 0 for the line as a whole.
    pub column: usize,
    /// What is wrong.
    pub says: String,
    /// What to do.
    pub advice: String,
}

impl Desk<'_> {
    /// Assesses one enquiry.
    #[must_use]
    pub fn assess(&self, item: &Item) -> Assessed {
        let source = match &item.text {
            Ok(source) => source,
            Err(problem) => {
                return by_hand(item, 0, None, None, std::slice::from_ref(problem));
            }
        };
        let text = fingerprint(&source.text);
        let rulebook = self.rulebook();
        let other_paper = |keys: &[&str]| {
            let found = rulebook.triage.other_paper(&rulebook.questionnaire, keys);
            found.map(str::to_owned)
        };
        let read = item.read(source, |root, places| {
            if let Some(what) = other_paper(&root.keys()) {
                return Err(what);
            }
            Ok(Checked::read(
                &rulebook.questionnaire,
                &rulebook.vocabulary,
                source,
                root,
                places,
                self.briefing.today,
            ))
        });
        match read {
            Err(problems) => {
                // A long paper of a case is no less one for being too long for a form.
                let told = item.keys(source);
                let told: Vec<&str> = told.iter().map(String::as_str).collect();
                match other_paper(&told) {
                    Some(what) => Assessed::PassedOver(what),
                    None => by_hand(item, text, None, None, &problems),
                }
            }
            Ok(Err(what)) => Assessed::PassedOver(what),
            Ok(Ok(checked)) if !checked.is_sound() => {
                let verdict = self.briefing.verdict(&checked.facts);
                let reference = self.text_of(&checked.answers, self.slots().case_reference);
                by_hand(item, text, reference, Some(verdict), &checked.problems)
            }
            Ok(Ok(checked)) => Assessed::Line(Box::new(self.line(item, text, checked))),
        }
    }

    fn line(&self, item: &Item, text: u64, checked: Checked) -> Line {
        let triage = self.triage();
        let Checked {
            mut answers,
            mut facts,
            problems,
        } = checked;
        let brief = self
            .briefing
            .decide(&mut answers, &mut facts, &|group, question| {
                triage.rank(group, question)
            });
        let received =
            self.given(&answers, self.slots().case_received)
                .and_then(|given| match given {
                    Given::Date(date) => Some(self.hours.moment(date)),
                    _ => None,
                });
        let only_day = matches!(
            self.given(&answers, self.slots().case_received),
            Some(Given::Date(date)) if date.moment().is_none()
        );
        // Without a day the reply is due now.
        let level = Triage::level(brief.verdict.contact.until_answered);
        let reply_by = received.map_or(self.now, |received| {
            self.hours.due_by(received, &triage.within, level)
        });
        let mut asks = [None; 3];
        for (slot, ask) in asks.iter_mut().zip(brief.asks.iter().filter_map(Ask::pack)) {
            *slot = Some(ask);
        }
        let times = Times {
            now: self.now,
            received,
            reply_by,
        };
        let reference = self.text_of(&answers, self.slots().case_reference);
        let contact = self.text_of(&answers, self.slots().case_contact);
        Line {
            label: Arc::clone(&item.label),
            line: u32::try_from(item.line).unwrap_or(u32::MAX),
            species: self.text_of(&answers, self.slots().bird_species),
            received,
            only_day,
            reply_by,
            verdict: brief.verdict,
            rule: brief.rule.and_then(|at| u16::try_from(at).ok()),
            asks,
            rank: Rank::of(triage, &brief.verdict, &facts, times, text),
            warnings: u16::try_from(problems.len()).unwrap_or(u16::MAX),
            marks: marks(reference.as_deref(), contact.as_deref()),
            reference,
            household: 0,
        }
    }

    fn slots(&self) -> &crate::facts::Slots {
        &self.rulebook().vocabulary.slots
    }

    fn given<'a>(&self, answers: &'a Answers, at: Option<FactRef>) -> Option<&'a Given> {
        let at = at?;
        answers.given(at.group, None, at.fact)
    }

    fn text_of(&self, answers: &Answers, at: Option<FactRef>) -> Option<Box<str>> {
        match self.given(answers, at)? {
            Given::Text(text) => Some(text.as_str().into()),
            _ => None,
        }
    }
}

fn by_hand(
    item: &Item,
    text: u64,
    reference: Option<Box<str>>,
    verdict: Option<Verdict>,
    problems: &[Problem],
) -> Assessed {
    let errors = || problems.iter().filter(|problem| problem.is_error());
    let faults: Vec<Fault> = errors()
        .take(MOST_FAULTS)
        .map(|problem| Fault {
            mistake: problem.mistake.name(),
            line: problem.place.line,
            column: problem.place.column,
            says: problem.mistake.to_string(),
            advice: problem.mistake.advice(),
        })
        .collect();
    Assessed::ByHand(Box::new(ByHand {
        label: Arc::clone(&item.label),
        line: u32::try_from(item.line).unwrap_or(u32::MAX),
        reference,
        verdict,
        more: errors().count() - faults.len(),
        faults,
        text,
    }))
}

impl ByHand {
    /// The file, and the line where it is a part of one.
    #[must_use]
    pub fn place(&self) -> String {
        super::line::place(&self.label, self.line)
    }

    /// How soon somebody has to look at it, by what could be read.
    #[must_use]
    pub fn contact(&self) -> Option<Contact> {
        self.verdict.map(|verdict| verdict.contact.known)
    }
}

fn fingerprint(text: &str) -> u64 {
    let digest = Sha256::digest(text.trim().as_bytes());
    let mut first = [0; 8];
    first.copy_from_slice(&digest[..8]);
    u64::from_be_bytes(first)
}

/// By what a household is known again: its reference, a mail address, a telephone number.
fn marks(reference: Option<&str>, contact: Option<&str>) -> [u64; 3] {
    let mark = |text: Option<String>| {
        text.filter(|text| !text.is_empty())
            .map_or(0, |text| fingerprint(&text).max(1))
    };
    let mail = contact.and_then(|contact| {
        contact
            .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '<' | '>' | '(' | ')'))
            .find(|word| word.contains('@'))
            .map(|word| word.trim_matches('.').to_lowercase())
    });
    let telephone = contact.map(|contact| {
        let without_mail: String = contact
            .split_whitespace()
            .filter(|word| !word.contains('@'))
            .collect();
        without_mail
            .chars()
            .filter_map(|c| c.to_digit(10).and_then(|digit| char::from_digit(digit, 10)))
            .collect::<String>()
    });
    // The last seven digits: with or without the code of the country, the nought after it and the code of the place.
    let telephone = telephone
        .filter(|digits| digits.len() >= 7)
        .map(|digits| digits[digits.len() - 7..].to_owned());
    [mark(reference.map(folded)), mark(mail), mark(telephone)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_household_is_known_by_reference_mail_or_telephone() {
        let of = |contact| marks(None, Some(contact));
        assert_eq!(
            of("Desk@Home.example")[1],
            of("mail: desk@home.example, evenings")[1]
        );
        assert_eq!(of("+44 7700 900123")[2], of("07700-900 123")[2]);
        assert_ne!(of("07700 900123")[2], of("07700 900124")[2]);
        assert_eq!(of("desk2026@home.example")[2], 0);
        assert_eq!(of("call any time"), [0, 0, 0]);
        assert_eq!(
            marks(Some("Autumn-12"), None),
            marks(Some("autumn 12"), None)
        );
    }
}
