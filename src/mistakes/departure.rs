//! Mistakes of departures: of a practice from a shipped rule, and of a consultant in one case.

use super::{meant, mistakes};

mistakes! {
    /// A departure from a rule nobody wrote.
    Error "departure-rule-unknown" DepartureRuleUnknown { rule: String, close: Option<String> } "there is no rule `{rule}` to depart from" => meant(close, "`perchside rules list` shows them all");
    /// A departure from the safety floor.
    Error "departure-from-floor" DepartureFromFloor { rule: String, what: String } "{what} `{rule}` belongs to the safety floor, which nobody can loosen" => "take the departure out; if the rule is wrong, tell its owner";
    /// A departure from a rule of the practice itself.
    Error "departure-from-own-rule" DepartureFromOwnRule { rule: String } "`{rule}` is the practice's own rule" => "change the rule itself, and say so in the changelog";
    /// A departure that changes nothing.
    Error "departure-without-change" DepartureWithoutChange {} "this departure changes nothing" => "write `switch-off: yes`, `instead:` with milder words, or `leave-out:` with what the rule no longer asks for";
    /// A departure that switches a rule off and changes it as well.
    Error "departure-says-two-things" DepartureSaysTwoThings {} "a rule that is switched off has nothing left to change" => "keep `switch-off`, or `instead` and `leave-out`";
    /// A word that does not loosen.
    Error "departure-not-looser" DepartureNotLooser { rule: String, key: String, says: String } "`{rule}` says {says} of {key}, and this is no looser" => "tightening needs no departure: write a rule of your own";
    /// A measure the rule does not ask for.
    Error "departure-leaves-out-nothing" DepartureLeavesOutNothing { rule: String, id: String, close: Option<String> } "`{rule}` does not ask for `{id}`" => meant(close, "`perchside rules show` prints what a rule asks for");
    /// A departure that ends before it begins.
    Error "departure-ends-first" DepartureEndsFirst { date: String } "this ends before it begins, on {date}" => "check both days";
    /// A departure without a near end.
    Error "departure-too-long" DepartureTooLong { days: i32 } "this runs for {days} days" => "let it end within a year; whoever still wants it then says so again";
    /// Two departures from one rule at the same time.
    Error "departure-twice" DepartureTwice { rule: String, other: String } "`{other}` departs from `{rule}` at the same time" => "keep one of them, or let one end before the other begins";
    /// A departure whose last day is over.
    Warning "departure-expired" DepartureExpired { id: String, rule: String, until: String } "the departure `{id}` ended on {until}: `{rule}` counts again as shipped" => "take the file out, or write a new departure with its reason and a new end";
    /// A departure whose first day has not come.
    Warning "departure-ahead" DepartureAhead { id: String, rule: String, date: String } "the departure `{id}` begins on {date}: until then `{rule}` counts as shipped" => "nothing to do if that is meant";
    /// A practice's measure that sets a shipped one aside.
    Error "shipped-measure-set-aside" ShippedMeasureSetAside { id: String, key: String, shipped: String } "`{id}` may not put the shipped measure `{shipped}` aside with `{key}`" => "leave it out there; to drop a shipped measure write a departure from the rule that asks for it";
    /// An entry of a case that overrules no outcome.
    Error "case-departure-without-change" CaseDepartureWithoutChange {} "this departure overrules no outcome" => "write `risk`, `start`, `contact` or `vet` with the word it is to stand at";
    /// Two entries of a case about one outcome at the same time.
    Error "case-departure-twice" CaseDepartureTwice { outcome: String } "an entry above speaks of `{outcome}` at the same time" => "keep one of them, or let one end before the other begins";
    /// A loosening in a case that stops at the safety floor.
    Warning "case-departure-held" CaseDepartureHeld { outcome: String, wanted: String, now: String } "`{outcome}` was to stand at {wanted}, and the safety floor holds it at {now}" => "nobody can go below the floor; say in the record why it was wanted";
    /// A departure of a case that does not count on the day.
    Warning "case-departure-over" CaseDepartureOver { outcome: String, wanted: String, why: String } "`{outcome}` at {wanted} does not count: {why}" => "take the entry out, or look at the case again and write a new one";
}
