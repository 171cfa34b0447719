//! Mistakes of a log.

use super::{meant, mistakes};
use crate::words::either;

mistakes! {
    /// An entry without what the next step rests on.
    Error "entry-incomplete" EntryIncomplete { noun: String, number: usize, missing: String } "{noun} {number} lacks {missing}" => "write it in; for none write 0 or none, so that nought and forgotten stay apart";
    /// A date without its day.
    Error "day-not-whole" DayNotWhole { text: String } "`{text}` is not a whole day" => "write year-month-day like 2026-11-03; the next start depends on the days in between";
    /// More calm tries than tries.
    Error "more-calm-than-tries" MoreCalmThanTries { calm: u32, tries: u32 } "{calm} calm tries of {tries} cannot be" => "check both numbers";
    /// Steps that cannot go together.
    Error "steps-do-not-fit" StepsDoNotFit { start: u32, top: u32, best: u32 } "start step {start}, hardest step {top} and best calm step {best} cannot go together" => "the hardest step tried is at least the start step, and the best calm step is not harder than it";
    /// A calm step without a calm try.
    Error "calm-step-without-calm" CalmStepWithoutCalm { best: u32 } "step {best} is told as calm, and no try was calm" => "check both numbers; write 0 for the best calm step if none was calm";
    /// A red sign in a session that ended as planned.
    Warning "red-ended-by-plan" RedEndedByPlan {} "this session had a red sign and is told to have ended as planned" => "a red sign ends the session at once; check how it ended";
    /// A session on the day of a red sign, after it.
    Warning "session-after-red" SessionAfterRed { date: String } "there was one more session on {date} after a red sign" => "a red sign ends the day; tell the household, and check the order of the entries";
    /// One day told in several blocks.
    Warning "day-twice" DayTwice { date: String } "{date} is told in more than one block, and they are added up" => "if the same thing was written down twice, put one block right, lower the counts under `log`, and write a change that says so";
    /// A session that ended for a sign that is not told.
    Error "end-without-sign" EndWithoutSign { ended: String } "this session is told to have ended after {ended} sign, and none is told" => "write the sign in; if there was none, put right how it ended";
    /// Practice while everything is frozen.
    Warning "session-while-frozen" SessionWhileFrozen { date: String, bite: String } "there was a session on {date}, after skin was broken on {bite} and before a restart was agreed" => "all practice waits for a written restart; call the household";
    /// A restart that the household gave itself.
    Error "restart-by-household" RestartByHousehold { name: String } "going on after a bite is not for `{name}` to agree" => "the consultant agrees; write who did";
    /// One session told twice.
    Warning "session-twice" SessionTwice { date: String } "this session of {date} reads the same as the one before it" => "if it was written down twice, take one out with care, and lower the count under `log`";
    /// A touch with no hurt told as such, or a hurt without a touch.
    Error "touch-does-not-fit" TouchDoesNotFit { incidents: u32, injury: String } "{incidents} touches and `{injury}` cannot go together" => "a day with a touch has at least pressure; a day with no touch has none";
    /// Someone the form does not know.
    Error "log-person-unknown" LogPersonUnknown { name: String, close: Option<String>, people: Vec<String> } "`{name}` is not among the people of the form" => meant(close, format!("use the name or code of the form: {}", either(people)));
    /// The log of another case.
    Error "log-of-another-case" LogOfAnotherCase { log: String, intake: String } "this log belongs to case `{log}`, the form to `{intake}`" => "use the log and the form of the same case";
    /// Fewer entries than were counted.
    Error "entry-missing" EntryMissing { what: String, counted: u32, found: u32 } "{what}: {counted} were counted once, and {found} stand here" => "put back what was taken out; if it was wrong, lower the count under `log` and write a change that says why";
    /// A list of the log that is written on one line.
    Error "list-on-one-line" ListOnOneLine { group: String } "`{group}` is written on one line, and an entry cannot be added to it" => format!("write `{group}:` alone on its line, and each entry below it with `- `");
    /// An entry that would change what stands in the log.
    Error "log-would-change" LogWouldChange { group: String } "an entry added under `{group}` would change what stands there already" => "nothing was written; look at the indents and the last entry, or add the entry by hand";
}
