//! What differs in measures.

use crate::compare::item::{Details, Item, What, paired};
use crate::compare::side::Side;
use crate::compare::way::Way;
use crate::rulebook::{Layer, Measure, MeasureKind, Start, Urgency};

use super::rule::layer;

/// The measures of both, in the order of their ids.
pub(super) fn measures(old: &Side, new: &Side, items: &mut Vec<Item>) {
    let of =
        |side: &'_ Side| -> Vec<Measure> { side.rulebook.measures.values().cloned().collect() };
    let (old, new) = (of(old), of(new));
    for pair in paired(&old, &new, |measure| &measure.id) {
        items.extend(match pair {
            (Some(before), Some(after)) => changed(before, after),
            (Some(only), None) => one(only, What::Removed),
            (None, Some(only)) => one(only, What::Added),
            (None, None) => None,
        });
    }
}

/// A measure that only one set has. It does nothing of itself: the rules that ask for it tell which way they went.
fn one(measure: &Measure, what: What) -> Option<Item> {
    let mut details = Details::default();
    let (key, words) = main_words(measure);
    if what == What::Added {
        details.words(key, "", words);
    } else {
        details.words(key, words, "");
    }
    Item::of("measure", (&measure.id, &measure.title), what, details.0)
        .map(|item| item.of_practice(measure.layer == Layer::Practice))
}

fn main_words(measure: &Measure) -> (&'static str, &str) {
    match &measure.kind {
        MeasureKind::Do { what, .. } => ("do", what),
        MeasureKind::Never { what, .. } => ("never", what),
    }
}

fn changed(before: &Measure, after: &Measure) -> Option<Item> {
    let mut details = Details::default();
    let neither = |_: &str, _: bool| Way::Neither;
    details.words("title", &before.title, &after.title);
    match (&before.kind, &after.kind) {
        (
            MeasureKind::Do {
                what,
                who,
                when,
                start,
                done,
                only_from,
                starts_when,
                covers,
                comes_before,
            },
            MeasureKind::Do {
                what: what_0,
                who: who_0,
                when: when_0,
                start: start_0,
                done: done_0,
                only_from: only_from_0,
                starts_when: starts_when_0,
                covers: covers_0,
                comes_before: comes_before_0,
            },
        ) => {
            details.words("do", what, what_0);
            details.words("who", who, who_0);
            details.words("when", when, when_0);
            let word = |it: &Urgency| Some(it.word().to_owned());
            details.part(
                "how-soon",
                word(start),
                word(start_0),
                how_soon(*start, *start_0),
            );
            details.words("done", done, done_0);
            let mode = |it: &Option<Start>| it.map(|it| it.word().to_owned());
            // What waits for a start mode is practice, and stands on paper only once that mode is open.
            let waits = Way::between(&only_from.is_none(), &only_from_0.is_none());
            details.part("only-from", mode(only_from), mode(only_from_0), waits);
            let text = |it: &Option<String>| it.clone().unwrap_or_default();
            details.words("starts-when", &text(starts_when), &text(starts_when_0));
            details.ids("covers", covers, covers_0, &neither);
            details.ids("comes-before", comes_before, comes_before_0, &neither);
        }
        (
            MeasureKind::Never {
                what,
                instead,
                rules_out,
            },
            MeasureKind::Never {
                what: what_0,
                instead: instead_0,
                rules_out: rules_out_0,
            },
        ) => {
            details.words("never", what, what_0);
            details.words("instead", instead, instead_0);
            details.ids("rules-out", rules_out, rules_out_0, &neither);
        }
        _ => {
            let both = |measure: &Measure| {
                let (key, words) = main_words(measure);
                Some(format!("{key}: {words}"))
            };
            details.part("kind", both(before), both(after), Way::Either);
        }
    }
    details.words("why", &before.why, &after.why);
    let of = |measure: &Measure| {
        let of = if measure.for_person {
            "person"
        } else {
            "household"
        };
        Some(of.to_owned())
    };
    details.part("for", of(before), of(after), Way::Either);
    details.words("control", before.control.word(), after.control.word());
    details.words("step", before.step.word(), after.step.word());
    details.ids("source", &before.source, &after.source, &neither);
    details.words("layer", layer(before.layer), layer(after.layer));
    Item::of(
        "measure",
        (&after.id, &after.title),
        What::Changed,
        details.0,
    )
    .map(|item| item.of_practice(after.layer == Layer::Practice))
}

/// Sooner is tighter; a standing order is neither sooner nor later than a day.
fn how_soon(before: Urgency, after: Urgency) -> Way {
    if before == after {
        Way::Neither
    } else if [before, after].contains(&Urgency::WhenItHappens) {
        Way::Either
    } else {
        Way::between(&before, &after).turned()
    }
}
