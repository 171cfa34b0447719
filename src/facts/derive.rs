//! Facts worked out from the answers. Each may know less than its answers, never more: where an answer is missing,
//! the fact is blank or lies between bounds, so that filling a blank can only narrow it.

use crate::answers::Answers;
use crate::figures::weight::fall_percent;
use crate::language::condition::FactRef;

use super::{Items, Value, Vocabulary};

/// Fills one derived fact.
pub type Fill = fn(&Case<'_>, &mut [Items], FactRef);

/// Every derived fact with its type, in the order of computing.
pub const ALL: &[(&str, &str, Fill)] = &[
    ("bird.size-class", "level", size_class),
    ("tally.bites", "number", bites),
    ("tally.worst-injury", "level", |case, groups, at| {
        worst(case, groups, at, None)
    }),
    ("tally.worst-injury-30-days", "level", |case, groups, at| {
        worst(case, groups, at, Some(30.0))
    }),
    ("tally.worst-injury-90-days", "level", |case, groups, at| {
        worst(case, groups, at, Some(90.0))
    }),
    ("tally.bites-30-days", "number", |case, groups, at| {
        recent(case, groups, at, 30.0)
    }),
    ("tally.bites-90-days", "number", |case, groups, at| {
        recent(case, groups, at, 90.0)
    }),
    ("tally.days-since-bite", "number", days_since_bite),
    ("tally.weight-fall", "number", weight_fall),
    ("people.bitten", "yes-no", |case, groups, at| {
        of_person(case, groups, at, bitten)
    }),
    ("people.worst-injury", "level", |case, groups, at| {
        of_person(case, groups, at, worst_of)
    }),
    ("people.days-since-bitten", "number", |case, groups, at| {
        of_person(case, groups, at, newest_of)
    }),
    ("people.distance-known", "yes-no", distance_known),
    ("bites.person-age", "number", |case, groups, at| {
        of_bite(case, groups, at, "age")
    }),
    ("bites.person-role", "choice", |case, groups, at| {
        of_bite(case, groups, at, "role")
    }),
    ("bites.person-vulnerable", "choices", |case, groups, at| {
        of_bite(case, groups, at, "vulnerable")
    }),
];

/// Weights that part the size classes, in grams. Common practice, no source.
const SIZE_EDGES_G: [f64; 2] = [120.0, 500.0];

/// What derived facts are worked out from.
pub struct Case<'a> {
    vocabulary: &'a Vocabulary,
    answers: &'a Answers,
}

/// Fills all derived facts.
pub fn fill(vocabulary: &Vocabulary, answers: &Answers, groups: &mut [Items]) {
    let case = Case {
        vocabulary,
        answers,
    };
    for (at, fill) in &vocabulary.derived {
        fill(&case, groups, *at);
    }
}

impl Case<'_> {
    fn at(&self, name: &str) -> Option<FactRef> {
        self.vocabulary.find(name)
    }

    fn name(&self, at: FactRef, item: usize) -> Option<&str> {
        self.answers.text(at.group, Some(item), at.fact)
    }
}

fn set(groups: &mut [Items], at: FactRef, value: Value) {
    if let Items::Once(values) = &mut groups[at.group] {
        values[at.fact] = value;
    }
}

fn set_item(groups: &mut [Items], at: FactRef, item: usize, value: Value) {
    if let Items::Many(Some(items)) = &mut groups[at.group] {
        items[item][at.fact] = value;
    }
}

fn once(groups: &[Items], at: FactRef) -> Value {
    match &groups[at.group] {
        Items::Once(values) => values[at.fact].clone(),
        Items::Many(_) => Value::UNANSWERED,
    }
}

fn items(groups: &[Items], group: usize) -> Option<&[Vec<Value>]> {
    match &groups[group] {
        Items::Many(Some(items)) => Some(items),
        _ => None,
    }
}

/// The levels a value can still have, of a scale with `top` as its strongest.
fn level_span(value: &Value, top: u8) -> (u8, u8) {
    match value {
        Value::Level { low, high } => (*low, *high),
        _ => (0, top),
    }
}

/// A span that says nothing is a blank.
fn level_value(low: u8, high: u8, top: u8) -> Value {
    if low == 0 && high == top {
        Value::UNANSWERED
    } else {
        Value::Level { low, high }
    }
}

fn size_class(case: &Case<'_>, groups: &mut [Items], at: FactRef) {
    let (Some(weight), Some(size)) = (case.at("bird.weight"), case.at("bird.size")) else {
        return;
    };
    let value = match once(groups, weight) {
        Value::Number { low, .. } => Value::level(
            u8::try_from(
                SIZE_EDGES_G
                    .iter()
                    .enumerate()
                    .filter(|(at, edge)| {
                        // 120 g is medium, 500 g is medium: small is under the first edge, large is over the second.
                        if *at == 0 {
                            low >= **edge
                        } else {
                            low > **edge
                        }
                    })
                    .count(),
            )
            .unwrap_or(2),
        ),
        _ => once(groups, size),
    };
    set(groups, at, value);
}

fn bites(case: &Case<'_>, groups: &mut [Items], at: FactRef) {
    let Some(date) = case.at("bites.date") else {
        return;
    };
    if let Some(items) = items(groups, date.group) {
        let count = items.len() as f64;
        set(groups, at, Value::number(count));
    }
}

/// How surely a date lies within the last `days`: (surely, possibly).
fn within(date: &Value, days: f64) -> (bool, bool) {
    match date {
        Value::Number { low, high } => (*high <= days, *low <= days),
        _ => (false, true),
    }
}

fn worst(case: &Case<'_>, groups: &mut [Items], at: FactRef, days: Option<f64>) {
    let (Some(date), Some(injury)) = (case.at("bites.date"), case.at("bites.injury")) else {
        return;
    };
    let top = (case.vocabulary.fact(injury).choices.len().max(1) - 1) as u8;
    let Some(items) = items(groups, injury.group) else {
        return;
    };
    let (mut low, mut high) = (0, 0);
    for item in items {
        let (surely, possibly) = days.map_or((true, true), |days| within(&item[date.fact], days));
        let (least, most) = level_span(&item[injury.fact], top);
        if surely {
            low = low.max(least);
        }
        if possibly {
            high = high.max(most);
        }
    }
    set(groups, at, level_value(low, high, top));
}

fn recent(case: &Case<'_>, groups: &mut [Items], at: FactRef, days: f64) {
    let Some(date) = case.at("bites.date") else {
        return;
    };
    let Some(items) = items(groups, date.group) else {
        return;
    };
    let (mut low, mut high) = (0.0, 0.0);
    for item in items {
        let (surely, possibly) = within(&item[date.fact], days);
        low += f64::from(u8::from(surely));
        high += f64::from(u8::from(possibly));
    }
    set(groups, at, Value::Number { low, high });
}

/// The newest of some days gone by: it can be no older than the newest that is surely known, and as new as the newest that
/// may be.
fn newest<'v>(dates: impl Iterator<Item = &'v Value>) -> Option<Value> {
    let (mut low, mut high) = (f64::INFINITY, f64::INFINITY);
    let mut any = false;
    for date in dates {
        any = true;
        match date {
            Value::Number { low: l, high: h } => {
                low = low.min(*l);
                high = high.min(*h);
            }
            _ => low = 0.0,
        }
    }
    any.then(|| {
        if low <= 0.0 && high.is_infinite() {
            Value::UNANSWERED
        } else {
            Value::Number { low, high }
        }
    })
}

fn days_since_bite(case: &Case<'_>, groups: &mut [Items], at: FactRef) {
    let Some(date) = case.at("bites.date") else {
        return;
    };
    let Some(items) = items(groups, date.group) else {
        return;
    };
    let value = newest(items.iter().map(|item| &item[date.fact])).unwrap_or(Value::NotApplicable);
    set(groups, at, value);
}

fn weight_fall(case: &Case<'_>, groups: &mut [Items], at: FactRef) {
    let (Some(date), Some(weight)) = (case.at("weights.date"), case.at("weights.weight")) else {
        return;
    };
    let Some(items) = items(groups, weight.group) else {
        return;
    };
    if items.len() < 2 {
        // One weighing, or none, has nothing to be compared with.
        set(groups, at, Value::NotApplicable);
        return;
    }
    let mut series = Vec::new();
    for item in items {
        match (&item[date.fact], &item[weight.fact]) {
            // Two weighings whose order is open cannot be told apart as earlier and later.
            (Value::Number { low, high }, Value::Number { low: grams, .. }) if low == high => {
                series.push((-*low, *grams));
            }
            _ => return,
        }
    }
    series.sort_by(|a, b| a.0.total_cmp(&b.0));
    if let Some(percent) = fall_percent(&series) {
        set(groups, at, Value::number(percent));
    }
}

/// What is known of the bites to one person: for each bite, whether it is theirs (`None` = not known), and its values.
struct BitesTo<'g> {
    bites: Vec<(Option<bool>, &'g [Value])>,
    date: usize,
    injury: usize,
    top: u8,
}

fn of_person(case: &Case<'_>, groups: &mut [Items], at: FactRef, work: fn(&BitesTo<'_>) -> Value) {
    let (Some(name), Some(person), Some(date), Some(injury)) = (
        case.at("people.name"),
        case.at("bites.person"),
        case.at("bites.date"),
        case.at("bites.injury"),
    ) else {
        return;
    };
    let top = (case.vocabulary.fact(injury).choices.len().max(1) - 1) as u8;
    let count = items(groups, at.group).map_or(0, <[_]>::len);
    for item in 0..count {
        let value = {
            let Some(bites) = items(groups, person.group) else {
                continue;
            };
            let name = case.name(name, item);
            let bites = bites
                .iter()
                .enumerate()
                .map(|(bite, values)| {
                    let theirs = match (name, case.name(person, bite)) {
                        (Some(name), Some(bitten)) => Some(name == bitten),
                        _ => None,
                    };
                    (theirs, values.as_slice())
                })
                .filter(|(theirs, _)| *theirs != Some(false))
                .collect();
            work(&BitesTo {
                bites,
                date: date.fact,
                injury: injury.fact,
                top,
            })
        };
        set_item(groups, at, item, value);
    }
}

/// Bitten: at least one bite with contact. A threat is no bite.
fn bitten(to: &BitesTo<'_>) -> Value {
    let mut open = false;
    for (theirs, values) in &to.bites {
        let (least, most) = level_span(&values[to.injury], to.top);
        if theirs.is_some() && least > 0 {
            return Value::YesNo(true);
        }
        open |= most > 0;
    }
    if open {
        Value::UNANSWERED
    } else {
        Value::YesNo(false)
    }
}

fn worst_of(to: &BitesTo<'_>) -> Value {
    let (mut low, mut high) = (0, 0);
    for (theirs, values) in &to.bites {
        let (least, most) = level_span(&values[to.injury], to.top);
        if theirs.is_some() {
            low = low.max(least);
        }
        high = high.max(most);
    }
    level_value(low, high, to.top)
}

fn newest_of(to: &BitesTo<'_>) -> Value {
    let mut surely = Vec::new();
    let mut open = f64::INFINITY;
    for (theirs, values) in &to.bites {
        let (least, most) = level_span(&values[to.injury], to.top);
        let date = &values[to.date];
        if theirs.is_some() && least > 0 {
            surely.push(date);
        } else if most > 0 {
            open = open.min(match date {
                Value::Number { low, .. } => *low,
                _ => 0.0,
            });
        }
    }
    let sure = newest(surely.into_iter());
    match (sure, open.is_finite()) {
        (None, false) => Value::NotApplicable,
        (None, true) => Value::UNANSWERED,
        (Some(value), false) => value,
        (Some(Value::Number { low, high }), true) => Value::Number {
            low: low.min(open),
            high,
        },
        (Some(_), true) => Value::UNANSWERED,
    }
}

fn distance_known(case: &Case<'_>, groups: &mut [Items], at: FactRef) {
    let (Some(name), Some(person), Some(calm)) = (
        case.at("people.name"),
        case.at("distances.person"),
        case.at("distances.calm-eating"),
    ) else {
        return;
    };
    let count = items(groups, at.group).map_or(0, <[_]>::len);
    for item in 0..count {
        let Some(distances) = items(groups, person.group) else {
            continue;
        };
        let mut value = Value::YesNo(false);
        for (distance, values) in distances.iter().enumerate() {
            let theirs = match (case.name(name, item), case.name(person, distance)) {
                (Some(name), Some(other)) => Some(name == other),
                _ => None,
            };
            let measured = !values[calm.fact].is_blank();
            match theirs {
                Some(true) if measured => {
                    value = Value::YesNo(true);
                    break;
                }
                // Measured for someone who may be this person, or perhaps measured for this person.
                Some(true) | None => value = Value::UNANSWERED,
                Some(false) => {}
            }
        }
        set_item(groups, at, item, value);
    }
}

/// A fact of the person a bite names.
fn of_bite(case: &Case<'_>, groups: &mut [Items], at: FactRef, fact: &str) {
    let (Some(name), Some(person), Some(wanted)) = (
        case.at("people.name"),
        case.at("bites.person"),
        case.at(&format!("people.{fact}")),
    ) else {
        return;
    };
    let count = items(groups, at.group).map_or(0, <[_]>::len);
    for item in 0..count {
        let Some(bitten) = case.name(person, item) else {
            continue;
        };
        let people = items(groups, name.group).map_or(0, <[_]>::len);
        let found = (0..people).find(|at| case.name(name, *at) == Some(bitten));
        let value = match found.and_then(|at| items(groups, wanted.group)?.get(at)) {
            Some(values) => values[wanted.fact].clone(),
            None => Value::UNANSWERED,
        };
        set_item(groups, at, item, value);
    }
}
