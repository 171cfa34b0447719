//! Forms with something wrong, as they come in.

use std::borrow::Cow;

use perchside::questionnaire::{Kind, Question, Questionnaire};
use perchside::tree::Node;
use perchside::units::Unit;

use super::form::{At, Form};
use super::pool::text;
use super::random::Random;
use super::write;

/// What is wrong with a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Fault {
    /// The name of a question is misspelt.
    Key,
    /// A number has a unit of something else.
    Unit,
    /// An answer is none that its question takes.
    Answer,
    /// A question is answered twice in one block.
    Twice,
    /// It is no YAML, or no JSON.
    Text,
    /// It stops in the middle of a word.
    Half,
    /// Nothing is in it.
    Empty,
}

impl Fault {
    /// All of them.
    pub(crate) const ALL: [Self; 7] = [
        Self::Key,
        Self::Unit,
        Self::Answer,
        Self::Twice,
        Self::Text,
        Self::Half,
        Self::Empty,
    ];

    /// The fault, or another one where this would spoil more than its own form: the headings of a table, or the forms around it.
    pub(crate) fn within(self, alone: bool, table: bool) -> Self {
        match self {
            Self::Key | Self::Twice | Self::Text | Self::Half if table => Self::Answer,
            Self::Text | Self::Half if !alone => Self::Answer,
            other => other,
        }
    }
}

/// The tree of a form with its fault. Faults of the text come with the writing.
pub(crate) fn tree<'q, 'h: 'q>(
    form: &Form<'h>,
    questionnaire: &'q Questionnaire,
    fault: Fault,
    random: &mut Random,
) -> Node<'q> {
    let mut form = form.clone();
    let mut fault = fault;
    if fault == Fault::Unit && !change(&mut form, questionnaire, random, wrong_unit) {
        fault = Fault::Answer;
    }
    if fault == Fault::Answer && !change(&mut form, questionnaire, random, no_answer) {
        fault = Fault::Key;
    }
    let at = random.pick(&form.places()).copied();
    let mut tree = form.tree(questionnaire);
    if let (Fault::Key | Fault::Twice, Some(at)) = (fault, at)
        && let Some(block) = block(&mut tree, questionnaire, at)
    {
        let (key, node) = block[at.place].clone();
        if fault == Fault::Twice {
            block.push((key, node));
        } else {
            block[at.place].0 = Cow::Owned(misspelt(&key, random));
        }
    }
    if fault == Fault::Empty {
        Node::Map(Vec::new())
    } else {
        tree
    }
}

fn block<'t, 'q>(
    tree: &'t mut Node<'q>,
    questionnaire: &Questionnaire,
    at: At,
) -> Option<&'t mut Vec<(Cow<'q, str>, Node<'q>)>> {
    let Node::Map(groups) = tree else { return None };
    let id = &questionnaire.groups[at.group].id;
    let (_, node) = groups.iter_mut().find(|(key, _)| key == id)?;
    match node {
        Node::Map(block) => Some(block),
        Node::List(blocks) => match blocks.get_mut(at.block)? {
            Node::Map(block) => Some(block),
            _ => None,
        },
        _ => None,
    }
}

/// Changes one answer for which there is such a change.
fn change<'h>(
    form: &mut Form<'h>,
    questionnaire: &Questionnaire,
    random: &mut Random,
    to: fn(&Question) -> Option<&'static str>,
) -> bool {
    let fits: Vec<At> = form
        .places()
        .into_iter()
        .filter(|at| {
            form.at(questionnaire, *at)
                .and_then(|(question, _)| to(question))
                .is_some()
        })
        .collect();
    let Some(at) = random.pick(&fits).copied() else {
        return false;
    };
    let new = form
        .at(questionnaire, at)
        .and_then(|(question, _)| to(question));
    if let (Some(Some(list)), Some(new)) = (form.groups.get_mut(at.group), new) {
        list[at.block][at.place].1 = text(new);
    }
    true
}

fn wrong_unit(question: &Question) -> Option<&'static str> {
    match question.kind {
        Kind::Number(Unit::Centimetres | Unit::Millimetres) => Some("12 kg"),
        Kind::Number(_) => Some("12 cm"),
        _ => None,
    }
}

fn no_answer(question: &Question) -> Option<&'static str> {
    Some(match question.kind {
        Kind::Number(_) => "a fair bit",
        Kind::Date => "some time last spring",
        Kind::YesNo => "now and then",
        Kind::Choice | Kind::Level | Kind::Choices => "hard to put in one word",
        Kind::Text => return None,
    })
}

/// Two letters changed about, one left out, or one too many; never what it was.
fn misspelt(key: &str, random: &mut Random) -> String {
    let mut letters: Vec<char> = key.chars().collect();
    let at = random.below(letters.len().saturating_sub(1));
    match random.below(3) {
        0 if letters.get(at) != letters.get(at + 1) => letters.swap(at, at + 1),
        1 if letters.len() > 3 => {
            letters.remove(at);
        }
        _ => letters.insert(at, letters[at]),
    }
    letters.into_iter().collect()
}

/// The text of a form with the faults that only a text can have.
pub(crate) fn written(
    tree: &Node<'_>,
    fault: Option<Fault>,
    as_json: bool,
    random: &mut Random,
) -> String {
    let whole = if as_json {
        write::json(tree)
    } else {
        write::yaml(tree)
    };
    match fault {
        Some(Fault::Empty) if !as_json => String::new(),
        Some(Fault::Half) if as_json => {
            let to = whole.len() * random.between(40, 60) / 100;
            whole
                .chars()
                .scan(0, |length, c| {
                    *length += c.len_utf8();
                    (*length <= to).then_some(c)
                })
                .collect()
        }
        Some(Fault::Text) if as_json => whole.replacen("\":", "\"", 1),
        Some(Fault::Half) => cut(&whole, random),
        Some(Fault::Text) => broken(&whole, random),
        _ => whole,
    }
}

/// Cut off within the name of a question, somewhere past the middle.
fn cut(whole: &str, random: &mut Random) -> String {
    let lines: Vec<&str> = whole.lines().collect();
    let from = lines.len() / 2;
    let last = from + random.below(lines.len() - from);
    let mut out: String = lines[..last]
        .iter()
        .flat_map(|line| [*line, "\n"])
        .collect();
    let line = lines.get(last).copied().unwrap_or_default();
    let key = line.split(':').next().unwrap_or_default();
    let letters = key.trim_start_matches([' ', '-']).chars().count().max(2);
    let keep = key.chars().count() - letters / 2;
    out.extend(key.chars().take(keep));
    out
}

/// A quote that is never closed, a tab, or a second colon.
fn broken(whole: &str, random: &mut Random) -> String {
    let mut lines: Vec<String> = whole.lines().map(str::to_owned).collect();
    let answers: Vec<usize> = (0..lines.len())
        .filter(|at| {
            lines[*at]
                .split_once(": ")
                .is_some_and(|(_, value)| value.starts_with(char::is_alphanumeric))
        })
        .collect();
    if let Some(at) = random.pick(&answers) {
        let line = &mut lines[*at];
        *line = match random.below(3) {
            0 => line.replacen(": ", ": \"", 1),
            1 => format!("\t{}", line.trim_start()),
            _ => format!("{line}: again"),
        };
    }
    lines
        .iter()
        .flat_map(|line| [line.as_str(), "\n"])
        .collect()
}
