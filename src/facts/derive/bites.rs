//! Facts counted from the record of bites: of the whole record, of each person, and of the person each bite names.

use crate::language::condition::FactRef;

use super::super::Value;
use super::super::case::Case;

/// Days that count as the last month and the last quarter.
const MONTH_DAYS: f64 = 30.0;
const QUARTER_DAYS: f64 = 90.0;

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

/// How many entries the record has.
pub(super) fn count(case: &Case<'_>) -> Value {
    case.entries(case.vocabulary.slots.bite_date)
        .map_or(Value::UNANSWERED, |bites| Value::number(bites.len() as f64))
}

/// The strongest injury a bite can be told with.
fn top(case: &Case<'_>, injury: FactRef) -> u8 {
    (case.vocabulary.fact(injury).choices.len().max(1) - 1) as u8
}

/// How surely a date lies within the last `days`: (surely, possibly).
fn within(date: &Value, days: f64) -> (bool, bool) {
    match date {
        Value::Number { low, high } => (*high <= days, *low <= days),
        _ => (false, true),
    }
}

/// The worst injury in the record.
pub(super) fn worst_ever(case: &Case<'_>) -> Value {
    worst(case, None)
}

/// The worst injury of the last month.
pub(super) fn worst_of_month(case: &Case<'_>) -> Value {
    worst(case, Some(MONTH_DAYS))
}

/// The worst injury of the last quarter.
pub(super) fn worst_of_quarter(case: &Case<'_>) -> Value {
    worst(case, Some(QUARTER_DAYS))
}

fn worst(case: &Case<'_>, days: Option<f64>) -> Value {
    let slots = &case.vocabulary.slots;
    let (Some(date), Some(injury)) = (slots.bite_date, slots.bite_injury) else {
        return Value::UNANSWERED;
    };
    let Some(bites) = case.entries(Some(injury)) else {
        return Value::UNANSWERED;
    };
    let top = top(case, injury);
    let (mut low, mut high) = (0, 0);
    for bite in bites {
        let (surely, possibly) = days.map_or((true, true), |days| within(&bite[date.fact], days));
        let (least, most) = level_span(&bite[injury.fact], top);
        if surely {
            low = low.max(least);
        }
        if possibly {
            high = high.max(most);
        }
    }
    level_value(low, high, top)
}

/// Entries of the last month.
pub(super) fn count_of_month(case: &Case<'_>) -> Value {
    recent(case, MONTH_DAYS)
}

/// Entries of the last quarter.
pub(super) fn count_of_quarter(case: &Case<'_>) -> Value {
    recent(case, QUARTER_DAYS)
}

fn recent(case: &Case<'_>, days: f64) -> Value {
    let date = case.vocabulary.slots.bite_date;
    let (Some(bites), Some(date)) = (case.entries(date), date) else {
        return Value::UNANSWERED;
    };
    let (mut low, mut high) = (0.0, 0.0);
    for bite in bites {
        let (surely, possibly) = within(&bite[date.fact], days);
        low += f64::from(u8::from(surely));
        high += f64::from(u8::from(possibly));
    }
    Value::Number { low, high }
}

/// The newest of some days gone by: it can be no older than the newest that is surely known, and as new as the newest that
/// may be.
pub(super) fn newest<'v>(dates: impl Iterator<Item = &'v Value>) -> Option<Value> {
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

/// Days since the newest entry.
pub(super) fn days_since(case: &Case<'_>) -> Value {
    let date = case.vocabulary.slots.bite_date;
    let (Some(bites), Some(date)) = (case.entries(date), date) else {
        return Value::UNANSWERED;
    };
    newest(bites.iter().map(|bite| &bite[date.fact])).unwrap_or(Value::NotApplicable)
}

/// What is known of the bites to one person: for each bite, whether it is theirs (`None` = not known), and its values.
struct BitesTo<'g> {
    bites: Vec<(Option<bool>, &'g [Value])>,
    date: usize,
    injury: usize,
    top: u8,
}

/// The bites that name a person of the list, or may.
fn bites_to<'g>(case: &Case<'g>, item: usize) -> Option<BitesTo<'g>> {
    let slots = &case.vocabulary.slots;
    let (person, date, injury) = (slots.bite_person?, slots.bite_date?, slots.bite_injury?);
    let name = case.text_of(slots.person_name, item);
    let bites = case
        .entries(Some(person))?
        .iter()
        .enumerate()
        .map(|(bite, values)| {
            let theirs = match (name, case.text_of(Some(person), bite)) {
                (Some(name), Some(bitten)) => Some(name == bitten),
                _ => None,
            };
            (theirs, values.as_slice())
        })
        .filter(|(theirs, _)| *theirs != Some(false))
        .collect();
    Some(BitesTo {
        bites,
        date: date.fact,
        injury: injury.fact,
        top: top(case, injury),
    })
}

/// Bitten: at least one bite with contact. A threat is no bite.
pub(super) fn bitten(case: &Case<'_>, item: usize) -> Value {
    let Some(to) = bites_to(case, item) else {
        return Value::UNANSWERED;
    };
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

/// The worst injury of the bites to a person.
pub(super) fn worst_to(case: &Case<'_>, item: usize) -> Value {
    let Some(to) = bites_to(case, item) else {
        return Value::UNANSWERED;
    };
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

/// Days since the newest bite to a person.
pub(super) fn days_since_to(case: &Case<'_>, item: usize) -> Value {
    let Some(to) = bites_to(case, item) else {
        return Value::UNANSWERED;
    };
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

/// The place in the list of people of the person a bite names: `None` when it names nobody, or nobody of the list.
#[must_use]
pub fn person_of(case: &Case<'_>, bite: usize) -> Option<usize> {
    let slots = &case.vocabulary.slots;
    let bitten = case.text_of(slots.bite_person, bite)?;
    let people = case.entries(slots.person_name)?.len();
    (0..people).find(|at| case.text_of(slots.person_name, *at) == Some(bitten))
}

/// A fact of the person a bite names.
pub(super) fn of_person_named(case: &Case<'_>, bite: usize, fact: Option<FactRef>) -> Value {
    person_of(case, bite)
        .and_then(|person| case.of(fact, person))
        .cloned()
        .unwrap_or(Value::UNANSWERED)
}
