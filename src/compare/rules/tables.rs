//! What differs in the tables around the rules, in other sentences, in templates, and in what a practice says of itself.

use std::collections::BTreeMap;

use crate::compare::item::{Details, Item, What, paired};
use crate::compare::side::Side;
use crate::compare::way::Way;
use crate::rulebook::Referral;
use crate::wording::Practice;

/// Sentences whose things are compared as things.
const TOLD_ELSEWHERE: &[&str] = &[
    "measures.",
    "rules.",
    "questions.",
    "calls.",
    "referrals.",
    "contacts.",
    "cautions.",
    "next-step.",
];

/// A row that stands on paper for everybody's safety: gained is tighter, lost is looser.
fn row(
    kind: &'static str,
    (id, title): (&str, &str),
    what: What,
    mut details: Details,
) -> Option<Item> {
    match what {
        What::Added => details.part("row", None, Some(title.to_owned()), Way::Tightened),
        What::Removed => details.part("row", Some(title.to_owned()), None, Way::Loosened),
        What::Changed => {}
    }
    Item::of(kind, (id, title), what, details.0)
}

/// Rows of calls, follow-up contacts and cautions, and the referrals.
pub(super) fn tables(old: &Side, new: &Side, items: &mut Vec<Item>) {
    let (old, new) = (&old.rulebook.tables, &new.rulebook.tables);
    for pair in paired(&old.calls, &new.calls, |call| &call.id) {
        let mut details = Details::default();
        if let (Some(before), Some(after)) = pair {
            details.words("sign", &before.sign, &after.sign);
            details.words("now", &before.now, &after.now);
            details.words("call", &before.call, &after.call);
            details.words("how-soon", &before.how_soon, &after.how_soon);
        }
        items.extend(with(pair, |it, what| {
            row("call", (&it.id, &it.sign), what, details)
        }));
    }
    for pair in paired(&old.follow_ups, &new.follow_ups, |contact| &contact.id) {
        let mut details = Details::default();
        if let (Some(before), Some(after)) = pair {
            let day = |day: i32| Some(day.to_string());
            // The sooner the household hears from the consultant, the tighter.
            let way = Way::between(&before.day, &after.day).turned();
            details.part("day", day(before.day), day(after.day), way);
            details.words("title", &before.title, &after.title);
            details.words("tell", &before.tell, &after.tell);
        }
        items.extend(with(pair, |it, what| {
            row("contact", (&it.id, &it.title), what, details)
        }));
    }
    for pair in paired(&old.cautions, &new.cautions, |caution| &caution.id) {
        let mut details = Details::default();
        if let (Some(before), Some(after)) = pair {
            details.words("tell", &before.tell, &after.tell);
        }
        items.extend(with(pair, |it, what| {
            row("caution", (&it.id, &it.tell), what, details)
        }));
    }
    let named = |all: &BTreeMap<String, Referral>| -> Vec<(String, Referral)> {
        let all = all.iter();
        all.map(|(id, it)| (id.clone(), it.clone())).collect()
    };
    let (before, after) = (named(&old.referrals), named(&new.referrals));
    for pair in paired(&before, &after, |(id, _)| id) {
        let mut details = Details::default();
        if let (Some((_, before)), Some((_, after))) = pair {
            details.words("title", &before.title, &after.title);
            details.words("tell", &before.tell, &after.tell);
            details.words("who-arranges", &before.who_arranges, &after.who_arranges);
            details.words("when", &before.when, &after.when);
        }
        items.extend(with(pair, |(id, it), what| {
            Item::of("referral", (id, &it.title), what, details.0)
        }));
    }
}

/// The one that is shown of two, with what became of it.
fn with<T>(
    pair: (Option<&T>, Option<&T>),
    make: impl FnOnce(&T, What) -> Option<Item>,
) -> Option<Item> {
    match pair {
        (Some(_), Some(after)) => make(after, What::Changed),
        (Some(only), None) => make(only, What::Removed),
        (None, Some(only)) => make(only, What::Added),
        (None, None) => None,
    }
}

/// Texts by a name, where they differ.
fn texts(
    kind: &'static str,
    old: &BTreeMap<&str, &str>,
    new: &BTreeMap<&str, &str>,
    items: &mut Vec<Item>,
) {
    let keys: std::collections::BTreeSet<&str> = old.keys().chain(new.keys()).copied().collect();
    for key in keys {
        let (before, after) = (old.get(key).copied(), new.get(key).copied());
        let what = match (before, after) {
            (None, _) => What::Added,
            (_, None) => What::Removed,
            _ => What::Changed,
        };
        let mut details = Details::default();
        let own = |it: Option<&str>| it.map(str::to_owned);
        details.part("text", own(before), own(after), Way::Neither);
        if !details.0.is_empty() {
            items.extend(Item::of(kind, (key, ""), what, details.0));
        }
    }
}

/// Sentences of anything that is not compared as a thing: figures, sayings, what biting may gain, what is looked at.
pub(super) fn sentences(old: &Side, new: &Side, items: &mut Vec<Item>) {
    fn others(side: &Side) -> BTreeMap<&str, &str> {
        let sentences = side.sentences.iter();
        sentences
            .filter(|(key, _)| !TOLD_ELSEWHERE.iter().any(|start| key.starts_with(start)))
            .map(|(key, text)| (key.as_str(), text.as_str()))
            .collect()
    }
    texts("sentence", &others(old), &others(new), items);
    // Which sentences the practice has put in place of shipped ones.
    let neither = |_: &str, _: bool| Way::Neither;
    let mut details = Details::default();
    details.ids("replaced", &old.replaced, &new.replaced, &neither);
    items.extend(Item::of(
        "own-words",
        ("own-words", ""),
        What::Changed,
        details.0,
    ));
}

/// A practice's own templates.
pub(super) fn templates(old: &Side, new: &Side, items: &mut Vec<Item>) {
    fn own(side: &Side) -> BTreeMap<&str, &str> {
        let templates = &side.house.templates;
        templates
            .own()
            .map(|(name, _)| (name, templates.get(name).unwrap_or_default()))
            .collect()
    }
    texts("template", &own(old), &own(new), items);
}

/// How a practice's papers speak.
pub(super) fn settings(old: &Side, new: &Side, items: &mut Vec<Item>) {
    let (old, new) = (&old.house.practice, &new.house.practice);
    let mut details = Details::default();
    for ((part, before), (_, after)) in said(old).into_iter().zip(said(new)) {
        details.words(part, &before, &after);
    }
    items.extend(Item::of(
        "settings",
        ("settings", ""),
        What::Changed,
        details.0,
    ));
}

fn said(practice: &Practice) -> Vec<(&'static str, String)> {
    let text = |it: &Option<String>| it.clone().unwrap_or_default();
    let word = |it: &dyn std::fmt::Debug| format!("{it:?}").to_lowercase();
    vec![
        ("opening", text(&practice.opening)),
        ("closing", text(&practice.closing)),
        ("paper", word(&practice.paper)),
        (
            "large-print",
            if practice.large_print { "yes" } else { "no" }.to_owned(),
        ),
        ("sign-distance", format!("{} cm", practice.sign_distance_cm)),
        ("language", practice.language.clone()),
        ("units", word(&practice.units)),
        ("spelling", word(&practice.spelling)),
    ]
}
