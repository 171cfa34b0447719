//! A review in words: the card for the household and the consultant's page.

use serde::Serialize;

use crate::dates::days_between;
use crate::facts::{Facts, show};
use crate::fingerprint::short;
use crate::language::condition::{Scope, value};
use crate::language::{Condition, FactRef, Truth};
use crate::log::Log;
use crate::review::{self, Measure, Review, Says, Warning};
use crate::rulebook::{LogBook, Rulebook, Work as Allowed};
use crate::training::{Condition as Sought, shown_cm};

use super::Plan;
use super::chart::Chart;
use super::since::Logged;
use super::steps::{list_id, whose};
use super::training::{Range, WorkLine};

/// Referrals that stand on the card.
const AT_ONCE: &[&str] = &[
    "emergency-service",
    "emergency-vet",
    "urgent-medical-advice",
];

/// What a log tells of itself.
#[derive(Debug, Clone, Serialize)]
pub struct LogWords {
    /// Sessions.
    pub sessions: usize,
    /// Days.
    pub days: usize,
    /// The first day with an entry.
    pub from: Option<String>,
    /// The last.
    pub to: Option<String>,
    /// The start of its fingerprint.
    pub fingerprint: String,
}

/// A rule that spoke, in words.
#[derive(Debug, Clone, Serialize)]
pub struct RuleWords {
    /// Its id.
    pub id: String,
    /// What it is about.
    pub title: String,
    /// The trade's reason.
    pub why: String,
    /// For the household.
    pub tell: String,
    /// What it changes.
    pub effects: Vec<String>,
    /// Whether it is known to hold, or counts until something is told.
    pub known: bool,
    /// Whether a graver rule says enough of the same thing.
    pub covered: bool,
    /// Whether it makes the next session easier, shorter or later, or has the consultant told.
    pub tightens: bool,
    /// The facts it rests on, with their values.
    pub because: Vec<String>,
}

/// Something to look at.
#[derive(Debug, Clone, Serialize)]
pub struct CheckWords {
    /// Its id.
    pub id: String,
    /// What it is.
    pub title: String,
    /// For the consultant.
    pub ask: String,
    /// For the household.
    pub tell: String,
}

/// A share with its exact interval.
#[derive(Debug, Clone, Serialize)]
pub struct Share {
    /// Its id.
    pub id: &'static str,
    /// What it is.
    pub label: String,
    /// So many.
    pub told: u32,
    /// Of so many.
    pub of: u32,
    /// Least it may be, 0 to 1.
    pub low: f64,
    /// Most it may be, 0 to 1.
    pub high: f64,
}

/// A measure in words.
#[derive(Debug, Clone, Serialize)]
pub struct MeasureWords {
    /// Its id.
    pub id: &'static str,
    /// What it is.
    pub title: String,
    /// Its values, oldest first.
    pub values: Vec<String>,
    /// What they say.
    pub says: String,
}

/// A list with what is next.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct NextWords {
    /// Its id, fit for a file name.
    pub id: String,
    /// Whose it is.
    pub person: String,
    /// Whether the person the bird seeks is in the room.
    pub favoured_present: bool,
    /// Whether there is such a person.
    pub favoured_known: bool,
    /// How work is set up.
    pub stage: &'static str,
    /// Its mark.
    pub mark: String,
    /// How many steps it has.
    pub steps_count: usize,
    /// How many sessions.
    pub sessions: usize,
    /// The day of the last one.
    pub last_day: Option<String>,
    /// Where that one started.
    pub last_start: Option<usize>,
    /// Its hardest calm step.
    pub best: Option<usize>,
    /// The floor.
    pub floor: Option<usize>,
    /// Days since it rose.
    pub floor_days: Option<i32>,
    /// What may be done.
    pub work: &'static str,
    /// Where the next session starts.
    pub begin: usize,
    /// What that step is.
    pub begin_tell: String,
    /// How far off that is, cm.
    pub begin_cm: Option<u32>,
    /// How far it may go.
    pub cap: usize,
    /// What that step is.
    pub cap_tell: String,
    /// How far off that is, cm.
    pub cap_cm: Option<u32>,
    /// Whether a new list of steps comes first.
    pub new_list: bool,
    /// Length, minutes.
    pub minutes: Range,
    /// Whether it is a third shorter than usual.
    pub shorter: bool,
    /// The first day on which it may be; `None` while someone has to agree first.
    pub not_before: Option<String>,
    /// When it may be.
    pub after: &'static str,
    /// When the consultant is told.
    pub call: &'static str,
    /// The rules that spoke.
    pub rules: Vec<RuleWords>,
    /// What is looked at, in order.
    pub checks: Vec<CheckWords>,
    /// What is looked at when there is time for few: what the tightest rule asks for first.
    pub checks_first: Vec<CheckWords>,
    /// What is taught before the first step.
    pub prerequisites: Vec<String>,
    /// Good sessions since the last red sign.
    pub record_sessions: u32,
    /// Days over which they lie.
    pub record_days: u32,
    /// The chance of calm.
    pub measured: Vec<Share>,
    /// Work left at the ends and the middle of that chance.
    pub expect: Vec<WorkLine>,
    /// Why it can not be done in sessions this short: the fewest tries that would do.
    pub expect_cannot: Option<u32>,
    /// How it has gone.
    pub measures: Vec<MeasureWords>,
    /// What has to be true before the next stage.
    pub ready_next: Vec<String>,
    /// Its chart.
    pub chart: Chart,
}

/// The review on paper.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Progress {
    /// The day.
    pub today: String,
    /// The bird's name.
    pub bird: Option<String>,
    /// The case reference.
    pub reference: Option<String>,
    /// The log.
    pub log: LogWords,
    /// Whether all sessions are held.
    pub held: bool,
    /// Why.
    pub held_why: Vec<String>,
    /// What the first line of the plan says, with the log.
    pub headline: super::Headline,
    /// Whom to turn to at once.
    pub referrals: Vec<super::Referral>,
    /// What a person should know of.
    pub warnings: Vec<String>,
    /// The lists.
    pub lists: Vec<NextWords>,
    /// How it has gone in the home.
    pub measures: Vec<MeasureWords>,
    /// Rulebook and form.
    pub record: super::Record,
}

impl Progress {
    /// Puts a review into words.
    #[must_use]
    pub fn of(rulebook: &Rulebook, book: &LogBook, plan: &Plan, logged: Logged<'_>) -> Self {
        let teller = Teller {
            rulebook,
            book,
            plan,
            review: logged.review,
            log: logged.log,
        };
        teller.progress()
    }

    /// Whether someone has to act at once.
    #[must_use]
    pub fn is_pressing(&self) -> bool {
        matches!(
            self.headline,
            super::Headline::PeopleFirst | super::Headline::VetNow | super::Headline::Frozen
        ) || self.lists.iter().any(|list| list.call == "at once")
    }
}

/// What a review is told from.
pub(super) struct Teller<'a> {
    pub(super) rulebook: &'a Rulebook,
    pub(super) book: &'a LogBook,
    pub(super) plan: &'a Plan,
    pub(super) review: &'a Review,
    pub(super) log: &'a Log,
}

impl Teller<'_> {
    pub(super) fn say(&self, part: &str, key: &str, numbers: &[(&str, String)]) -> String {
        self.rulebook.sayings.say(part, key, numbers)
    }

    fn progress(&self) -> Progress {
        let review = self.review;
        let span = self.log.span();
        let missing = days_missing(self.book, review);
        let mut warnings: Vec<String> = review
            .warnings
            .iter()
            .map(|warning| {
                let (key, count) = match warning {
                    Warning::FreerThanAllowed { sessions } => ("freer-than-allowed", sessions),
                    Warning::WithoutList { sessions } => ("without-list", sessions),
                    Warning::OtherSheet { sessions } => ("other-sheet", sessions),
                    Warning::EarlierStage { sessions } => ("earlier-stage", sessions),
                    Warning::OlderSheet { sessions } => ("older-sheet", sessions),
                    Warning::NoStepBetween { changes } => ("no-step-between", changes),
                };
                self.say("log-warnings", key, &[("count", count.to_string())])
            })
            .collect();
        if let Some(missing) = missing.filter(|missing| *missing > 0.0) {
            warnings.push(self.say(
                "log-warnings",
                "days-missing",
                &[("count", format!("{missing}"))],
            ));
        }
        Progress {
            today: review.today.to_string(),
            bird: self.plan.bird.clone(),
            reference: self.plan.reference.clone(),
            log: LogWords {
                sessions: self.log.sessions.len(),
                days: self.log.days.len(),
                from: span.map(|it| it.0.to_string()),
                to: span.map(|it| it.1.to_string()),
                fingerprint: short(&self.log.fingerprint),
            },
            held: review.is_held(),
            held_why: self
                .plan
                .reasons
                .iter()
                .filter(|_| review.is_held())
                .map(|why| why.tell.clone())
                .filter(|tell| !tell.is_empty())
                .collect(),
            headline: self.plan.headline,
            referrals: self
                .plan
                .referrals
                .iter()
                .filter(|it| !it.assumed && AT_ONCE.contains(&it.id.as_str()))
                .cloned()
                .collect(),
            warnings,
            lists: review.lists.iter().map(|it| self.list(it)).collect(),
            measures: review.measures.iter().map(|it| self.measure(it)).collect(),
            record: self.plan.record.clone(),
        }
    }

    fn list(&self, it: &review::Reviewed) -> NextWords {
        let next = &it.next;
        let step = |number: usize| {
            let step = it.ladder.steps.get(number.wrapping_sub(1));
            let variable = step
                .and_then(|step| step.changed)
                .unwrap_or(crate::ladder::Variable::View);
            let cm = step
                .and_then(|step| step.conditions.distance_cm)
                .map(shown_cm);
            let tell = step.map_or_else(String::new, |step| {
                let key = step.conditions.key(variable);
                let cm = cm.unwrap_or(0).to_string();
                self.say(variable.key(), key, &[("distance_cm", cm)])
            });
            (tell, cm)
        };
        let (begin_tell, begin_cm) = step(next.begin);
        let (cap_tell, cap_cm) = step(next.cap);
        let minutes = self.review.dose.minutes;
        let shorter = |minutes: u32| {
            if next.shorter {
                (minutes * 2 / 3).max(1)
            } else {
                minutes
            }
        };
        let last = it.points.last();
        let person = whose(self.rulebook, &self.plan.cards, it.list.person);
        NextWords {
            id: list_id(&it.list),
            favoured_present: it.list.condition.favoured_present(),
            favoured_known: it.list.condition != Sought::NobodySought,
            stage: it.list.stage.key(),
            mark: it.mark.clone(),
            steps_count: it.ladder.steps.len(),
            sessions: it.sessions,
            last_day: it.last_day.map(|day| day.to_string()),
            last_start: last.map(|last| last.start),
            best: last.map(|last| last.best),
            floor: it.floor.map(|floor| floor.0),
            floor_days: it
                .floor
                .map(|floor| days_between(floor.1, self.review.today)),
            work: next.work.word(),
            begin: next.begin,
            begin_tell,
            begin_cm,
            cap: next.cap,
            cap_tell,
            cap_cm,
            new_list: next.new_list,
            minutes: Range {
                low: shorter(minutes.0),
                high: shorter(minutes.1),
            },
            shorter: next.shorter,
            not_before: next.not_before.map(|day| day.to_string()),
            after: next.after.word(),
            call: next.tell.word(),
            rules: next
                .spoke
                .iter()
                .filter_map(|spoke| self.rule(it, spoke))
                .collect(),
            checks: self.checks(&next.checks),
            checks_first: self.checks(&next.checks_first),
            prerequisites: it
                .ladder
                .prerequisites
                .iter()
                .map(|missing| self.say("prerequisites", missing.skill.key(), &[]))
                .collect(),
            record_sessions: self.count(&it.facts, "kept.record-sessions"),
            record_days: self.count(&it.facts, "kept.record-days"),
            measured: it
                .chance
                .iter()
                .map(|chance| Share {
                    id: "calm",
                    label: self.say("calm-tries", "newest", &[]),
                    told: it.calm.0,
                    of: it.calm.1,
                    low: chance.low,
                    high: chance.high,
                })
                .collect(),
            // How much is left of a list that nobody works is no help.
            expect: it
                .left
                .iter()
                .flatten()
                .filter(|_| next.work == Allowed::Steps)
                .map(WorkLine::from)
                .collect(),
            expect_cannot: it.left.as_ref().err().copied(),
            measures: it.measures.iter().map(|it| self.measure(it)).collect(),
            ready_next: self
                .plan
                .proofs
                .iter()
                .map(|proof| proof.prove.clone())
                .collect(),
            chart: self.chart(it, &person),
            person,
        }
    }

    /// A count among the facts; zero where it is not known.
    fn count(&self, facts: &Facts, name: &str) -> u32 {
        number(self.book, facts, name).map_or(0, |count| count.clamp(0.0, 1e6) as u32)
    }

    fn checks(&self, places: &[usize]) -> Vec<CheckWords> {
        places
            .iter()
            .filter_map(|at| self.book.checks.get(*at))
            .map(|check| CheckWords {
                id: check.id.clone(),
                title: check.title.clone(),
                ask: check.ask.clone(),
                tell: check.tell.clone(),
            })
            .collect()
    }

    fn rule(&self, it: &review::Reviewed, spoke: &review::Spoke) -> Option<RuleWords> {
        let rule = self.book.rules.get(spoke.rule)?;
        let then = &rule.then;
        let mut effects = Vec::new();
        if let (Some(begin), Some(step)) = (then.begin, spoke.begin) {
            effects.push(format!("begin: {begin}, step {step}"));
        }
        if let (Some(cap), Some(step)) = (then.cap, spoke.cap) {
            effects.push(format!("cap: {cap}, step {step}"));
        }
        if then.shorter {
            effects.push("length: a third shorter".to_owned());
        }
        effects.extend(then.after.map(|after| format!("when: {after}")));
        effects.extend(then.work.map(|work| format!("work: {work}")));
        effects.extend(then.tell.map(|tell| format!("call: {tell}")));
        if !then.check.is_empty() {
            effects.push(format!("check: {}", then.check.join(", ")));
        }
        let mut because = Vec::new();
        self.because(&rule.when, &it.facts, &mut because);
        Some(RuleWords {
            id: rule.id.clone(),
            title: rule.title.clone(),
            why: rule.why.clone(),
            tell: rule.tell.clone(),
            effects,
            known: spoke.known,
            covered: spoke.covered,
            tightens: then.tightens(),
            because,
        })
    }

    /// The facts that make a condition speak, with their values. Branches that do not speak are left out.
    fn because(&self, condition: &Condition, facts: &Facts, out: &mut Vec<String>) {
        match condition {
            Condition::All(parts) => {
                for part in parts {
                    self.because(part, facts, out);
                }
            }
            Condition::Any(parts) => {
                for part in parts {
                    if part.truth(facts, &mut Scope::default()) != Truth::False {
                        self.because(part, facts, out);
                    }
                }
            }
            Condition::Not(part) => {
                let mut inner = Vec::new();
                part.visit(&mut |fact, _, _| inner.push(fact));
                for fact in inner {
                    self.told(fact, facts, out);
                }
            }
            Condition::Is { fact, .. } => self.told(*fact, facts, out),
            Condition::Count { each, .. } => self.because(each, facts, out),
        }
    }

    fn told(&self, fact: FactRef, facts: &Facts, out: &mut Vec<String>) {
        let vocabulary = &self.book.vocabulary;
        let shown = show(vocabulary.fact(fact), value(facts, &Scope::default(), fact));
        let line = format!("{} is {shown}", vocabulary.name(fact));
        if !out.contains(&line) {
            out.push(line);
        }
    }

    fn measure(&self, measure: &Measure) -> MeasureWords {
        let key = match measure.says {
            Says::TooFew => "too-few",
            Says::NoSignal => "no-signal",
            Says::StandsStill => "stands-still",
            Says::Signal { better: true } => "better",
            Says::Signal { better: false } => "worse",
        };
        let mut says = self.say("says", key, &[]);
        if let Some(pairs) = measure.pairs {
            says.push(' ');
            says.push_str(&self.say(
                "says",
                "pairs",
                &[
                    ("improved", format!("{:.0}", pairs.improved * 100.0)),
                    ("before", pairs.before.to_string()),
                    ("after", pairs.after.to_string()),
                ],
            ));
        }
        MeasureWords {
            id: measure.id,
            title: self.say("measures", measure.id, &[]),
            values: measure
                .values
                .iter()
                .map(|value| {
                    if measure.id == "calm-distance" {
                        shown_cm(*value).to_string()
                    } else {
                        format!("{value}")
                    }
                })
                .collect(),
            says,
        }
    }
}

/// A number among facts, where it is known.
fn number(book: &LogBook, facts: &Facts, name: &str) -> Option<f64> {
    let at = book.vocabulary.find(name)?;
    match value(facts, &Scope::default(), at) {
        crate::facts::Value::Number { low, high } if low == high => Some(*low),
        _ => None,
    }
}

/// Days without an entry, the same for all lists.
fn days_missing(book: &LogBook, review: &Review) -> Option<f64> {
    let list = review.lists.first()?;
    number(book, &list.facts, "kept.days-missing")
}
