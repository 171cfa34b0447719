//! A case without the people in it: names, places, codes and dates replaced before anything is decided or printed, and every paper
//! searched for what might be left.
//!
//! | part | does |
//! |---|---|
//! | [`Redactor`] | knows what to replace, and replaces it in answers |
//! | `contact` | the numbers and addresses in what someone told of how to reach them |
//! | `text` | names, dates, numbers and addresses in running text |
//! | [`Case`] | a form and a log, redacted and read again |
//! | [`leaks`] | what is left in a finished paper |

mod case;
mod contact;
mod leaks;
mod text;

pub use case::Case;
pub use leaks::{Leak, leaks};

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::answers::{Answers, Given, Part};
use crate::dates::PartialDate;
use crate::fingerprint;
use crate::names;
use crate::questionnaire::{Identifies, Questionnaire};
use crate::wording::Practice;

/// Something that could tell who a case is about, with what stands in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Secret {
    /// As it was written.
    pub text: String,
    /// What stands in its place.
    pub stand_in: String,
    /// The question it was told to, such as `people.name`.
    pub question: String,
    /// True for a number, a code or an address of mail, which is found however it is spaced.
    pub is_code: bool,
}

impl Secret {
    /// Where it stands in a text: byte ranges, in order.
    #[must_use]
    pub fn places(&self, text: &str) -> Vec<(usize, usize)> {
        if self.is_code {
            names::places_of_code(text, &self.text)
        } else {
            names::places(text, &self.text)
        }
    }
}

/// What was done to one case.
#[derive(Debug, Clone, Default)]
pub struct Account {
    /// For each stand-in: the question it came from, and in how many answers it stands now.
    pub replaced: BTreeMap<String, (String, usize)>,
    /// How many dates were moved.
    pub dates: usize,
    /// How many dates, numbers, addresses and links in running text were left out.
    pub left_out: usize,
    /// Answers in free text that were kept, for a second person to read.
    pub kept: Vec<String>,
}

/// Knows what to replace in one case.
#[derive(Debug)]
pub struct Redactor {
    secrets: Vec<Secret>,
    /// All texts that papers are made from: a writer called by a word of theirs, such as `consultant`, is not named.
    ordinary: String,
    /// Answers in lower case: no stand-in is one of them.
    taken: std::collections::BTreeSet<String>,
    shift_days: i64,
    /// What was done so far.
    pub account: Account,
}

impl Redactor {
    /// Learns from a form what would tell who the case is about. `key` is the text of the form: from it comes the number of days by
    /// which all dates move, the same for the same form, and not to be seen in a redacted paper.
    #[must_use]
    pub fn of(questionnaire: &Questionnaire, answers: &Answers, key: &str, ordinary: &str) -> Self {
        let mut redactor = Self {
            ordinary: ordinary.to_owned(),
            secrets: Vec::new(),
            taken: std::collections::BTreeSet::new(),
            shift_days: shift_days(key),
            account: Account::default(),
        };
        redactor.learn(questionnaire, answers);
        redactor
    }

    /// Learns from a further set of answers, such as those of a log.
    pub fn learn(&mut self, questionnaire: &Questionnaire, answers: &Answers) {
        each(answers, |_, _, given| {
            if let Given::Text(text) = given {
                self.taken.insert(text.to_lowercase());
            }
        });
        let people = questionnaire.group("people");
        for first in [true, false] {
            each(answers, |group, question, given| {
                if (Some(group) == people) == first {
                    self.learn_one(questionnaire, group, question, given);
                }
            });
        }
        // Longer names first, so that a part of a name never stands in for the whole.
        self.secrets
            .sort_by(|a, b| (b.text.len(), &a.text).cmp(&(a.text.len(), &b.text)));
    }

    /// Learns what the practice is called and how it is reached.
    pub fn learn_practice(&mut self, practice: &Practice) {
        let told = [
            ("practice.name", &practice.name),
            ("practice.consultant", &practice.consultant),
            ("practice.contact", &practice.contact),
            ("practice.cover", &practice.cover),
        ];
        for (question, text) in told {
            if let Some(text) = text {
                self.add(Identifies::Practice, text, question);
            }
        }
    }

    fn learn_one(
        &mut self,
        questionnaire: &Questionnaire,
        group: usize,
        question: usize,
        given: &Given,
    ) {
        let about = &questionnaire.groups[group].questions[question];
        if let (Some(kind), Given::Text(text)) = (about.identifies, given) {
            let question = format!("{}.{}", questionnaire.groups[group].id, about.id);
            self.add(kind, text, &question);
        }
    }

    fn add(&mut self, kind: Identifies, text: &str, question: &str) {
        let ordinary = || {
            text.chars().all(char::is_lowercase) && !names::places(&self.ordinary, text).is_empty()
        };
        if text.is_empty()
            || self.find(text).is_some()
            || (kind == Identifies::Writer && ordinary())
        {
            return;
        }
        let stand_in = self.stand_in(kind);
        let secret = |text: &str, is_code: bool| Secret {
            text: text.to_owned(),
            stand_in: stand_in.clone(),
            question: question.to_owned(),
            is_code,
        };
        if kind == Identifies::Contact {
            let pieces = contact::pieces(text);
            // A number is found however it is spaced, words only as words.
            let mut found = vec![secret(text, pieces == [text])];
            for piece in pieces {
                if self.find(piece).is_none() && found.iter().all(|it| it.text != piece) {
                    found.push(secret(piece, true));
                }
            }
            self.secrets.extend(found);
            return;
        }
        let is_code = matches!(kind, Identifies::Code | Identifies::Ring);
        let mut found = vec![secret(text, is_code)];
        // Each part of a name of several words tells as much as the whole, and so does each part of a place.
        let pieces = text.split(',').map(str::trim).filter(|it| *it != text);
        for part in names::parts(text).into_iter().chain(pieces) {
            let new = self.find(part).is_none() && found.iter().all(|it| it.text != part);
            if new && !is_code && part.chars().count() >= 3 {
                found.push(secret(part, false));
            }
        }
        self.secrets.extend(found);
    }

    /// The next stand-in of a kind that nobody in the case is called by.
    fn stand_in(&self, kind: Identifies) -> String {
        (1..)
            .map(|number| format!("{}-{number}", kind.word()))
            .find(|name| {
                !self.taken.contains(&name.to_lowercase())
                    && self.secrets.iter().all(|secret| secret.stand_in != *name)
            })
            .unwrap_or_default()
    }

    fn find(&self, text: &str) -> Option<&Secret> {
        let wanted = text.to_lowercase();
        self.secrets
            .iter()
            .find(|secret| secret.text.to_lowercase() == wanted)
    }

    /// What is replaced.
    #[must_use]
    pub fn secrets(&self) -> &[Secret] {
        &self.secrets
    }

    /// A day moved by the case's own number of days.
    #[must_use]
    pub fn day(&self, day: Date) -> Date {
        day.checked_add(self.shift_days.days()).unwrap_or(day)
    }

    fn date(&self, date: PartialDate) -> PartialDate {
        if date.first == date.last {
            // The time of day goes: with its offset it tells of a place, and to the second it is found in a mailbox.
            return PartialDate::day(self.day(date.first));
        }
        // Part of a date stays part of one: the month, or the year, that its middle moves into.
        let half = date
            .first
            .until(date.last)
            .map_or(0, |span| span.get_days() / 2);
        let middle = self.day(date.first.checked_add(half.days()).unwrap_or(date.first));
        let month = date.first.month() == date.last.month();
        let text = if month {
            format!("{:04}-{:02}", middle.year(), middle.month())
        } else {
            format!("{:04}", middle.year())
        };
        PartialDate::read(&text).unwrap_or_else(|| PartialDate::day(middle))
    }

    /// Answers in which nothing tells who they are about.
    #[must_use]
    pub fn answers(&mut self, questionnaire: &Questionnaire, answers: &Answers) -> Answers {
        let mut out = answers.clone();
        for (group, part) in questionnaire.groups.iter().zip(&mut out.parts) {
            let lists: Vec<(Option<usize>, &mut Vec<Given>)> = match part {
                Part::Once(given) => vec![(None, given)],
                Part::Many(entries) => entries
                    .iter_mut()
                    .flatten()
                    .map(|entry| (Some(entry.index), &mut entry.given))
                    .collect(),
            };
            for (item, list) in lists {
                for (question, given) in group.questions.iter().zip(list) {
                    match given {
                        Given::Date(date) => {
                            *date = self.date(*date);
                            self.account.dates += 1;
                        }
                        Given::Text(text) => {
                            let place = item.map_or_else(
                                || format!("{}.{}", group.id, question.id),
                                |item| format!("{}[{}].{}", group.id, item + 1, question.id),
                            );
                            *text = self.answer(question.identifies, text, place);
                        }
                        _ => {}
                    }
                }
            }
        }
        out
    }

    fn answer(&mut self, identifies: Option<Identifies>, text: &str, place: String) -> String {
        if identifies.is_some()
            && let Some(secret) = self.find(text)
        {
            let (stand_in, question) = (secret.stand_in.clone(), secret.question.clone());
            let entry = self
                .account
                .replaced
                .entry(stand_in.clone())
                .or_insert((question, 0));
            entry.1 += 1;
            return stand_in;
        }
        let cleaned = text::cleaned(text, &self.secrets, |day| self.day(day));
        for stand_in in cleaned.replaced {
            let question = self
                .secrets
                .iter()
                .find(|secret| secret.stand_in == stand_in)
                .map_or_else(String::new, |secret| secret.question.clone());
            self.account
                .replaced
                .entry(stand_in)
                .or_insert((question, 0))
                .1 += 1;
        }
        self.account.dates += cleaned.dates;
        self.account.left_out += cleaned.left_out;
        // A mark of a sheet is no free text.
        if text.chars().count() > 4 {
            self.account.kept.push(place);
        }
        cleaned.text
    }
}

/// By how many days all dates of a case move: one to four times 52 weeks back, give or take one to three weeks. The day of the week
/// stays, and so does the season, while no date is one that happened.
fn shift_days(key: &str) -> i64 {
    let digest = fingerprint::of_parts(&[b"how far dates move", key.as_bytes()]);
    let number = |at: usize| {
        i64::from(u8::from_str_radix(digest.get(at..at + 2).unwrap_or("0"), 16).unwrap_or(0))
    };
    let weeks = 52 * (1 + number(0) % 4);
    let more = 1 + number(2) % 3;
    let way = if number(4) % 2 == 0 { 1 } else { -1 };
    -7 * (weeks + way * more)
}

/// Shows each answer with the places of its group and question.
fn each(answers: &Answers, mut visit: impl FnMut(usize, usize, &Given)) {
    for (group, part) in answers.parts.iter().enumerate() {
        let lists: Vec<&Vec<Given>> = match part {
            Part::Once(given) => vec![given],
            Part::Many(entries) => entries.iter().flatten().map(|it| &it.given).collect(),
        };
        for list in lists {
            for (at, given) in list.iter().enumerate() {
                visit(group, at, given);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::shift_days;

    #[test]
    fn dates_move_by_whole_weeks_and_never_by_none() {
        for at in 0..500 {
            let days = shift_days(&at.to_string());
            assert_eq!(days % 7, 0);
            assert!((-1500..=-300).contains(&days), "{days}");
            assert_ne!(days % 364, 0, "a date would keep its place in the year");
        }
    }
}
