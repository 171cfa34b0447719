//! Mistakes of answers to a blind exercise.

use super::{meant, mistakes};

mistakes! {
    /// A sheet that belongs to no case that was given.
    Error "sheet-of-another-exercise" SheetOfAnotherExercise { id: String, close: Option<String> } "no form given here makes the exercise `{id}`" => meant(close, "give its form as well; a form that was changed since makes another exercise");
    /// Sheets of one exercise that name different days.
    Error "sheet-day-differs" SheetDayDiffers { day: String, other: String } "this sheet is of {day}, and another one of the same exercise is of {other}" => "keep the day as the sheet came with it: the answer of the rulebook hangs on it";
    /// Something the exercise does not ask.
    Error "exercise-item-unknown" ExerciseItemUnknown { part: String, id: String, close: Option<String> } "this exercise does not ask `{id}` under `{part}`" => meant(close, "keep the items as the sheet came with them; with another rulebook or another `--practice` they can be others");
    /// Items without an answer.
    Warning "exercise-item-missing" ExerciseItemMissing { items: String } "not answered: {items}" => "they are left out of the figures for this person; a guess is an answer too, so ask for one";
    /// Two sheets of one person for one exercise.
    Error "person-twice" PersonTwice { person: String, file: String } "`{person}` has a sheet for this exercise already, {file}" => "keep one of them; if they are two people, write the names out";
    /// A sheet in which nothing was filled in.
    Warning "sheet-blank" SheetBlank {} "nothing was filled in here, and the sheet is left out" => "nothing to do if it is the sheet as it came";
    /// A sheet made with another rulebook.
    Warning "sheet-of-another-rulebook" SheetOfAnotherRulebook { print: String } "this sheet was made with the rulebook `{print}`, and another one is in use" => "use the same `--rules` and `--practice` as for writing it, or read the agreement with the rulebook with that in mind";
}
