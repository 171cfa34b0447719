//! What differs in the questions. A question goes neither way: the rules that rest on it do.

use crate::compare::item::{Details, Item, What, paired};
use crate::compare::side::Side;
use crate::compare::way::Way;
use crate::questionnaire::{Kind, Question, Questionnaire};

/// A question with its name, `group.question`.
type Named<'a> = (String, &'a Question);

/// The questions and groups of both, in the order of their names.
pub(super) fn questions(old: &Side, new: &Side, items: &mut Vec<Item>) {
    let books = (&old.rulebook.questionnaire, &new.rulebook.questionnaire);
    for (before, after) in paired(&books.0.groups, &books.1.groups, |group| &group.id) {
        if let (Some(before), Some(after)) = (before, after) {
            let mut details = Details::default();
            details.words("title", &before.title, &after.title);
            details.words("about", &before.about, &after.about);
            let text = |it: &Option<String>| it.clone().unwrap_or_default();
            details.words("repeats", &text(&before.repeats), &text(&after.repeats));
            details.words("blank", &text(&before.blank), &text(&after.blank));
            let id = (after.id.as_str(), after.title.as_str());
            items.extend(Item::of("question-group", id, What::Changed, details.0));
        }
    }
    let (old, new) = (named(books.0), named(books.1));
    for pair in paired(&old, &new, |(name, _)| name) {
        let (what, of) = match pair {
            (Some(before), Some(after)) => {
                let details = changed(before.1, after.1);
                items.extend(Item::of(
                    "question",
                    (&after.0, &after.1.ask),
                    What::Changed,
                    details,
                ));
                continue;
            }
            (Some(only), None) => (What::Removed, only),
            (None, Some(only)) => (What::Added, only),
            (None, None) => continue,
        };
        items.extend(Item::of("question", (&of.0, &of.1.ask), what, Vec::new()));
    }
}

fn named(questionnaire: &Questionnaire) -> Vec<Named<'_>> {
    let groups = questionnaire.groups.iter();
    groups
        .flat_map(|group| {
            let questions = group.questions.iter();
            questions.map(|question| (format!("{}.{}", group.id, question.id), question))
        })
        .collect()
}

fn changed(before: &Question, after: &Question) -> Vec<crate::compare::item::Detail> {
    let mut details = Details::default();
    for ((part, before), (_, after)) in parts(before).into_iter().zip(parts(after)) {
        details.words(part, &before, &after);
    }
    let neither = |_: &str, _: bool| Way::Neither;
    let choices = |question: &Question| -> Vec<String> {
        let choices = question.choices.iter();
        choices
            .map(|choice| format!("{}: {}", choice.id, choice.words))
            .collect()
    };
    details.ids("choices", &choices(before), &choices(after), &neither);
    details.0
}

/// All of a question but its choices, part by part, as text.
fn parts(question: &Question) -> Vec<(&'static str, String)> {
    let yes = |it: bool| if it { "yes" } else { "" }.to_owned();
    let text = |it: &Option<String>| it.clone().unwrap_or_default();
    let number = |it: f64| {
        if it.is_finite() {
            it.to_string()
        } else {
            String::new()
        }
    };
    let unit = match question.kind {
        Kind::Number(unit) => unit.label(),
        _ => "",
    };
    let order: Vec<&str> = question.choices.iter().map(|it| it.id.as_str()).collect();
    let when: Vec<String> = question
        .asked_when
        .iter()
        .map(|(fact, phrase)| format!("{fact}: {phrase}"))
        .collect();
    vec![
        ("ask", question.ask.clone()),
        ("why", question.why.clone()),
        ("type", question.kind.word().to_owned()),
        ("unit", unit.to_owned()),
        ("min", number(question.min)),
        ("max", number(question.max)),
        (
            "tier",
            crate::questionnaire::TIERS[question.tier as usize].to_owned(),
        ),
        ("private", yes(question.private)),
        ("blank", question.blank.clone()),
        ("label", text(&question.label)),
        ("help", text(&question.help)),
        ("example", text(&question.example)),
        ("future", yes(question.future)),
        ("time", yes(question.time)),
        (
            "identifies",
            question
                .identifies
                .map_or_else(String::new, |it| it.word().to_owned()),
        ),
        ("asked-when", when.join(", ")),
        (
            "order",
            // The order of a level is its meaning.
            if question.kind == Kind::Level {
                order.join(", ")
            } else {
                String::new()
            },
        ),
    ]
}
