//! From a tree to typed answers.

use std::cell::OnceCell;

use jiff::civil::Date;

use crate::dates::{self, PartialDate};
use crate::mistake::{Mistake, Problem};
use crate::mistakes::intake::{
    BlankBlock, BlockExpected, DateAhead, DateTooOld, DateTwoWays, GroupExpected, ListExpected,
    NoSuchDay, NoSuchTime, NoneWithOthers, NotAChoice, NotADate, NotAForm, NotANumber, NotYesOrNo,
    OneAnswerExpected, OutOfRange, UnitMissing, UnitUnknown, UnitWrong, UnknownGroup, UnknownKey,
    WordsExpected,
};
use crate::questionnaire::{Group, Kind, Question, Questionnaire};
use crate::source::Source;
use crate::tree::{Node, Path, Places, shown};
use crate::units::{BadQuantity, Unit};
use crate::words::{closest, folded};

use super::{Answers, Entry, Given, Part};

/// Turns a tree into answers. `below` is the way to the intake inside the file (empty for an intake of its own);
/// `places` is called only when there is a fault to place, or an answer has to be read as it stands in the file.
#[must_use]
pub fn read(
    questionnaire: &Questionnaire,
    source: &Source,
    root: &Node<'_>,
    below: &Path,
    places: &dyn Fn() -> Places,
    today: Date,
) -> (Answers, Vec<Problem>) {
    read_apart(questionnaire, source, root, below, (places, places), today)
}

/// The same, with two ways to places: of an answer that has to be read as it stands in the file, and of faults.
pub(crate) fn read_apart(
    questionnaire: &Questionnaire,
    source: &Source,
    root: &Node<'_>,
    below: &Path,
    (of_answers, of_faults): (&dyn Fn() -> Places, &dyn Fn() -> Places),
    today: Date,
) -> (Answers, Vec<Problem>) {
    let found = OnceCell::new();
    let mut reader = Reader {
        questionnaire,
        today,
        faults: Vec::new(),
        written: &|path| {
            let places = found.get_or_init(of_answers);
            source.text.get(places.values.get(path).cloned()?)
        },
    };
    let answers = reader.intake(root, &Trail::Root(below));
    let faults = std::mem::take(&mut reader.faults);
    if faults.is_empty() {
        return (answers, Vec::new());
    }
    let places = of_faults();
    let problems = faults
        .into_iter()
        .map(|fault| Problem {
            place: source.place(if fault.at_key {
                places.key(&fault.path, 0)
            } else {
                places.value(&fault.path)
            }),
            mistake: fault.mistake,
        })
        .collect();
    (answers, problems)
}

/// The way to the value that is being read, step by step back to the root. Made into a [`Path`] only for a fault.
#[derive(Clone, Copy)]
enum Trail<'t> {
    Root(&'t Path),
    Key(&'t Trail<'t>, &'t str),
    Index(&'t Trail<'t>, usize),
}

impl<'t> Trail<'t> {
    fn key(&'t self, key: &'t str) -> Self {
        Self::Key(self, key)
    }

    fn index(&'t self, index: usize) -> Self {
        Self::Index(self, index)
    }

    fn path(&self) -> Path {
        match self {
            Self::Root(path) => (*path).clone(),
            Self::Key(before, key) => before.path().key(key),
            Self::Index(before, index) => before.path().index(*index),
        }
    }
}

struct Fault {
    path: Path,
    at_key: bool,
    mistake: Box<dyn Mistake>,
}

struct Reader<'q> {
    questionnaire: &'q Questionnaire,
    today: Date,
    faults: Vec<Fault>,
    /// A value as it stands in the file, where that is not lost.
    written: &'q dyn Fn(&Path) -> Option<&'q str>,
}

impl Reader<'_> {
    fn fault(&mut self, at: &Trail<'_>, mistake: impl Mistake + 'static) {
        self.faults.push(Fault {
            path: at.path(),
            at_key: false,
            mistake: Box::new(mistake),
        });
    }

    fn fault_at_key(&mut self, at: &Trail<'_>, mistake: impl Mistake + 'static) {
        self.faults.push(Fault {
            path: at.path(),
            at_key: true,
            mistake: Box::new(mistake),
        });
    }

    fn intake(&mut self, root: &Node<'_>, below: &Trail<'_>) -> Answers {
        let questionnaire = self.questionnaire;
        let mut answers = Answers::blank(questionnaire);
        let Node::Map(entries) = root else {
            if *root != Node::Blank {
                self.fault(
                    below,
                    NotAForm {
                        found: root.kind().to_owned(),
                    },
                );
            }
            return answers;
        };
        // Forms keep the order of the groups, so the search goes on where it last was.
        let mut next = 0;
        for (key, node) in entries {
            let path = below.key(key);
            let is = |group: &Group| group.id == *key;
            let Some(at) = position_from(&questionnaire.groups, next, is) else {
                self.fault_at_key(
                    &path,
                    UnknownGroup {
                        key: shown(key),
                        close: closest(key, questionnaire.groups.iter().map(|g| g.id.as_str())),
                        belongs: self.home_of(key),
                        groups: questionnaire.groups.iter().map(|g| g.id.clone()).collect(),
                    },
                );
                continue;
            };
            next = at;
            let group = &questionnaire.groups[at];
            match &mut answers.parts[at] {
                Part::Once(given) => self.group(group, node, &path, given),
                part @ Part::Many(_) => *part = Part::Many(self.list(group, node, &path)),
            }
        }
        answers
    }

    /// A repeated group. `None` when it is blank or nothing in it was answered.
    fn list(&mut self, group: &Group, node: &Node<'_>, path: &Trail<'_>) -> Option<Vec<Entry>> {
        let items = match node {
            Node::Blank => return None,
            node if is_unknown(node) => return None,
            Node::List(items) => items,
            other => {
                self.fault(
                    path,
                    ListExpected {
                        group: group.id.clone(),
                        found: other.kind().to_owned(),
                    },
                );
                return None;
            }
        };
        let mut entries = Vec::with_capacity(items.len());
        let mut blank = Vec::new();
        for (index, item) in items.iter().enumerate() {
            let faults = self.faults.len();
            let mut given = vec![Given::Blank; group.questions.len()];
            self.group(group, item, &path.index(index), &mut given);
            if self.faults.len() == faults && given.iter().all(|given| *given == Given::Blank) {
                blank.push(index);
            }
            entries.push(Entry { index, given });
        }
        // A form whose blocks were all left empty has not said that there are none. A blank block among others stays, as an
        // entry of which nothing is known: it may be someone.
        if !items.is_empty() && blank.len() == items.len() {
            return None;
        }
        for index in blank {
            self.fault(
                &path.index(index),
                BlankBlock {
                    group: group.id.clone(),
                    number: index + 1,
                },
            );
        }
        Some(entries)
    }

    /// The group a question belongs to, when it is the only one of that name.
    fn home_of(&self, key: &str) -> Option<String> {
        let mut homes = self
            .questionnaire
            .groups
            .iter()
            .filter(|group| group.questions.iter().any(|question| question.id == key));
        let home = homes.next()?;
        homes.next().is_none().then(|| home.id.clone())
    }

    /// Fills in the answers of a group, or of an entry of one.
    fn group(&mut self, group: &Group, node: &Node<'_>, path: &Trail<'_>, given: &mut [Given]) {
        let entries = match node {
            Node::Blank => return,
            Node::Map(entries) => entries,
            node if is_unknown(node) => return given.fill(Given::DontKnow),
            other => {
                let found = other.kind().to_owned();
                let group = group.id.clone();
                if let Trail::Index(_, index) = path {
                    let number = index + 1;
                    self.fault(
                        path,
                        BlockExpected {
                            group,
                            number,
                            found,
                        },
                    );
                } else {
                    self.fault(path, GroupExpected { group, found });
                }
                return;
            }
        };
        // Forms keep the order of the questions, so the search goes on where it last was.
        let mut next = 0;
        for (key, node) in entries {
            let is = |question: &Question| question.id == *key;
            let Some(at) = position_from(&group.questions, next, is) else {
                self.fault_at_key(
                    &path.key(key),
                    UnknownKey {
                        key: shown(key),
                        group: group.id.clone(),
                        close: closest(key, group.questions.iter().map(|q| q.id.as_str())),
                        belongs: self.home_of(key),
                        keys: group.questions.iter().map(|q| q.id.clone()).collect(),
                    },
                );
                continue;
            };
            next = at;
            if *node == Node::Blank {
                continue;
            }
            if let Some(value) = self.answer(&group.questions[at], node, &path.key(key)) {
                given[at] = value;
            }
        }
    }

    fn answer(&mut self, question: &Question, node: &Node<'_>, path: &Trail<'_>) -> Option<Given> {
        if is_unknown(node) && !is_a_choice(question, node) {
            return Some(Given::DontKnow);
        }
        let key = || question.id.clone();
        if question.kind == Kind::Choices {
            return self.choices(question, node, path);
        }
        let Some(text) = node.scalar() else {
            self.fault(
                path,
                OneAnswerExpected {
                    key: key(),
                    found: node.kind().to_owned(),
                },
            );
            return None;
        };
        let text = text.trim();
        if text.is_empty() {
            return None;
        }
        match question.kind {
            Kind::YesNo => match yes_or_no(text) {
                Some(yes) => Some(Given::YesNo(yes)),
                None => {
                    self.fault(
                        path,
                        NotYesOrNo {
                            key: key(),
                            text: shown(text),
                        },
                    );
                    None
                }
            },
            Kind::Choice | Kind::Level => {
                let at = self.choice(question, text, path)?;
                Some(Given::Choice(at))
            }
            Kind::Number(unit) => self.number(question, unit, text, path),
            Kind::Date => self.date(question, text, path),
            // A telephone number without quotes is a number to the reader of files, and would lose its plus and its noughts.
            Kind::Text if matches!(node, Node::Int(_) | Node::Float(_)) => {
                let written = (self.written)(&path.path()).map_or(text, str::trim);
                Some(Given::Text(written.to_owned()))
            }
            Kind::Text => Some(Given::Text(text.to_owned())),
            Kind::Choices => None,
        }
    }

    fn choice(&mut self, question: &Question, text: &str, path: &Trail<'_>) -> Option<u8> {
        let found = question.choice(text);
        if found.is_none() {
            self.fault(
                path,
                NotAChoice {
                    key: question.id.clone(),
                    text: shown(text),
                    close: closest(text, question.choices.iter().map(|c| c.id.as_str())),
                    choices: question.choices.iter().map(|c| c.id.clone()).collect(),
                },
            );
        }
        found.and_then(|at| u8::try_from(at).ok())
    }

    fn choices(&mut self, question: &Question, node: &Node<'_>, path: &Trail<'_>) -> Option<Given> {
        let mut bits = 0_u64;
        let mut whole = true;
        let mut take = |reader: &mut Self, text: &str, path: &Trail<'_>| match reader.choice(
            question,
            text.trim(),
            path,
        ) {
            Some(at) => bits |= 1 << at,
            None => whole = false,
        };
        match node {
            Node::List(items) => {
                for (index, item) in items.iter().enumerate() {
                    let here = path.index(index);
                    match item.scalar() {
                        Some(text) => take(self, &text, &here),
                        None if *item == Node::Blank => {}
                        None => {
                            self.fault(
                                &here,
                                WordsExpected {
                                    key: question.id.clone(),
                                    found: item.kind().to_owned(),
                                },
                            );
                            return None;
                        }
                    }
                }
                if items.is_empty() || items.iter().all(|item| *item == Node::Blank) {
                    return None;
                }
            }
            node => match node.scalar() {
                // One choice, which may be told in its whole sentence, or several with commas or semicolons between them.
                Some(text) if question.choice(&text).is_some() => take(self, &text, path),
                Some(text) => {
                    let between = if text.contains(';') { ';' } else { ',' };
                    for word in text.split(between).filter(|word| !word.trim().is_empty()) {
                        take(self, word, path);
                    }
                }
                None => {
                    self.fault(
                        path,
                        WordsExpected {
                            key: question.id.clone(),
                            found: node.kind().to_owned(),
                        },
                    );
                    return None;
                }
            },
        }
        if !whole || bits == 0 {
            return None;
        }
        if let Some(alone) = question.alone
            && bits & (1 << alone) != 0
            && bits != 1 << alone
        {
            self.fault(
                path,
                NoneWithOthers {
                    key: question.id.clone(),
                    none: question.choices[alone].id.clone(),
                },
            );
            return None;
        }
        Some(Given::Choices(bits))
    }

    fn number(
        &mut self,
        question: &Question,
        unit: Unit,
        text: &str,
        path: &Trail<'_>,
    ) -> Option<Given> {
        let key = question.id.clone();
        let fitting = || unit.fitting().iter().map(|f| (*f).to_owned()).collect();
        match unit.read(text) {
            Ok(number) if number < question.min || number > question.max => self.fault(
                path,
                OutOfRange {
                    key,
                    text: shown(text),
                    least: unit.show(question.min),
                    most: unit.show(question.max),
                },
            ),
            Ok(number) => return Some(Given::Number(number)),
            Err(BadQuantity::NotANumber) => self.fault(
                path,
                NotANumber {
                    key,
                    text: shown(text),
                    example: question
                        .example
                        .clone()
                        .unwrap_or_else(|| unit.show(question.min.max(5.0).min(question.max))),
                },
            ),
            Err(BadQuantity::NoUnit) => self.fault(
                path,
                UnitMissing {
                    key,
                    text: shown(text),
                    fitting: fitting(),
                },
            ),
            // Something that is no word is no unit either.
            Err(BadQuantity::UnknownUnit(word))
                if word.chars().all(|c| !c.is_alphabetic()) || word == "e" =>
            {
                self.fault(
                    path,
                    NotANumber {
                        key,
                        text: shown(text),
                        example: unit.show(question.min.max(5.0).min(question.max)),
                    },
                )
            }
            Err(BadQuantity::UnknownUnit(word)) => self.fault(
                path,
                UnitUnknown {
                    key,
                    close: closest(&word, unit.fitting().iter().copied()),
                    unit: shown(&word),
                    fitting: fitting(),
                },
            ),
            Err(BadQuantity::WrongUnit(unit)) => self.fault(
                path,
                UnitWrong {
                    key,
                    unit: shown(&unit),
                    fitting: fitting(),
                },
            ),
        }
        None
    }

    fn date(&mut self, question: &Question, text: &str, path: &Trail<'_>) -> Option<Given> {
        let key = question.id.clone();
        let read = if question.time {
            PartialDate::read_with_time(text)
        } else {
            PartialDate::read(text)
        };
        let Some(date) = read else {
            // What is wrong with the day is said of the day; a time counts only where one is taken.
            let apart = dates::day_and_time(text).filter(|_| question.time);
            let day = apart.map_or(text, |(day, _)| day);
            let text = shown(text);
            if let Some((one, other)) = dates::two_ways(day) {
                self.fault(
                    path,
                    DateTwoWays {
                        key,
                        text,
                        one,
                        other,
                    },
                );
            } else if apart.is_some()
                && PartialDate::read(day).is_some_and(|day| day.first == day.last)
            {
                self.fault(path, NoSuchTime { key, text });
            } else if dates::has_date_form(day) && PartialDate::read(day).is_none() {
                self.fault(path, NoSuchDay { key, text });
            } else {
                self.fault(path, NotADate { key, text });
            }
            return None;
        };
        if !question.future && date.lies_ahead(self.today) {
            self.fault(
                path,
                DateAhead {
                    key,
                    text: shown(text),
                    today: self.today.to_string(),
                },
            );
            return None;
        }
        if date.last.year() < 1900 {
            self.fault(
                path,
                DateTooOld {
                    key,
                    text: shown(text),
                },
            );
            return None;
        }
        Some(Given::Date(date))
    }
}

/// The first place from one on, and then before it.
fn position_from<T>(all: &[T], from: usize, is: impl Fn(&T) -> bool) -> Option<usize> {
    let ahead = all[from..].iter().position(&is).map(|at| at + from);
    ahead.or_else(|| all[..from].iter().position(is))
}

/// Yes or no in the ways people write it.
fn yes_or_no(text: &str) -> Option<bool> {
    let is = |words: &[&str]| words.iter().any(|word| text.eq_ignore_ascii_case(word));
    if is(&["yes", "y", "true"]) {
        Some(true)
    } else if is(&["no", "n", "false"]) {
        Some(false)
    } else {
        None
    }
}

/// "I don't know" in the ways people write it.
fn is_unknown(node: &Node<'_>) -> bool {
    let Node::Text(text) = node else { return false };
    if text.len() > 16 || text.is_empty() {
        return false;
    }
    // Most answers differ from all of these in their first letter, or are shorter, and need no folding.
    let first = text.trim_start().bytes().next().unwrap_or_default();
    let shortest = match first.to_ascii_lowercase() {
        b'?' | b'-' | b'_' => 1,
        b'u' => "unknown".len(),
        b'd' => "dont know".len(),
        b'i' => "i don't know".len(),
        b'n' => "not known".len(),
        _ => return false,
    };
    if text.len() < shortest {
        return false;
    }
    matches!(
        folded(text).as_str(),
        "unknown"
            | "don't know"
            | "dont know"
            | "don’t know"
            | "i don't know"
            | "do not know"
            | "not known"
            | "?"
            | "??"
    )
}

/// A choice of the question goes before "not known" as a blank: for a bird's sex, `not known` is an answer.
fn is_a_choice(question: &Question, node: &Node<'_>) -> bool {
    node.scalar()
        .is_some_and(|text| question.choice(&text).is_some())
}
