//! A blind exercise for a team: one case without names and without what the rulebook makes of it, the same questions to several
//! people, and how far their answers go together.
//!
//! | part | does |
//! |---|---|
//! | [`Exercise`] | one form made into an exercise: the case redacted, the rulebook's own answers, the items |
//! | [`Item`] | one thing that is asked, and how the items are chosen |
//! | [`Sheet`], [`gathered`] | one person's answers, and those of several people |
//! | [`Scored`] | agreement item by item, and beyond chance |

mod item;
mod score;
mod sheet;

pub use item::{Item, Part};
pub use score::{
    Beyond, FEWEST_CASES, FEWEST_YES_NO, Level, Person, Said, Scored, ScoredCase, ScoredItem,
};
pub use sheet::{Head, Sheet, gathered};

use jiff::civil::Date;

use crate::decision::{Decision, decide};
use crate::fingerprint::short;
use crate::intake::Intake;
use crate::mistake::Problem;
use crate::plan::{Options, Plan};
use crate::redact::{Case, Redactor};
use crate::rulebook::Rulebook;
use crate::wording::Practice;

/// One form made into an exercise.
#[derive(Debug)]
pub struct Exercise {
    /// What tells it from others: the start of the form's fingerprint.
    pub id: String,
    /// The form it was made from, as it was named.
    pub file: String,
    /// The case without names, places, codes and dates: what people see, and what the rulebook is asked about.
    pub case: Case,
    /// What the rulebook makes of that case.
    pub decision: Decision,
    /// What goes on paper for it.
    pub plan: Plan,
    /// What is asked, in the order of the sheet.
    pub items: Vec<Item>,
}

impl Exercise {
    /// Makes an exercise of a form. `today` is the day it is decided for; `ordinary` holds all texts that papers are made from.
    ///
    /// The rulebook decides the redacted case, because that is what people see.
    ///
    /// # Errors
    /// When the redacted form cannot be read any more.
    pub fn of(
        rulebook: &Rulebook,
        intake: &Intake,
        today: Date,
        practice: &Practice,
        ordinary: &str,
    ) -> Result<Self, Vec<Problem>> {
        let case = Case::of(rulebook, intake, None, today, practice, ordinary)?;
        let decision = decide(rulebook, &case.intake.answers, case.today);
        let options = Options {
            without_work: true,
            ..Options::default()
        };
        let plan = Plan::of(rulebook, &case.intake, &decision, options);
        let items = item::items(rulebook, &decision, &plan, &intake.fingerprint);
        Ok(Self {
            id: id_of(intake),
            file: intake.source.label.to_string(),
            case,
            decision,
            plan,
            items,
        })
    }

    /// The items of one part, in the order of the sheet.
    pub fn of_part(&self, part: Part) -> impl Iterator<Item = &Item> {
        self.items.iter().filter(move |item| item.part == part)
    }
}

/// What tells an exercise from others.
#[must_use]
pub fn id_of(intake: &Intake) -> String {
    short(&intake.fingerprint)
}

/// The day a case was decided for, from the day that its papers and sheets bear: all days of a case move by the same number of days,
/// which only its form tells.
#[must_use]
pub fn day_behind(rulebook: &Rulebook, intake: &Intake, moved: Date) -> Date {
    let questionnaire = &rulebook.questionnaire;
    let redactor = Redactor::of(questionnaire, &intake.answers, &intake.source.text, "");
    redactor
        .day(moved)
        .until(moved)
        .and_then(|back| moved.checked_add(back))
        .unwrap_or(moved)
}
