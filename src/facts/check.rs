//! Answers against the figures: numbers that cannot go together, which a slip of the pen or of the unit would explain.
//!
//! They are errors, not warnings: a weight with a digit too few would make the bird small and the plan loose.

use crate::answers::Answers;
use crate::figures::reach::default_reach_cm;
use crate::figures::size::{LEAST_BODY_G, MOST_BODY_G, size_class};
use crate::figures::span::Span;
use crate::language::FactRef;
use crate::mistake::{Mistake, Problem};
use crate::mistakes::intake::{CountsContradict, FigureDoesNotFit, Whose};
use crate::questionnaire::{Kind as QuestionKind, Questionnaire};
use crate::source::Source;
use crate::tree::{Path, Places};
use crate::units::Unit;

use super::case::{Case, range};
use super::workings::{Kind, Workings, eye_height, near};
use super::{Facts, Value, Vocabulary};

/// Youngest age at which a bird is taken to be full grown, years. Common practice, no source.
const FULL_GROWN_YEARS: f64 = 1.0;

type Faults = Vec<(Path, Box<dyn Mistake>)>;

/// Checks answers against what the figures can be, from the facts worked out of them.
#[must_use]
pub fn check(
    questionnaire: &Questionnaire,
    vocabulary: &Vocabulary,
    answers: &Answers,
    (facts, workings): (&Facts, &Workings),
    source: &Source,
    places: &dyn Fn() -> Places,
) -> Vec<Problem> {
    let checker = Checker {
        questionnaire,
        case: Case {
            vocabulary,
            answers,
            groups: &facts.groups,
        },
        kind: &workings.kind,
    };
    let mut faults = Faults::new();
    checker.weight(&mut faults);
    checker.told_size(&mut faults);
    checker.reach(&mut faults);
    checker.eyes(&mut faults);
    checker.counts(&mut faults);
    Problem::of_answers(faults, source, places)
}

/// Size class of a weight, as a level.
fn class(grams: f64) -> u8 {
    size_class(grams.clamp(LEAST_BODY_G, MOST_BODY_G)).map_or(0, |class| class as u8)
}

struct Checker<'a> {
    questionnaire: &'a Questionnaire,
    case: Case<'a>,
    kind: &'a Kind,
}

impl Checker<'_> {
    fn path(&self, at: FactRef, item: Option<usize>) -> Path {
        self.case
            .answers
            .path(self.questionnaire, at.group, item, at.fact)
    }

    fn unfit(
        &self,
        at: FactRef,
        item: Option<usize>,
        value: f64,
        fits: Span,
        of: Whose,
    ) -> (Path, Box<dyn Mistake>) {
        let unit = match self.case.vocabulary.fact(at).kind {
            QuestionKind::Number(unit) => unit,
            _ => Unit::Count,
        };
        (
            self.path(at, item),
            Box::new(FigureDoesNotFit {
                value: unit.show(value),
                fits: format!("{} to {}", unit.show(fits.low), unit.show(fits.high)),
                of,
            }),
        )
    }

    /// A weight far from what its kind can weigh. A young bird may be lighter.
    fn weight(&self, faults: &mut Faults) {
        let slots = &self.case.vocabulary.slots;
        let (Some(at), Some(grams), Some(fits)) =
            (slots.bird_weight, self.kind.told_g, self.kind.plausible_g())
        else {
            return;
        };
        let young = self
            .case
            .number(slots.bird_age)
            .is_some_and(|years| years < FULL_GROWN_YEARS);
        // A heavy bird is let pass while that does not make it a size larger: show birds outweigh their kind.
        if class(grams) > class(fits.high) || (grams < fits.low && !young) {
            faults.push(self.unfit(at, None, grams, fits, Whose::Kind));
        }
    }

    /// A size that its kind, or its weight, cannot have.
    fn told_size(&self, faults: &mut Faults) {
        let slots = &self.case.vocabulary.slots;
        let (Some(at), Some(Value::Level { low, .. })) =
            (slots.bird_size, self.case.once(slots.bird_size))
        else {
            return;
        };
        let choices = &self.case.vocabulary.fact(at).choices;
        let word = |level: u8| {
            choices
                .get(usize::from(level))
                .map_or_else(String::new, |choice| choice.id.clone())
        };
        let possible = |span: Span| (class(span.low), class(span.high));
        let by_weight = self.kind.told_g.map(near);
        let Some((least, most)) = by_weight.or(self.kind.plausible_g()).map(possible) else {
            return;
        };
        if *low < least || *low > most {
            faults.push((
                self.path(at, None),
                Box::new(FigureDoesNotFit {
                    value: word(*low),
                    fits: if least == most {
                        format!("the size `{}`", word(least))
                    } else {
                        format!("a size from `{}` to `{}`", word(least), word(most))
                    },
                    of: if by_weight.is_some() {
                        Whose::Weight
                    } else {
                        Whose::Kind
                    },
                }),
            ));
        }
    }

    /// A reach beyond what a bird of this size can have.
    fn reach(&self, faults: &mut Faults) {
        let slots = &self.case.vocabulary.slots;
        let most = default_reach_cm(self.kind.sizes().1);
        for at in [slots.reach_at_bars, slots.reach_from_perch] {
            if let (Some(at), Some(reach)) = (at, self.case.number(at))
                && reach > most
            {
                faults.push(self.unfit(at, None, reach, Span::between(1.0, most), Whose::Size));
            }
        }
    }

    /// An eye height that nobody of that age has.
    fn eyes(&self, faults: &mut Faults) {
        let slots = &self.case.vocabulary.slots;
        let Some(at) = slots.person_eye_height else {
            return;
        };
        for item in 0..self.case.entries(Some(at)).map_or(0, <[_]>::len) {
            let age = self.case.of(slots.person_age, item).and_then(range);
            if let (Some(height), Some(fits)) =
                (self.case.number_of(Some(at), item), eye_height(None, age))
                && !fits.holds(height)
            {
                faults.push(self.unfit(at, Some(item), height, fits, Whose::Age));
            }
        }
    }

    /// Counts of which the part is more than the whole.
    fn counts(&self, faults: &mut Faults) {
        let slots = &self.case.vocabulary.slots;
        if let (Some(at), Some(month), Some(quarter)) = (
            slots.record_last_90,
            self.case.number(slots.record_last_30),
            self.case.number(slots.record_last_90),
        ) && month > quarter
        {
            faults.push((
                self.path(at, None),
                Box::new(CountsContradict {
                    part: Unit::Count.show(month),
                    whole: Unit::Count.show(quarter),
                }),
            ));
        }
    }
}
