//! What one rule or gate would do: laid into a rulebook, and held over cases decided without it and with it.

mod change;

use std::path::Path;

use jiff::civil::Date;

use crate::decision::{Decision, decide};
use crate::intake::Intake;
use crate::language::Truth;
use crate::library::Library;
use crate::rulebook::{Rulebook, keys};
use crate::source::Source;
use crate::words::is_kebab;

pub use change::{Landed, Moved, Referred};

/// The topic of a rule whose file lies in no folder of a topic.
const TOPIC: &str = "tried";

/// Whether a rule or gate speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A rule.
    Rule,
    /// A gate.
    Gate,
}

/// How a rule file came into a library.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laid {
    /// Nothing of its name was there.
    Added,
    /// It took the place of another of its name.
    Replaced,
    /// It stood there already, word for word.
    There,
}

/// The name of a file without its ending.
fn stem(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

/// The place of the rule or gate of a name among the files.
fn place_of(library: &Library, id: &str) -> Option<usize> {
    library.files.iter().position(|(path, _)| {
        let topic = path.split_once('/').map(|(topic, _)| topic);
        topic.is_some_and(|topic| !keys::NOT_RULES.contains(&topic)) && stem(path) == id
    })
}

/// Lays a rule file into a library, in place of the rule or gate of its name where there is one. Gives the name, and how it came in.
#[must_use]
pub fn lay_in(library: &mut Library, file: &Path, source: Source) -> (String, Laid) {
    let path = file.to_string_lossy().replace('\\', "/");
    let id = stem(&path).to_owned();
    if let Some((_, text)) = place_of(library, &id).and_then(|at| library.files.get_mut(at)) {
        let laid = if text.text == source.text {
            Laid::There
        } else {
            Laid::Replaced
        };
        *text = source;
        return (id, laid);
    }
    let folder = file.parent().and_then(Path::file_name);
    let topic = folder
        .map(|name| name.to_string_lossy().into_owned())
        .filter(|name| is_kebab(name) && !keys::NOT_RULES.contains(&name.as_str()))
        .unwrap_or_else(|| TOPIC.to_owned());
    library.files.push((format!("{topic}/{id}.yaml"), source));
    library.files.sort_by(|a, b| a.0.cmp(&b.0));
    (id, Laid::Added)
}

/// Takes the rule or gate of a name out of a library.
pub fn take_out(library: &mut Library, id: &str) {
    if let Some(at) = place_of(library, id) {
        library.files.remove(at);
    }
}

/// A rulebook with a rule or gate, and what it was without.
#[derive(Debug, Clone, Copy)]
pub struct Trial<'r> {
    /// The rulebook without it.
    pub before: &'r Rulebook,
    /// The rulebook with it.
    pub after: &'r Rulebook,
    /// Its id.
    pub id: &'r str,
    /// What it is.
    pub what: What,
}

/// What it does in one case.
#[derive(Debug)]
pub struct Case {
    /// The decision with it.
    pub after: Decision,
    /// Whether it holds.
    pub truth: Truth,
    /// For a rule about each person: whether it holds of each.
    pub people: Vec<(usize, Truth)>,
    /// The questions it waits for, and groups of which nothing was answered.
    pub waits_for: Vec<String>,
    /// Ordered outcomes that it changes.
    pub moved: Vec<Moved>,
    /// Measures that land otherwise.
    pub landed: Vec<Landed>,
    /// Referrals that land otherwise.
    pub referred: Vec<Referred>,
}

impl Case {
    /// True when the household would read anything else.
    #[must_use]
    pub fn changes(&self) -> bool {
        !(self.moved.is_empty() && self.landed.is_empty() && self.referred.is_empty())
    }
}

impl<'r> Trial<'r> {
    /// The trial of a rule or gate that the second rulebook has; `None` when it has neither.
    #[must_use]
    pub fn of(before: &'r Rulebook, after: &'r Rulebook, id: &'r str) -> Option<Self> {
        let what = match (after.rule(id), after.gate(id)) {
            (Some(_), _) => What::Rule,
            (None, Some(_)) => What::Gate,
            (None, None) => return None,
        };
        Some(Self {
            before,
            after,
            id,
            what,
        })
    }

    /// What it does in one case.
    #[must_use]
    pub fn over(&self, intake: &Intake, today: Date) -> Case {
        let before = decide(self.before, &intake.answers, today);
        let after = decide(self.after, &intake.answers, today);
        let (truth, people, waits_for) = match self.what {
            What::Rule => self.rule(intake, &after),
            What::Gate => self.gate(intake, &after),
        };
        Case {
            moved: change::moved(&before, &after),
            landed: change::landed(&before, &after),
            referred: change::referred(&before, &after),
            after,
            truth,
            people,
            waits_for,
        }
    }

    fn rule(&self, intake: &Intake, after: &Decision) -> (Truth, Vec<(usize, Truth)>, Vec<String>) {
        let trace = after
            .rules
            .iter()
            .find(|trace| self.after.rules[trace.rule].id == self.id);
        let Some(trace) = trace else {
            return (Truth::False, Vec::new(), Vec::new());
        };
        let people = trace
            .bindings
            .iter()
            .filter_map(|binding| Some((binding.person?, binding.reason.truth)));
        let blank = trace
            .bindings
            .iter()
            .map(|binding| &binding.reason)
            .filter(|reason| reason.truth == Truth::Blank);
        let mut waits = waits_for(intake, blank);
        if trace.truth == Truth::Blank && trace.bindings.is_empty() {
            waits.push("people".to_owned());
        }
        (trace.truth, people.collect(), waits)
    }

    fn gate(&self, intake: &Intake, after: &Decision) -> (Truth, Vec<(usize, Truth)>, Vec<String>) {
        let trace = after
            .gates
            .iter()
            .find(|trace| self.after.gates[trace.gate].id == self.id);
        let Some(trace) = trace else {
            return (Truth::False, Vec::new(), Vec::new());
        };
        let blank = trace.needs.iter().filter(|need| need.truth == Truth::Blank);
        (trace.truth, Vec::new(), waits_for(intake, blank))
    }
}

/// The questions that were not answered, or answered with not knowing, of those that leave some reasons open.
fn waits_for<'a>(
    intake: &Intake,
    blank: impl Iterator<Item = &'a crate::decision::Reason>,
) -> Vec<String> {
    let mut waits: Vec<String> = Vec::new();
    for reason in blank {
        reason.visit(&mut |spoken, truth| {
            if truth != Truth::Blank {
                return;
            }
            let open = spoken
                .paths
                .iter()
                .filter(|path| spoken.asked || !intake.places.keys.contains_key(*path));
            waits.extend(open.map(ToString::to_string));
        });
        reason.visit_unanswered(&mut |group| waits.push(group.to_owned()));
    }
    let mut seen = std::collections::BTreeSet::new();
    waits.retain(|question| seen.insert(question.clone()));
    waits
}
