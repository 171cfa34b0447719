//! Facts worked out from the answers. Each may know less than its answers, never more: where an answer is missing,
//! the fact is blank or lies between bounds, so that filling a blank can only narrow it.

mod bites;
mod figures;
mod people;

pub use bites::person_of;

use crate::answers::Answers;

use super::case::Case;
use super::tried::{Before, replace, swap_all};
use super::workings::{Figures, WhenAsked, Workings};
use super::{Items, Value, Vocabulary, entries};

/// How one derived fact is filled.
#[derive(Debug, Clone, Copy)]
pub enum Fill {
    /// From the whole case.
    Case(fn(&Case<'_>) -> Value),
    /// From the whole case, for each entry of its group.
    Entry(fn(&Case<'_>, usize) -> Value),
    /// From the figures and the case, for each entry of its group.
    EntryFigure(fn(&Case<'_>, &dyn Figures, usize) -> Value),
    /// From the figures.
    Figure(fn(&dyn Figures) -> Value),
}

/// Every derived fact with its type, in the order of computing.
pub const ALL: &[(&str, &str, Fill)] = &[
    (
        "bird.size-class",
        "level",
        Fill::Figure(figures::size_class),
    ),
    (
        "bird.kind-known",
        "yes-no",
        Fill::Figure(figures::kind_known),
    ),
    ("bird.cross", "yes-no", Fill::Figure(figures::cross)),
    (
        "bird.share-of-usual-weight",
        "number",
        Fill::Figure(figures::share_of_usual_weight),
    ),
    ("tally.bites", "number", Fill::Case(bites::count)),
    ("tally.worst-injury", "level", Fill::Case(bites::worst_ever)),
    (
        "tally.worst-injury-30-days",
        "level",
        Fill::Case(bites::worst_of_month),
    ),
    (
        "tally.worst-injury-90-days",
        "level",
        Fill::Case(bites::worst_of_quarter),
    ),
    (
        "tally.bites-30-days",
        "number",
        Fill::Case(bites::count_of_month),
    ),
    (
        "tally.bites-90-days",
        "number",
        Fill::Case(bites::count_of_quarter),
    ),
    (
        "tally.days-since-bite",
        "number",
        Fill::Case(bites::days_since),
    ),
    (
        "tally.weight-fall",
        "number",
        Fill::Figure(figures::weight_fall),
    ),
    (
        "tally.weight-odd",
        "yes-no",
        Fill::Figure(figures::weight_odd),
    ),
    (
        "tally.days-since-weighed",
        "number",
        Fill::Case(figures::days_since_weighed),
    ),
    (
        "cage.below-local-floor",
        "yes-no",
        Fill::Figure(figures::below_local_floor),
    ),
    (
        "cage.below-every-floor",
        "yes-no",
        Fill::Figure(figures::below_every_floor),
    ),
    ("cage.wings-fit", "yes-no", Fill::Figure(figures::wings_fit)),
    ("cage.gap-wide", "yes-no", Fill::Figure(figures::gap_wide)),
    (
        "cage.stands-low",
        "yes-no",
        Fill::Figure(figures::stands_low),
    ),
    (
        "food.rewards-a-day",
        "number",
        Fill::Figure(figures::rewards_a_day),
    ),
    (
        "food.treat-share",
        "number",
        Fill::Figure(figures::treat_share),
    ),
    (
        "food.piece-too-large",
        "yes-no",
        Fill::Figure(figures::piece_too_large),
    ),
    (
        "reach.at-bars",
        "number",
        Fill::Figure(figures::reach_at_bars),
    ),
    (
        "reach.safe-line",
        "number",
        Fill::Figure(figures::safe_line),
    ),
    (
        "reach.path-clear",
        "yes-no",
        Fill::Figure(figures::path_clear),
    ),
    (
        "reach.room-to-walk",
        "yes-no",
        Fill::Figure(figures::room_to_walk),
    ),
    (
        "reach.seats-inside",
        "number",
        Fill::Figure(figures::seats_inside),
    ),
    (
        "reach.paths-inside",
        "number",
        Fill::Figure(figures::paths_inside),
    ),
    ("record.rising", "yes-no", Fill::Figure(figures::rising)),
    ("record.falling", "yes-no", Fill::Figure(figures::falling)),
    ("record.too-few", "yes-no", Fill::Figure(figures::too_few)),
    (
        "health.illness-fits-birds",
        "yes-no",
        Fill::Figure(figures::illness_fits_birds),
    ),
    ("people.bitten", "yes-no", Fill::Entry(bites::bitten)),
    ("people.worst-injury", "level", Fill::Entry(bites::worst_to)),
    (
        "people.days-since-bitten",
        "number",
        Fill::Entry(bites::days_since_to),
    ),
    (
        "people.distance-known",
        "yes-no",
        Fill::Entry(people::distance_known),
    ),
    (
        "people.face-at-perch",
        "yes-no",
        Fill::EntryFigure(people::face_at_perch),
    ),
    (
        "bites.person-age",
        "number",
        Fill::Entry(people::age_of_bitten),
    ),
    (
        "bites.person-role",
        "choice",
        Fill::Entry(people::role_of_bitten),
    ),
    (
        "bites.person-vulnerable",
        "choices",
        Fill::Entry(people::vulnerable_of_bitten),
    ),
    (
        "bites.care-advised",
        "level",
        Fill::Entry(people::care_advised),
    ),
    (
        "bites.care-advised-for-person",
        "level",
        Fill::Entry(people::care_advised_for_person),
    ),
    (
        "bites.tetanus-question",
        "yes-no",
        Fill::Entry(people::tetanus_question),
    ),
];

impl Fill {
    fn value(self, case: &Case<'_>, figures: &dyn Figures, item: usize) -> Value {
        match self {
            Self::Case(work) => work(case),
            Self::Figure(work) => work(figures),
            Self::Entry(work) => work(case, item),
            Self::EntryFigure(work) => work(case, figures, item),
        }
    }
}

/// Fills all derived facts, and gives the figures they rest on.
pub fn fill(vocabulary: &Vocabulary, answers: &Answers, groups: &mut [Items]) -> Workings {
    let workings = Workings::of(&Case {
        vocabulary,
        answers,
        groups,
    });
    for (at, fill) in &vocabulary.derived {
        let entries = entries(&groups[at.group]);
        for item in 0..entries.unwrap_or(1) {
            let case = Case {
                vocabulary,
                answers,
                groups,
            };
            let value = fill.value(&case, &workings, item);
            replace(groups, *at, entries.map(|_| item), value);
        }
    }
    workings
}

/// Works some derived facts out anew, by their places in the vocabulary, with only those figures that they rest on. `before` takes
/// the values they had.
pub(crate) fn anew(
    vocabulary: &Vocabulary,
    answers: &Answers,
    groups: &mut [Items],
    which: &[usize],
    before: &mut Vec<Before>,
) {
    let first = before.len();
    let case = Case {
        vocabulary,
        answers,
        groups,
    };
    let figures = WhenAsked::of(case);
    for (at, fill) in which.iter().filter_map(|at| vocabulary.derived.get(*at)) {
        let entries = entries(&groups[at.group]);
        for item in 0..entries.unwrap_or(1) {
            let value = fill.value(&case, &figures, item);
            before.push(Before::new(*at, entries.map(|_| item), value));
        }
    }
    drop(figures);
    // No derived fact is worked out from another one, so all of them can be put in their places at once.
    swap_all(groups, &mut before[first..]);
}
