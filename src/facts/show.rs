//! Values in words, for explanations.

use crate::questionnaire::Kind;
use crate::units::{Unit, show_number};

use super::{Fact, Value};

/// A value as a person would write it. Text is not repeated here: it stands in the intake.
#[must_use]
pub fn show(fact: &Fact, value: &Value) -> String {
    let choice = |at: u8| {
        fact.choices
            .get(usize::from(at))
            .map_or_else(String::new, |choice| choice.id.clone())
    };
    match value {
        Value::Blank { asked: false } => "not answered".to_owned(),
        Value::Blank { asked: true } => "not known".to_owned(),
        Value::NotApplicable => "does not apply".to_owned(),
        Value::YesNo(true) => "yes".to_owned(),
        Value::YesNo(false) => "no".to_owned(),
        Value::Choice(at) => choice(*at),
        Value::Level { low, high } if low == high => choice(*low),
        Value::Level { low, high } => format!("{} to {}", choice(*low), choice(*high)),
        Value::Choices(bits) => {
            let chosen: Vec<&str> = fact
                .choices
                .iter()
                .enumerate()
                .filter(|(at, _)| bits & (1 << at) != 0)
                .map(|(_, choice)| choice.id.as_str())
                .collect();
            chosen.join(", ")
        }
        Value::Number { low, high } => match fact.kind {
            Kind::Date => days(*low, *high),
            Kind::Number(unit) => span(unit, *low, *high),
            _ => span(Unit::Count, *low, *high),
        },
        Value::Text => "answered".to_owned(),
    }
}

fn span(unit: Unit, low: f64, high: f64) -> String {
    if low == high {
        unit.show(low)
    } else if high.is_infinite() {
        format!("at least {}", unit.show(low))
    } else {
        format!("{} to {}", show_number(low), unit.show(high))
    }
}

fn days(low: f64, high: f64) -> String {
    match (low, high) {
        (low, high) if low == high && low == 0.0 => "today".to_owned(),
        (low, high) if low == high && low < 0.0 => format!("in {}", Unit::Days.show(-low)),
        (low, high) if high < 0.0 => {
            format!("in {} to {}", show_number(-high), Unit::Days.show(-low))
        }
        (low, high) => format!("{} ago", span(Unit::Days, low, high)),
    }
}
