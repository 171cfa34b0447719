//! One enquiry as it is told: with the rulebook's words, for every output alike.

use jiff::{Timestamp, ZonedDateTime};
use serde::Serialize;

use crate::answers::Answers;
use crate::decision::Verdict;
use crate::language::Truth;

use super::assess::{ByHand, Fault};
use super::board::Board;
use super::desk::Desk;
use super::line::{Ask, Line, place};

/// How many other enquiries of a household are named.
const MOST_OTHERS: usize = 5;

/// One enquiry as it is told.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Row {
    /// Its place in the order, from 1; none where nothing was ranked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<usize>,
    /// Its reference, else its place.
    pub id: String,
    /// Its file, with the line where it is a part of one.
    pub place: String,
    /// The code of its case.
    pub reference: Option<String>,
    /// The kind of bird, as it was told.
    pub species: Option<String>,
    /// When the message came, in the practice's time zone; the day alone where nobody said at what time.
    pub received: Option<String>,
    /// When the reply is due, in the practice's time zone.
    pub reply_by: String,
    /// True when it is.
    pub overdue: bool,
    /// The moment before the reply is due at which the practice closes, when it does so with someone waiting: what keeps people
    /// safe meanwhile has to go out before.
    pub closes: Option<String>,
    /// The ordered outcomes.
    #[serde(flatten)]
    pub verdict: Verdict,
    /// The rule that decides how soon to reply.
    pub rule: Option<String>,
    /// That rule in words.
    pub because: String,
    /// True when it speaks because something was not answered.
    pub unanswered: bool,
    /// What the rulebook puts first within a level, as far as it holds: its title, and whether it is known.
    pub first: Vec<FirstRow>,
    /// What to ask first.
    pub ask_first: Vec<AskRow>,
    /// Others that seem to be of the same household.
    pub same_household: Vec<String>,
    /// Their places in the order, from 1.
    pub same_household_at: Vec<usize>,
    /// How many more of them there are.
    pub more_of_household: usize,
    /// Warnings about its answers.
    pub warnings: u16,
    /// Its place in the order of all, as a text that can be sorted.
    pub rank: String,
}

/// What comes first within a level.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct FirstRow {
    /// Its id.
    pub id: String,
    /// What it is.
    pub title: String,
    /// True when it is known, false when it may be so.
    pub known: bool,
}

/// A question to ask first.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AskRow {
    /// The question as `group.question`, or the group alone when nothing in it was told.
    pub question: String,
    /// Which entry of a repeated group it is about, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub entry: Option<usize>,
    /// What to ask, in words to read out.
    pub ask: String,
    /// What the entry is called, and its number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub about: Option<String>,
    /// Steps the answer alone could move the outcomes, known and until answered together.
    pub moves: u8,
    /// The outcomes it could lead to: the tightest that could become known, and the loosest that could be left until answered.
    pub could: Verdict,
}

/// An enquiry that a person has to look at.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ByHandRow {
    /// Always true: what tells it from a ranked one.
    pub by_hand: bool,
    /// Its reference, else its place.
    pub id: String,
    /// Its file, with the line where it is a part of one.
    pub place: String,
    /// The code of its case, when it could be read.
    pub reference: Option<String>,
    /// What could be read of it, weighed; blanks and what could not be read are open.
    #[serde(flatten)]
    pub verdict: Option<Verdict>,
    /// What is wrong.
    pub mistakes: Vec<Fault>,
    /// How many more mistakes there are.
    pub more_mistakes: usize,
}

impl Desk<'_> {
    /// A moment in the practice's time zone.
    fn told(&self, at: Timestamp) -> String {
        let zoned = at.to_zoned_datetime(self.hours.zone().clone());
        moment(&zoned)
    }

    /// One enquiry as it is told, on its own.
    #[must_use]
    pub fn row(&self, line: &Line) -> Row {
        let rulebook = self.rulebook();
        let rule = line.rule.map(|at| &rulebook.rules[usize::from(at)]);
        let contact = line.verdict.contact;
        let first = line
            .rank
            .first(self.triage())
            .into_iter()
            .zip(&self.triage().first)
            .filter(|(truth, _)| *truth != Truth::False)
            .map(|(truth, first)| FirstRow {
                id: first.id.clone(),
                title: first.title.clone(),
                known: truth == Truth::True,
            })
            .collect();
        let urgent = crate::rulebook::Contact::SameDay;
        let closes = (contact.until_answered >= urgent)
            .then(|| self.hours.shut_between(self.now, line.reply_by()))
            .flatten();
        Row {
            at: None,
            id: line.id(),
            place: line.place(),
            reference: line.reference.as_deref().map(str::to_owned),
            species: line.species.as_deref().map(str::to_owned),
            received: line.received().map(|at| {
                let told = self.told(at);
                // Nobody said at what time.
                if line.only_day {
                    told[..told.len().min(10)].to_owned()
                } else {
                    told
                }
            }),
            reply_by: self.told(line.reply_by()),
            overdue: line.rank.is_overdue(),
            closes: closes.map(|at| self.told(at)),
            verdict: line.verdict,
            rule: rule.map(|rule| rule.id.clone()),
            because: rule.map_or_else(
                || self.triage().says_routine.clone(),
                |rule| rule.title.clone(),
            ),
            unanswered: rule.is_some() && contact.known < contact.until_answered,
            first,
            ask_first: line
                .asks
                .iter()
                .flatten()
                .map(|ask| self.ask(ask))
                .collect(),
            same_household: Vec::new(),
            same_household_at: Vec::new(),
            more_of_household: 0,
            warnings: line.warnings,
            rank: line.rank.to_string(),
        }
    }

    /// One of all, with its place and its household.
    #[must_use]
    pub fn row_of(&self, board: &Board, at: usize) -> Row {
        let others = board.same_household(at);
        Row {
            at: Some(at + 1),
            more_of_household: others.len().saturating_sub(MOST_OTHERS),
            same_household_at: others.iter().take(MOST_OTHERS).map(|at| at + 1).collect(),
            same_household: others
                .into_iter()
                .take(MOST_OTHERS)
                .map(|other| board.lines[other].place())
                .collect(),
            ..self.row(&board.lines[at])
        }
    }

    /// What to ask first of a form of which something is not known.
    #[must_use]
    pub fn asks(&self, answers: &Answers) -> Vec<AskRow> {
        let mut facts = self.briefing.facts(answers);
        let triage = self.triage();
        let rank = |group, question| triage.rank(group, question);
        let brief = self.briefing.decide(answers, &mut facts, &rank);
        let packed = brief.asks.iter().filter_map(Ask::pack);
        packed.map(|ask| self.ask(&ask)).collect()
    }

    fn ask(&self, ask: &Ask) -> AskRow {
        let rulebook = self.rulebook();
        let (group, question) = (usize::from(ask.group), ask.question.map(usize::from));
        let info = &rulebook.questionnaire.groups[group];
        let own = question.map(|at| &info.questions[at]);
        let said = self
            .triage()
            .asks
            .iter()
            .find(|first| (first.group, first.question) == (group, question))
            .and_then(|first| first.ask.clone());
        let entry = ask.item.map(|item| usize::from(item) + 1);
        AskRow {
            question: own.map_or_else(
                || info.id.clone(),
                |question| format!("{}.{}", info.id, question.id),
            ),
            about: entry.map(|entry| {
                let noun = info.repeats.as_deref().unwrap_or(&info.id);
                format!("{noun} {entry}")
            }),
            entry,
            ask: said.unwrap_or_else(|| own.map_or(&info.title, |question| &question.ask).clone()),
            moves: ask.moves,
            could: ask.could,
        }
    }

    /// An enquiry that a person has to look at, as it is told.
    #[must_use]
    pub fn by_hand_row(&self, by_hand: &ByHand) -> ByHandRow {
        let place = place(&by_hand.label, by_hand.line);
        ByHandRow {
            by_hand: true,
            id: by_hand
                .reference
                .as_deref()
                .map_or_else(|| place.clone(), str::to_owned),
            place,
            reference: by_hand.reference.as_deref().map(str::to_owned),
            verdict: by_hand.verdict,
            mistakes: by_hand.faults.clone(),
            more_mistakes: by_hand.more,
        }
    }
}

/// A moment with its offset (RFC 3339).
fn moment(zoned: &ZonedDateTime) -> String {
    zoned.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}
