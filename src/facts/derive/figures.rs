//! Facts that rest on the figures.

use crate::figures::size::{SizeClass, percent_of_published};
use crate::figures::span::Span;
use crate::figures::trend::Reading;

use super::super::Value;
use super::super::case::Case;
use super::super::workings::{Figures, How, Local, Use, WeightFigures};
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

pub(super) fn size_class(figures: &dyn Figures) -> Value {
    let level = |class: SizeClass| class as u8;
    figures
        .kind()
        .size
        .filter(|(least, most)| (*least, *most) != (SizeClass::Small, SizeClass::Large))
        .map_or(Value::UNANSWERED, |(least, most)| Value::Level {
            low: level(least),
            high: level(most),
        })
}

pub(super) fn kind_known(figures: &dyn Figures) -> Value {
    match figures.kind().how {
        How::NotTold => Value::UNANSWERED,
        how => Value::YesNo(matches!(how, How::One | How::OutsideTable)),
    }
}

pub(super) fn cross(figures: &dyn Figures) -> Value {
    match figures.kind().how {
        How::NotTold => Value::UNANSWERED,
        how => Value::YesNo(how == How::Cross),
    }
}

pub(super) fn share_of_usual_weight(figures: &dyn Figures) -> Value {
    let kind = figures.kind();
    number(
        kind.told_g
            .zip(kind.table_g)
            .and_then(|(grams, table)| percent_of_published(grams, table).ok()),
    )
}

pub(super) fn below_local_floor(figures: &dyn Figures) -> Value {
    match figures.cage().local(figures.local()) {
        Local::NotKnown => Value::UNANSWERED,
        Local::NoFigure => Value::NotApplicable,
        Local::Below(below) => yes_no(below),
    }
}

pub(super) fn below_every_floor(figures: &dyn Figures) -> Value {
    figures
        .cage()
        .below_every()
        .map_or(Value::NotApplicable, yes_no)
}

pub(super) fn wings_fit(figures: &dyn Figures) -> Value {
    yes_no(figures.cage().wings_fit)
}

pub(super) fn gap_wide(figures: &dyn Figures) -> Value {
    yes_no(figures.cage().gap_wide)
}

pub(super) fn stands_low(figures: &dyn Figures) -> Value {
    yes_no(figures.cage().stands_low())
}

pub(super) fn rewards_a_day(figures: &dyn Figures) -> Value {
    figures
        .food()
        .most_pieces()
        .map_or(Value::UNANSWERED, |(least, most)| Value::Number {
            low: f64::from(least),
            high: f64::from(most),
        })
}

pub(super) fn treat_share(figures: &dyn Figures) -> Value {
    number(figures.food().treat_share())
}

pub(super) fn piece_too_large(figures: &dyn Figures) -> Value {
    yes_no(figures.food().piece_too_large())
}

pub(super) fn weight_fall(figures: &dyn Figures) -> Value {
    match figures.weight() {
        WeightFigures::NotKnown => Value::UNANSWERED,
        WeightFigures::TooFew => Value::NotApplicable,
        WeightFigures::Compared { change, .. } => Value::number(change.fall_percent),
    }
}

pub(super) fn weight_odd(figures: &dyn Figures) -> Value {
    match figures.weight() {
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

pub(super) fn reach_at_bars(figures: &dyn Figures) -> Value {
    number(figures.reach().map(|reach| reach.at_bars_cm))
}

pub(super) fn safe_line(figures: &dyn Figures) -> Value {
    number(figures.reach().map(|reach| reach.line_at_bars_cm))
}

pub(super) fn path_clear(figures: &dyn Figures) -> Value {
    yes_no(figures.reach().and_then(|reach| reach.path_clear()))
}

pub(super) fn room_to_walk(figures: &dyn Figures) -> Value {
    yes_no(figures.reach().and_then(|reach| reach.room_to_walk()))
}

pub(super) fn seats_inside(figures: &dyn Figures) -> Value {
    inside(figures, Use::Stays)
}

pub(super) fn paths_inside(figures: &dyn Figures) -> Value {
    inside(figures, Use::Passes)
}

fn inside(figures: &dyn Figures, usage: Use) -> Value {
    figures
        .room()
        .inside(usage)
        .map_or(Value::UNANSWERED, |(least, most)| Value::Number {
            low: f64::from(least),
            high: f64::from(most),
        })
}

pub(super) fn rising(figures: &dyn Figures) -> Value {
    reads(figures, Reading::Rising)
}

pub(super) fn falling(figures: &dyn Figures) -> Value {
    reads(figures, Reading::Falling)
}

pub(super) fn too_few(figures: &dyn Figures) -> Value {
    yes_no(figures.too_few())
}

fn reads(figures: &dyn Figures, wanted: Reading) -> Value {
    if figures.too_few() == Some(true) {
        return Value::YesNo(false);
    }
    yes_no(figures.record().map(|record| record.reading == wanted))
}

pub(super) fn illness_fits_birds(figures: &dyn Figures) -> Value {
    yes_no(figures.illness_fits())
}
