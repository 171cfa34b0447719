//! What differs in rules, gates and the rules of the next step.

use crate::compare::breadth;
use crate::compare::item::{Details, Item, What, paired};
use crate::compare::measures::{is_practice, stand_in};
use crate::compare::side::Side;
use crate::compare::way::Way;
use crate::facts::Vocabulary;
use crate::language::Condition;
use crate::papers::catalogue::condition_lines;
use crate::rulebook::{Gate, Layer, NextRule, NextThen, Priority, Rule, Rulebook, Then};

/// The rules of both, in the order of their ids.
pub(super) fn rules(old: &Side, new: &Side, items: &mut Vec<Item>) {
    let books = (&old.rulebook, &new.rulebook);
    for pair in paired(&books.0.rules, &books.1.rules, |rule| &rule.id) {
        items.extend(rule(books, pair));
    }
}

fn what_of<T>(pair: (Option<&T>, Option<&T>)) -> What {
    match pair {
        (None, _) => What::Added,
        (_, None) => What::Removed,
        _ => What::Changed,
    }
}

fn rule((old, new): (&Rulebook, &Rulebook), pair: (Option<&Rule>, Option<&Rule>)) -> Option<Item> {
    let shown = pair.1.or(pair.0)?;
    let nothing = Then::default();
    let thens = (
        pair.0.map_or(&nothing, |rule| &rule.then),
        pair.1.map_or(&nothing, |rule| &rule.then),
    );
    let mut details = Details::default();
    then(&mut details, (old, new), thens);
    when(
        &mut details,
        pair.0.map(|rule| (&rule.when, &old.vocabulary)),
        pair.1.map(|rule| (&rule.when, &new.vocabulary)),
        moves(old, thens.0) || moves(new, thens.1),
    );
    let all = |rule: &Rule| (rule.each_person, rule.floor, rule.review_by);
    let (before, after) = (pair.0.map(all), pair.1.map(all));
    if let (Some(before), Some(after)) = (before, after) {
        // A rule of each person tells of other people than a rule of the household.
        details.mark("for-each-person", before.0, after.0, Way::Either);
        details.mark("floor", before.1, after.1, Way::Tightened);
        let day = |it: Option<jiff::civil::Date>| it.map_or_else(String::new, |it| it.to_string());
        details.words("review-by", &day(before.2), &day(after.2));
    }
    let departure = |book: &Rulebook, rule: &Rule| -> Option<String> {
        let by = rule.departed.as_ref()?.by;
        book.departures.get(by).map(|it| it.id.clone())
    };
    details.part(
        "departure",
        pair.0.and_then(|rule| departure(old, rule)),
        pair.1.and_then(|rule| departure(new, rule)),
        Way::Neither,
    );
    if let (Some(before), Some(after)) = pair {
        details.words("title", &before.title, &after.title);
        details.words("why", &before.why, &after.why);
        details.words("tell", &before.tell, &after.tell);
        details.words(
            "priority",
            Priority::WORDS[before.priority as usize],
            Priority::WORDS[after.priority as usize],
        );
        let between = |book: &Rulebook, rule: &Rule| -> Vec<String> {
            let names = rule.between.iter().map(|at| book.vocabulary.name(*at));
            names.collect()
        };
        let neither = |_: &str, _: bool| Way::Neither;
        details.ids(
            "between",
            &between(old, before),
            &between(new, after),
            &neither,
        );
        details.ids("source", &before.source, &after.source, &neither);
        details.words("layer", layer(before.layer), layer(after.layer));
        details.words("topic", &before.topic, &after.topic);
    }
    let practice = shown.layer == Layer::Practice;
    Item::of("rule", (&shown.id, &shown.title), what_of(pair), details.0)
        .map(|item| item.of_practice(practice))
}

pub(super) fn layer(layer: Layer) -> &'static str {
    match layer {
        Layer::Base => "base",
        Layer::Practice => "practice",
    }
}

/// True when a rule keeps anyone safe by its word: it moves an ordered outcome, or asks for anything but practice.
fn moves(book: &Rulebook, then: &Then) -> bool {
    then.is_guard()
        || !then.never.is_empty()
        || !then.refer.is_empty()
        || then.do_.iter().any(|id| !is_practice(book, id))
}

fn then(details: &mut Details, (old, new): (&Rulebook, &Rulebook), thens: (&Then, &Then)) {
    let (before, after) = thens;
    details.ordered("risk", before.risk, after.risk);
    details.ordered("start", before.start, after.start);
    details.ordered("contact", before.contact, after.contact);
    details.ordered("vet", before.vet, after.vet);
    let asked = |then: &Then| -> Vec<String> { [then.do_.clone(), then.never.clone()].concat() };
    let (asked_before, asked_after) = (asked(before), asked(after));
    let way = |id: &str, gained: bool| {
        // Whether something stands in its place is a matter of the side that does not ask for it.
        let ((with, _), (without, others)) = if gained {
            ((new, &asked_after), (old, &asked_before))
        } else {
            ((old, &asked_before), (new, &asked_after))
        };
        let replaced = stand_in(without, others.iter().map(String::as_str), id).is_some();
        if replaced || is_practice(with, id) {
            Way::Neither
        } else {
            Way::Tightened
        }
    };
    details.ids("do", &before.do_, &after.do_, &way);
    details.ids("never", &before.never, &after.never, &way);
    details.ids("refer", &before.refer, &after.refer, &|_, _| Way::Tightened);
    details.ids("ask", &before.ask, &after.ask, &|_, _| Way::Neither);
}

type Named<'a> = (&'a Condition, &'a Vocabulary);

/// The condition. `matters`: whether it keeps anyone safe that the rule speaks.
fn when(details: &mut Details, old: Option<Named<'_>>, new: Option<Named<'_>>, matters: bool) {
    let way = match (old, new) {
        (Some(old), Some(new)) if matters => breadth::way(old, new),
        _ => Way::Neither,
    };
    details.part("when", old.map(lines), new.map(lines), way);
}

fn lines((condition, names): Named<'_>) -> String {
    condition_lines(names, condition).join("\n")
}

/// The gates of both, in the order of their ids.
pub(super) fn gates(old: &Side, new: &Side, items: &mut Vec<Item>) {
    let books = (&old.rulebook, &new.rulebook);
    for pair in paired(&books.0.gates, &books.1.gates, |gate| &gate.id) {
        items.extend(gate(books, pair));
    }
}

fn gate((old, new): (&Rulebook, &Rulebook), pair: (Option<&Gate>, Option<&Gate>)) -> Option<Item> {
    let shown = pair.1.or(pair.0)?;
    let mut details = Details::default();
    details.ordered(
        "opens",
        pair.0.map(|gate| gate.opens),
        pair.1.map(|gate| gate.opens),
    );
    let needs =
        |gate: &Gate| Condition::All(gate.needs.iter().map(|need| need.when.clone()).collect());
    let (before, after) = (pair.0.map(needs), pair.1.map(needs));
    let way = match (&before, &after) {
        // What is proven for more cases opens for more: looser.
        (Some(before), Some(after)) => {
            breadth::way((before, &old.vocabulary), (after, &new.vocabulary)).turned()
        }
        _ => Way::Neither,
    };
    let told = |it: Option<&Condition>, book: &Rulebook| it.map(|it| lines((it, &book.vocabulary)));
    details.part(
        "needs",
        told(before.as_ref(), old),
        told(after.as_ref(), new),
        way,
    );
    if let (Some(before), Some(after)) = pair {
        let prove = |gate: &Gate| -> Vec<String> {
            gate.needs.iter().map(|need| need.prove.clone()).collect()
        };
        let neither = |_: &str, _: bool| Way::Neither;
        details.ids("prove", &prove(before), &prove(after), &neither);
        details.words("title", &before.title, &after.title);
        details.words("why", &before.why, &after.why);
        details.words("tell", &before.tell, &after.tell);
        details.ids("source", &before.source, &after.source, &neither);
        details.words("layer", layer(before.layer), layer(after.layer));
    }
    let practice = shown.layer == Layer::Practice;
    Item::of("gate", (&shown.id, &shown.title), what_of(pair), details.0)
        .map(|item| item.of_practice(practice))
}

/// The rules of the next step of both, in the order of their ids.
pub(super) fn next_steps(old: &Side, new: &Side, items: &mut Vec<Item>) {
    let names = (&old.book.vocabulary, &new.book.vocabulary);
    for pair in paired(&old.book.rules, &new.book.rules, |rule| &rule.id) {
        items.extend(next_step(names, pair));
    }
}

fn next_step(
    (old, new): (&Vocabulary, &Vocabulary),
    pair: (Option<&NextRule>, Option<&NextRule>),
) -> Option<Item> {
    let shown = pair.1.or(pair.0)?;
    let nothing = NextThen::default();
    let before = pair.0.map_or(&nothing, |rule| &rule.then);
    let after = pair.1.map_or(&nothing, |rule| &rule.then);
    let mut details = Details::default();
    details.ordered("begin", before.begin, after.begin);
    details.ordered("cap", before.cap, after.cap);
    details.mark("shorter", before.shorter, after.shorter, Way::Tightened);
    details.ordered("after", before.after, after.after);
    details.ordered("work", before.work, after.work);
    details.ordered("tell-consultant", before.tell, after.tell);
    let neither = |_: &str, _: bool| Way::Neither;
    details.ids("check", &before.check, &after.check, &neither);
    when(
        &mut details,
        pair.0.map(|rule| (&rule.when, old)),
        pair.1.map(|rule| (&rule.when, new)),
        before.tightens() || after.tightens(),
    );
    if let (Some(before), Some(after)) = pair {
        details.words("title", &before.title, &after.title);
        details.words("why", &before.why, &after.why);
        details.words("tell", &before.tell, &after.tell);
        details.ids("covers", &before.covers, &after.covers, &neither);
        details.ids("source", &before.source, &after.source, &neither);
    }
    Item::of(
        "next-step",
        (&shown.id, &shown.title),
        what_of(pair),
        details.0,
    )
}
