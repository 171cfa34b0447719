//! Facts that rest on the figures.

use crate::figures::size::{SizeClass, percent_of_published};
use crate::figures::span::Span;
use crate::figures::trend::Reading;

use super::super::Value;
use super::super::case::Case;
use super::super::workings::{How, Local, Use, WeightFigures, Workings};
use super::bites::newest;

fn yes_no(known: Option<bool>) -> Value {
    known.map_or(Value::UNANSWERED, Value::YesNo)
}

fn number(span: Option<Span>) -> Value {
    span.map_or(Value::UNANSWERED, |span| Value::Number {
        low: span.low,
        high: span.high,
    })
}

pub(super) fn size_class(workings: &Workings) -> Value {
    let level = |class: SizeClass| class as u8;
    workings
        .kind
        .size
        .filter(|(least, most)| (*least, *most) != (SizeClass::Small, SizeClass::Large))
        .map_or(Value::UNANSWERED, |(least, most)| Value::Level {
            low: level(least),
            high: level(most),
        })
}

pub(super) fn kind_known(workings: &Workings) -> Value {
    match workings.kind.how {
        How::NotTold => Value::UNANSWERED,
        how => Value::YesNo(matches!(how, How::One | How::OutsideTable)),
    }
}

pub(super) fn cross(workings: &Workings) -> Value {
    match workings.kind.how {
        How::NotTold => Value::UNANSWERED,
        how => Value::YesNo(how == How::Cross),
    }
}

pub(super) fn share_of_usual_weight(workings: &Workings) -> Value {
    let kind = &workings.kind;
    number(
        kind.told_g
            .zip(kind.table_g)
            .and_then(|(grams, table)| percent_of_published(grams, table).ok()),
    )
}

pub(super) fn below_local_floor(workings: &Workings) -> Value {
    match workings.cage.local(&workings.local) {
        Local::NotKnown => Value::UNANSWERED,
        Local::NoFigure => Value::NotApplicable,
        Local::Below(below) => yes_no(below),
    }
}

pub(super) fn below_every_floor(workings: &Workings) -> Value {
    workings
        .cage
        .below_every()
        .map_or(Value::NotApplicable, yes_no)
}

pub(super) fn wings_fit(workings: &Workings) -> Value {
    yes_no(workings.cage.wings_fit)
}

pub(super) fn gap_wide(workings: &Workings) -> Value {
    yes_no(workings.cage.gap_wide)
}

pub(super) fn stands_low(workings: &Workings) -> Value {
    yes_no(workings.cage.stands_low())
}

pub(super) fn rewards_a_day(workings: &Workings) -> Value {
    workings
        .food
        .most_pieces()
        .map_or(Value::UNANSWERED, |(least, most)| Value::Number {
            low: f64::from(least),
            high: f64::from(most),
        })
}

pub(super) fn treat_share(workings: &Workings) -> Value {
    number(workings.food.treat_share())
}

pub(super) fn piece_too_large(workings: &Workings) -> Value {
    yes_no(workings.food.piece_too_large())
}

pub(super) fn weight_fall(workings: &Workings) -> Value {
    match &workings.weight {
        WeightFigures::NotKnown => Value::UNANSWERED,
        WeightFigures::TooFew => Value::NotApplicable,
        WeightFigures::Compared { change, .. } => Value::number(change.fall_percent),
    }
}

pub(super) fn weight_odd(workings: &Workings) -> Value {
    match &workings.weight {
        WeightFigures::NotKnown => Value::UNANSWERED,
        WeightFigures::TooFew => Value::NotApplicable,
        WeightFigures::Compared { change, .. } => Value::YesNo(!change.odd.is_empty()),
    }
}

pub(super) fn days_since_weighed(case: &Case<'_>) -> Value {
    let date = case.vocabulary.slots.weighing_date;
    let (Some(weighings), Some(date)) = (case.entries(date), date) else {
        return Value::UNANSWERED;
    };
    newest(weighings.iter().map(|weighing| &weighing[date.fact])).unwrap_or(Value::NotApplicable)
}

pub(super) fn reach_at_bars(workings: &Workings) -> Value {
    number(workings.reach.as_ref().map(|reach| reach.at_bars_cm))
}

pub(super) fn safe_line(workings: &Workings) -> Value {
    number(workings.reach.as_ref().map(|reach| reach.line_at_bars_cm))
}

pub(super) fn path_clear(workings: &Workings) -> Value {
    yes_no(workings.reach.as_ref().and_then(|reach| reach.path_clear()))
}

pub(super) fn room_to_walk(workings: &Workings) -> Value {
    yes_no(
        workings
            .reach
            .as_ref()
            .and_then(|reach| reach.room_to_walk()),
    )
}

pub(super) fn seats_inside(workings: &Workings) -> Value {
    inside(workings, Use::Stays)
}

pub(super) fn paths_inside(workings: &Workings) -> Value {
    inside(workings, Use::Passes)
}

fn inside(workings: &Workings, usage: Use) -> Value {
    workings
        .room
        .inside(usage)
        .map_or(Value::UNANSWERED, |(least, most)| Value::Number {
            low: f64::from(least),
            high: f64::from(most),
        })
}

pub(super) fn rising(workings: &Workings) -> Value {
    reads(workings, Reading::Rising)
}

pub(super) fn falling(workings: &Workings) -> Value {
    reads(workings, Reading::Falling)
}

pub(super) fn too_few(workings: &Workings) -> Value {
    yes_no(workings.too_few)
}

fn reads(workings: &Workings, wanted: Reading) -> Value {
    if workings.too_few == Some(true) {
        return Value::YesNo(false);
    }
    yes_no(
        workings
            .record
            .as_ref()
            .map(|record| record.reading == wanted),
    )
}

pub(super) fn illness_fits_birds(workings: &Workings) -> Value {
    yes_no(workings.illness_fits)
}
