//! The decision: the verdict with its whole trace. Explanations, triage and the plan all read this one trace.

pub mod brief;
mod effect;
pub mod examples;
pub mod gaps;
mod guards;
pub mod mutate;
pub mod overrule;
pub mod reading;
mod trace;
mod verdict;

pub use overrule::{Came, Overruled, floor};
pub use trace::{Binding, Reason, Spoken, What};
pub use verdict::{Pair, Truths, Verdict, looser, tighter, verdict};

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::answers::Answers;
use crate::facts::Facts;
use crate::facts::workings::Workings;
use crate::language::Truth;
use crate::language::condition::Scope;
use crate::rulebook::{MeasureKind, Rulebook};

use gaps::Gap;
use reading::Reading;

/// How a rule's word counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Counts {
    /// It does not speak.
    No,
    /// It asks a question: advice whose condition is not known.
    Asks,
    /// It counts until a blank is answered.
    UntilAnswered,
    /// It is known to hold.
    Known,
}

/// What one rule said.
#[derive(Debug, Clone)]
pub struct RuleTrace {
    /// Its place in the rulebook.
    pub rule: usize,
    /// Truth over all people it speaks of.
    pub truth: Truth,
    /// How it counts.
    pub counts: Counts,
    /// For each person it speaks of, or once: its truth and the reason tree.
    pub bindings: Vec<Binding>,
}

impl RuleTrace {
    /// True when the rule cannot be told without giving a private answer away.
    #[must_use]
    pub fn is_private(&self) -> bool {
        let telling = || {
            self.bindings
                .iter()
                .filter(|binding| binding.reason.truth == self.truth)
        };
        telling().next().is_some() && telling().all(|binding| binding.reason.is_private())
    }
}

/// What one gate said.
#[derive(Debug, Clone)]
pub struct GateTrace {
    /// Its place in the rulebook.
    pub gate: usize,
    /// True when all its needs are proven.
    pub truth: Truth,
    /// Each need with its reason tree, in the gate's order.
    pub needs: Vec<Reason>,
}

/// A measure that landed, for the household or one person.
#[derive(Debug, Clone)]
pub struct Landing {
    /// The measure's id.
    pub measure: String,
    /// The person (place in the list of people), for a measure about one person.
    pub person: Option<usize>,
    /// True when a rule known to hold asks for it; else it holds until a blank is answered.
    pub known: bool,
    /// Rules that ask for it, by place in the rulebook.
    pub rules: Vec<usize>,
    /// The never-measure that rules it out, if one landed.
    pub ruled_out_by: Option<String>,
    /// The measure that makes it needless, if one landed.
    pub covered_by: Option<String>,
    /// The measure it waits for, if one landed.
    pub waits_for: Option<String>,
}

/// A referral that landed.
#[derive(Debug, Clone)]
pub struct ReferralLanding {
    /// The referral's id.
    pub referral: String,
    /// True when a rule known to hold asks for it.
    pub known: bool,
    /// Rules that ask for it.
    pub rules: Vec<usize>,
}

/// The decision.
#[derive(Debug, Clone)]
pub struct Decision {
    /// The day it was made for.
    pub today: Date,
    /// The facts it rests on.
    pub facts: Facts,
    /// The figures some facts rest on.
    pub workings: Workings,
    /// The ordered outcomes.
    pub verdict: Verdict,
    /// The same as the rules have them, before anything was overruled.
    pub ruled: Verdict,
    /// What the consultant overruled in this case, and what came of it.
    pub overruled: Vec<Overruled>,
    /// What each rule said, in the order of the rulebook.
    pub rules: Vec<RuleTrace>,
    /// What each gate said.
    pub gates: Vec<GateTrace>,
    /// Measures that landed, by measure and person.
    pub landings: Vec<Landing>,
    /// Referrals that landed.
    pub referrals: Vec<ReferralLanding>,
    /// Why the bird may bite.
    pub reading: Reading,
    /// Questions worth asking, most telling first.
    pub gaps: Vec<Gap>,
}

/// Decides a case.
#[must_use]
pub fn decide(rulebook: &Rulebook, answers: &Answers, today: Date) -> Decision {
    let (facts, workings) = Facts::with_workings(
        &rulebook.questionnaire,
        &rulebook.vocabulary,
        answers,
        today,
    );
    let truths = Truths::of(rulebook, &facts);
    let ruled = verdict(rulebook, &truths);
    let (verdict, overruled) =
        overrule::overrule(rulebook, &facts, &answers.overrulings, today, ruled);
    let tracer = trace::Tracer {
        rulebook,
        facts: &facts,
        answers,
    };
    let rules: Vec<RuleTrace> = rulebook
        .rules
        .iter()
        .enumerate()
        .map(|(at, rule)| {
            let truth = truths.rules[at];
            RuleTrace {
                rule: at,
                truth,
                counts: match (truth, rule.then.is_guard()) {
                    (Truth::True, _) => Counts::Known,
                    (Truth::Blank, true) => Counts::UntilAnswered,
                    (Truth::Blank, false) => Counts::Asks,
                    (Truth::False, _) => Counts::No,
                },
                bindings: tracer.rule(rule),
            }
        })
        .collect();
    let gates = rulebook
        .gates
        .iter()
        .enumerate()
        .map(|(at, gate)| GateTrace {
            gate: at,
            truth: truths.gates[at],
            needs: gate
                .needs
                .iter()
                .map(|need| tracer.reason(&need.when, &mut Scope::default()))
                .collect(),
        })
        .collect();
    let landings = landings(rulebook, &rules);
    let referrals = referrals(rulebook, &rules);
    let mut decision = Decision {
        reading: reading::read(rulebook, &facts),
        today,
        facts,
        workings,
        verdict,
        ruled,
        overruled,
        rules,
        gates,
        landings,
        referrals,
        gaps: Vec::new(),
    };
    decision.gaps = gaps::gaps(rulebook, answers, &decision);
    decision
}

fn landings(rulebook: &Rulebook, rules: &[RuleTrace]) -> Vec<Landing> {
    let mut landed: BTreeMap<(String, Option<usize>), Landing> = BTreeMap::new();
    for trace in rules {
        if trace.counts < Counts::UntilAnswered {
            continue;
        }
        let rule = &rulebook.rules[trace.rule];
        for id in rule.then.do_.iter().chain(&rule.then.never) {
            let for_person = rulebook.measures.get(id).is_some_and(|m| m.for_person);
            // A measure about one person lands on each person of whom the rule holds, or may hold for a guard.
            let targets: Vec<(Option<usize>, bool)> = if for_person {
                trace
                    .bindings
                    .iter()
                    .filter(|binding| {
                        binding.reason.truth == Truth::True
                            || (binding.reason.truth == Truth::Blank && rule.then.is_guard())
                    })
                    .map(|binding| (binding.person, binding.reason.truth == Truth::True))
                    .collect()
            } else {
                vec![(None, trace.counts == Counts::Known)]
            };
            for (person, known) in targets {
                let landing = landed
                    .entry((id.clone(), person))
                    .or_insert_with(|| Landing {
                        measure: id.clone(),
                        person,
                        known: false,
                        rules: Vec::new(),
                        ruled_out_by: None,
                        covered_by: None,
                        waits_for: None,
                    });
                landing.known |= known;
                landing.rules.push(trace.rule);
            }
        }
    }
    let mut landed: Vec<Landing> = landed.into_values().collect();
    settle(rulebook, &mut landed);
    landed
}

/// `never` beats `do`, for the same person or, from a measure for the household, for everyone; and what another measure covers is
/// left out.
fn settle(rulebook: &Rulebook, landed: &mut [Landing]) {
    /// That one measure sets another aside, for a person or for everyone.
    struct Aside {
        what: String,
        person: Option<usize>,
        known: bool,
        by: String,
    }
    let (mut ruled_out, mut covered, mut waits) = (Vec::new(), Vec::new(), Vec::new());
    for landing in landed.iter() {
        let aside = |what: &String| Aside {
            what: what.clone(),
            person: landing.person,
            known: landing.known,
            by: landing.measure.clone(),
        };
        match rulebook
            .measures
            .get(&landing.measure)
            .map(|measure| &measure.kind)
        {
            Some(MeasureKind::Never { rules_out, .. }) => {
                ruled_out.extend(rules_out.iter().map(aside));
            }
            Some(MeasureKind::Do {
                covers,
                comes_before,
                ..
            }) => {
                covered.extend(covers.iter().map(aside));
                waits.extend(comes_before.iter().map(aside));
            }
            None => {}
        }
    }
    let by = |list: &[Aside], landing: &Landing, known_alone: bool| {
        list.iter()
            .find(|aside| {
                aside.what == landing.measure
                    && (aside.person.is_none() || aside.person == landing.person)
                    // What is only assumed does not set aside what is known to be needed.
                    && (aside.known || !landing.known || !known_alone)
            })
            .map(|aside| aside.by.clone())
    };
    for landing in landed {
        landing.ruled_out_by = by(&ruled_out, landing, false);
        landing.covered_by = by(&covered, landing, true);
        landing.waits_for = by(&waits, landing, true);
    }
}

fn referrals(rulebook: &Rulebook, rules: &[RuleTrace]) -> Vec<ReferralLanding> {
    let mut landed: BTreeMap<&str, ReferralLanding> = BTreeMap::new();
    for trace in rules {
        if trace.counts < Counts::UntilAnswered {
            continue;
        }
        for id in &rulebook.rules[trace.rule].then.refer {
            let landing = landed.entry(id).or_insert_with(|| ReferralLanding {
                referral: id.clone(),
                known: false,
                rules: Vec::new(),
            });
            landing.known |= trace.counts == Counts::Known;
            landing.rules.push(trace.rule);
        }
    }
    landed.into_values().collect()
}
