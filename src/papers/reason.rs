//! Explanations for the consultant: why, why not, and what would change it. Text and JSON from the one trace.

use serde_json::{Value, json};

use crate::decision::{
    Binding, Counts, Decision, Overruled, Reason, RuleTrace, Spoken, Verdict, What,
};
use crate::intake::Intake;
use crate::language::Truth;
use crate::plan::figures;
use crate::rulebook::{Contact, Risk, Rule, Rulebook, Start, Vet};

use super::engine::{Engine, PaperError};
use super::figures::words;

/// What can be explained by name besides rules, gates and measures.
pub const OUTCOMES: &[&str] = &[
    "risk", "start", "contact", "vet", "blanks", "reading", "figures",
];

/// Explains the whole decision, or one outcome, rule, gate or measure. `None` when nothing has that name.
///
/// # Errors
/// When a template does not fit.
pub fn explain(
    engine: &Engine,
    rulebook: &Rulebook,
    intake: &Intake,
    decision: &Decision,
    about: Option<&str>,
) -> Result<Option<(Value, String)>, PaperError> {
    let explainer = Explainer {
        rulebook,
        intake,
        decision,
    };
    let value = match about {
        None => Some(explainer.whole()),
        // A rule may bear the name of a figure, and then it is the rule that is meant.
        Some(name) => match explainer.named(name) {
            Some(value) => Some(value),
            None => explainer.figures(engine, name)?,
        },
    };
    let Some(value) = value else {
        return Ok(None);
    };
    let text = engine.render("explain.txt", &json!({ "it": value }))?;
    let mut text = super::tidy(&text);
    text.push('\n');
    Ok(Some((value, text)))
}

/// What [`explain`] tells of one outcome, rule, gate or measure, as data alone.
pub(super) fn named(
    rulebook: &Rulebook,
    intake: &Intake,
    decision: &Decision,
    name: &str,
) -> Option<Value> {
    let explainer = Explainer {
        rulebook,
        intake,
        decision,
    };
    explainer.named(name)
}

struct Explainer<'a> {
    rulebook: &'a Rulebook,
    intake: &'a Intake,
    decision: &'a Decision,
}

impl Explainer<'_> {
    fn whole(&self) -> Value {
        let outcomes: Vec<Value> = OUTCOMES[..4]
            .iter()
            .map(|name| self.outcome(name))
            .collect();
        json!({
            "kind": "decision",
            "outcomes": outcomes,
            "contradictions": self.contradictions(),
            "gates": self.gates(),
            "blanks": self.blanks(12),
            "blanks-in-all": self.decision.gaps.len(),
        })
    }

    fn named(&self, name: &str) -> Option<Value> {
        if name == "reading" {
            let mut value = json!(self.decision.reading);
            value["kind"] = json!("reading");
            return Some(value);
        }
        if name == "blanks" {
            return Some(
                json!({"kind": "blanks", "blanks": self.blanks(usize::MAX), "blanks-in-all": self.decision.gaps.len()}),
            );
        }
        if OUTCOMES[..4].contains(&name) {
            let mut value = self.outcome(name);
            value["kind"] = json!("outcome");
            if name == "start" {
                value["gates"] = self.gates();
            }
            return Some(value);
        }
        if let Some(trace) = self
            .decision
            .rules
            .iter()
            .find(|t| self.rulebook.rules[t.rule].id == name)
        {
            let mut value = self.rule(trace);
            value["kind"] = json!("rule");
            return Some(value);
        }
        if self.rulebook.gate(name).is_some() {
            let gates: Vec<Value> = self
                .gate_values()
                .into_iter()
                .filter(|gate| gate["gate"] == name)
                .collect();
            return Some(json!({"kind": "gate", "gates": gates}));
        }
        self.rulebook
            .measures
            .contains_key(name)
            .then(|| self.measure(name))
    }

    /// All figures, or one.
    fn figures(&self, engine: &Engine, name: &str) -> Result<Option<Value>, PaperError> {
        let mut figures = figures(self.rulebook, self.intake, self.decision);
        figures.retain(|figure| name == "figures" || figure.id == name);
        if figures.is_empty() {
            return Ok(None);
        }
        Ok(Some(
            json!({"kind": "figures", "figures": words(engine, &figures)?}),
        ))
    }

    /// Rules that noticed answers which do not go together.
    fn contradictions(&self) -> Vec<Value> {
        self.decision
            .rules
            .iter()
            .filter(|trace| {
                trace.counts == Counts::Known && !self.rulebook.rules[trace.rule].between.is_empty()
            })
            .map(|trace| self.rule(trace))
            .collect()
    }

    /// One ordered outcome with the rules that hold it where it stands.
    fn outcome(&self, name: &str) -> Value {
        let words = |verdict: &Verdict| -> (&'static str, &'static str) {
            let (risk, start) = (&verdict.risk, &verdict.start);
            let (contact, vet) = (&verdict.contact, &verdict.vet);
            match name {
                "risk" => (risk.known.word(), risk.until_answered.word()),
                "start" => (start.known.word(), start.until_answered.word()),
                "contact" => (contact.known.word(), contact.until_answered.word()),
                _ => (vet.known.word(), vet.until_answered.word()),
            }
        };
        let (known, until) = words(&self.decision.verdict);
        // Rules are the reason of what the rules say; what was overruled has a reason of its own.
        let (ruled_known, ruled_until) = words(&self.decision.ruled);
        let overruled: Vec<&Overruled> = self
            .decision
            .overruled
            .iter()
            .filter(|line| line.outcome == name)
            .collect();
        let loosest = [
            Risk::WORDS[0],
            Start::WORDS[0],
            Contact::WORDS[0],
            Vet::WORDS[0],
        ];
        let said = |rule: &Rule| -> Option<&'static str> {
            match name {
                "risk" => rule.then.risk.map(Risk::word),
                "start" => rule.then.start.map(Start::word),
                "contact" => rule.then.contact.map(Contact::word),
                _ => rule.then.vet.map(Vet::word),
            }
        };
        let by = |counts: Counts, word: &str| -> Vec<Value> {
            if loosest.contains(&word) {
                return Vec::new();
            }
            self.decision
                .rules
                .iter()
                .filter(|trace| {
                    trace.counts == counts && said(&self.rulebook.rules[trace.rule]) == Some(word)
                })
                .map(|trace| self.rule(trace))
                .collect()
        };
        json!({
            "outcome": name,
            "known": known,
            "until-answered": until,
            "overruled": overruled,
            "known-because": by(Counts::Known, ruled_known),
            "until-answered-because": by(Counts::UntilAnswered, ruled_until),
        })
    }

    fn rule(&self, trace: &RuleTrace) -> Value {
        let rule = &self.rulebook.rules[trace.rule];
        let bindings: Vec<&Binding> = trace
            .bindings
            .iter()
            // Of several people, those who make the rule what it is.
            .filter(|binding| binding.reason.truth == trace.truth)
            .collect();
        let mut facts: Vec<Value> = Vec::new();
        let mut unanswered: Vec<&str> = Vec::new();
        for binding in &bindings {
            self.deciding(
                &binding.reason,
                binding.reason.truth,
                binding.person,
                &mut facts,
            );
            if binding.reason.truth == Truth::Blank {
                binding.reason.visit_unanswered(&mut |group| {
                    if !unanswered.contains(&group) {
                        unanswered.push(group);
                    }
                });
            }
        }
        if trace.bindings.is_empty() && rule.each_person && trace.truth == Truth::Blank {
            unanswered.push("people");
        }
        // What kept a rule quiet: the first thing that is known not to hold.
        let first = if trace.truth == Truth::False {
            facts.truncate(1);
            facts.first().cloned()
        } else {
            None
        };
        let sources: Vec<Value> = rule
            .source
            .iter()
            .map(|key| json!({"key": key, "source": self.rulebook.sources.get(key)}))
            .collect();
        json!({
            "rule": rule.id,
            "title": rule.title,
            "departure": rule.departed.as_ref().map(|departed| &self.rulebook.departures[departed.by]),
            "floor": rule.floor,
            "why": rule.why,
            "truth": trace.truth,
            "counts": trace.counts,
            "each-person": rule.each_person,
            "facts": facts,
            "unanswered": unanswered,
            "kept-quiet-by": first,
            "then": {
                "risk": rule.then.risk, "start": rule.then.start, "contact": rule.then.contact, "vet": rule.then.vet,
                "do": rule.then.do_, "never": rule.then.never, "refer": rule.then.refer, "ask": rule.then.ask,
            },
            "sources": sources,
            "file": rule.place.file,
        })
    }

    /// The facts that make a reason what it is.
    fn deciding(
        &self,
        reason: &Reason,
        wanted: Truth,
        person: Option<usize>,
        facts: &mut Vec<Value>,
    ) {
        match &reason.what {
            What::All { parts } => {
                for part in parts
                    .iter()
                    .filter(|p| wanted == Truth::True || p.truth == reason.truth)
                {
                    self.deciding(part, part.truth, person, facts);
                }
            }
            What::Any { parts } => {
                for part in parts
                    .iter()
                    .filter(|p| wanted == Truth::False || p.truth == reason.truth)
                {
                    self.deciding(part, part.truth, person, facts);
                }
            }
            What::Not { part } => self.deciding(part, part.truth, person, facts),
            What::Count { entries, words, .. } => {
                let telling: Vec<&Reason> = entries.iter().filter(|e| e.truth == wanted).collect();
                let telling = if telling.is_empty() {
                    entries.iter().collect()
                } else {
                    telling
                };
                if entries.is_empty() && reason.truth != Truth::Blank {
                    let noun = words.split_whitespace().last().unwrap_or_default();
                    facts.push(json!({"fact": noun, "phrase": words, "value": "none listed", "truth": reason.truth, "places": [], "person": null, "asked": false, "derived": false, "private": false}));
                }
                for entry in telling {
                    self.deciding(entry, entry.truth, person, facts);
                }
            }
            What::Fact(spoken) => {
                let value = self.spoken(spoken, reason.truth, person);
                if !facts.contains(&value) {
                    facts.push(value);
                }
            }
        }
    }

    fn spoken(&self, spoken: &Spoken, truth: Truth, person: Option<usize>) -> Value {
        let places: Vec<Value> = spoken
            .paths
            .iter()
            .map(|path| {
                let there = self.intake.places.keys.contains_key(path);
                let place = self.intake.source.place(self.intake.places.value(path));
                if there {
                    json!({"at": path.to_string(), "line": place.line, "column": place.column})
                } else {
                    json!({"at": path.to_string(), "line": null, "column": null})
                }
            })
            .collect();
        json!({
            "fact": spoken.fact,
            "phrase": spoken.phrase,
            "value": spoken.value,
            "truth": truth,
            "asked": spoken.asked,
            "derived": spoken.derived,
            "private": spoken.private,
            "person": person,
            "places": places,
        })
    }

    fn gates(&self) -> Value {
        Value::Array(self.gate_values())
    }

    fn gate_values(&self) -> Vec<Value> {
        let mut gates: Vec<_> = self.decision.gates.iter().collect();
        // In the order they have to be proven: the tightest mode first.
        gates.sort_by_key(|trace| {
            let gate = &self.rulebook.gates[trace.gate];
            (std::cmp::Reverse(gate.opens), gate.id.clone())
        });
        gates
            .into_iter()
            .map(|trace| {
                let gate = &self.rulebook.gates[trace.gate];
                let needs: Vec<Value> = gate
                    .needs
                    .iter()
                    .zip(&trace.needs)
                    .map(|(need, reason)| {
                        let mut facts = Vec::new();
                        self.deciding(reason, reason.truth, None, &mut facts);
                        let mut unanswered = Vec::new();
                        reason.visit_unanswered(&mut |group| unanswered.push(group.to_owned()));
                        json!({"prove": need.prove, "truth": reason.truth, "facts": facts, "unanswered": unanswered})
                    })
                    .collect();
                json!({"gate": gate.id, "opens": gate.opens, "truth": trace.truth, "title": gate.title, "why": gate.why, "needs": needs})
            })
            .collect()
    }

    fn measure(&self, id: &str) -> Value {
        let landings: Vec<Value> = self
            .decision
            .landings
            .iter()
            .filter(|landing| landing.measure == id)
            .map(|landing| {
                let rules: Vec<Value> = landing
                    .rules
                    .iter()
                    .filter_map(|at| self.decision.rules.iter().find(|t| t.rule == *at))
                    .map(|trace| self.rule(trace))
                    .collect();
                json!({"person": landing.person, "known": landing.known, "ruled-out-by": landing.ruled_out_by, "rules": rules})
            })
            .collect();
        let quiet: Vec<Value> = if landings.is_empty() {
            self.decision
                .rules
                .iter()
                .filter(|trace| {
                    let then = &self.rulebook.rules[trace.rule].then;
                    then.do_.iter().chain(&then.never).any(|other| other == id)
                })
                .map(|trace| self.rule(trace))
                .collect()
        } else {
            Vec::new()
        };
        let measure = &self.rulebook.measures[id];
        json!({
            "kind": "measure", "measure": id, "title": measure.title, "why": measure.why, "landings": landings, "quiet-rules": quiet,
            "only-from": measure.only_from(), "held": self.decision.verdict.is_held(), "start": self.decision.verdict.start.until_answered,
        })
    }

    fn blanks(&self, most: usize) -> Vec<Value> {
        self.decision
            .gaps
            .iter()
            .take(most)
            .map(|gap| {
                // A group none of whose questions was answered is asked for by what it is about.
                let ask = self
                    .rulebook
                    .questionnaire
                    .groups
                    .get(gap.group)
                    .map(|group| {
                        gap.fact
                            .and_then(|fact| group.questions.get(fact))
                            .map_or_else(|| group.about.clone(), |question| question.ask.clone())
                    })
                    .unwrap_or_default();
                let mut value = json!(gap);
                value["ask"] = json!(ask);
                value
            })
            .collect()
    }
}
