//! One case under two sets of rules: what changes in its outcomes and in the lines of its papers.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use jiff::civil::Date;
use serde::Serialize;

use crate::answers::Answers;
use crate::case_file::CaseFile;
use crate::decision::{Counts, Decision, Pair, Verdict, decide};
use crate::fingerprint;
use crate::inbox;
use crate::intake::{Checked, Intake};
use crate::language::Truth;
use crate::mistake::Problem;
use crate::plan::{Options, Plan, without_names};
use crate::rulebook::Rulebook;
use crate::source::Source;
use crate::tree::{Node, Places};

use super::because::{Because, Made, OUTCOMES};
use super::item::Detail;
use super::lines::{Asked, Key, Line, Section, lines};
use super::measures::stand_in;
use super::rules::Difference;
use super::side::Side;
use super::way::Way;

/// Most mistakes of one case that are told; the rest are counted.
const MOST_MISTAKES: usize = 5;

/// What became of one case.
#[derive(Debug)]
pub enum Seen {
    /// It is another paper of a case: what it is.
    PassedOver(String),
    /// It cannot be read under one of the sets.
    Unreadable(Box<Unreadable>),
    /// Nothing changes.
    Untouched,
    /// Something changes.
    Touched(Box<CaseChange>),
}

/// A case that cannot be read under one of the sets.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Unreadable {
    /// What it is called: its reference, else its place.
    pub case: String,
    /// The file, and the line where it is a part of one.
    pub place: String,
    /// Under which set: `old`, `new` or `both`.
    pub under: &'static str,
    /// What is wrong, the first few.
    pub mistakes: Vec<Fault>,
    /// How many more things are wrong.
    pub more_mistakes: usize,
}

/// One thing that is wrong with a case.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The mistake's kebab-case name.
    pub mistake: &'static str,
    /// Under which set: `old`, `new` or `both`.
    pub under: &'static str,
    /// Its line in the file; 0 for the file as a whole.
    pub line: usize,
    /// Its column in characters, from 1; 0 for the line as a whole.
    pub column: usize,
    /// What is wrong.
    pub says: String,
    /// What to do.
    pub advice: String,
}

/// What changes for one case.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CaseChange {
    /// What it is called: its reference, else its place.
    pub case: String,
    /// The file, and the line where it is a part of one.
    pub place: String,
    /// Which way it goes as a whole.
    pub way: Way,
    /// Outcomes that change.
    pub outcomes: Vec<OutcomeChange>,
    /// Lines of its papers that change: looser first, then tighter, then the rest.
    pub lines: Vec<LineChange>,
}

/// An ordered outcome that changes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct OutcomeChange {
    /// `risk`, `start`, `contact` or `vet`.
    pub outcome: &'static str,
    /// As it was.
    pub before: Pair<&'static str>,
    /// As it is.
    pub after: Pair<&'static str>,
    /// Which way it went, known and until answered together.
    pub way: Way,
    /// Steps on its scale, known and until answered together: tighter ones.
    pub steps_tighter: usize,
    /// The same: looser ones.
    pub steps_looser: usize,
    /// The rules whose word makes the difference.
    pub because: Vec<Because>,
}

/// What became of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LineWhat {
    /// It came onto the papers.
    Added,
    /// It left the papers.
    Removed,
    /// It stands elsewhere.
    Moved,
    /// It stands where it stood, in other words.
    Reworded,
    /// It stands where it stood, and is asked for more or less surely.
    Surer,
}

/// A line of the papers that changes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LineChange {
    /// Its id: a measure's, a rule's, a gate's, a referral's, a question's.
    pub id: String,
    /// What became of it.
    pub what: LineWhat,
    /// Which way it went.
    pub way: Way,
    /// Whose card it stands on: letter and role.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// Where it stood.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Section>,
    /// Where it stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Section>,
    /// How surely it was asked for.
    pub asked_before: Asked,
    /// How surely it is asked for.
    pub asked_after: Asked,
    /// What it says: as it is, or as it was where it is gone.
    pub says: String,
    /// Words that differ, part by part.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub words: Vec<Detail>,
    /// The measure that stands in its place.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub replaced_by: Option<String>,
    /// The rules whose word makes the difference.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub because: Vec<Because>,
}

/// Two sets of rules, made ready for many cases.
#[derive(Debug)]
pub struct Comparison<'a> {
    /// The old set.
    pub old: &'a Side,
    /// The new set.
    pub new: &'a Side,
    /// What differs between them.
    pub difference: &'a Difference,
    /// The day to decide for.
    pub today: Date,
    /// Whether the names of people may be told.
    pub names: bool,
    /// True when every plan has to be made, because something differs that cannot be told from the decision.
    always: bool,
    rules: BTreeSet<&'a str>,
    measures: BTreeSet<&'a str>,
    referrals: BTreeSet<&'a str>,
    questions: BTreeSet<&'a str>,
}

/// A case as one set reads it.
struct Read {
    checked: Checked,
    decision: Option<Decision>,
}

impl<'a> Comparison<'a> {
    /// Makes two sets of rules ready.
    #[must_use]
    pub fn of(
        old: &'a Side,
        new: &'a Side,
        difference: &'a Difference,
        today: Date,
        names: bool,
    ) -> Self {
        let questions = difference.items.iter().filter(|it| it.kind == "question");
        let privacy = questions
            .flat_map(|question| &question.details)
            .any(|detail| detail.part == "private");
        let always = privacy
            || !difference.ids("gate").is_empty()
            || !difference.ids("question-group").is_empty()
            || difference.find("file", "facts.yaml").is_some();
        Self {
            old,
            new,
            difference,
            today,
            names,
            always,
            rules: difference.ids("rule"),
            measures: difference.ids("measure"),
            referrals: difference.ids("referral"),
            questions: difference.ids("question"),
        }
    }

    /// Looks at one case.
    #[must_use]
    pub fn case(&self, item: &inbox::Item) -> Seen {
        let source = match &item.text {
            Ok(source) => source,
            Err(problem) => return self.unread(item, std::slice::from_ref(problem)),
        };
        let rulebook = &self.new.rulebook;
        let other = |keys: &[&str]| {
            let found = rulebook.triage.other_paper(&rulebook.questionnaire, keys);
            found.map(str::to_owned)
        };
        let seen = item.read(source, |root, places| match other(&root.keys()) {
            Some(what) => Seen::PassedOver(what),
            None => self.of_tree(item, source, root, places),
        });
        seen.unwrap_or_else(|problems| {
            let keys = item.keys(source);
            let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
            match other(&keys) {
                Some(what) => Seen::PassedOver(what),
                None => self.unread(item, &problems),
            }
        })
    }

    /// A text that is no form under any set.
    fn unread(&self, item: &inbox::Item, problems: &[Problem]) -> Seen {
        let place = item.place();
        self.unreadable((place.clone(), place), &[("both", problems)], &|text| {
            text.to_owned()
        })
    }

    fn of_tree(
        &self,
        item: &inbox::Item,
        source: &Source,
        root: &Node<'_>,
        places: &dyn Fn() -> Places,
    ) -> Seen {
        let beside = match beside(item) {
            Ok(beside) => beside,
            Err(problems) => return self.unread(item, &problems),
        };
        let read = |side: &Side| {
            let rulebook = &side.rulebook;
            let mut checked = Checked::read(
                &rulebook.questionnaire,
                &rulebook.vocabulary,
                source,
                root,
                places,
                self.today,
            );
            checked.answers.overrulings.clone_from(&beside.overrulings);
            let decision = checked
                .is_sound()
                .then(|| decide(rulebook, &checked.answers, self.today));
            Read { checked, decision }
        };
        let (old, new) = (read(self.old), read(self.new));
        let called = self.called(item, &new.checked.answers);
        match (old.decision, new.decision) {
            (Some(before), Some(after)) => {
                if self.is_untouched(&before, &after) {
                    return Seen::Untouched;
                }
                let intake = |answers: Answers| Intake {
                    answers,
                    places: places(),
                    fingerprint: fingerprint::of(source.text.as_bytes()),
                    case_file_fingerprint: beside.fingerprint.clone(),
                    source: source.clone(),
                };
                let intakes = (intake(old.checked.answers), intake(new.checked.answers));
                match self.changes(called, (&intakes.0, &before), (&intakes.1, &after)) {
                    Some(change) => Seen::Touched(Box::new(change)),
                    None => Seen::Untouched,
                }
            }
            (before, after) => {
                let mut under: Vec<(&'static str, &[Problem])> = Vec::new();
                if before.is_none() {
                    under.push(("old", &old.checked.problems));
                }
                if after.is_none() {
                    under.push(("new", &new.checked.problems));
                }
                self.unreadable(called, &under, &|text| {
                    self.unnamed(&new.checked.answers, text)
                })
            }
        }
    }

    /// A text in which no person of the form is named, unless names may be told.
    fn unnamed(&self, answers: &Answers, text: &str) -> String {
        if self.names {
            text.to_owned()
        } else {
            without_names(&self.new.rulebook, answers, text)
        }
    }

    /// What a case is called: its reference, else its place; and its place.
    fn called(&self, item: &inbox::Item, answers: &Answers) -> (String, String) {
        let place = self.unnamed(answers, &item.place());
        let find = self.new.rulebook.questionnaire.find("case.reference");
        let reference = find
            .and_then(|(group, question)| answers.text(group, None, question))
            .map(|text| self.unnamed(answers, text));
        (reference.unwrap_or_else(|| place.clone()), place)
    }

    fn unreadable(
        &self,
        (case, place): (String, String),
        under: &[(&'static str, &[Problem])],
        shown: &dyn Fn(&str) -> String,
    ) -> Seen {
        let mut faults: Vec<Fault> = Vec::new();
        for (set, problems) in under {
            for problem in problems.iter().filter(|problem| problem.is_error()) {
                let fault = Fault {
                    mistake: problem.mistake.name(),
                    under: set,
                    line: problem.place.line,
                    column: problem.place.column,
                    says: shown(&problem.mistake.to_string()),
                    advice: shown(&problem.mistake.advice()),
                };
                let alike = |other: &&mut Fault| {
                    **other
                        == Fault {
                            under: other.under,
                            ..fault.clone()
                        }
                };
                match faults.iter_mut().find(alike) {
                    // A mistake may be told twice under one set.
                    Some(other) if other.under != *set => other.under = "both",
                    Some(_) => {}
                    None => faults.push(fault),
                }
            }
        }
        let more_mistakes = faults.len().saturating_sub(MOST_MISTAKES);
        faults.truncate(MOST_MISTAKES);
        Seen::Unreadable(Box::new(Unreadable {
            case,
            place,
            under: match under {
                [(one, _)] => one,
                _ => "both",
            },
            mistakes: faults,
            more_mistakes,
        }))
    }

    /// The quick look: outcomes, landings, referrals, gates and open questions are the same, and nothing that differs between the sets
    /// has a part in this case. Only a plan that can come out otherwise is made.
    fn is_untouched(&self, before: &Decision, after: &Decision) -> bool {
        !self.always
            && before.verdict == after.verdict
            && landed(&self.old.rulebook, before) == landed(&self.new.rulebook, after)
            && !self.has_part(self.old, before)
            && !self.has_part(self.new, after)
    }

    fn has_part(&self, side: &Side, decision: &Decision) -> bool {
        let rulebook = &side.rulebook;
        let speaks = decision
            .rules
            .iter()
            .filter(|trace| trace.counts >= Counts::Asks)
            .map(|trace| &rulebook.rules[trace.rule]);
        let of_rules = |rule: &crate::rulebook::Rule| {
            let asks = || rule.then.ask.iter();
            self.rules.contains(rule.id.as_str())
                || asks().any(|ask| self.questions.contains(ask.as_str()))
        };
        let mut landings = decision.landings.iter();
        let mut referrals = decision.referrals.iter();
        let mut gaps = decision.gaps.iter();
        speaks.into_iter().any(of_rules)
            || landings.any(|it| self.measures.contains(it.measure.as_str()))
            || referrals.any(|it| self.referrals.contains(it.referral.as_str()))
            || gaps.any(|gap| self.questions.contains(gap.question.as_str()))
    }

    fn changes(
        &self,
        (case, place): (String, String),
        before: (&Intake, &Decision),
        after: (&Intake, &Decision),
    ) -> Option<CaseChange> {
        let made = |name, side, decision| Made {
            name,
            side,
            decision,
        };
        let old = made("old", self.old, before.1);
        let new = made("new", self.new, after.1);
        let outcomes = self.outcomes(old, new);
        let options = Options {
            without_work: true,
            ..Options::default()
        };
        let plan = |made: Made<'_>, intake: &Intake| {
            let rulebook = &made.side.rulebook;
            let plan = Plan::of(rulebook, intake, made.decision, options);
            lines(rulebook, made.decision, &plan)
        };
        let lines = self.lines((old, &plan(old, before.0)), (new, &plan(new, after.0)));
        if outcomes.is_empty() && lines.is_empty() {
            return None;
        }
        let ways = outcomes
            .iter()
            .map(|it| it.way)
            .chain(lines.iter().map(|it| it.way));
        Some(CaseChange {
            case,
            place,
            way: Way::of(ways),
            outcomes,
            lines,
        })
    }

    fn outcomes(&self, old: Made<'_>, new: Made<'_>) -> Vec<OutcomeChange> {
        let (before, after) = (told(&old.decision.verdict), told(&new.decision.verdict));
        let mut changes = Vec::new();
        for (at, outcome) in OUTCOMES.iter().enumerate() {
            let mut change = OutcomeChange {
                outcome,
                before: before[at].0,
                after: after[at].0,
                way: Way::Neither,
                steps_tighter: 0,
                steps_looser: 0,
                because: Vec::new(),
            };
            let steps = (before[at].1, after[at].1);
            let readings = [
                (true, steps.0.known, steps.1.known),
                (false, steps.0.until_answered, steps.1.until_answered),
            ];
            for (known, before, after) in readings {
                change.way = change.way.and(Way::between(&before, &after));
                change.steps_tighter += after.saturating_sub(before);
                change.steps_looser += before.saturating_sub(after);
                let (tight, above) = if after > before {
                    (new, before)
                } else {
                    (old, after)
                };
                if before != after {
                    let found = tight.say_more(self.difference, at, known, above);
                    for because in found {
                        if !change.because.contains(&because) {
                            change.because.push(because);
                        }
                    }
                }
            }
            if change.way != Way::Neither {
                changes.push(change);
            }
        }
        changes
    }

    fn lines(
        &self,
        (old, before): (Made<'_>, &BTreeMap<Key, Line>),
        (new, after): (Made<'_>, &BTreeMap<Key, Line>),
    ) -> Vec<LineChange> {
        let keys: BTreeSet<&Key> = before.keys().chain(after.keys()).collect();
        let mut changes: Vec<LineChange> = keys
            .into_iter()
            .filter_map(|key| self.line(key, (old, before.get(key)), (new, after.get(key))))
            .collect();
        same_reasons(&mut changes);
        let rank = |line: &LineChange| match line.way {
            Way::Loosened => 0,
            Way::Either => 1,
            Way::Tightened => 2,
            Way::Neither => 3,
        };
        changes.sort_by(|a, b| {
            let of = |line: &LineChange| (rank(line), line.to.or(line.from), line.what);
            (of(a), &a.id, &a.person).cmp(&(of(b), &b.id, &b.person))
        });
        changes
    }

    fn line(
        &self,
        key: &Key,
        (old, before): (Made<'_>, Option<&Line>),
        (new, after): (Made<'_>, Option<&Line>),
    ) -> Option<LineChange> {
        let shown = after.or(before)?;
        let on_paper = |line: Option<&Line>| {
            line.map(|it| it.section)
                .filter(|it| *it != Section::Behind)
        };
        let asked = |line: Option<&Line>| line.map_or(Asked::No, |it| it.asked);
        let (from, to) = (on_paper(before), on_paper(after));
        let (asked_before, asked_after) = (asked(before), asked(after));
        let words = match (before, after) {
            (Some(before), Some(after)) => reworded(before, after),
            _ => Vec::new(),
        };
        // What stands in the place of a measure is a matter of the side that does not have it.
        let in_place = |made: Made<'_>, line: Option<&Line>| -> Option<String> {
            let Key::Measure(id, person) = key else {
                return None;
            };
            if let Some(line) = line {
                return line.aside.clone();
            }
            let landings = made.decision.landings.iter();
            let theirs = landings
                .filter(|it| it.person.is_none() || it.person == *person)
                .map(|it| it.measure.as_str());
            stand_in(&made.side.rulebook, theirs, id).map(str::to_owned)
        };
        let replaced_by = match (from, to) {
            (Some(_), None) => in_place(new, after),
            (None, Some(_)) => in_place(old, before),
            _ if asked_after < asked_before => in_place(new, after),
            _ => in_place(old, before),
        };
        let protects = before.is_some_and(|it| it.protects) || after.is_some_and(|it| it.protects);
        let gone_or_come = before.is_none() || after.is_none();
        let way = if protects && !(gone_or_come && replaced_by.is_some()) {
            Way::between(&asked_before, &asked_after)
        } else {
            Way::Neither
        };
        let what = match (from, to) {
            (None, Some(_)) => LineWhat::Added,
            (Some(_), None) => LineWhat::Removed,
            // Not on paper in either: told only where it is looser or tighter.
            (None, None) if way == Way::Neither => return None,
            (None, None) if asked_after > asked_before => LineWhat::Added,
            (None, None) => LineWhat::Removed,
            (Some(from), Some(to)) if from != to => LineWhat::Moved,
            (Some(_), Some(_)) if !words.is_empty() => LineWhat::Reworded,
            (Some(_), Some(_)) if way != Way::Neither => LineWhat::Surer,
            (Some(_), Some(_)) => return None,
        };
        Some(LineChange {
            id: key.id().to_owned(),
            what,
            way,
            person: shown.person.clone(),
            from: before.map(|it| it.section),
            to: after.map(|it| it.section),
            asked_before,
            asked_after,
            says: says(shown),
            words,
            replaced_by: replaced_by.filter(|_| from != to || gone_or_come),
            because: self.asked_by((old, before), (new, after)),
        })
    }

    /// The rules that ask for a line in the set in which it is asked for more surely, and not in the other.
    fn asked_by(
        &self,
        (old, before): (Made<'_>, Option<&Line>),
        (new, after): (Made<'_>, Option<&Line>),
    ) -> Vec<Because> {
        let mut found = Vec::new();
        let none: &[String] = &[];
        let rules = |line: Option<&'_ Line>| line.map_or(none.to_vec(), |line| line.rules.clone());
        let (before, after) = (rules(before), rules(after));
        for id in after.iter().filter(|id| !before.contains(id)) {
            found.push((new, id));
        }
        for id in before.iter().filter(|id| !after.contains(id)) {
            found.push((old, id));
        }
        found
            .into_iter()
            .filter(|(made, id)| made.side.rulebook.rule(id).is_some())
            .map(|(made, id)| made.of_rule(self.difference, id))
            .collect()
    }
}

/// What a consultant keeps beside a form that is a file of its own. What was overruled there counts under both sets. To which versions the
/// case is held does not: here one looks at what another version would change.
fn beside(item: &inbox::Item) -> Result<CaseFile, Vec<Problem>> {
    let form = Path::new(&*item.label);
    if item.line == 0 && form.is_file() {
        CaseFile::of_form(form)
    } else {
        Ok(CaseFile::default())
    }
}

/// A reason that another rule gives in the same words is the same line on paper.
fn same_reasons(changes: &mut Vec<LineChange>) {
    let reasons = |what: LineWhat| -> BTreeSet<String> {
        let of = |line: &&LineChange| {
            line.what == what && line.from.or(line.to) == Some(Section::Reasons)
        };
        let found = changes.iter().filter(of);
        found.map(|line| line.says.clone()).collect()
    };
    let (gone, come) = (reasons(LineWhat::Removed), reasons(LineWhat::Added));
    changes.retain(|line| {
        let reason = line.from.or(line.to) == Some(Section::Reasons);
        let swapped = matches!(line.what, LineWhat::Removed | LineWhat::Added)
            && gone.contains(&line.says)
            && come.contains(&line.says);
        !(reason && swapped)
    });
}

/// What a line says, in one sentence.
pub(super) fn says(line: &Line) -> String {
    let part = |name: &str| {
        let mut words = line.words.iter();
        words.find(|(part, text)| *part == name && !text.is_empty())
    };
    ["do", "never", "tell", "prove", "says", "title"]
        .into_iter()
        .find_map(part)
        .map_or_else(String::new, |(_, text)| text.clone())
}

fn reworded(before: &Line, after: &Line) -> Vec<Detail> {
    let mut details = super::item::Details::default();
    let parts: BTreeSet<&str> = before
        .words
        .iter()
        .chain(&after.words)
        .map(|(part, _)| *part)
        .collect();
    let text = |line: &Line, part: &str| -> String {
        let mut words = line.words.iter();
        words
            .find(|(name, _)| *name == part)
            .map_or_else(String::new, |(_, text)| text.clone())
    };
    for part in parts {
        details.words(part, &text(before, part), &text(after, part));
    }
    details.0
}

pub(super) type Told = (Pair<&'static str>, Pair<usize>);

/// The outcomes in the order of [`OUTCOMES`], as words and as steps.
pub(super) fn told(verdict: &Verdict) -> [Told; 4] {
    macro_rules! both {
        ($pair:expr) => {
            (
                Pair {
                    known: $pair.known.word(),
                    until_answered: $pair.until_answered.word(),
                },
                Pair {
                    known: $pair.known.steps(),
                    until_answered: $pair.until_answered.steps(),
                },
            )
        };
    }
    [
        both!(verdict.risk),
        both!(verdict.start),
        both!(verdict.contact),
        both!(verdict.vet),
    ]
}

/// All of a decision that a plan is made from, without places in a rulebook.
type Landed<'a> = (
    Vec<(
        &'a str,
        Option<usize>,
        bool,
        [Option<&'a str>; 3],
        Vec<&'a str>,
    )>,
    Vec<(&'a str, bool, Vec<&'a str>)>,
    Vec<(&'a str, Truth)>,
    Vec<(&'a str, &'a str, bool, bool)>,
);

fn landed<'a>(rulebook: &'a Rulebook, decision: &'a Decision) -> Landed<'a> {
    let ids = |rules: &[usize]| -> Vec<&'a str> {
        let ids = rules.iter().map(|at| rulebook.rules[*at].id.as_str());
        ids.collect()
    };
    let landings = decision.landings.iter().map(|it| {
        let aside = [&it.ruled_out_by, &it.covered_by, &it.waits_for].map(Option::as_deref);
        (
            it.measure.as_str(),
            it.person,
            it.known,
            aside,
            ids(&it.rules),
        )
    });
    let referrals = decision.referrals.iter();
    let gates = decision.gates.iter();
    let gaps = decision.gaps.iter();
    (
        landings.collect(),
        referrals
            .map(|it| (it.referral.as_str(), it.known, ids(&it.rules)))
            .collect(),
        gates
            .map(|it| (rulebook.gates[it.gate].id.as_str(), it.truth))
            .collect(),
        gaps.map(|it| (it.question.as_str(), it.at.as_str(), it.asked, it.private))
            .collect(),
    )
}
