//! The plan: what goes on paper. Chosen from the decision; no word of it is written here.

mod actions;
mod cards;
mod chart;
mod departures;
mod figures;
mod known;
mod progress;
mod reading;
mod sign;
mod signed;
mod since;
mod sketch;
mod steps;
mod told;
mod training;
mod week;

use std::collections::BTreeMap;

use jiff::ToSpan;
use serde::Serialize;

pub use actions::{Action, Never};
pub use cards::Card;
pub use chart::Chart;
pub use departures::{Departures, OfPractice, PastReview};
pub use figures::{Figure, Input, figures, of_kind};
pub use known::{Assumption, Known, without_names};
pub use progress::Progress;
pub use reading::{Contradiction, ProcedureLine, ReadingPart, Statement};
pub use sign::{READ_FROM_CM, Sign};
pub use signed::{Lapsed, Signature, WhyLapsed};
pub use since::Logged;
pub use sketch::Sketch;
pub use steps::{ListWords, StepWords};
pub use told::{Entry, GroupHead, Groups, Told};
pub use training::Training;

use crate::answers::Given;
use crate::decision::{Came, Counts, Decision, Verdict};
use crate::fingerprint::short;
use crate::intake::Intake;
use crate::language::Truth;
use crate::rulebook::{Call, Caution, Contact as Reply, Rulebook, Start, Vet};

/// Most live actions for the household at one time (practice handbook; owners given more than five instructions improved less
/// often, J Am Vet Med Assoc 2000;217:342, in dogs).
pub const MAX_ACTIONS: usize = 5;
/// Most things to do on one person's card (common practice, no source).
pub const MAX_PER_PERSON: usize = 3;
/// Most lines of what not to do (common practice, no source).
pub const MAX_NEVER: usize = 7;
/// Most assumptions spelled out on paper; the rest are counted.
const MAX_ASSUMPTIONS: usize = 8;
/// Most reasons spelled out on paper.
const MAX_REASONS: usize = 6;

/// What the first line says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Headline {
    /// Someone is hurt: people first.
    PeopleFirst,
    /// The vet, now.
    VetNow,
    /// The vet before any training.
    VetFirst,
    /// Management only.
    ManagementOnly,
    /// Not now: after a bite in the log all practice waits for a written restart.
    Frozen,
    /// Not yet, because answers are missing.
    NotYet,
    /// Work may start with bars in between.
    ThroughBarrier,
    /// Work may start with the bird on its station.
    Stationed,
    /// Work may start in the shared room.
    OpenRoom,
}

/// A reason in words for the household.
#[derive(Debug, Clone, Serialize)]
pub struct Why {
    /// The rule it comes from.
    pub rule: String,
    /// The reason; empty when it rests on a private answer.
    pub tell: String,
    /// True when it rests on a private answer.
    pub private: bool,
}

/// One thing to prove before the next stage.
#[derive(Debug, Clone, Serialize)]
pub struct Proof {
    /// The gate it belongs to.
    pub gate: String,
    /// What has to be true.
    pub prove: String,
    /// `false`: known not to be so; `blank`: not known.
    pub state: Truth,
}

/// Someone to turn to.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Referral {
    /// The referral's id.
    pub id: String,
    /// Who.
    pub title: String,
    /// What to do.
    pub tell: String,
    /// Who arranges it.
    pub who_arranges: String,
    /// When.
    pub when: String,
    /// True when it counts only until a blank is answered.
    pub assumed: bool,
    /// Rules that ask for it.
    pub rules: Vec<String>,
}

/// A contact with its day.
#[derive(Debug, Clone, Serialize)]
pub struct Contact {
    /// Its id.
    pub id: String,
    /// The day.
    pub date: String,
    /// Days after the plan.
    pub day: i32,
    /// What it is.
    pub title: String,
    /// What is decided there.
    pub tell: String,
}

/// The practice's own rules.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct HouseRules {
    /// What they are called; empty where no count is kept of them.
    pub name: String,
    /// Their version; empty likewise.
    pub version: String,
    /// The start of the fingerprint of the practice's folder.
    pub fingerprint: String,
}

impl HouseRules {
    fn of(rulebook: &Rulebook) -> Option<Self> {
        let [_, practice] = rulebook.apart.as_ref()?;
        let edition = rulebook.house_rules.as_ref();
        Some(Self {
            name: edition.map_or_else(String::new, |edition| edition.name.clone()),
            version: edition.map_or_else(String::new, |edition| edition.version.to_string()),
            fingerprint: short(practice),
        })
    }
}

/// What the record foot says.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Record {
    /// The program's version.
    pub program: String,
    /// The rulebook's name.
    pub rulebook: String,
    /// Its version.
    pub rulebook_version: String,
    /// The start of its fingerprint.
    pub rulebook_fingerprint: String,
    /// The practice's own rules, where its folder lies over the rulebook.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub house_rules: Option<HouseRules>,
    /// The start of the intake's fingerprint.
    pub intake_fingerprint: String,
    /// The day.
    pub date: String,
    /// Who signed; empty for a draft.
    pub signed: Vec<Signature>,
    /// Why an earlier signature does not hold for this plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lapsed: Option<Lapsed>,
}

/// The plan of one case.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Plan {
    /// True until somebody signed it.
    pub draft: bool,
    /// True when people's names may be printed.
    pub names: bool,
    /// True when cards may hold what rests on private answers about health.
    pub private: bool,
    /// The bird's name, if it was told.
    pub bird: Option<String>,
    /// The case reference, if there is one.
    pub reference: Option<String>,
    /// What the first line says.
    pub headline: Headline,
    /// True when nothing may be trained yet.
    pub held: bool,
    /// The ordered outcomes, known and until answered.
    pub verdict: Verdict,
    /// Where they rest on a departure from the rules; for professional copies alone.
    pub departures: Departures,
    /// True when the consultant holds risk, start or vet tighter than the rules do.
    pub held_tighter: bool,
    /// Why they stand where they stand.
    pub reasons: Vec<Why>,
    /// Live actions for the household, at most [`MAX_ACTIONS`].
    pub actions: Vec<Action>,
    /// How to practise, once practice may start.
    pub practice: Vec<Action>,
    /// Standing orders for when something happens.
    pub standing: Vec<Action>,
    /// Actions that wait for their turn.
    pub later: Vec<Action>,
    /// What nobody does, at most [`MAX_NEVER`].
    pub never: Vec<Never>,
    /// What nobody does, the rest.
    pub never_more: Vec<Never>,
    /// A card for each person.
    pub cards: Vec<Card>,
    /// What is known.
    pub known: Vec<Known>,
    /// Answers that do not go together, to be settled first.
    pub contradictions: Vec<Contradiction>,
    /// How the biting is read.
    pub reading: ReadingPart,
    /// What is not known, and what is assumed until it is.
    pub assumed: Vec<Assumption>,
    /// How many more such questions there are.
    pub assumed_more: usize,
    /// How many private questions are open.
    pub private_open: usize,
    /// How work may start now.
    pub start: Start,
    /// The next stage, when there is one.
    pub next: Option<Start>,
    /// What has to be true before the next stage.
    pub proofs: Vec<Proof>,
    /// Whom to turn to.
    pub referrals: Vec<Referral>,
    /// When to stop and call.
    pub calls: Vec<Call>,
    /// The day by which the household hears from the consultant.
    pub hear_by: String,
    /// Contacts to come.
    pub contacts: Vec<Contact>,
    /// The figures it rests on.
    pub figures: Vec<Figure>,
    /// Practice.
    pub training: Training,
    /// The room with the cage, when it was measured.
    pub sketch: Option<Sketch>,
    /// The door sign.
    pub sign: Sign,
    /// The consultant's own notes, by the section they belong to, as written.
    pub notes: BTreeMap<String, String>,
    /// True when the household asked for large print.
    pub large_print: bool,
    /// Everything the form told, by group; for professional copies alone.
    #[serde(skip)]
    pub told: Groups,
    /// The parts of the form, in their order, for whoever prints what was told.
    #[serde(skip)]
    pub groups: Vec<GroupHead>,
    /// What of it a household copy may hold.
    #[serde(skip)]
    pub told_shared: Groups,
    /// Standing cautions.
    pub cautions: Vec<Caution>,
    /// The record foot.
    pub record: Record,
}

/// What a plan is made with.
#[derive(Debug, Clone, Copy, Default)]
pub struct Options {
    /// Print people's names.
    pub names: bool,
    /// Print what rests on private answers about a person's health, for handing each card to its person alone.
    pub private: bool,
    /// Print large, whether or not the form asks for it.
    pub large_print: bool,
    /// From how far the door sign is read, cm.
    pub sign_read_from_cm: Option<f64>,
    /// Leave out how much work the steps may be: it takes a quarter of the time of a plan, and only the consultant reads it.
    pub without_work: bool,
}

impl Plan {
    /// Chooses what goes on paper.
    #[must_use]
    pub fn of(rulebook: &Rulebook, intake: &Intake, decision: &Decision, options: Options) -> Self {
        Self::written(rulebook, intake, decision, None, options)
    }

    /// Chooses what goes on paper, with what a log adds to the form.
    #[must_use]
    pub fn with_log(
        rulebook: &Rulebook,
        intake: &Intake,
        logged: Logged<'_>,
        options: Options,
    ) -> Self {
        let told = Intake {
            answers: logged.review.answers.clone(),
            ..intake.clone()
        };
        let decision = &logged.review.decision;
        Self::written(rulebook, &told, decision, Some(logged), options)
    }

    /// Intake and decision are those of form and log together, where there is a log.
    fn written(
        rulebook: &Rulebook,
        intake: &Intake,
        decision: &Decision,
        review: Option<Logged<'_>>,
        options: Options,
    ) -> Self {
        let text = |name: &str| {
            let (group, question) = rulebook.questionnaire.find(name)?;
            intake
                .answers
                .text(group, None, question)
                .map(str::to_owned)
        };
        let verdict = decision.verdict;
        let referrals = referrals(rulebook, decision);
        let frozen = review.is_some_and(|it| it.review.is_frozen());
        let held = verdict.is_held() || frozen;
        let chosen = actions::choose(rulebook, decision, held);
        let (assumed, assumed_more, private_open) =
            known::assumed(rulebook, decision, MAX_ASSUMPTIONS);
        let start = verdict.start.until_answered;
        let next = crate::decision::looser(start);
        let cards = cards::cards(rulebook, intake, decision, held, options);
        let reading = reading::part(rulebook, decision);
        let teller = training::Teller {
            rulebook,
            intake,
            decision,
            cards: &cards,
            reading: &reading,
            review: review.map(|it| it.review),
            held,
            without_work: options.without_work,
        };
        let training = teller.training(review.map_or_else(Vec::new, |it| it.since_last(rulebook)));
        Self {
            draft: true,
            names: options.names,
            private: options.private,
            bird: text("bird.name"),
            reference: text("case.reference"),
            headline: headline(&verdict, &referrals, held, frozen),
            held,
            verdict,
            departures: Departures::of(rulebook, decision),
            held_tighter: decision.overruled.iter().any(|line| {
                line.came == Came::Tightened
                    && line.outcome != "contact"
                    && line.now[1] != line.ruled[1]
            }),
            reasons: reasons(rulebook, decision),
            actions: chosen.actions,
            practice: chosen.practice,
            standing: chosen.standing,
            later: chosen.later,
            never: chosen.never,
            never_more: chosen.never_more,
            cards,
            known: known::known(rulebook, intake, decision, options.names),
            contradictions: reading::contradictions(rulebook, intake, decision),
            reading,
            training,
            assumed,
            assumed_more,
            private_open,
            start,
            next,
            proofs: next.map_or_else(Vec::new, |next| proofs(rulebook, decision, next)),
            referrals,
            calls: rulebook.tables.calls.clone(),
            hear_by: hear_by(rulebook, decision),
            contacts: contacts(rulebook, decision),
            figures: figures(rulebook, intake, decision),
            sketch: sketch(rulebook, intake, decision, options.names),
            sign: Sign::of(
                rulebook,
                decision,
                options.sign_read_from_cm.unwrap_or(READ_FROM_CM),
            ),
            notes: notes(rulebook, intake),
            large_print: options.large_print || large_print(rulebook, intake),
            told: told::told(rulebook, intake, decision),
            groups: told::heads(rulebook),
            told_shared: told::shared(rulebook, intake, decision, options.names),
            cautions: rulebook.tables.cautions.clone(),
            record: Record {
                program: env!("CARGO_PKG_VERSION").to_owned(),
                rulebook: rulebook.tables.edition.name.clone(),
                rulebook_version: rulebook.tables.edition.version.to_string(),
                rulebook_fingerprint: short(
                    rulebook
                        .apart
                        .as_ref()
                        .map_or(&rulebook.fingerprint, |[below, _]| below),
                ),
                house_rules: HouseRules::of(rulebook),
                intake_fingerprint: short(&intake.fingerprint),
                date: decision.today.to_string(),
                signed: Vec::new(),
                lapsed: None,
            },
        }
    }
}

/// The room. What its places are called may name someone.
fn sketch(
    rulebook: &Rulebook,
    intake: &Intake,
    decision: &Decision,
    names: bool,
) -> Option<Sketch> {
    let mut sketch = Sketch::of(&decision.workings)?;
    if !names {
        for label in sketch
            .spots
            .iter_mut()
            .filter_map(|spot| spot.label.as_mut())
        {
            *label = known::without_names(rulebook, &intake.answers, label);
        }
    }
    Some(sketch)
}

/// The consultant's notes, by section.
fn notes(rulebook: &Rulebook, intake: &Intake) -> BTreeMap<String, String> {
    let questionnaire = &rulebook.questionnaire;
    let Some(group) = questionnaire.group("notes") else {
        return BTreeMap::new();
    };
    questionnaire.groups[group]
        .questions
        .iter()
        .enumerate()
        .filter_map(|(at, question)| {
            let text = intake.answers.text(group, None, at)?;
            Some((question.id.clone(), text.to_owned()))
        })
        .collect()
}

/// True when the form asks for large print.
fn large_print(rulebook: &Rulebook, intake: &Intake) -> bool {
    let Some((group, question)) = rulebook.questionnaire.find("case.access-needs") else {
        return false;
    };
    let wanted = rulebook.questionnaire.groups[group].questions[question].choice("large print");
    match intake.answers.given(group, None, question) {
        Some(Given::Choices(bits)) => wanted.is_some_and(|at| bits & (1 << at) != 0),
        _ => false,
    }
}

fn headline(verdict: &Verdict, referrals: &[Referral], held: bool, frozen: bool) -> Headline {
    let known = |id: &str| referrals.iter().any(|r| r.id == id && !r.assumed);
    if known("emergency-service") {
        Headline::PeopleFirst
    } else if verdict.vet.known == Vet::Urgent {
        Headline::VetNow
    } else if verdict.vet.known == Vet::BeforeTraining {
        Headline::VetFirst
    } else if verdict.start.known == Start::HandsOff {
        Headline::ManagementOnly
    } else if frozen {
        Headline::Frozen
    } else if held {
        Headline::NotYet
    } else {
        match verdict.start.until_answered {
            Start::HandsOff => Headline::NotYet,
            Start::ThroughBarrier => Headline::ThroughBarrier,
            Start::Stationed => Headline::Stationed,
            Start::OpenRoom => Headline::OpenRoom,
        }
    }
}

/// Reasons of the rules known to hold that keep risk, start or vet where they stand, the gravest first. What is only assumed
/// is told as an open question instead.
fn reasons(rulebook: &Rulebook, decision: &Decision) -> Vec<Why> {
    let known = &decision.verdict;
    let mut found: Vec<(usize, Why)> = Vec::new();
    for trace in decision
        .rules
        .iter()
        .filter(|trace| trace.counts == Counts::Known)
    {
        let rule = &rulebook.rules[trace.rule];
        let weight = [
            rule.then
                .start
                .filter(|s| *s > Start::OpenRoom && *s == known.start.known)
                .map(|s| s.steps() * 4),
            rule.then
                .vet
                .filter(|v| *v > Vet::Recommended && *v == known.vet.known)
                .map(|v| v.steps() * 3),
            rule.then
                .risk
                .filter(|r| r.steps() > 0 && *r == known.risk.known)
                .map(|r| r.steps() * 2),
        ]
        .into_iter()
        .flatten()
        .max();
        let Some(weight) = weight else { continue };
        found.push((
            usize::MAX - weight,
            Why {
                rule: rule.id.clone(),
                tell: if trace.is_private() {
                    String::new()
                } else {
                    rule.tell.clone()
                },
                private: trace.is_private(),
            },
        ));
    }
    found.sort_by(|a, b| (a.0, &a.1.rule).cmp(&(b.0, &b.1.rule)));
    let mut told: Vec<Why> = Vec::new();
    for (_, why) in found {
        // One line is enough for all private reasons, and nobody needs the same sentence twice.
        if !told.iter().any(|other| other.tell == why.tell) {
            told.push(why);
        }
    }
    told.truncate(MAX_REASONS);
    told
}

fn proofs(rulebook: &Rulebook, decision: &Decision, next: Start) -> Vec<Proof> {
    let mut proofs: Vec<Proof> = Vec::new();
    for trace in &decision.gates {
        let gate = &rulebook.gates[trace.gate];
        if gate.opens < next {
            continue;
        }
        for (need, reason) in gate.needs.iter().zip(&trace.needs) {
            if reason.truth != Truth::True && !proofs.iter().any(|p| p.prove == need.prove) {
                proofs.push(Proof {
                    gate: gate.id.clone(),
                    prove: need.prove.clone(),
                    state: reason.truth,
                });
            }
        }
    }
    proofs
}

fn referrals(rulebook: &Rulebook, decision: &Decision) -> Vec<Referral> {
    let mut found: Vec<Referral> = decision
        .referrals
        .iter()
        .filter_map(|landing| {
            // A referral that rests on private answers alone is for the consultant to speak of, face to face.
            let private = |at: &usize| {
                decision
                    .rules
                    .iter()
                    .any(|trace| trace.rule == *at && trace.is_private())
            };
            if landing.rules.iter().all(private) {
                return None;
            }
            // While it is not known whether they are needed, people are sent to the vet at most: that question holds up the work.
            if !landing.known && landing.referral != "avian-vet" {
                return None;
            }
            let referral = rulebook.tables.referrals.get(&landing.referral)?;
            Some(Referral {
                id: landing.referral.clone(),
                title: referral.title.clone(),
                tell: referral.tell.clone(),
                who_arranges: referral.who_arranges.clone(),
                when: referral.when.clone(),
                assumed: !landing.known,
                rules: landing
                    .rules
                    .iter()
                    .map(|at| rulebook.rules[*at].id.clone())
                    .collect(),
            })
        })
        .collect();
    found.sort_by(|a, b| (a.assumed, &a.id).cmp(&(b.assumed, &b.id)));
    found
}

/// The day the reply is due by what is known, or the first follow-up where that comes sooner.
fn hear_by(rulebook: &Rulebook, decision: &Decision) -> String {
    let days = match decision.verdict.contact.known {
        Reply::AtOnce | Reply::SameDay => 0,
        Reply::TwoDays => 2,
        Reply::OneWeek | Reply::Routine => 7,
    };
    let first = rulebook
        .tables
        .follow_ups
        .first()
        .map_or(days, |contact| contact.day);
    decision
        .today
        .checked_add(days.min(first).days())
        .map(|date| date.to_string())
        .unwrap_or_default()
}

fn contacts(rulebook: &Rulebook, decision: &Decision) -> Vec<Contact> {
    rulebook
        .tables
        .follow_ups
        .iter()
        .map(|contact| Contact {
            id: contact.id.clone(),
            date: decision
                .today
                .checked_add(contact.day.days())
                .map(|date| date.to_string())
                .unwrap_or_default(),
            day: contact.day,
            title: contact.title.clone(),
            tell: contact.tell.clone(),
        })
        .collect()
}
