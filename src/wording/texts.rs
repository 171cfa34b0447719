//! Every sentence a household can read, with its key: `measures.quiet-hours.do`, `questions.people.questions.age.ask`.

use crate::questionnaire::{Choice, Questionnaire};
use crate::rulebook::{LogBook, MeasureKind, Rulebook};

/// Shows every text of a rulebook with its key. The order is that of the rulebook.
pub fn of_rulebook(rulebook: &mut Rulebook, visit: &mut dyn FnMut(&str, &mut String)) {
    measures(rulebook, visit);
    for rule in &mut rulebook.rules {
        visit(&format!("rules.{}.tell", rule.id), &mut rule.tell);
    }
    for gate in &mut rulebook.gates {
        visit(&format!("rules.{}.tell", gate.id), &mut gate.tell);
        for (at, need) in gate.needs.iter_mut().enumerate() {
            visit(&format!("rules.{}.needs.{at}", gate.id), &mut need.prove);
        }
    }
    questions(&mut rulebook.questionnaire, visit);
    derived(rulebook, visit);
    let tables = &mut rulebook.tables;
    for call in &mut tables.calls {
        let key = format!("calls.{}", call.id);
        visit(&format!("{key}.sign"), &mut call.sign);
        visit(&format!("{key}.now"), &mut call.now);
        visit(&format!("{key}.call"), &mut call.call);
        visit(&format!("{key}.how-soon"), &mut call.how_soon);
    }
    for (id, referral) in &mut tables.referrals {
        let key = format!("referrals.{id}");
        visit(&format!("{key}.title"), &mut referral.title);
        visit(&format!("{key}.tell"), &mut referral.tell);
        visit(&format!("{key}.who-arranges"), &mut referral.who_arranges);
        visit(&format!("{key}.when"), &mut referral.when);
    }
    for contact in &mut tables.follow_ups {
        let key = format!("contacts.{}", contact.id);
        visit(&format!("{key}.title"), &mut contact.title);
        visit(&format!("{key}.tell"), &mut contact.tell);
    }
    for caution in &mut tables.cautions {
        visit(&format!("cautions.{}.tell", caution.id), &mut caution.tell);
    }
    for function in &mut rulebook.functions.functions {
        let key = format!("functions.functions.{}", function.id);
        visit(&format!("{key}.title"), &mut function.title);
        visit(&format!("{key}.tell"), &mut function.tell);
        visit(&format!("{key}.watch"), &mut function.watch);
    }
    for (id, procedure) in &mut rulebook.functions.procedures {
        let key = format!("functions.procedures.{id}");
        visit(&format!("{key}.title"), &mut procedure.title);
        visit(&format!("{key}.tell"), &mut procedure.tell);
        visit(&format!("{key}.not-when"), &mut procedure.not_when);
    }
    for figure in &mut rulebook.figures {
        visit(&format!("figures.{}.tell", figure.id), &mut figure.tell);
    }
    rulebook.sayings.texts(&mut |part, key, field, text| {
        visit(&format!("sayings.{part}.{key}.{field}"), text);
    });
}

/// Shows the texts of the rules of the next step and of what they ask to look at.
pub fn of_log_book(book: &mut LogBook, visit: &mut dyn FnMut(&str, &mut String)) {
    for rule in &mut book.rules {
        visit(&format!("next-step.{}.tell", rule.id), &mut rule.tell);
    }
    for check in &mut book.checks {
        visit(&format!("checks.{}.tell", check.id), &mut check.tell);
    }
}

fn measures(rulebook: &mut Rulebook, visit: &mut dyn FnMut(&str, &mut String)) {
    for (id, measure) in &mut rulebook.measures {
        let mut at = |field: &str, text: &mut String| {
            visit(&format!("measures.{id}.{field}"), text);
        };
        at("title", &mut measure.title);
        match &mut measure.kind {
            MeasureKind::Do {
                what,
                who,
                when,
                done,
                starts_when,
                ..
            } => {
                at("do", what);
                at("who", who);
                at("when", when);
                at("done", done);
                if let Some(text) = starts_when {
                    at("starts-when", text);
                }
            }
            MeasureKind::Never { what, instead, .. } => {
                at("never", what);
                at("instead", instead);
            }
        }
        at("why", &mut measure.why);
    }
}

fn questions(questionnaire: &mut Questionnaire, visit: &mut dyn FnMut(&str, &mut String)) {
    for group in &mut questionnaire.groups {
        let of_group = format!("questions.{}", group.id);
        visit(&format!("{of_group}.title"), &mut group.title);
        if let Some(text) = &mut group.blank {
            visit(&format!("{of_group}.blank"), text);
        }
        for question in &mut group.questions {
            let key = format!("{of_group}.questions.{}", question.id);
            visit(&format!("{key}.ask"), &mut question.ask);
            visit(&format!("{key}.blank"), &mut question.blank);
            if let Some(text) = &mut question.label {
                visit(&format!("{key}.label"), text);
            }
            for choice in &mut question.choices {
                visit(&format!("{key}.choices.{}", choice.id), &mut choice.words);
            }
        }
    }
}

/// What is worked out has a title, and a label where the plan lists it. Its choices are those of a question.
fn derived(rulebook: &mut Rulebook, visit: &mut dyn FnMut(&str, &mut String)) {
    let places: Vec<_> = rulebook
        .vocabulary
        .derived
        .iter()
        .map(|(at, _)| (*at, rulebook.vocabulary.name(*at)))
        .collect();
    for (at, name) in places {
        let fact = &mut rulebook.vocabulary.groups[at.group].facts[at.fact];
        let key = format!("facts.{name}");
        visit(&format!("{key}.title"), &mut fact.title);
        if let Some(text) = &mut fact.label {
            visit(&format!("{key}.label"), text);
        }
    }
}

/// Brings the words of the questions to the facts they became.
pub(super) fn settle(rulebook: &mut Rulebook) {
    let groups = rulebook.vocabulary.groups.iter_mut();
    for (facts, group) in groups.zip(&rulebook.questionnaire.groups) {
        facts.title.clone_from(&group.title);
        for (fact, question) in facts.facts.iter_mut().zip(&group.questions) {
            fact.title.clone_from(&question.ask);
            fact.label.clone_from(&question.label);
            fact.choices.clone_from(&question.choices);
        }
    }
    for (at, _) in rulebook.vocabulary.derived.clone() {
        let fact = &mut rulebook.vocabulary.groups[at.group].facts[at.fact];
        let asked = rulebook
            .questionnaire
            .groups
            .iter()
            .flat_map(|group| &group.questions)
            .find(|question| {
                let ids = |choices: &[Choice]| -> Vec<String> {
                    choices.iter().map(|choice| choice.id.clone()).collect()
                };
                !fact.choices.is_empty() && ids(&question.choices) == ids(&fact.choices)
            });
        if let Some(question) = asked {
            fact.choices.clone_from(&question.choices);
        }
    }
}
