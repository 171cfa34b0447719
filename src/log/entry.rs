//! The entries of a log, typed. What the next step rests on has to be told: an entry without it is a mistake.

use jiff::civil::Date;

use crate::answers::{Answers, Given};
use crate::ladder::Stage;
use crate::mistake::Mistake;
use crate::mistakes::log::{DayNotWhole, EntryIncomplete};
use crate::questionnaire::Questionnaire;
use crate::source::Source;
use crate::tree::Path;

use super::Log;
use super::slots::{Slot, Slots};

/// The worst that was seen in a session, from calm to worst. The words are those of `last.worst` in `rules/log-facts.yaml`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Worst {
    /// Calm from start to end.
    Calm,
    /// One amber sign.
    Amber,
    /// Two amber signs or more.
    TwoAmbers,
    /// It threatened or went away.
    Threat,
    /// A red sign, and nobody was touched.
    Red,
    /// Its beak touched someone, the skin is whole.
    Contact,
    /// The skin was broken, or worse.
    BrokenSkin,
}

impl Worst {
    /// All of them, mildest first.
    pub const ALL: &[Self] = &[
        Self::Calm,
        Self::Amber,
        Self::TwoAmbers,
        Self::Threat,
        Self::Red,
        Self::Contact,
        Self::BrokenSkin,
    ];

    /// The words written in rules.
    pub const WORDS: &[&str] = &[
        "calm",
        "amber",
        "two ambers",
        "threat",
        "red",
        "contact",
        "broken skin",
    ];

    /// The word written in rules.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

/// How bad the red signs of a session were.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Red {
    /// There were none.
    None,
    /// Some, and nobody was touched.
    Sign,
    /// Its beak touched someone, the skin is whole.
    Contact,
    /// The skin was broken, or worse.
    BrokenSkin,
}

/// How a session ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// On a calm try, as planned.
    ByPlan,
    /// Early, after an amber sign.
    Amber,
    /// At once, after a red sign.
    Red,
    /// Early, for some other cause.
    Other,
}

/// One session.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// Its place in the file's list, from 0.
    pub index: usize,
    /// Its day.
    pub date: Date,
    /// Who worked with the bird.
    pub person: String,
    /// Whether the person the bird seeks was there.
    pub favoured_there: Option<bool>,
    /// What was between bird and person; bars when it was not told.
    pub stage: Stage,
    /// The mark of the list of steps.
    pub sheet: Option<String>,
    /// How long it lasted, minutes.
    pub minutes: Option<f64>,
    /// Number of the step it started at.
    pub start: u32,
    /// Number of the hardest step tried.
    pub top: u32,
    /// Number of the hardest step with a calm run; 0 for none.
    pub best: u32,
    /// Tries.
    pub tries: u32,
    /// Calm ones of them.
    pub calm: u32,
    /// Amber signs.
    pub ambers: u32,
    /// Threats, and times it went away.
    pub threats: u32,
    /// How bad the red signs were.
    pub red: Red,
    /// Seconds to take the treat.
    pub seconds_to_take: Option<f64>,
    /// Treats eaten.
    pub pieces: Option<u32>,
    /// How it ended.
    pub ended: Option<Ended>,
    /// Whether it was done as written; a blank counts as no.
    pub as_written: bool,
    /// Whether the bird had slept badly.
    pub poor_sleep: Option<bool>,
    /// Whether the bird seemed not quite well.
    pub odd_health: Option<bool>,
    /// The household's rating, 0 to 4.
    pub rating: Option<u32>,
}

impl Session {
    /// Whether it ended as planned; a blank counts as no.
    #[must_use]
    pub fn ended_by_plan(&self) -> bool {
        self.ended == Some(Ended::ByPlan)
    }

    /// The worst that was seen in it.
    #[must_use]
    pub fn worst(&self) -> Worst {
        match (self.red, self.threats, self.ambers) {
            (Red::BrokenSkin, ..) => Worst::BrokenSkin,
            (Red::Contact, ..) => Worst::Contact,
            (Red::Sign, ..) => Worst::Red,
            (Red::None, 1.., _) => Worst::Threat,
            (Red::None, 0, 2..) => Worst::TwoAmbers,
            (Red::None, 0, 1) => Worst::Amber,
            (Red::None, 0, 0) => Worst::Calm,
        }
    }

    /// Calm tries as a share of all tries, 0 to 1; 0 without a try.
    #[must_use]
    pub fn calm_share(&self) -> f64 {
        if self.tries == 0 {
            0.0
        } else {
            f64::from(self.calm) / f64::from(self.tries)
        }
    }

    /// Whether nothing but calm was seen, in nine of ten tries or more, and it was done as written.
    #[must_use]
    pub fn is_good(&self) -> bool {
        self.worst() == Worst::Calm && self.calm_share() >= GOOD_SHARE && self.as_written
    }
}

/// Least share of calm tries in a good session (practice handbook; Longino and others, 2021: 90 and 100 % lasted better than 80).
pub const GOOD_SHARE: f64 = 0.9;

/// One day.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// Its place in the file's list, from 0.
    pub index: usize,
    /// Which day.
    pub date: Date,
    /// Times the beak touched someone.
    pub incidents: u32,
    /// Threats and misses.
    pub threats: u32,
    /// The worst hurt, by its place among the choices; `None` while not told.
    pub injury: Option<u8>,
    /// Who was touched.
    pub person: Option<String>,
    /// Where, by its place among the choices.
    pub body_part: Option<u8>,
    /// Safety rules not kept.
    pub slips: Option<u32>,
    /// Weight, g.
    pub weight_g: Option<f64>,
    /// Whether the bird had slept badly.
    pub poor_sleep: Option<bool>,
    /// Whether the bird seemed not quite well.
    pub odd_health: Option<bool>,
    /// What was new, a bit for each choice.
    pub new: u64,
}

/// What a change was, as far as the program reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChangeKind {
    /// A step was put in between.
    StepSplit,
    /// The distances were measured again.
    MeasuredAgain,
    /// The consultant agreed in writing to begin again.
    RestartAgreed,
    /// The consultant called about a touch, and practice may go on from that day.
    CallTookPlace,
    /// The plan begins or was changed.
    Plan,
    /// Anything else.
    Other,
}

impl ChangeKind {
    /// Whether somebody outside the household has to have agreed to it.
    #[must_use]
    pub fn is_agreed(self) -> bool {
        matches!(self, Self::RestartAgreed | Self::CallTookPlace)
    }
}

/// One change.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Its place in the file's list, from 0.
    pub index: usize,
    /// Its day.
    pub date: Date,
    /// What it was.
    pub kind: ChangeKind,
    /// What it was, by its place among the choices.
    pub what: u8,
    /// For whom; `None` for all.
    pub person: Option<String>,
    /// Before which step one was put.
    pub step: Option<u32>,
    /// Who says so.
    pub by: Option<String>,
    /// More.
    pub note: Option<String>,
}

type Faults = Vec<(Path, Box<dyn Mistake>)>;

/// Reads one entry.
struct Reader<'a> {
    questionnaire: &'a Questionnaire,
    answers: &'a Answers,
    item: usize,
    noun: &'static str,
    missing: Vec<String>,
    faults: &'a mut Faults,
}

impl Reader<'_> {
    fn given(&self, slot: Option<Slot>) -> Option<&Given> {
        let (group, question) = slot?;
        self.answers
            .given(group, Some(self.item), question)
            .filter(|given| !given.is_blank())
    }

    fn needed<T>(&mut self, slot: Option<Slot>, value: Option<T>) -> Option<T> {
        if value.is_none()
            && let Some((group, question)) = slot
            && let Some(question) = self
                .questionnaire
                .groups
                .get(group)
                .and_then(|group| group.questions.get(question))
        {
            self.missing.push(question.id.clone());
        }
        value
    }

    fn date(&mut self, slot: Option<Slot>) -> Option<Date> {
        let date = match self.given(slot) {
            Some(Given::Date(date)) => Some(*date),
            _ => None,
        };
        let date = self.needed(slot, date)?;
        if date.first == date.last {
            return Some(date.first);
        }
        if let Some((group, question)) = slot {
            let path = self
                .answers
                .path(self.questionnaire, group, Some(self.item), question);
            self.faults.push((
                path,
                Box::new(DayNotWhole {
                    text: date.to_string(),
                }),
            ));
        }
        None
    }

    fn number(&self, slot: Option<Slot>) -> Option<f64> {
        match self.given(slot)? {
            Given::Number(number) => Some(*number),
            _ => None,
        }
    }

    /// A whole number. Counts are asked as such, and read as such.
    fn count(&self, slot: Option<Slot>) -> Option<u32> {
        self.number(slot)
            .filter(|number| (0.0..=1e6).contains(number))
            .map(|number| number.round() as u32)
    }

    fn needed_count(&mut self, slot: Option<Slot>) -> Option<u32> {
        let count = self.count(slot);
        self.needed(slot, count)
    }

    fn yes(&self, slot: Option<Slot>) -> Option<bool> {
        match self.given(slot)? {
            Given::YesNo(yes) => Some(*yes),
            _ => None,
        }
    }

    fn choice(&self, slot: Option<Slot>) -> Option<u8> {
        match self.given(slot)? {
            Given::Choice(at) => Some(*at),
            _ => None,
        }
    }

    fn words(&self, slot: Option<Slot>) -> Vec<&str> {
        let Some((group, question)) = slot else {
            return Vec::new();
        };
        let choices = self
            .questionnaire
            .groups
            .get(group)
            .and_then(|group| group.questions.get(question))
            .map_or(&[][..], |question| &question.choices);
        choices.iter().map(|choice| choice.id.as_str()).collect()
    }

    fn word(&self, slot: Option<Slot>) -> Option<&str> {
        let at = usize::from(self.choice(slot)?);
        self.words(slot).get(at).copied()
    }

    fn bits(&self, slot: Option<Slot>) -> Option<u64> {
        match self.given(slot)? {
            Given::Choices(bits) => Some(*bits),
            _ => None,
        }
    }

    fn text(&self, slot: Option<Slot>) -> Option<String> {
        match self.given(slot)? {
            Given::Text(text) => Some(text.clone()),
            _ => None,
        }
    }

    fn index(&self, slot: Option<Slot>) -> usize {
        slot.and_then(|(group, _)| self.answers.entries(group)?.get(self.item))
            .map_or(self.item, |entry| entry.index)
    }

    fn session(&mut self, slots: &Slots) -> Option<Session> {
        let date = self.date(slots.session_date);
        let person = self.text(slots.session_person);
        let person = self.needed(slots.session_person, person);
        let start = self.needed_count(slots.session_start);
        let top = self.needed_count(slots.session_top);
        let best = self.needed_count(slots.session_best);
        let tries = self.needed_count(slots.session_tries);
        let calm = self.needed_count(slots.session_calm);
        let ambers = self.needed_count(slots.session_ambers);
        let threats = self.needed_count(slots.session_threats);
        let red = self.bits(slots.session_red).map(|bits| {
            let words = self.words(slots.session_red);
            let says = |word: &str| {
                words
                    .iter()
                    .position(|other| *other == word)
                    .is_some_and(|at| bits & (1 << at) != 0)
            };
            if says("broken skin") {
                Red::BrokenSkin
            } else if says("contact") {
                Red::Contact
            } else if says("none") || bits == 0 {
                Red::None
            } else {
                Red::Sign
            }
        });
        let red = self.needed(slots.session_red, red);
        let bad = |reader: &Self, slot, word: &str| reader.word(slot).map(|other| other == word);
        Some(Session {
            index: self.index(slots.session_date),
            date: date?,
            person: person?,
            favoured_there: self.yes(slots.session_favoured),
            stage: match self.word(slots.session_stage) {
                Some("stationed") => Stage::Stationed,
                Some("open-room") => Stage::OpenRoom,
                _ => Stage::ThroughBarrier,
            },
            sheet: self.text(slots.session_sheet),
            minutes: self.number(slots.session_minutes),
            start: start?,
            top: top?,
            best: best?,
            tries: tries?,
            calm: calm?,
            ambers: ambers?,
            threats: threats?,
            red: red?,
            seconds_to_take: self.number(slots.session_seconds),
            pieces: self.count(slots.session_pieces),
            ended: self.word(slots.session_ended).map(|word| match word {
                "by plan" => Ended::ByPlan,
                "amber" => Ended::Amber,
                "red" => Ended::Red,
                _ => Ended::Other,
            }),
            as_written: self.yes(slots.session_written) == Some(true),
            poor_sleep: bad(self, slots.session_sleep, "poor"),
            odd_health: bad(self, slots.session_health, "odd"),
            rating: self.count(slots.session_rating),
        })
    }

    fn day(&mut self, slots: &Slots) -> Option<Day> {
        let date = self.date(slots.day_date);
        let incidents = self.needed_count(slots.day_incidents);
        let threats = self.needed_count(slots.day_threats);
        let bad = |reader: &Self, slot, word: &str| reader.word(slot).map(|other| other == word);
        Some(Day {
            index: self.index(slots.day_date),
            date: date?,
            incidents: incidents?,
            threats: threats?,
            injury: self.choice(slots.day_injury),
            person: self.text(slots.day_person),
            body_part: self.choice(slots.day_body_part),
            slips: self.count(slots.day_slips),
            weight_g: self.number(slots.day_weight),
            poor_sleep: bad(self, slots.day_sleep, "poor"),
            odd_health: bad(self, slots.day_health, "odd"),
            new: self.bits(slots.day_new).unwrap_or(0),
        })
    }

    fn change(&mut self, slots: &Slots) -> Option<Change> {
        let date = self.date(slots.change_date);
        let what = self.choice(slots.change_what);
        let what = self.needed(slots.change_what, what);
        let kind = match self.word(slots.change_what) {
            Some("step split") => ChangeKind::StepSplit,
            Some("measured again") => ChangeKind::MeasuredAgain,
            Some("restart agreed") => ChangeKind::RestartAgreed,
            Some("call took place") => ChangeKind::CallTookPlace,
            Some("plan begins" | "plan changed") => ChangeKind::Plan,
            _ => ChangeKind::Other,
        };
        let (person, step, by) = (
            self.text(slots.change_person),
            self.count(slots.change_step),
            self.text(slots.change_by),
        );
        let split = kind == ChangeKind::StepSplit;
        if split && person.is_none() {
            let _ = self.needed::<()>(slots.change_person, None);
        }
        if split && step.is_none() {
            let _ = self.needed::<()>(slots.change_step, None);
        }
        // What nobody answers for was not agreed.
        if kind.is_agreed() && by.is_none() {
            let _ = self.needed::<()>(slots.change_by, None);
        }
        Some(Change {
            index: self.index(slots.change_date),
            date: date?,
            kind,
            what: what?,
            person,
            step,
            by,
            note: self.text(slots.change_note),
        })
    }
}

/// All entries of a group, with what is missing in each.
fn all<T>(
    questionnaire: &Questionnaire,
    answers: &Answers,
    slot: Option<Slot>,
    noun: &'static str,
    faults: &mut Faults,
    read: impl Fn(&mut Reader<'_>) -> Option<T>,
) -> Vec<T> {
    let Some((group, _)) = slot else {
        return Vec::new();
    };
    let count = answers.entries(group).map_or(0, <[_]>::len);
    let mut out = Vec::with_capacity(count);
    for item in 0..count {
        let mut reader = Reader {
            questionnaire,
            answers,
            item,
            noun,
            missing: Vec::new(),
            faults,
        };
        let entry = read(&mut reader);
        let (missing, noun) = (std::mem::take(&mut reader.missing), reader.noun);
        if missing.is_empty() {
            out.extend(entry);
        } else {
            let path = Path::default()
                .key(&questionnaire.groups[group].id)
                .index(answers.entries(group).map_or(item, |e| e[item].index));
            faults.push((
                path,
                Box::new(EntryIncomplete {
                    noun: noun.to_owned(),
                    number: item + 1,
                    missing: missing
                        .iter()
                        .map(|key| format!("`{key}`"))
                        .collect::<Vec<_>>()
                        .join(", "),
                }),
            ));
        }
    }
    out
}

/// The entries of a log, in the order of their days.
pub(super) fn entries(
    questionnaire: &Questionnaire,
    slots: &Slots,
    answers: Answers,
    source: &Source,
) -> (Log, Faults) {
    let mut faults = Faults::new();
    let mut sessions = all(
        questionnaire,
        &answers,
        slots.session_date,
        "session",
        &mut faults,
        |reader| reader.session(slots),
    );
    let mut days = all(
        questionnaire,
        &answers,
        slots.day_date,
        "day",
        &mut faults,
        |reader| reader.day(slots),
    );
    let mut changes = all(
        questionnaire,
        &answers,
        slots.change_date,
        "change",
        &mut faults,
        |reader| reader.change(slots),
    );
    sessions.sort_by_key(|session| (session.date, session.index));
    days.sort_by_key(|day| (day.date, day.index));
    changes.sort_by_key(|change| (change.date, change.index));
    let log = Log {
        sessions,
        days,
        changes,
        answers,
        fingerprint: String::new(),
    };
    (log.fingerprinted(source), faults)
}
